package app

import (
	"stackbook/diff/history"
	"stackbook/record"
	"stackbook/schema"
	"stackbook/schema/quantity"
)

// The shape of one position through the builds: position/1.
type positionDocument struct {
	Format string          `json:"format"`
	Engine string          `json:"engine"`
	At     string          `json:"at"`
	Builds []positionBuild `json:"builds"`
}

type positionBuild struct {
	Build     int             `json:"build"`
	Opened    *string         `json:"opened"`
	Delivered *string         `json:"delivered"`
	Commit    *string         `json:"commit"` // null for the working folder
	Known     bool            `json:"known"`  // false: the build's own state is not in the book
	Fitted    []fittedEntry   `json:"fitted"`
	Events    []positionEvent `json:"events"`
}

type fittedEntry struct {
	At       string `json:"at"`
	Part     string `json:"part"`
	Serial   string `json:"serial"`
	Lot      string `json:"lot"`
	Supplier string `json:"supplier"`
	Origin   string `json:"origin"`
	File     string `json:"file"`
	Line     int    `json:"line"`
}

type positionEvent struct {
	Date     string       `json:"date"`
	Stage    string       `json:"stage,omitempty"` // of a session
	Kind     string       `json:"kind,omitempty"`  // of a change
	By       string       `json:"by"`
	Serial   string       `json:"serial,omitempty"`
	What     string       `json:"what,omitempty"`
	Why      string       `json:"why,omitempty"`
	Hours    *hoursEntry  `json:"hours"` // of the engine
	Readings []takenEntry `json:"readings"`
	Removed  []outEntry   `json:"removed"`
	File     string       `json:"file"`
}

// takenEntry is one reading, in the dictionary's unit; of repeats the mean.
type takenEntry struct {
	Point string   `json:"point"`
	At    string   `json:"at"`
	Value *float64 `json:"value"` // null: in words
	Unit  string   `json:"unit,omitempty"`
	Text  string   `json:"text,omitempty"`
	Line  int      `json:"line"`
}

type outEntry struct {
	From    string      `json:"from"`
	FoundAt string      `json:"found_at,omitempty"`
	Serial  string      `json:"serial,omitempty"`
	Lot     string      `json:"lot,omitempty"`
	To      string      `json:"to,omitempty"`
	Hours   *hoursEntry `json:"hours"`
}

func positionJSON(p *history.Position) positionDocument {
	d := positionDocument{Format: "position/1", Engine: p.Engine.Number, At: p.At, Builds: []positionBuild{}}
	for i := range p.Builds {
		b := &p.Builds[i]
		entry := positionBuild{Build: b.Number, Opened: orNull(b.Opened), Delivered: orNull(b.Delivered), Commit: orNull(b.Commit), Known: b.Known, Fitted: []fittedEntry{}, Events: []positionEvent{}}
		for _, part := range b.Fitted {
			entry.Fitted = append(entry.Fitted, fittedEntry{part.Position, part.Number, part.Serial, part.Lot, part.Supplier, part.Origin, part.Ref.File, part.Ref.Line})
		}
		for _, e := range b.Events {
			entry.Events = append(entry.Events, positionEventJSON(e))
		}
		d.Builds = append(d.Builds, entry)
	}
	return d
}

func positionEventJSON(e history.PositionEvent) positionEvent {
	entry := positionEvent{Date: e.Date.String(), Serial: e.Serial, Readings: takenJSON(e.Readings), Removed: []outEntry{}}
	if s := e.Session; s != nil {
		entry.Stage, entry.By, entry.File, entry.Hours = s.Text("stage"), s.By, s.Path, knownHours(s.EngineHours())
		return entry
	}
	c := e.Change
	entry.Kind, entry.By, entry.What, entry.Why, entry.File, entry.Hours = c.Text("kind"), c.By, c.What, c.Why, c.Path, knownHours(c.EngineHours())
	for _, r := range e.Removed {
		entry.Removed = append(entry.Removed, outEntry{r.From, r.FoundAt, r.Serial, r.Lot, r.To, hoursJSON(r.Hours)})
	}
	return entry
}

func takenJSON(readings []*schema.Reading) []takenEntry {
	list := []takenEntry{}
	for _, r := range readings {
		entry := takenEntry{Point: r.Point.ID, At: r.Key, Text: r.Text, Line: r.Node.Line()}
		if q, ok := record.Mean(r); ok {
			unit, err := quantity.MustLookup(r.Point.Unit).As(r.Point.Dim)
			if err == nil {
				v := tidy(quantity.FromSI(q.SI(), unit))
				entry.Value, entry.Unit = &v, r.Point.Unit
			}
		}
		list = append(list, entry)
	}
	return list
}
