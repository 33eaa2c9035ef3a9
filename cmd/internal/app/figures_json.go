package app

import (
	"math"

	"stackbook/cmd/internal/act"
	"stackbook/record"
	"stackbook/record/figure"
	"stackbook/schema/problem"
	"stackbook/schema/quantity"
)

// The shape of the figures of one state: figures/1. Numbers are in the unit
// named beside them, always the dictionary's.
type figuresDocument struct {
	Format   string         `json:"format"`
	State    string         `json:"state"`
	Engine   string         `json:"engine"`
	Build    int            `json:"build"`
	Commit   *string        `json:"commit"` // null for the working folder
	Formulas int            `json:"formulas"`
	Figures  []figureEntry  `json:"figures"`
	Missing  []missingEntry `json:"missing"`
	Problems problem.List   `json:"problems"` // of the records; figures are of what could be read
}

type figureEntry struct {
	ID          string       `json:"id"`
	At          string       `json:"at"`
	Title       string       `json:"title"`
	Value       float64      `json:"value"`
	Text        string       `json:"text"`              // the value with the digits a person is shown
	Between     *extentEntry `json:"between,omitempty"` // both ends, where it rests on an interval
	Unit        string       `json:"unit"`
	Uncertainty *uncertainty `json:"uncertainty"` // null: not known
	Verdict     *string      `json:"verdict"`     // null: nothing judges it
	Limit       *limitEntry  `json:"limit"`
	Other       *limitEntry  `json:"other_limit"`
	Origin      string       `json:"origin"`
	From        int          `json:"carried_from,omitempty"`
	Formula     string       `json:"formula"`
	Source      string       `json:"source"`
	Note        string       `json:"note,omitempty"`
	Told        *toldEntry   `json:"told,omitempty"` // at delivery, where it was told otherwise
	Inputs      []inputEntry `json:"inputs"`
}

type extentEntry struct {
	Low  float64 `json:"low"`
	High float64 `json:"high"`
}

type uncertainty struct {
	Expanded    float64      `json:"expanded"`
	K           float64      `json:"k"`
	Guard       float64      `json:"guard"`       // width of the guard band on each side of the limit
	Probability *float64     `json:"probability"` // of lying within the limit; null without one
	Parts       []causeEntry `json:"parts"`
}

// causeEntry is what one cause adds to an uncertainty.
type causeEntry struct {
	Cause string  `json:"cause"`
	Moves float64 `json:"moves"` // by how much one standard uncertainty of the cause moves the value
	Share float64 `json:"share"` // of the variance
}

func uncertaintyOf(r *figure.Result) *uncertainty {
	if r.Uncertainty == nil {
		return nil
	}
	unit := unitOf(r.Figure)
	in := func(si float64) float64 { return tidy(si / (quantity.ToSI(1, unit) - quantity.ToSI(0, unit))) }
	u := &uncertainty{Expanded: in(r.Uncertainty.Expanded), K: tidy(r.Uncertainty.K), Guard: in(r.Guard), Parts: []causeEntry{}}
	if p, ok := r.Probability(); ok {
		p = tidy(p)
		u.Probability = &p
	}
	for _, p := range r.Uncertainty.Parts {
		u.Parts = append(u.Parts, causeEntry{p.Cause, in(p.Moves), tidy(p.Share)})
	}
	return u
}

type limitEntry struct {
	Low    *float64 `json:"low"`
	High   *float64 `json:"high"`
	Kind   string   `json:"kind"`
	Set    string   `json:"set"`
	Source string   `json:"source"`
	For    string   `json:"for,omitempty"`
	Shown  bool     `json:"reference_only,omitempty"`
}

type inputEntry struct {
	File   string  `json:"file"`
	Line   int     `json:"line"`
	Path   string  `json:"path"`
	Value  float64 `json:"value"` // as it was used: of a size, at 20 degC
	Unit   string  `json:"unit"`
	Text   string  `json:"text"`           // as written
	Note   string  `json:"note,omitempty"` // what was done to it, or why not
	Origin string  `json:"origin"`
	From   int     `json:"carried_from,omitempty"`
}

