package travel

import (
	"fmt"
	"slices"
	"sort"
	"strings"

	"stackbook/record"
	"stackbook/schema"
)

// What happened to a part.
type What string

// The kinds of event in a part's life.
const (
	Fitted  What = "fitted"
	Removed What = "removed"
	Read    What = "read"
	Crack   What = "crack test"
	Moved   What = "moved"
	Altered What = "altered"
)

// Event is one thing the records tell of a part or lot.
type Event struct {
	Date     schema.Date // zero where no record tells the day
	What     What
	Engine   string // "" outside an engine
	Build    int    // 0 outside an engine
	Position string // fitted at, or read at
	FoundAt  string // of a removal, where it was found elsewhere
	To       string // of a removal or move: a word of schema.Whereabouts
	Text     string // further words as written
	Count    int    // readings read, or pieces of a lot; 0: not told
	Readings []*schema.Reading
	Hours    *record.Hours // the part's own by then; nil: not recorded
	EngineAt *record.Hours // the engine's by then; nil: not recorded
	Ref      record.Ref
}

// Life is what the records of one state tell of one serial or lot.
type Life struct {
	Name   string
	Lot    bool // a lot: several parts
	Number string
	What   string // what it is, by its file
	Seats  []Seat // where it is fitted now, by engine, front to rear
	File   *record.PartFile
	Events []Event // by date
	Place  Place
}

// Place is where a part or lot is now, as the records tell.
type Place struct {
	Seats []Seat // fitted, in these
	Is    string // else, a word of schema.Whereabouts; "" where no record tells
	Where string
	Since schema.Date
	Hours *record.Hours
	Ref   record.Ref
}

// Find tells the life of a serial or lot; ok is false where no record names it.
func (s *Shop) Find(name string) (l *Life, ok bool) {
	l = s.moves(name)
	for _, e := range s.Engines {
		for _, session := range e.Sessions {
			l.Events = append(l.Events, s.readEvents(e, session, name)...)
		}
		l.Events = append(l.Events, s.alteredEvents(e, name)...)
	}
	sort.SliceStable(l.Events, func(i, j int) bool { return l.Events[i].Date.Time.Before(l.Events[j].Date.Time) })
	l.Place = s.place(l)
	return l, len(l.Events) > 0 || l.File != nil
}

// Now tells where a serial or lot is, as Find does, and none of what was read of
// it or done to it: it costs the same however many engines there are.
func (s *Shop) Now(name string) *Life {
	l := s.moves(name)
	sort.SliceStable(l.Events, func(i, j int) bool { return l.Events[i].Date.Time.Before(l.Events[j].Date.Time) })
	l.Place = s.place(l)
	return l
}

// moves is what a serial or lot is, and how it came and went.
func (s *Shop) moves(name string) *Life {
	l := &Life{Name: name, Seats: s.seats[name]}
	sortSeats(l.Seats)
	l.identify(s.files[name])
	for _, seat := range l.Seats {
		l.Events = append(l.Events, s.fittedEvent(seat))
	}
	for _, o := range s.outs[name] {
		l.Lot = l.Lot || o.Serial != name
		l.Events = append(l.Events, removedEvent(o))
	}
	return l
}

// identify tells what a serial or lot is, by its seats and the files that bear it,
// and how it moved by the first of those.
func (l *Life) identify(files []*record.PartFile) {
	if len(files) > 0 {
		l.File = files[0]
		l.Number, l.What, l.Lot = l.File.Number, l.File.What, l.File.Lot == l.Name
		l.Events = append(l.Events, movesOf(l.File)...)
	}
	for _, seat := range l.Seats {
		l.Lot = l.Lot || seat.Part.Serial != l.Name
		if l.Number == "" {
			l.Number = seat.Part.Number
		}
	}
}

func sortSeats(seats []Seat) {
	sort.SliceStable(seats, func(i, j int) bool {
		a, b := seats[i], seats[j]
		if a.Engine.Number != b.Engine.Number {
			return a.Engine.Number < b.Engine.Number
		}
		return schema.Less(a.Part.Position, b.Part.Position)
	})
}

func movesOf(f *record.PartFile) []Event {
	var list []Event
	for _, m := range f.Moves {
		list = append(list, Event{Date: m.Since, What: Moved, To: m.Is, Text: joined(m.Where, m.Why), Count: m.Pieces, Hours: m.Hours, Ref: m.Ref})
	}
	return list
}

// fittedEvent is the fitting of a part where it is now; only a change tells the
// day.
func (s *Shop) fittedEvent(seat Seat) Event {
	run := s.Run(seat)
	e := Event{What: Fitted, Engine: seat.Engine.Number, Build: run.Fitting.Build, Position: seat.Part.Position,
		Hours: run.AtFitting, EngineAt: run.Fitting.Hours, Ref: seat.Part.Ref}
	if c := run.Fitting.Change; c != nil {
		e.Date, e.Text = c.Date, c.What
	} else if run.Fitting.First {
		e.Text = SinceTheFirst
	}
	return e
}

func removedEvent(o Out) Event {
	e := Event{Date: o.Change.Date, What: Removed, Engine: o.Engine.Number, Build: o.Change.Build, Position: o.From, FoundAt: o.FoundAt,
		To: o.To, Text: joined(o.Where, o.Note), Hours: o.Hours, Ref: o.Ref}
	if h, ok := o.Change.EngineHours(); ok {
		e.EngineAt = &h
	}
	return e
}

