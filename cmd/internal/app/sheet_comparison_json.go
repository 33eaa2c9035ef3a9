package app

// The shape of a comparison: comparison/1. Lists of values have one a state, in
// the order of states; null where there is none.
type comparisonDocument struct {
	Format  string           `json:"format"`
	States  []stateEntry     `json:"states"`
	Parts   []sideEntry      `json:"parts"`
	Spec    []sideEntry      `json:"spec"`
	Figures []figureSideJSON `json:"figures"`
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
}

func (c *comparison) json() *comparisonDocument {
	d := &comparisonDocument{Format: "comparison/1", States: []stateEntry{}, Parts: sidesJSON(c.parts), Spec: sidesJSON(c.spec), Figures: []figureSideJSON{}}
	for _, l := range c.states {
		d.States = append(d.States, stateEntry{l.Name, l.Engine.Number, l.Engine.Build, l.Engine.Title, orNull(l.Commit)})
	}
	for _, f := range c.figures {
		e := figureSideJSON{ID: f.Figure.ID, At: f.At, Title: titleOf(f.Figure), Unit: f.Figure.Unit}
		for _, r := range f.Sides {
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
		d.Figures = append(d.Figures, e)
	}
	return d
}

func sidesJSON(rows []sideRow) []sideEntry {
	list := []sideEntry{}
	for _, r := range rows {
		e := sideEntry{Path: r.Path}
		for _, cell := range r.Cells {
			e.Values = append(e.Values, orNull(cell))
		}
		list = append(list, e)
	}
	return list
}
