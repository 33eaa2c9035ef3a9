package app

import (
	"stackbook/cmd/internal/act"
)

type deliverDocument struct {
	Format    string   `json:"format"`
	Engine    string   `json:"engine"`
	Build     int      `json:"build"`
	Date      string   `json:"date"`
	Hours     string   `json:"hours"`
	HoursFrom *string  `json:"hours_from"` // null: given, or written before
	File      string   `json:"file"`
	Commit    string   `json:"commit"`
	Completed bool     `json:"completed"` // the delivery was committed before, and only its seal was missing
	Tag       string   `json:"tag"`
	SHA256    string   `json:"sha256"`
	Code      string   `json:"code"`
	Left      []string `json:"left"`
	Open      openJSON `json:"open"`
}

type openJSON struct {
	Concessions []concessionJSON `json:"concessions"`
	Failing     []openFigure     `json:"failing"`
	Unmeasured  []openFigure     `json:"unmeasured"`
	CrackTests  []untestedJSON   `json:"crack_tests"`
	Limits      *string          `json:"limits"` // why the operating limits are not with the customer; null: they are
}

type concessionJSON struct {
	File      string `json:"file"`
	Build     int    `json:"build"`
	What      string `json:"what"`
	LookAgain string `json:"look_again"`
}

type openFigure struct {
	ID      string `json:"id"`
	At      string `json:"at"`
	Verdict string `json:"verdict"`
}

type untestedJSON struct {
	At       string  `json:"at"`
	Result   *string `json:"result"` // of the last test; null: never tested
	Standing string  `json:"standing"`
}

func deliverJSON(c *act.Closing, d *act.Delivered) deliverDocument {
	doc := deliverDocument{Format: "deliver/1", Engine: d.Engine, Build: d.Build, Date: d.Date, Hours: d.Hours, HoursFrom: orNull(c.HoursFrom), File: d.File,
		Commit: d.Commit.Hash, Completed: d.Committed == nil, Tag: d.Tag, SHA256: d.Sum.String(), Code: d.Sum.Code(), Left: []string{}, Open: openPointsJSON(c.Open)}
	if d.Committed != nil {
		doc.Left = orEmpty(d.Committed.Left)
	}
	return doc
}

func openPointsJSON(o act.OpenPoints) openJSON {
	doc := openJSON{[]concessionJSON{}, []openFigure{}, []openFigure{}, []untestedJSON{}, orNull(o.Limits)}
	for _, c := range o.Concessions {
		doc.Concessions = append(doc.Concessions, concessionJSON{c.Path, c.Build, c.What, c.Text("concession.look_again")})
	}
	for _, r := range o.Failing {
		doc.Failing = append(doc.Failing, openFigure{r.Figure.ID, r.At, string(r.Verdict)})
	}
	for _, m := range o.Unmeasured {
		doc.Unmeasured = append(doc.Unmeasured, openFigure{m.Figure.ID, m.At, string(m.Judged)})
	}
	for _, g := range o.CrackTests {
		entry := untestedJSON{At: g.Position, Standing: string(g.Standing)}
		if g.Last != nil {
			entry.Result = &g.Last.Result
		}
		doc.CrackTests = append(doc.CrackTests, entry)
	}
	return doc
}

// orNull is nil for an empty text.
func orNull(text string) *string {
	if text == "" {
		return nil
	}
	return &text
}
