package app

import (
	"fmt"
	"math"
	"strings"

	"github.com/urfave/cli/v2"

	"stackbook/cmd/internal/act"
	"stackbook/cmd/internal/term"
	"stackbook/record"
	"stackbook/record/figure"
)

func (a *app) figures() *cli.Command {
	return a.command(cli.Command{
		Name:      "figures",
		Usage:     "an engine's figures, with verdicts and what is missing",
		ArgsUsage: "[STATE]",
		Description: "Computes everything that follows from the records of a state and holds it\n" +
			"against the limit set. Values are measured unless marked: 'carried from 1'\n" +
			"was read in an earlier build on the part still fitted, 'nominal' is the\n" +
			"spec's size. Beside a value stands its expanded uncertainty (k = 2), from\n" +
			"repeats, resolution and certificates, where all of them are known. Nothing\n" +
			"is written.\n\n" +
			"Example: stackbook figures SK-07/2",
		Flags: []cli.Flag{
			&cli.BoolFlag{Name: "strict", Usage: "exit 1 when a verdict fails"},
			&cli.StringFlag{Name: "limits", Usage: "judge by the limits of `WHEN`: own or today", Value: "own"},
		},
		Action: func(c *cli.Context) error {
			if err := tooMany(c, 1); err != nil {
				return err
			}
			l, err := a.stateBy(c.Args().First(), c.String("limits"))
			if err != nil {
				return err
			}
			if a.json {
				err = a.printJSON(figuresJSON(l))
			} else {
				a.showFigures(l)
			}
			if err == nil && c.Bool("strict") && l.Figures.Count()[figure.Fails] > 0 {
				return errStrict
			}
			return err
		},
	})
}

// state loads the named state, or the engine of this folder, and tells its
// remarks and problems. One that cannot be read at all is an error.
func (a *app) state(name string) (*act.Loaded, error) { return a.stateBy(name, "own") }

// stateBy is state judged by its own limits or by today's (R3).
func (a *app) stateBy(name, limits string) (*act.Loaded, error) {
	if limits != "own" && limits != "today" {
		return nil, &act.UsageError{Message: fmt.Sprintf("--limits %s is not known", limits), Mend: "write --limits own or --limits today"}
	}
	s, err := a.shop()
	if err != nil {
		return nil, err
	}
	if name, err = a.engineOr(s, name); err != nil {
		return nil, err
	}
	l, err := s.State(name)
	if err == nil && limits == "today" {
		l, err = s.Today(l)
	}
	if err != nil {
		return nil, err
	}
	return l, a.tell(l)
}

func (a *app) tell(l *act.Loaded) error {
	for _, r := range l.Remarks {
		a.remark("%s", r)
	}
	if l.Engine == nil {
		return l.Problems
	}
	if len(l.Problems) > 0 {
		a.flawed = true
		a.problems(l.Problems)
		a.remark("%s has %s: what follows is of what could be read", l.Name, count(len(l.Problems), "problem"))
	}
	return nil
}

func (a *app) showFigures(l *act.Loaded) {
	e := l.Engine
	a.term.Heading(fmt.Sprintf("%s: %s, build %d", l.Name, e.Title, e.Build))
	a.term.Line("%s", judgedBy(l))
	a.term.Line("%s", verdictCount(l.Figures.Count()))
	if stale := l.Stale(); stale != "" && l.Stored != nil {
		a.term.Prose(2, "%s: these are computed anew", stale)
	}
	if len(l.Figures.Results) > 0 {
		a.term.Line("")
		a.term.Table(figureTable(l, a.roomy()))
	}
	a.showTold(l, "")
	a.showApart(tooNarrow(l.Display, l.Figures.Results))
	a.showApart(overlaps(l.Display, l.Figures.Overlaps()))
	a.showMissing(l)
}

// showApart says what is to be said once, a paragraph each.
func (a *app) showApart(texts []string) {
	for _, text := range texts {
		a.term.Line("")
		a.term.Prose(2, "%s", text)
	}
}

func judgedBy(l *act.Loaded) string {
	if l.Figures.Limits == nil {
		return fmt.Sprintf("judged by no limit set; formula set %d", figure.FormulaSet)
	}
	return fmt.Sprintf("judged by limit set %s; formula set %d", l.Figures.Limits.Name, figure.FormulaSet)
}

// wide is the width from which a table of figures has room for both bands of a
// limit, and one of inputs for their files. On a narrower terminal the band that
// judges is shown, and explain tells the other.
const wide = 120