// readEvents are a session's readings of a part with that serial, and its crack
// test apart from them.
func (s *Shop) readEvents(e *record.Engine, session *record.Session, serial string) []Event {
	var list []Event
	for _, position := range session.PositionsOf(serial) {
		event := Event{Date: session.Date, What: Read, Engine: e.Number, Build: session.Build, Position: position, Ref: record.Ref{File: session.Path}}
		if session.Stage != nil {
			event.Text = session.Stage.Title
		}
		if h, ok := session.EngineHours(); ok {
			event.EngineAt = &h
		}
		for i := range session.Readings {
			r := &session.Readings[i]
			switch {
			case r.Point.PartOf(r.Position) != position:
			case r.Point.ID == "crack_test":
				t := testOf(e, session, r)
				list = append(list, Event{Date: session.Date, What: Crack, Engine: e.Number, Build: session.Build, Position: position, EngineAt: event.EngineAt,
					Text: t.Words(), Ref: t.Ref})
			default:
				event.Readings = append(event.Readings, r)
				event.Count++
			}
		}
		if event.Count > 0 {
			list = append(list, event)
		}
	}
	return list
}

// alteredEvents are the changes that touched a part with that serial where it
// was. Replacements tell of what came and went, and stand there.
func (s *Shop) alteredEvents(e *record.Engine, serial string) []Event {
	var list []Event
	for _, c := range e.Changes {
		if c.Kind == nil || c.Kind.Name == "replacement" {
			continue
		}
		for _, position := range s.whereAt(e, serial, c) {
			if !c.Within(position) {
				continue
			}
			event := Event{Date: c.Date, What: Altered, Engine: e.Number, Build: c.Build, Position: position, Text: c.Text("kind") + ": " + c.What, Ref: record.Ref{File: c.Path}}
			if h, ok := c.EngineHours(); ok {
				event.EngineAt = &h
			}
			list = append(list, event)
		}
	}
	return list
}

// whereAt lists the positions of an engine at which a part with a serial was when
// a change was made: where it is fitted, if it was by then, and else where the
// sessions of the change's build read it and it had not been taken out.
func (s *Shop) whereAt(e *record.Engine, serial string, c *record.Change) []string {
	var list, seats []string
	for _, seat := range s.seats[serial] {
		if !isSame(seat.Engine, e) || seat.Part.Serial != serial {
			continue
		}
		seats = append(seats, seat.Part.Position)
		if fitting := e.Fitting(seat.Part); fitting.Change == nil || !after(fitting.Change.Date, c.Date) {
			list = append(list, seat.Part.Position)
		}
	}
	for _, session := range e.Sessions {
		for _, position := range session.PositionsOf(serial) {
			if session.Build == c.Build && !slices.Contains(seats, position) && !slices.Contains(list, position) && !s.outBefore(e, serial, position, c) {
				list = append(list, position)
			}
		}
	}
	return list
}

func (s *Shop) outBefore(e *record.Engine, serial, position string, c *record.Change) bool {
	return slices.ContainsFunc(s.outs[serial], func(o Out) bool {
		return isSame(o.Engine, e) && o.From == position && after(c.Date, o.Change.Date)
	})
}

// Words is a test in a few words: "clear, magnetic particle, by TR".
func (t *Test) Words() string {
	return joined(t.Result, t.Method, "by "+t.By, t.Note)
}

func joined(words ...string) string {
	var there []string
	for _, w := range words {
		if w != "" {
			there = append(there, w)
		}
	}
	return strings.Join(there, ", ")
}

// place is where a part is now: where a spec has it, else where the latest of
// its removals and its file's moves put it.
func (s *Shop) place(l *Life) Place {
	if len(l.Seats) == 1 && !l.Lot {
		run := s.Run(l.Seats[0])
		return Place{Seats: l.Seats, Since: s.fittedEvent(l.Seats[0]).Date, Hours: run.Now, Ref: l.Seats[0].Part.Ref}
	}
	return l.lastPut()
}

// lastPut is where the latest of a part's removals and its file's moves put it,
// besides the seats it has.
func (l *Life) lastPut() Place {
	p := Place{Seats: l.Seats}
	for _, e := range l.Events {
		if (e.What == Removed || e.What == Moved) && !p.Since.Time.After(e.Date.Time) {
			p.Is, p.Where, p.Since, p.Hours, p.Ref = e.To, e.Text, e.Date, e.Hours, e.Ref
			if e.To == "" {
				p.Is = "taken out of " + e.Engine
			}
		}
	}
	return p
}

// String tells a place in words: "fitted in SK-01 at rotor/1", "scrap".
func (p Place) String() string {
	switch {
	case len(p.Seats) == 1:
		return fmt.Sprintf("fitted in %s at %s", p.Seats[0].Engine.Number, p.Seats[0].Part.Position)
	case len(p.Seats) > 1:
		return fmt.Sprintf("fitted at %d positions of %s", len(p.Seats), strings.Join(enginesOf(p.Seats), ", "))
	case p.Is == "":
		return "not recorded"
	}
	return joined(p.Is, p.Where)
}

func enginesOf(seats []Seat) []string {
	var list []string
	for _, seat := range seats {
		if n := len(list); n == 0 || list[n-1] != seat.Engine.Number {
			list = append(list, seat.Engine.Number)
		}
	}
	return list
}
