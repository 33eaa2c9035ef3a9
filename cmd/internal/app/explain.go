package app

import (
	"fmt"

	"github.com/urfave/cli/v2"

	"stackbook/cmd/internal/act"
	"stackbook/cmd/internal/term"
	"stackbook/record/figure"
)

func (a *app) explain() *cli.Command {
	return a.command(cli.Command{
		Name:      "explain",
		Usage:     "one figure, down to the file and line of all it rests on",
		ArgsUsage: "[STATE] FIGURE [POSITION]",
		Description: "Prints the figure's formula, source and limit, and every value it was\n" +
			"computed from. Without a position, the first one in full and the others'\n" +
			"values. With --past, what it was in every commit that altered the engine,\n" +
			"by today's formulas: a line for each that made it another.\n\n" +
			"Example: stackbook explain SK-07 compression.ratio rotor/1\n" +
			"         stackbook explain SK-07 compression.ratio --past",
		Flags: []cli.Flag{&cli.BoolFlag{Name: "past", Usage: "through all commits of the engine"}},
		Action: func(c *cli.Context) error {
			if err := tooMany(c, 3); err != nil {
				return err
			}
			state, id, at := explainArgs(c.Args().Slice())
			if id == "" {
				return &act.UsageError{Message: "no figure is named", Mend: "stackbook figures lists their names, such as compression.ratio"}
			}
			f := figure.ByID(id)
			if f == nil {
				return unknownFigure(id)
			}
			if c.Bool("past") {
				return a.explainPast(state, f, at)
			}
			l, err := a.state(state)
			if err != nil {
				return err
			}
			return a.explainFigure(l, f, at)
		},
	})
}

// explainArgs sorts out what was named: a figure's name is one the program
// knows, a state is not.
func explainArgs(args []string) (state, id, at string) {
	if len(args) > 0 && (len(args) == 1 || figure.ByID(args[0]) != nil) {
		args = append([]string{""}, args...)
	}
	for len(args) < 3 {
		args = append(args, "")
	}
	return args[0], args[1], args[2]
}

func (a *app) explainFigure(l *act.Loaded, f *figure.Figure, at string) error {
	var found []*figure.Result
	for _, r := range l.Figures.Results {
		if r.Figure == f && (at == "" || r.At == at) {
			found = append(found, r)
		}
	}
	var missing []*figure.Missing
	for _, m := range l.Figures.Missing {
		if m.Figure == f && (at == "" || m.At == at) {
			missing = append(missing, m)
		}
	}
	switch {
	case len(found)+len(missing) == 0 && at != "":
		return &act.UsageError{Message: fmt.Sprintf("%s does not exist at %q in %s", f.ID, at, l.Engine.Number), Mend: "stackbook explain " + l.Name + " " + f.ID + " shows where it does"}
	case a.json:
		return a.printJSON(explainJSON(l, found, missing))
	}
	a.showExplained(l, f, found, missing)
	return nil
}

func unknownFigure(id string) error {
	var known []string
	for _, f := range figure.All() {
		known = append(known, f.ID)
	}
	return unknown("figure", id, known, "stackbook figures lists their names")
}

type explainDocument struct {
	Format  string         `json:"format"`
	State   string         `json:"state"`
	Engine  string         `json:"engine"`
	Build   int            `json:"build"`
	Figures []figureEntry  `json:"figures"`
	Missing []missingEntry `json:"missing"`
}

func explainJSON(l *act.Loaded, found []*figure.Result, missing []*figure.Missing) explainDocument {
	d := explainDocument{Format: "explain/1", State: l.Name, Engine: l.Engine.Number, Build: l.Engine.Build, Figures: []figureEntry{}, Missing: []missingEntry{}}
	for _, r := range found {
		d.Figures = append(d.Figures, entryOf(r))
	}
	for _, m := range missing {
		d.Missing = append(d.Missing, missingOf(m))
	}
	return d
}

func (a *app) showExplained(l *act.Loaded, f *figure.Figure, found []*figure.Result, missing []*figure.Missing) {
	words, source := f.Describe()
	a.term.Heading(fmt.Sprintf("%s, %s", f.ID, f.Title))
	a.term.Prose(4, "  formula: %s", words)
	a.term.Prose(4, "  source: %s", source)
	if f.Note != "" {
		a.term.Prose(4, "  note: %s", f.Note)
	}
	if len(found) > 0 {
		a.showResult(l, found[0])
		a.showOthers(l, found[1:])
	}
	if len(found) == 0 && len(missing) == 0 {
		a.term.Line("%s has no reading of it", l.Name)
	}
	for _, m := range missing {
		why := m.Why
		if why == "" {
			why = "missing: " + someNeeds(m.Needs)
		}
		a.term.Prose(2, "not computed at %s; %s", m.At, why)
		a.showAsked(l, m)
	}
}

