package app

import "stackbook/diff"

// The shape of several states side by side: compare/1. A missing value is null.
type sideDocument struct {
	Format   string             `json:"format"`
	States   []string           `json:"states"`
	Changes  []sideChange       `json:"changes"`
	Readings []sideReadingEntry `json:"readings"`
	Figures  []sideFigure       `json:"figures"`
	apartJSON
}

type sideChange struct {
	Path   string    `json:"path"`
	Note   string    `json:"note,omitempty"` // of a part that moved: its serial
	Values []*string `json:"values"`
}

type sideReadingEntry struct {
	Point  string `json:"point"`
	At     string `json:"at"`
	Unit   string `json:"unit"`
	Values []any  `json:"values"`
}

type sideFigure struct {
	ID       string     `json:"id"`
	At       string     `json:"at"`
	Unit     string     `json:"unit"`
	Values   []*float64 `json:"values"`
	Verdicts []string   `json:"verdicts"`

	EachRotor bool `json:"each_rotor,omitempty"` // the values are shares for each rotor
}

func sideJSON(t *diff.Table) sideDocument {
	doc := sideDocument{Format: "compare/1", States: t.States, Changes: []sideChange{}, Readings: []sideReadingEntry{}, Figures: []sideFigure{}, apartJSON: apartOf(&t.Apart)}
	for _, r := range t.Changes {
		doc.Changes = append(doc.Changes, sideChange{r.Path, r.Serial, orNulls(r.Values)})
	}
	for _, r := range t.Readings {
		entry := sideReadingEntry{Point: r.Point, At: r.At, Unit: r.Unit}
		for _, v := range r.Values {
			entry.Values = append(entry.Values, tidyAny(v))
		}
		doc.Readings = append(doc.Readings, entry)
	}
	for _, r := range t.Figures {
		entry := sideFigure{ID: r.Figure.ID, At: r.At, Unit: r.Figure.Unit, EachRotor: r.EachRotor}
		for _, result := range r.Results {
			value, verdict := (*float64)(nil), ""
			if result != nil {
				v := tidy(result.In())
				value, verdict = &v, string(result.Verdict)
			}
			entry.Values, entry.Verdicts = append(entry.Values, value), append(entry.Verdicts, verdict)
		}
		doc.Figures = append(doc.Figures, entry)
	}
	return doc
}
