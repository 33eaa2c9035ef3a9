package app

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"stackbook/cmd/internal/act"
	"stackbook/cmd/internal/term"
	"stackbook/diff"
	"stackbook/record/figure"
	"stackbook/schema"
	"stackbook/schema/quantity"
)

func (a *app) showDiff(r *diff.Result, d act.Display) {
	a.term.Heading(r.States[0] + " to " + r.States[1])
	if len(r.TwoIDs) == 2 {
		a.term.Line("%s", twoIDsText(r.TwoIDs))
	}
	if r.Empty() {
		a.term.Line("%s", nothingText(&r.Apart))
	}
	a.showChanges(r.Changes, r.States)
	a.showReadings(r.Readings, d)
	a.showFigureChanges(r.Figures, d)
	a.showNotCompared(&r.Apart, r.States)
}

// showChanges has a table of each kind that differs, by the word that --only takes
// for it.
func (a *app) showChanges(list []diff.Change, states []string) {
	var only []diff.Change
	for _, kind := range []string{diff.Parts, diff.Spec, diff.Records} {
		var fields []diff.Change
		for _, c := range list {
			switch {
			case c.Kind() != kind:
			case wholeRecord(c):
				only = append(only, c)
			default:
				fields = append(fields, c)
			}
		}
		t := term.Table{Columns: []term.Column{{Title: kind, Flex: true}, {Title: "was", Flex: true}, {Title: "is", Flex: true}}}
		for _, r := range changeRows(fields) {
			t.Rows = append(t.Rows, term.Row{Cells: []string{r.Where, r.Was, r.Is}})
		}
		if len(t.Rows) > 0 {
			a.term.Line("")
			a.term.Table(t)
		}
	}
	a.showOnly(only, diff.Removed, states[0])
	a.showOnly(only, diff.Added, states[1])
}

// wholeRecord tells whether a change is a session or change that one of the
// states holds and the other does not.
func wholeRecord(c diff.Change) bool {
	return (strings.HasPrefix(c.Path, "changes/") || strings.HasPrefix(c.Path, "measurements/")) && !strings.Contains(c.Path, " ")
}

// showOnly lists the records that only one state holds.
func (a *app) showOnly(list []diff.Change, what diff.What, state string) {
	t := term.Table{Columns: []term.Column{{Title: "records only in " + state}, {Title: "", Flex: true}}}
	for _, c := range list {
		if c.What == what {
			t.Rows = append(t.Rows, term.Row{Cells: []string{c.Path, c.From + c.To}})
		}
	}
	if len(t.Rows) > 0 {
		a.term.Line("")
		a.term.Table(t)
	}
}

func (a *app) showReadings(list []diff.Reading, d act.Display) {
	if len(list) == 0 {
		return
	}
	t := term.Table{Columns: []term.Column{{Title: "  readings that count"}, {Title: "was", Right: true, Decimal: true, Flex: true}, {Title: "is", Right: true, Decimal: true, Flex: true},
		{Title: "difference", Right: true, Decimal: true}, {Title: "unit"}, {Title: ""}}}
	last := ""
	for _, r := range list {
		if title := schema.FindPoint(r.Point).Title; title != last {
			last = title
			t.Rows = append(t.Rows, term.Row{Group: true, Close: true, Cells: []string{title}})
		}
		from, to, difference, unit := readingTexts(r, d)
		t.Rows = append(t.Rows, term.Row{Cells: []string{"  " + r.At, from, to, difference, unit, certain(r)}})
	}
	a.term.Line("")
	a.term.Table(t)
}

// certain tells whether a difference of readings is more than they may be off.
func certain(r diff.Reading) string {
	switch {
	case r.Beyond == nil:
		return ""
	case *r.Beyond:
		return "beyond uncertainty"
	}
	return "within uncertainty"
}

// readingTexts prints a reading in the person's unit.
func readingTexts(r diff.Reading, d act.Display) (from, to, difference, unit string) {
	point := schema.FindPoint(r.Point)
	if point.Text {
		return words(r.From), words(r.To), "", ""
	}
	shown := d.Unit(r.Unit, point.Dim)
	kept, err := quantity.MustLookup(r.Unit).As(point.Dim)
	if err != nil {
		kept = quantity.MustLookup(r.Unit)
	}
	digits := [2]int{act.Decimals(r.Digits[0], r.Steps[0], r.Unit, shown), act.Decimals(r.Digits[1], r.Steps[1], r.Unit, shown)}
	text := func(v any, digits int) string {
		x, ok := v.(float64)
		if !ok {
			return ""
		}
		return quantity.Format(quantity.FromSI(quantity.ToSI(x, kept), shown), digits)
	}
	if x, ok := r.From.(float64); ok && r.Difference != nil {
		y := x + *r.Difference
		step := quantity.FromSI(quantity.ToSI(y, kept), shown) - quantity.FromSI(quantity.ToSI(x, kept), shown)
		difference = signed(step, max(digits[0], digits[1]))
	}
	return text(r.From, digits[0]), text(r.To, digits[1]), difference, act.Symbol(r.Unit, shown)
}

func words(v any) string {
	s, _ := v.(string)
	return s
}

// signed prints a difference with its sign.
func signed(x float64, decimals int) string {
	text := quantity.Format(x, decimals)
	if x > 0 && strings.Trim(text, "0.") != "" {
		return "+" + text
	}
	return text
}