// roomy tells whether there is room for wide tables.
func (a *app) roomy() bool { return a.term.Width == 0 || a.term.Width >= wide }

// figureTable sets each figure's title and name above its values.
func figureTable(l *act.Loaded, roomy bool) term.Table {
	t := term.Table{Columns: []term.Column{{Title: "  at"}, {Title: "value", Right: true, Decimal: true}, {Title: "±", Right: true, Decimal: true}, {Title: "unit"},
		{Title: "verdict"}, {Title: "limit", Flex: true}, {Title: "from", Flex: true}}}
	topic := ""
	for _, r := range figureRows(l) {
		if r.Topic != topic {
			topic = r.Topic
			t.Rows = append(t.Rows, term.Row{Group: true, Cells: []string{topic}})
		}
		if r.Title != "" {
			t.Rows = append(t.Rows, term.Row{Group: true, Close: true, Cells: []string{r.Title + "  [" + r.Name + "]"}})
		}
		limit := r.Judge
		if roomy {
			limit = r.Limit
		}
		t.Rows = append(t.Rows, term.Row{Style: verdictStyle(r.Verdict),
			Cells: []string{"  " + r.At, r.Value, r.Off, r.Unit, string(r.Verdict), limit, r.Origin}})
	}
	return t
}

func verdictStyle(v figure.Verdict) term.Style {
	if v == figure.Fails {
		return term.StyleBad
	}
	return term.StyleNone
}

// originText says what a figure's value rests on where that is not a plain
// reading of this build.
func originText(d act.Display, r *figure.Result) string {
	var words []string
	if low, high, ok := d.Extent(r); ok {
		words = append(words, low+" to "+high)
	}
	switch r.Origin {
	case record.Carried:
		words = append(words, fmt.Sprintf("carried from %d", r.From))
	case record.Nominal:
		words = append(words, "nominal")
	}
	return strings.Join(words, ", ")
}

// limitsText shows the band that judges and, behind it, the other one.
func limitsText(d act.Display, r *figure.Result) string {
	if r.Limit == nil {
		return ""
	}
	text := limitText(d, r, r.Limit)
	if r.Other != nil {
		text += "; " + limitText(d, r, r.Other)
	}
	return text
}

// limitText prints a band: "0.06 to 0.10 new", "at most 0.15 re-use".
func limitText(d act.Display, r *figure.Result, l *figure.Limit) string {
	low, high := d.Band(r, l)
	return bandText(l, low, high, "")
}

// bandText tells a limit whose ends are printed already, with its unit where
// that does not stand beside it.
func bandText(l *figure.Limit, low, high, unit string) string {
	text := low + " to " + high
	switch {
	case math.IsNaN(l.Low):
		text = "at most " + high
	case math.IsNaN(l.High):
		text = "at least " + low
	}
	if unit != "" {
		text += " " + unit
	}
	kind := l.Kind
	if kind == "reuse" {
		kind = "re-use"
	}
	text += " " + kind
	if l.Shown {
		text += ", for reference"
	}
	return text
}

// showMissing says what could not be computed and which reading it lacks.
func (a *app) showMissing(l *act.Loaded) {
	if len(l.Figures.Missing) == 0 {
		return
	}
	a.term.Line("")
	a.term.Heading("not computed, and what is missing")
	for i := 0; i < len(l.Figures.Missing); {
		m := l.Figures.Missing[i]
		j := i
		var needs []string
		for ; j < len(l.Figures.Missing) && l.Figures.Missing[j].Figure == m.Figure; j++ {
			needs = append(needs, l.Figures.Missing[j].Needs...)
			if why := l.Figures.Missing[j].Why; why != "" {
				needs = append(needs, why)
			}
		}
		where := m.At
		if j-i > 1 {
			where = fmt.Sprintf("%d places", j-i)
		}
		a.term.Prose(4, "  %s (%s): %s", m.Figure.Title, where, someNeeds(needs))
		i = j
	}
}

// someNeeds names the first few of what is missing, each once.
func someNeeds(needs []string) string {
	var once []string
	seen := map[string]bool{}
	for _, n := range needs {
		if !seen[n] {
			seen[n] = true
			once = append(once, n)
		}
	}
	if len(once) <= 3 {
		return strings.Join(once, ", ")
	}
	return fmt.Sprintf("%s and %d more", strings.Join(once[:2], ", "), len(once)-2)
}
