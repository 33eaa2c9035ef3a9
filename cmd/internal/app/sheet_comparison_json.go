package app

import "stackbook/diff"

// The shape of a comparison: comparison/1. Lists of values have one a state, in
// the order of states; null where there is none.
type comparisonDocument struct {
	Format  string           `json:"format"`
	States  []stateEntry     `json:"states"`
	Parts   []sideEntry      `json:"parts"`
	Spec    []sideEntry      `json:"spec"`
	Figures []figureSideJSON `json:"figures"`
	apartJSON
	naming
}

type stateEntry struct {
	State  string  `json:"state"`
	Engine string  `json:"engine"`
	Build  int     `json:"build"`
	Title  string  `json:"title"`
	Commit *string `json:"commit"` // null for the working folder
}

type sideEntry struct {
	Path   string    `json:"path"`
	Values []*string `json:"values"` // as written
}

type figureSideJSON struct {
	ID          string     `json:"id"`
	At          string     `json:"at"`
	Title       string     `json:"title"`
	Unit        string     `json:"unit"`
	Values      []*float64 `json:"values"`
	Uncertainty []*float64 `json:"uncertainty"` // expanded, k = 2; null: not known
	Verdicts    []*string  `json:"verdicts"`    // null: nothing judges it
	EachRotor   bool       `json:"each_rotor,omitempty"`
}

func (c *comparison) json() *comparisonDocument {
	d := &comparisonDocument{Format: "comparison/1", States: []stateEntry{}, Parts: []sideEntry{}, Spec: []sideEntry{}, Figures: []figureSideJSON{}, apartJSON: apartOf(&c.table.Apart)}
	for _, l := range c.states {
		d.States = append(d.States, stateEntry{l.Name, l.Engine.Number, l.Engine.Build, l.Engine.Title, orNull(l.Commit)})
	}
	for _, position := range c.positions() {
		e := sideEntry{Path: position}
		for _, l := range c.states {
			e.Values = append(e.Values, orNull(nodeText(l.Engine.Spec.Node("parts").Get(position))))
		}
		d.Parts = append(d.Parts, e)
	}
	for _, r := range c.table.Changes {
		if r.Kind() == diff.Spec {
			d.Spec = append(d.Spec, sideEntry{r.Path, orNulls(r.Values)})
		}
	}
	for i := range c.table.Figures {
		d.Figures = append(d.Figures, figureJSON(&c.table.Figures[i]))
	}
	return d
}

// figureJSON is a figure with its value, uncertainty and verdict in each state.
func figureJSON(f *diff.FigureRow) figureSideJSON {
	e := figureSideJSON{ID: f.Figure.ID, At: f.At, Title: titleOf(f.Figure), Unit: f.Figure.Unit, EachRotor: f.EachRotor}
	for _, r := range f.Results {
		var value, off *float64
		var verdict *string
		if r != nil {
			entry := entryOf(r)
			value, verdict = &entry.Value, entry.Verdict
			if entry.Uncertainty != nil {
				off = &entry.Uncertainty.Expanded
			}
		}
		e.Values, e.Uncertainty, e.Verdicts = append(e.Values, value), append(e.Uncertainty, off), append(e.Verdicts, verdict)
	}
	return e
}

func orNulls(texts []string) []*string {
	var list []*string
	for _, text := range texts {
		list = append(list, orNull(text))
	}
	return list
}