func (a *app) showResult(l *act.Loaded, r *figure.Result) {
	text, unit := l.Display.Figure(r)
	line := fmt.Sprintf("%s at %s: %s", l.Name, r.At, a.term.Strong(text))
	if unit != "" {
		line += " " + unit
	}
	if o := originText(l.Display, r); o != "" {
		line += ", " + o
	}
	a.term.Line("")
	a.term.Line("%s", line)
	a.showLimit(l, r, r.Limit, string(r.Verdict))
	a.showLimit(l, r, r.Other, "")
	a.showUncertainty(l, r)
	if told := toldOf(l, r); told != nil && told.Text != nil {
		a.term.Line("  told at delivery, with formula set %d: %s", told.Formulas, *told.Text)
	}
	a.term.Table(inputTable(l, r, a.roomy()))
	for _, in := range r.Inputs {
		if in.Note != "" {
			a.term.Prose(4, "  %s %s", in.Name, in.Note)
		}
	}
}

// inputTable lists what a figure was computed from. Where there is no room for
// the file in every line, it stands above its lines.
func inputTable(l *act.Loaded, r *figure.Result, roomy bool) term.Table {
	t := term.Table{Columns: []term.Column{{Title: "  from"}, {Title: "value"}, {}, {Title: "file and line", Flex: true}}}
	file := ""
	for _, in := range r.Inputs {
		origin := string(in.Origin)
		if in.From > 0 && in.From < l.Engine.Build {
			origin = fmt.Sprintf("carried from %d", in.From)
		}
		where := in.Ref.String()
		if !roomy {
			where = fmt.Sprintf("line %d", in.Ref.Line)
			if in.Ref.File != file {
				file = in.Ref.File
				t.Rows = append(t.Rows, term.Row{Group: true, Close: true, Cells: []string{file}})
			}
		}
		t.Rows = append(t.Rows, term.Row{Cells: []string{"  " + in.Name, in.Text, origin, where}})
	}
	return t
}

// showUncertainty tells how far the value may be off, and what makes it so.
func (a *app) showUncertainty(l *act.Loaded, r *figure.Result) {
	u := r.Uncertainty
	if u == nil {
		a.term.Prose(4, "  uncertainty: not known; every reading needs an instrument with its expanded_uncertainty")
		return
	}
	_, unit := l.Display.Figure(r)
	if unit != "" {
		unit = " " + unit
	}
	line := fmt.Sprintf("  uncertainty: ± %s%s (k = %.3g)", l.Display.Off(r, u.Expanded), unit, u.K)
	if p, ok := r.Probability(); ok && r.Verdict != figure.NoVerdict {
		line += fmt.Sprintf("; guard band %s%s; within its limit with a probability %s", l.Display.Off(r, r.Guard), unit, percent(p))
	}
	a.term.Prose(4, "%s", line)
	for _, p := range u.Parts {
		if p.Share < 0.005 {
			a.term.Line("    the rest less than 1 %% each")
			return
		}
		a.term.Line("    %2.0f %%  %s", 100*p.Share, p.Cause)
	}
}

// percent says a probability, from 0 to 1, no closer than the model behind it
// bears: nothing is known of a distribution's far tails.
func percent(p float64) string {
	switch {
	case p < 0.001:
		return "below 0.1 %"
	case p > 0.999:
		return "above 99.9 %"
	}
	return fmt.Sprintf("of %.3g %%", 100*p)
}

func (a *app) showLimit(l *act.Loaded, r *figure.Result, limit *figure.Limit, verdict string) {
	if limit != nil {
		low, high := l.Display.Band(r, limit)
		_, unit := l.Display.Figure(r)
		a.limitLine(limit, bandText(limit, low, high, unit), verdict)
	}
}

// showAsked tells the limits a missing figure would be held against.
func (a *app) showAsked(l *act.Loaded, m *figure.Missing) {
	for _, limit := range []*figure.Limit{m.Limit, m.Other} {
		if limit != nil {
			low, high, unit := l.Display.BandOf(m.Figure, limit)
			verdict := ""
			if limit == m.Limit {
				verdict = string(m.Judged)
			}
			a.limitLine(limit, bandText(limit, low, high, unit), verdict)
		}
	}
}

func (a *app) limitLine(limit *figure.Limit, band, verdict string) {
	line := "  limit: " + band
	if limit.For != "" {
		line += ", for " + limit.For
	}
	line += " (" + limit.Source + ")"
	if verdict != "" {
		line += ": " + verdict
	}
	a.term.Prose(4, "%s", line)
}

func (a *app) showOthers(l *act.Loaded, others []*figure.Result) {
	if len(others) == 0 {
		return
	}
	t := term.Table{Columns: []term.Column{{Title: "  elsewhere"}, {Title: "value", Right: true, Decimal: true}, {Title: "unit"}, {Title: "verdict"}, {Title: "from"}}}
	for _, r := range others {
		text, unit := l.Display.Figure(r)
		t.Rows = append(t.Rows, term.Row{Cells: []string{"  " + r.At, text, unit, string(r.Verdict), originText(l.Display, r)}})
	}
	a.term.Line("")
	a.term.Table(t)
}
