package figure

import (
	"bytes"
	"fmt"
	"math"
	"regexp"
	"sort"
	"strconv"
	"strings"
	"sync"

	"stackbook/schema/quantity"
	"stackbook/schema/source"
)

// Stored is what a figures.yaml says.
type Stored struct {
	Engine   string
	Build    int
	Formulas int
	Inputs   string // digest of what was read
	Lines    []StoredLine
}

// StoredLine is one figure as it was written down.
type StoredLine struct {
	ID, At, Value, Unit string
	Uncertainty         string // "" for null
	Verdict             string // "" for null
}

const storeHead = "# written by stackbook, never by hand: stackbook commit writes it anew\nformat: figures/1\n"

// Encode gives the text of figures.yaml: one line a figure, sorted, so that
// git can merge it line by line. before is what stood there, nil where nothing
// did: where it was written from the same inputs by the same formulas, a value
// within one last digit keeps its text, so that another processor's rounding
// makes no difference (R4, R5). Of other inputs even the smallest difference
// is one.
func (s *Set) Encode(before *Stored) []byte {
	if !before.Fresh(s) {
		before = nil
	}
	var b strings.Builder
	b.WriteString(storeHead)
	fmt.Fprintf(&b, "engine: %s\nbuild: %d\nformulas: %d\ninputs: %s\nfigures:\n", source.Quote(s.Engine.Number), s.Engine.Build, FormulaSet, s.Digest())
	old := before.byPlace()
	lines := make([]string, 0, len(s.Results))
	for _, r := range s.Results {
		lines = append(lines, r.Line().kept(old[r.Figure.ID+" "+r.At]).text())
	}
	sort.Strings(lines)
	for _, l := range lines {
		b.WriteString(l)
	}
	return []byte(b.String())
}

// OfToday tells whether a figures.yaml names today's formula set, without
// reading any further.
func OfToday(data []byte) bool {
	head, _, _ := bytes.Cut(data, []byte("\nfigures:"))
	return bytes.Contains(head, fmt.Appendf(nil, "\nformulas: %d\n", FormulaSet))
}

// Line is the figure as it would be written down today.
func (r *Result) Line() StoredLine {
	line := StoredLine{ID: r.Figure.ID, At: r.At, Value: r.Text(), Unit: r.Figure.Unit, Verdict: string(r.Verdict)}
	if r.Uncertainty != nil {
		line.Uncertainty = quantity.FormatSig(difference(r.Uncertainty.Expanded, r.Figure.unit()), 2)
	}
	return line
}

// text is the line as it stands in the file.
func (l StoredLine) text() string {
	return fmt.Sprintf("  - {id: %s, at: %s, value: %s, unit: %s, uncertainty: %s, verdict: %s}\n",
		l.ID, l.At, l.Value, source.Quote(l.Unit), orNull(l.Uncertainty), orNull(l.Verdict))
}

// kept is the line as it is to be written where before stood there: a value
// within one last digit keeps its text (R4).
func (l StoredLine) kept(before StoredLine) StoredLine {
	if before.Unit == l.Unit && before.Verdict == l.Verdict && sameToLastDigit(before.Value, l.Value) {
		l.Value = before.Value
		if sameToLastDigit(before.Uncertainty, l.Uncertainty) {
			l.Uncertainty = before.Uncertainty
		}
	}
	return l
}

// difference gives a difference in SI in a unit: of a temperature without its
// zero.
func difference(si float64, u quantity.Unit) float64 {
	return si / (quantity.ToSI(1, u) - quantity.ToSI(0, u))
}

func orNull(s string) string {
	if s == "" {
		return "null"
	}
	return s
}

// sameToLastDigit tells whether two printed numbers have the same number of
// decimals and differ by at most one in the last.
func sameToLastDigit(a, b string) bool {
	decimals := func(s string) int {
		_, tail, _ := strings.Cut(s, ".")
		return len(tail)
	}
	x, err1 := strconv.ParseFloat(a, 64)
	y, err2 := strconv.ParseFloat(b, 64)
	if err1 != nil || err2 != nil || decimals(a) != decimals(b) {
		return false
	}
	return math.Abs(x-y) <= 1.000001*math.Pow(10, -float64(decimals(a)))
}

func (s *Stored) byPlace() map[string]StoredLine {
	lines := map[string]StoredLine{}
	if s != nil {
		for _, l := range s.Lines {
			lines[l.ID+" "+l.At] = l
		}
	}
	return lines
}

// Decode reads a figures.yaml. A malformed one is never an error, only of no
// use: ok is false and the figures are computed anew (R4).
func Decode(text []byte) (stored *Stored, ok bool) {
	if s, ok := decodeAsWritten(string(text)); ok {
		return s, true
	}
	return decodeYAML(text)
}

