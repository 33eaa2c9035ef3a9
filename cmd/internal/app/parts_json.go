package app

import (
	"stackbook/cmd/internal/act"
	"stackbook/record"
	"stackbook/record/travel"
	"stackbook/schema/problem"
)

// The shape of parts: parts/1. Of an engine it has parts, of a serial or lot
// events, and of parts/ files; hours are in h.
type enginePartsDocument struct {
	Format     string       `json:"format"`
	State      string       `json:"state"`
	Engine     string       `json:"engine"`
	Build      int          `json:"build"`
	Commit     *string      `json:"commit"`      // null for the working folder
	Hours      *hoursEntry  `json:"hours"`       // of the engine in all; null: not recorded
	SinceBuild *hoursEntry  `json:"since_build"` // of the engine since this build was opened; null: not recorded
	Parts      []partEntry  `json:"parts"`
	Guarded    []guardEntry `json:"must_not_burst"` // with their crack tests, also what the spec does not list
	Problems   problem.List `json:"problems"`
}

type hoursEntry struct {
	Hours  float64  `json:"hours"`
	Error  *float64 `json:"error"` // null: not stated
	Source string   `json:"source,omitempty"`
	File   string   `json:"file,omitempty"`
	Line   int      `json:"line,omitempty"`
}

type partEntry struct {
	At              string      `json:"at"`
	Part            string      `json:"part"`
	Serial          string      `json:"serial"`
	Lot             string      `json:"lot"`
	Origin          string      `json:"origin"`
	Since           int         `json:"since_build"`
	Hours           *hoursEntry `json:"hours"` // of the part in all; null: not recorded
	Why             string      `json:"why,omitempty"`
	AtFitting       *hoursEntry `json:"hours_at_fitting"`
	From            string      `json:"hours_at_fitting_from,omitempty"`
	EngineAtFitting *hoursEntry `json:"engine_hours_at_fitting"`
	File            string      `json:"file"`
	Line            int         `json:"line"`
}

func hoursJSON(h *record.Hours) *hoursEntry {
	if h == nil {
		return nil
	}
	return &hoursEntry{tidy(h.Value), h.Error, h.Source, h.Ref.File, h.Ref.Line}
}

func knownHours(h record.Hours, ok bool) *hoursEntry {
	if !ok {
		return nil
	}
	return hoursJSON(&h)
}

func enginePartsJSON(p *act.EngineParts) enginePartsDocument {
	d := enginePartsDocument{Format: "parts/1", State: p.Name, Engine: p.Engine.Number, Build: p.Engine.Build,
		Hours: knownHours(p.Engine.HoursNow()), SinceBuild: knownHours(p.Engine.HoursSinceBuild()),
		Parts: []partEntry{}, Guarded: []guardEntry{}, Problems: orNone(p.Problems)}
	if p.Commit != "" {
		d.Commit = &p.Commit
	}
	for _, part := range p.Engine.Parts() {
		run := p.Shop.Run(travel.Seat{Engine: p.Engine, Part: part})
		d.Parts = append(d.Parts, partEntry{At: part.Position, Part: part.Number, Serial: part.Serial, Lot: part.Lot, Origin: part.Origin,
			Since: run.Fitting.Build, Hours: hoursJSON(run.Now), Why: run.Why, AtFitting: hoursJSON(run.AtFitting), From: run.From,
			EngineAtFitting: hoursJSON(run.Fitting.Hours), File: part.Ref.File, Line: part.Ref.Line})
	}
	for _, g := range p.Guards {
		d.Guarded = append(d.Guarded, guardJSON(g))
	}
	return d
}

type partLifeDocument struct {
	Format string       `json:"format"`
	Name   string       `json:"name"`
	Lot    bool         `json:"lot"` // false: a single part with a serial
	Part   string       `json:"part"`
	What   string       `json:"what"`
	Now    placeEntry   `json:"now"`
	Pieces *int         `json:"pieces"` // of a lot, that came; null: not recorded
	Left   *int         `json:"left"`   // by its file; null: not recorded
	File   *string      `json:"file"`   // null: it has none in parts/
	Events []eventEntry `json:"events"`
}

type placeEntry struct {
	Text   string      `json:"text"`
	Fitted []seatEntry `json:"fitted"`
	Is     string      `json:"is,omitempty"`
	Where  string      `json:"where,omitempty"`
	Since  *string     `json:"since"`
	Hours  *hoursEntry `json:"hours"`
}

type seatEntry struct {
	Engine string `json:"engine"`
	At     string `json:"at"`
	File   string `json:"file"`
	Line   int    `json:"line"`
}

type eventEntry struct {
	Date        *string     `json:"date"`
	What        string      `json:"what"` // fitted, removed, read, crack test, altered, moved
	Engine      string      `json:"engine,omitempty"`
	Build       int         `json:"build,omitempty"`
	At          string      `json:"at,omitempty"`
	FoundAt     string      `json:"found_at,omitempty"`
	To          string      `json:"to,omitempty"`
	Text        string      `json:"text,omitempty"`
	Count       int         `json:"count,omitempty"` // readings, or pieces
	Hours       *hoursEntry `json:"hours"`           // of the part
	EngineHours *hoursEntry `json:"engine_hours"`
	File        string      `json:"file"`
	Line        int         `json:"line"`

	Readings []takenEntry `json:"readings"`
}

func partLifeJSON(l *travel.Life) partLifeDocument {
	d := partLifeDocument{Format: "parts/1", Name: l.Name, Lot: l.Lot, Part: l.Number, What: l.What, Now: placeJSON(l.Place), Events: []eventEntry{}}
	if l.File != nil {
		d.File = &l.File.Path
		if l.File.Pieces > 0 {
			d.Pieces = &l.File.Pieces
		}
		if left, ok := l.File.Left(); ok {
			d.Left = &left
		}
	}
	for _, e := range l.Events {
		entry := eventEntry{What: string(e.What), Engine: e.Engine, Build: e.Build, At: e.Position, FoundAt: e.FoundAt, To: e.To, Text: e.Text, Count: e.Count,
			Hours: hoursJSON(e.Hours), EngineHours: hoursJSON(e.EngineAt), File: e.Ref.File, Line: e.Ref.Line, Readings: takenJSON(e.Readings)}
		if !e.Date.Time.IsZero() {
			date := e.Date.String()
			entry.Date = &date
		}
		d.Events = append(d.Events, entry)
	}
	return d
}

func placeJSON(p travel.Place) placeEntry {
	e := placeEntry{Text: p.String(), Fitted: []seatEntry{}, Is: p.Is, Where: p.Where, Hours: hoursJSON(p.Hours)}
	if !p.Since.Time.IsZero() {
		since := p.Since.String()
		e.Since = &since
	}
	for _, seat := range p.Seats {
		e.Fitted = append(e.Fitted, seatEntry{seat.Engine.Number, seat.Part.Position, seat.Part.Ref.File, seat.Part.Ref.Line})
	}
	return e
}

type partFilesDocument struct {
	Format   string             `json:"format"`
	Files    []partLifeDocument `json:"files"`
	Problems problem.List       `json:"problems"`
}

func partFilesJSON(lives []*travel.Life, problems problem.List) partFilesDocument {
	d := partFilesDocument{Format: "parts/1", Files: []partLifeDocument{}, Problems: orNone(problems)}
	for _, l := range lives {
		d.Files = append(d.Files, partLifeJSON(l))
	}
	return d
}