func (a *app) showFigureChanges(list []diff.FigureChange, d act.Display) {
	if len(list) == 0 {
		return
	}
	t := term.Table{Columns: []term.Column{{Title: "  figures"}, {Title: "was", Right: true, Decimal: true}, {Title: "is", Right: true, Decimal: true},
		{Title: "difference", Right: true, Decimal: true}, {Title: "unit"}, {Title: "verdict", Flex: true}, {Title: "moved by", Flex: true}}}
	last := ""
	for _, c := range list {
		if toldAsReading(c) {
			continue
		}
		if title := titleOf(c.Figure); title != last {
			last = title
			t.Rows = append(t.Rows, term.Row{Group: true, Close: true, Cells: []string{title}})
		}
		t.Rows = append(t.Rows, term.Row{Cells: append(append([]string{"  " + c.At}, figureTexts(c, d)...), movedBy(c, d))})
	}
	if len(t.Rows) > 0 {
		a.term.Line("")
		a.term.Table(t)
		a.showBeside(advice(list, func(c diff.FigureChange) *figure.Figure { return c.Figure }))
	}
}

// mostMovers is how many inputs are named beside a figure; the JSON has all.
const mostMovers = 2

// movedBy names the inputs that moved a figure most and by how much. The
// printed shares add up to the printed difference.
func movedBy(c diff.FigureChange, d act.Display) string {
	switch {
	case c.Moved == nil || c.Figure.IsReading():
		return ""
	case !c.Moved.Separable:
		return "not separable"
	}
	var parts []string
	for i, text := range shareTexts(c, d) {
		if i == mostMovers {
			parts = append(parts, fmt.Sprintf("%d more", len(c.Moved.Shares)-i))
			break
		}
		parts = append(parts, c.Moved.Shares[i].Input+" "+text)
	}
	return strings.Join(parts, ", ")
}

// shareTexts prints the shares with the decimals of the difference. What
// rounding leaves goes to the greatest.
func shareTexts(c diff.FigureChange, d act.Display) []string {
	from, _ := d.Figure(c.From)
	to, _ := d.Figure(c.To)
	decimals := max(decimalsIn(from), decimalsIn(to))
	left, _ := strconv.ParseFloat(printedDifference(from, to), 64)
	rounded := make([]float64, len(c.Moved.Shares))
	for i, s := range c.Moved.Shares {
		rounded[i], _ = strconv.ParseFloat(quantity.Format(d.Difference(c.To, s.Share), decimals), 64)
		left -= rounded[i]
	}
	texts := make([]string, len(rounded))
	for i, x := range rounded {
		if i == 0 {
			x += left
		}
		texts[i] = signed(x, decimals)
	}
	return texts
}

// advice is what is to stand beside figures that changed, each once.
func advice[T any](list []T, of func(T) *figure.Figure) []string {
	var texts []string
	for _, c := range list {
		if f := of(c); f.Beside != "" && !slices.Contains(texts, f.Title+": "+f.Beside) {
			texts = append(texts, f.Title+": "+f.Beside)
		}
	}
	return texts
}

func (a *app) showBeside(texts []string) {
	for _, text := range texts {
		a.term.Prose(4, "  %s", text)
	}
}

// toldAsReading tells whether a figure is a reading itself, which stands among
// the readings already, and has nothing to add: its verdict is as it was.
func toldAsReading(c diff.FigureChange) bool {
	return c.Figure.IsReading() && c.From != nil && c.To != nil && c.From.Verdict == c.To.Verdict
}

// figureTexts prints was, is, difference, unit and verdict of a figure; a side
// that cannot be computed is none.
func figureTexts(c diff.FigureChange, d act.Display) []string {
	from, to, unit := "none", "none", ""
	if c.From != nil {
		from, unit = d.Figure(c.From)
	}
	if c.To != nil {
		to, unit = d.Figure(c.To)
	}
	difference := ""
	if c.From != nil && c.To != nil {
		difference = printedDifference(from, to)
	}
	return []string{from, to, difference, unit, verdictMove(c)}
}

// printedDifference is the difference of two printed numbers, so that it
// agrees with what stands beside it.
func printedDifference(from, to string) string {
	var x, y float64
	if _, err := fmt.Sscanf(from+" "+to, "%g %g", &x, &y); err != nil {
		return ""
	}
	return signed(y-x, max(decimalsIn(from), decimalsIn(to)))
}

func decimalsIn(text string) int {
	_, tail, _ := strings.Cut(text, ".")
	return len(tail)
}

func verdictMove(c diff.FigureChange) string {
	if c.NoChange {
		return claim(c)
	}
	verdict := func(r *figure.Result) string {
		if r == nil {
			return ""
		}
		return string(r.Verdict)
	}
	from, to := verdict(c.From), verdict(c.To)
	text := from + ", now " + to
	switch {
	case from == to || from == "":
		text = to
	case to == "":
		text = before[from]
	}
	if c.Within {
		text = strings.TrimPrefix(text+", "+claim(c), ", ")
	}
	return text
}

// before are the verdicts of a figure that is none any more.
var before = map[string]string{"": "", string(figure.Conforms): "conformed before", string(figure.Fails): "failed before",
	string(figure.Undecided): "undecided before", string(figure.Unmeasured): "unmeasured before"}

// claim says why a difference of a figure is not to be claimed; "" where
// nothing speaks against it.
func claim(c diff.FigureChange) string {
	switch {
	case c.NoChange:
		return fmt.Sprintf("less than %g %%: no change claimed", 100*c.Figure.NoChange)
	case c.Within:
		return "within uncertainty"
	}
	return ""
}