func decodeYAML(text []byte) (stored *Stored, ok bool) {
	doc, err := source.Parse("figures.yaml", text)
	if err != nil {
		return nil, false
	}
	root := doc.Root()
	word := func(n *source.Node, key string) string {
		if v := n.Get(key); v != nil && !v.IsNull() {
			return v.Text()
		}
		return ""
	}
	s := &Stored{Engine: word(root, "engine"), Inputs: word(root, "inputs")}
	s.Formulas, err = strconv.Atoi(word(root, "formulas"))
	if err != nil {
		return nil, false
	}
	if s.Build, err = strconv.Atoi(word(root, "build")); err != nil {
		return nil, false
	}
	if list := root.Get("figures"); list != nil {
		for _, n := range list.Items() {
			s.Lines = append(s.Lines, StoredLine{word(n, "id"), word(n, "at"), word(n, "value"), word(n, "unit"), word(n, "uncertainty"), word(n, "verdict")})
		}
	}
	return s, true
}

// Fresh tells whether a stored file is what today's formulas give for these
// records: the same formula set, engine, build and inputs, and a line for every figure.
func (s *Stored) Fresh(set *Set) bool {
	return s != nil && s.Formulas == FormulaSet && s.Engine == set.Engine.Number && s.Build == set.Engine.Build && s.Inputs == set.Digest() && s.whole(set)
}

// whole tells whether one line stands for every figure and none for anything
// else: the head of a file that was cut short, or merged line by line, may
// well be right.
func (s *Stored) whole(set *Set) bool {
	lines := s.byPlace()
	for _, r := range set.Results {
		if _, ok := lines[r.Figure.ID+" "+r.At]; !ok {
			return false
		}
	}
	return len(s.Lines) == len(set.Results)
}

// Altered lists the lines that say something else than the records give: the
// file is for these inputs and formulas, and somebody wrote in it. A value
// within one last digit is another processor's rounding and no difference (R4,
// R5). Of a file that is not fresh it says nothing: nil.
func (s *Stored) Altered(set *Set) []StoredLine {
	if !s.Fresh(set) {
		return nil
	}
	lines := s.byPlace()
	var altered []StoredLine
	for _, r := range set.Results {
		if l := lines[r.Figure.ID+" "+r.At]; r.Line().kept(l) != l {
			altered = append(altered, l)
		}
	}
	return altered
}

// Told is a figure that was told otherwise at delivery than today's formulas
// give from the same records.
type Told struct {
	Then     StoredLine // all empty but ID and At: it was not told then
	Now      *Result    // nil: it is not computed today
	Formulas int        // the formula set of then
}

// Told compares what a delivered build's file says with what today's formulas
// give: a value within one last digit is the same, and so is an uncertainty
// that was not computed then (R4). What was told then counts as told, whatever
// its digest.
func (s *Stored) Told(set *Set) []Told {
	if s == nil {
		return nil
	}
	lines := s.byPlace()
	var told []Told
	for _, r := range set.Results {
		key := r.Figure.ID + " " + r.At
		then, ok := lines[key]
		delete(lines, key)
		now := r.Line()
		if ok && then.Unit == now.Unit && then.Verdict == now.Verdict && sameToLastDigit(then.Value, now.Value) {
			continue
		}
		if !ok {
			then = StoredLine{ID: r.Figure.ID, At: r.At}
		}
		told = append(told, Told{then, r, s.Formulas})
	}
	for _, l := range s.Lines {
		if _, left := lines[l.ID+" "+l.At]; left {
			told = append(told, Told{l, nil, s.Formulas})
		}
	}
	return told
}

var formatLine = sync.OnceValue(func() *regexp.Regexp {
	return regexp.MustCompile(`(?m)^format: *figures/(\d+)`)
})

var formulasLine = sync.OnceValue(func() *regexp.Regexp {
	return regexp.MustCompile(`(?m)^formulas: *(\d+)`)
})

// NewestSet is the highest formula set a figures.yaml names, even one that
// cannot be read: a merge by lines can leave two. It is 0 where none is named.
func NewestSet(text []byte) int {
	newest := 0
	if m := formatLine().FindSubmatch(text); m != nil && string(m[1]) != "1" {
		newest = FormulaSet + 1 // a newer format is a newer set at the least
	}
	for _, m := range formulasLine().FindAllSubmatch(text, -1) {
		if n, err := strconv.Atoi(string(m[1])); err == nil {
			newest = max(newest, n)
		}
	}
	return newest
}
