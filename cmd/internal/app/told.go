package app

import (
	"fmt"

	"stackbook/cmd/internal/act"
	"stackbook/cmd/internal/term"
	"stackbook/record/figure"
)

// showTold shows what was told at delivery where today's formulas give
// something else, and which formula set gave which. Beside other states the
// name of this one stands in front.
func (a *app) showTold(l *act.Loaded, name string) {
	if len(l.Told) == 0 {
		return
	}
	a.term.Line("")
	a.term.Heading(name + fmt.Sprintf("told at delivery with formula set %d, and today's with %d", l.Told[0].Formulas, figure.FormulaSet))
	t := term.Table{Columns: []term.Column{{Title: "figure"}, {Title: "at"}, {Title: "told then", Right: true, Decimal: true}, {Title: "today", Right: true, Decimal: true},
		{Title: "unit"}, {Title: "verdict then"}, {Title: "today"}}}
	for _, told := range l.Told {
		t.Rows = append(t.Rows, term.Row{Cells: toldCells(told)})
	}
	a.term.Table(t)
}

// toldCells are the figure, its position, what was told of it then and what is
// today, its unit, and both verdicts.
func toldCells(told figure.Told) []string {
	row := []string{told.Then.ID, told.Then.At, orDash(told.Then.Value), "none", told.Then.Unit, told.Then.Verdict, ""}
	if told.Now != nil {
		now := told.Now.Line()
		row[3], row[4], row[6] = now.Value, now.Unit, now.Verdict
	}
	return row
}

// toldOf is what was told of one figure, nil where it is what today's formulas
// give.
func toldOf(l *act.Loaded, r *figure.Result) *toldEntry {
	for _, told := range l.Told {
		if told.Now == r {
			return &toldEntry{orNull(told.Then.Value), orNull(told.Then.Verdict), told.Formulas}
		}
	}
	return nil
}

// toldEntry is what was told at delivery where it differs from today's.
type toldEntry struct {
	Text     *string `json:"text"` // as it was written down; null: it was not told then
	Verdict  *string `json:"verdict"`
	Formulas int     `json:"formulas"`
}