type missingEntry struct {
	ID    string      `json:"id"`
	At    string      `json:"at"`
	Needs []string    `json:"needs"`
	Why   string      `json:"why,omitempty"`
	Unit  string      `json:"unit"`
	Limit *limitEntry `json:"limit"` // null: nothing would judge it
	Other *limitEntry `json:"other_limit"`
}

func missingOf(m *figure.Missing) missingEntry {
	return missingEntry{m.Figure.ID, m.At, orEmpty(m.Needs), m.Why, m.Figure.Unit, limitOf(m.Figure, m.Limit), limitOf(m.Figure, m.Other)}
}

func figuresJSON(l *act.Loaded) figuresDocument {
	d := figuresDocument{Format: "figures/1", State: l.Name, Engine: l.Engine.Number, Build: l.Engine.Build, Formulas: figure.FormulaSet,
		Figures: []figureEntry{}, Missing: []missingEntry{}, Problems: orNone(l.Problems)}
	if l.Commit != "" {
		d.Commit = &l.Commit
	}
	for _, r := range l.Figures.Results {
		e := entryOf(r)
		e.Told = toldOf(l, r)
		d.Figures = append(d.Figures, e)
	}
	for _, m := range l.Figures.Missing {
		d.Missing = append(d.Missing, missingOf(m))
	}
	return d
}

func entryOf(r *figure.Result) figureEntry {
	words, source := r.Figure.Describe()
	e := figureEntry{ID: r.Figure.ID, At: r.At, Title: r.Figure.Title, Value: tidy(r.In()), Text: r.Text(), Unit: r.Figure.Unit,
		Limit: limitOf(r.Figure, r.Limit), Other: limitOf(r.Figure, r.Other), Origin: string(r.Origin), From: r.From, Formula: words, Source: source, Note: r.Figure.Note, Uncertainty: uncertaintyOf(r), Inputs: []inputEntry{}}
	if r.Extent != nil {
		unit := unitOf(r.Figure)
		e.Between = &extentEntry{tidy(quantity.FromSI(r.Extent.Low, unit)), tidy(quantity.FromSI(r.Extent.High, unit))}
	}
	if r.Verdict != figure.NoVerdict {
		v := string(r.Verdict)
		e.Verdict = &v
	}
	for _, in := range r.Inputs {
		e.Inputs = append(e.Inputs, inputOf(in))
	}
	return e
}

func inputOf(in *figure.Input) inputEntry {
	e := inputEntry{File: in.Ref.File, Line: in.Ref.Line, Path: in.Key, Unit: in.Unit, Text: in.Text, Note: in.Note, Origin: string(in.Origin)}
	unit := quantity.MustLookup(in.Unit)
	e.Value = tidy(quantity.FromSI(in.SI, unit))
	if in.Origin == record.Carried {
		e.From = in.From
	}
	return e
}

func limitOf(f *figure.Figure, l *figure.Limit) *limitEntry {
	if l == nil {
		return nil
	}
	unit := unitOf(f)
	end := func(si float64) *float64 {
		if math.IsNaN(si) {
			return nil
		}
		v := tidy(quantity.FromSI(si, unit))
		return &v
	}
	return &limitEntry{end(l.Low), end(l.High), l.Kind, l.Set, l.Source, l.For, l.Shown}
}

// unitOf is the dictionary's unit of a figure.
func unitOf(f *figure.Figure) quantity.Unit {
	unit := quantity.MustLookup(f.Unit)
	if as, err := unit.As(f.Dimension()); err == nil {
		return as
	}
	return unit
}

// tidy drops the last binary digits, which say nothing: 0.13800000000000001
// is 0.138.
func tidy(x float64) float64 {
	if x == 0 {
		return 0
	}
	step := math.Pow(10, math.Floor(math.Log10(math.Abs(x)))-11)
	return quantity.RoundTo(x, step)
}
