package app

import (
	"stackbook/cmd/internal/act"
	"stackbook/schema"
)

// The shape of a handover sheet: handover/1. A field that is not recorded is
// null; fields are as written, with the place they stand at.
type handoverDocument struct {
	Format      string            `json:"format"`
	State       string            `json:"state"`
	Engine      string            `json:"engine"`
	Build       int               `json:"build"`
	Title       string            `json:"title"`
	Customer    string            `json:"customer"`
	Commit      *string           `json:"commit"`    // null for the working folder
	Delivered   *string           `json:"delivered"` // null: not yet
	Code        *string           `json:"code"`      // null: not yet
	Fields      []saidEntry       `json:"fields"`
	Concessions []concessionEntry `json:"open_concessions"`
	CrackTests  []guardEntry      `json:"crack_tests"`
	Opening     *string           `json:"opening"` // the shop's interval between openings; null: none
	Sent        *string           `json:"sent"`
	Receipt     *string           `json:"receipt"`
	Cautions    []string          `json:"cautions"`
	naming
}

type saidEntry struct {
	Group string  `json:"group"`
	Label string  `json:"label"`
	Path  string  `json:"path"` // in the spec
	Text  *string `json:"text"`
	Then  string  `json:"what_to_do,omitempty"`
	File  string  `json:"file,omitempty"`
	Line  int     `json:"line,omitempty"`
}

type concessionEntry struct {
	File      string   `json:"file"`
	Date      string   `json:"date"`
	Build     int      `json:"build"`
	What      string   `json:"what"`
	Touches   []string `json:"touches"`
	Told      *string  `json:"told"`
	LookAgain *string  `json:"look_again"`
}

func handoverJSON(h *act.Handover) *handoverDocument {
	e := h.Engine
	d := &handoverDocument{Format: "handover/1", State: h.Name, Engine: e.Number, Build: e.Build, Title: e.Title, Customer: e.Customer, Commit: orNull(h.Commit),
		Fields: []saidEntry{}, Concessions: []concessionEntry{}, CrackTests: []guardEntry{}, Opening: orNull(h.Opening), Sent: orNull(e.Spec.Text("operating.sent")), Receipt: orNull(e.Spec.Text("operating.receipt")), Cautions: handoverCautions}
	for _, g := range handoverGroups {
		for _, line := range g.lines {
			entry := saidEntry{Group: g.key, Label: line.label, Path: line.path, Text: orNull(e.Spec.Text(line.path)), Then: line.then}
			if n := e.Spec.Node(line.path); n != nil && !schema.IsEmpty(n) {
				entry.File, entry.Line = e.Spec.Path, n.Line()
			}
			d.Fields = append(d.Fields, entry)
		}
	}
	for _, c := range e.OpenConcessions() {
		d.Concessions = append(d.Concessions, concessionEntry{c.Path, c.Date.Day(), c.Build, c.What, orEmpty(c.Touches), orNull(c.Text("concession.told")), orNull(c.Text("concession.look_again"))})
	}
	for _, g := range h.Guards {
		d.CrackTests = append(d.CrackTests, guardJSON(g))
	}
	if h.Delivery != nil {
		d.Delivered = orNull(h.Delivery.Date.Day())
		if d.Receipt == nil {
			d.Receipt = orNull(h.Delivery.Text("receipt"))
		}
	}
	if h.Proof != nil {
		d.Code = orNull(h.Proof.Sum.Code())
	}
	return d
}
