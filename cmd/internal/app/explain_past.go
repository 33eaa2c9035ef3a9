package app

import (
	"fmt"

	"stackbook/cmd/internal/act"
	"stackbook/cmd/internal/term"
	"stackbook/record/figure"
	"stackbook/schema/quantity"
)

// The shape of one figure through an engine's commits: explain-past/1. Values are
// in the unit named, the dictionary's.
type pastDocument struct {
	Format  string      `json:"format"`
	Engine  string      `json:"engine"`
	Figure  string      `json:"figure"`
	Unit    string      `json:"unit"`
	Commits int         `json:"commits"` // that were looked at
	Turns   []pastEntry `json:"turns"`   // oldest first
}

type pastEntry struct {
	Commit string   `json:"commit"`
	Day    string   `json:"day"`
	Build  int      `json:"build"` // 0 where the records cannot be read
	At     string   `json:"at"`
	Value  *float64 `json:"value"` // null: there is none from here on
	Text   string   `json:"text"`
}

// explainPast tells a figure through the commits of an engine.
func (a *app) explainPast(state string, f *figure.Figure, at string) error {
	s, err := a.shop()
	if err != nil {
		return err
	}
	if state, err = a.engineOr(s, state); err != nil {
		return err
	}
	n, err := act.ParseName(state)
	if err != nil {
		return err
	}
	if n.Build > 0 || n.Rev != "" {
		return &act.UsageError{Message: fmt.Sprintf("--past tells of all commits, and %s is one state", state), Mend: "name the engine alone: " + n.Engine}
	}
	steps, done := a.steps()
	p, err := s.FigurePast(n.Engine, f, at, steps)
	done()
	if err != nil {
		return err
	}
	for _, r := range p.Remarks {
		a.remark("%s", r)
	}
	if a.json {
		return a.printJSON(pastJSON(p, f))
	}
	a.showPast(p, f)
	return nil
}

func pastJSON(p *act.FigurePast, f *figure.Figure) pastDocument {
	d := pastDocument{Format: "explain-past/1", Engine: p.Number, Figure: f.ID, Unit: f.Unit, Commits: p.Commits, Turns: []pastEntry{}}
	for _, t := range p.Turns {
		e := pastEntry{Commit: t.Hash, Day: t.Day, Build: t.Build, At: t.At}
		if r := t.Result; r != nil {
			e.Value, e.Text = tidied(r.In()), quantity.Format(r.In(), r.Decimals)
		}
		d.Turns = append(d.Turns, e)
	}
	return d
}

func (a *app) showPast(p *act.FigurePast, f *figure.Figure) {
	a.term.Heading(fmt.Sprintf("%s of %s, %s", f.ID, p.Number, f.Title))
	a.term.Line("%s, by today's formulas", count(p.Commits, "commit"))
	if len(p.Turns) == 0 {
		a.term.Line("no commit gives it a value")
		return
	}
	a.term.Line("")
	t := term.Table{Columns: []term.Column{{Title: "commit"}, {Title: "day"}, {Title: "build", Right: true}, {Title: "at", Flex: true}, {Title: "value", Right: true}, {Title: ""}}}
	for _, turn := range p.Turns {
		text, unit, build := "none", "", ""
		if turn.Result != nil {
			text, unit = p.Display.Figure(turn.Result)
		}
		if turn.Build > 0 {
			build = fmt.Sprint(turn.Build)
		}
		t.Rows = append(t.Rows, term.Row{Cells: []string{fmt.Sprintf("%.10s", turn.Hash), turn.Day, build, turn.At, text, unit}})
	}
	a.term.Table(t)
}
