package figure

import (
	"fmt"
	"math"
	"regexp"
	"sort"
	"strconv"
	"strings"

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
	ID, At, Value, Unit, Verdict string
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
		lines = append(lines, r.line(old[r.Figure.ID+" "+r.At]))
	}
	sort.Strings(lines)
	for _, l := range lines {
		b.WriteString(l)
	}
	return []byte(b.String())
}

func (r *Result) line(before StoredLine) string {
	value := r.Text()
	if before.Unit == r.Figure.Unit && before.Verdict == string(r.Verdict) && sameToLastDigit(before.Value, value) {
		value = before.Value
	}
	uncertainty := "null"
	if r.Uncertainty != nil {
		uncertainty = quantity.FormatSig(quantity.FromSI(r.Uncertainty.Expanded, r.Figure.unit()), 2)
	}
	return fmt.Sprintf("  - {id: %s, at: %s, value: %s, unit: %s, uncertainty: %s, verdict: %s}\n",
		r.Figure.ID, r.At, value, source.Quote(r.Figure.Unit), uncertainty, orNull(string(r.Verdict)))
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
			s.Lines = append(s.Lines, StoredLine{word(n, "id"), word(n, "at"), word(n, "value"), word(n, "unit"), word(n, "verdict")})
		}
	}
	return s, true
}

// Fresh tells whether a stored file is what today's formulas give for these
// records: the same formula set, build and inputs, and a line for every figure.
func (s *Stored) Fresh(set *Set) bool {
	return s != nil && s.Formulas == FormulaSet && s.Build == set.Engine.Build && s.Inputs == set.Digest() && s.whole(set)
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

var formatLine = regexp.MustCompile(`(?m)^format: *figures/(\d+)`)

var formulasLine = regexp.MustCompile(`(?m)^formulas: *(\d+)`)

// NewestSet is the highest formula set a figures.yaml names, even one that
// cannot be read: a merge by lines can leave two. It is 0 where none is named.
func NewestSet(text []byte) int {
	newest := 0
	if m := formatLine.FindSubmatch(text); m != nil && string(m[1]) != "1" {
		newest = FormulaSet + 1 // a newer format is a newer set at the least
	}
	for _, m := range formulasLine.FindAllSubmatch(text, -1) {
		if n, err := strconv.Atoi(string(m[1])); err == nil {
			newest = max(newest, n)
		}
	}
	return newest
}
