package app

import (
	"stackbook/diff"
	"stackbook/record/figure"
	"stackbook/schema/quantity"
)

// The shape of a difference: diff/1. A missing side is null.
type diffDocument struct {
	Format   string         `json:"format"`
	States   []string       `json:"states"`
	TwoIDs   []string       `json:"two_ids,omitempty"` // two engines of one number: the id of each
	Changes  []changeEntry  `json:"changes"`
	Readings []readingEntry `json:"readings"`
	Figures  []figureMove   `json:"figures"`
	apartJSON
}

type changeEntry struct {
	Path string  `json:"path"`
	What string  `json:"what"`
	From *string `json:"from"`
	To   *string `json:"to"`
	Note string  `json:"note,omitempty"`
}

type readingEntry struct {
	Point      string   `json:"point"`
	At         string   `json:"at"`
	Unit       string   `json:"unit"`
	From       any      `json:"from"`
	To         any      `json:"to"`
	Difference *float64 `json:"difference"`
	Beyond     *bool    `json:"beyond_uncertainty"` // null: the uncertainty is not known
}

type figureMove struct {
	ID         string   `json:"id"`
	At         string   `json:"at"`
	Unit       string   `json:"unit"`
	From       *float64 `json:"from"`
	To         *float64 `json:"to"`
	Difference *float64 `json:"difference"`
	Verdicts   []string `json:"verdicts"`
	NoChange   bool     `json:"no_change"` // too small to claim a change

	Within    *bool `json:"within_uncertainty"`   // null: not known
	EachRotor bool  `json:"each_rotor,omitempty"` // both sides are shares for each rotor

	MovedBy []moverEntry `json:"moved_by"`       // null where the changes are not separable, or a side is missing
	Note    string       `json:"note,omitempty"` // what is to stand beside a change of it
}

// moverEntry is the share of one changed input in a difference.
type moverEntry struct {
	Input string  `json:"input"`
	Share float64 `json:"share"`
}

func moversOf(c diff.FigureChange) []moverEntry {
	if c.Moved == nil || !c.Moved.Separable {
		return nil
	}
	unit := unitOf(c.Figure)
	movers := []moverEntry{}
	for _, s := range c.Moved.Shares {
		movers = append(movers, moverEntry{s.Input, tidy(s.Share / (quantity.ToSI(1, unit) - quantity.ToSI(0, unit)))})
	}
	return movers
}

func diffJSON(r *diff.Result) diffDocument {
	return diffDocument{Format: "diff/1", States: r.States, TwoIDs: r.TwoIDs, Changes: changesJSON(r.Changes), Readings: readingsJSON(r.Readings), Figures: movesJSON(r.Figures), apartJSON: apartOf(&r.Apart)}
}

func changesJSON(list []diff.Change) []changeEntry {
	entries := []changeEntry{}
	side := func(text string, missing bool) *string {
		if missing {
			return nil
		}
		return &text
	}
	for _, c := range list {
		entries = append(entries, changeEntry{c.Path, string(c.What), side(c.From, c.What == diff.Added), side(c.To, c.What == diff.Removed), c.Note})
	}
	return entries
}

func readingsJSON(list []diff.Reading) []readingEntry {
	entries := []readingEntry{}
	for _, r := range list {
		e := readingEntry{Point: r.Point, At: r.At, Unit: r.Unit, From: tidyAny(r.From), To: tidyAny(r.To)}
		e.Beyond = r.Beyond
		if r.Difference != nil {
			d := tidy(*r.Difference)
			e.Difference = &d
		}
		entries = append(entries, e)
	}
	return entries
}

func tidyAny(v any) any {
	if x, ok := v.(float64); ok {
		return tidy(x)
	}
	return v
}

func movesJSON(list []diff.FigureChange) []figureMove {
	entries := []figureMove{}
	side := func(r *figure.Result) *float64 {
		if r == nil {
			return nil
		}
		v := tidy(r.In())
		return &v
	}
	verdict := func(r *figure.Result) string {
		if r == nil {
			return ""
		}
		return string(r.Verdict)
	}
	for _, c := range list {
		e := figureMove{ID: c.Figure.ID, At: c.At, Unit: c.Figure.Unit, From: side(c.From), To: side(c.To), Verdicts: []string{verdict(c.From), verdict(c.To)}, NoChange: c.NoChange, EachRotor: c.EachRotor, MovedBy: moversOf(c), Note: c.Figure.Beside}
		if c.From != nil && c.To != nil && c.From.Uncertainty != nil && c.To.Uncertainty != nil {
			e.Within = &c.Within
		}
		if c.Difference != nil {
			d := tidy(*c.Difference)
			e.Difference = &d
		}
		entries = append(entries, e)
	}
	return entries
}
