package history

import (
	"sort"

	"stackbook/record"
	"stackbook/schema"
)

// Position is one position of an engine, with all that lies in it, through the
// builds: what was fitted, what was read there and what changed it.
type Position struct {
	Engine *record.Engine // the last state
	At     string
	Builds []PositionBuild
}

// PositionBuild is a position in one build.
type PositionBuild struct {
	Build
	Known  bool          // the build's own state is known; else Fitted is not
	Fitted []record.Part // at the position and below it, as the build stood
	Events []PositionEvent
}

// PositionEvent is a session that read there, or a change that touched it.
type PositionEvent struct {
	Date     schema.Date
	Session  *record.Session
	Serial   string            // of the part the session read there, "" where it says none
	Readings []*schema.Reading // of the session, at the position and below
	Change   *record.Change
	Removed  []record.Removed // from the position and below, or found there
}

// At follows a position through the states of an engine's builds, in order of
// build; the last one is the latest state and holds all records.
func At(states []State, position string) *Position {
	last := states[len(states)-1].Engine
	p := &Position{Engine: last, At: position}
	for n := 1; n <= last.Build; n++ {
		b := PositionBuild{Build: build(last, n)}
		for i := range states {
			if states[i].Build == n {
				b.Known, b.Commit = true, states[i].Commit
				b.Fitted = fittedBelow(states[i].Engine, position)
			}
		}
		for _, s := range b.Sessions {
			if readings := readBelow(s, position); len(readings) > 0 {
				b.Events = append(b.Events, PositionEvent{Date: s.Date, Session: s, Serial: s.Serial(position), Readings: readings})
			}
		}
		for _, c := range b.Changes {
			removed := removedBelow(c, position)
			if len(removed) > 0 || c.Within(position) {
				b.Events = append(b.Events, PositionEvent{Date: c.Date, Change: c, Removed: removed})
			}
		}
		sort.SliceStable(b.Events, func(i, j int) bool { return b.Events[i].Date.Time.Before(b.Events[j].Date.Time) })
		p.Builds = append(p.Builds, b)
	}
	return p
}

// fittedBelow lists the parts at a position and below it, the position's own
// first.
func fittedBelow(e *record.Engine, position string) []record.Part {
	var list []record.Part
	for _, p := range e.Parts() {
		if schema.Below(p.Position, position) {
			list = append(list, p)
		}
	}
	sort.SliceStable(list, func(i, j int) bool { return schema.Less(list[i].Position, list[j].Position) })
	return list
}

func readBelow(s *record.Session, position string) []*schema.Reading {
	var list []*schema.Reading
	for i := range s.Readings {
		if schema.Below(s.Readings[i].Position, position) {
			list = append(list, &s.Readings[i])
		}
	}
	return list
}

func removedBelow(c *record.Change, position string) []record.Removed {
	var list []record.Removed
	for _, r := range c.Removed() {
		if schema.Below(r.From, position) || r.FoundAt != "" && schema.Below(r.FoundAt, position) {
			list = append(list, r)
		}
	}
	return list
}
