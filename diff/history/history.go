// Package history is an engine's life as a sequence of builds, each with its
// dates and hours, what was changed and why, and what it altered against the
// build before.
package history

import (
	"sort"
	"strings"

	"stackbook/diff"
	"stackbook/record"
	"stackbook/record/figure"
)

// State is one build as it stood: as delivered, or, for an open one, now.
type State struct {
	diff.State
	Build  int
	Commit string // the commit it was read from, "" for the folder
}

// Build is one life of an engine between two deliveries.
type Build struct {
	Number    int
	Opened    string         // first day a record of it was made
	Delivered string         // day of its delivery change, "" while it is open
	Hours     string         // running hours of the engine at its delivery, or the last given, with their error
	HoursFrom *record.Record // the record that gives them, nil where none does
	Commit    string
	Changes   []*record.Change
	Sessions  []*record.Session
	Failed    []*figure.Result
	Figures   *figure.Set  // as it stood; nil when its state is not known
	Altered   *diff.Result // against the build before; nil for the first
}

// Life is the whole life of one engine as it is known in its last state.
type Life struct {
	Engine *record.Engine // the last state
	Builds []Build
}

// Of tells an engine's life from the state of each of its builds, in order of
// build; the last one is the latest state and holds all records.
func Of(states []State) *Life {
	last := states[len(states)-1].Engine
	life := &Life{Engine: last}
	byBuild := map[int]*State{}
	for i := range states {
		byBuild[states[i].Build] = &states[i]
	}
	for n := 1; n <= last.Build; n++ {
		b := build(last, n)
		if s := byBuild[n]; s != nil {
			b.Commit, b.Figures, b.Failed = s.Commit, s.Figures, failed(s.Figures)
			if before := byBuild[n-1]; before != nil {
				b.Altered = diff.Compare(before.State, s.State)
				b.Altered.Changes = withoutRecords(b.Altered.Changes)
			}
		}
		life.Builds = append(life.Builds, b)
	}
	return life
}

func build(e *record.Engine, n int) Build {
	b := Build{Number: n}
	var days []string
	for _, c := range e.Changes {
		if c.Build == n {
			b.Changes = append(b.Changes, c)
			days = append(days, c.Date.Day())
		}
	}
	for _, s := range e.Sessions {
		if s.Build == n {
			b.Sessions = append(b.Sessions, s)
			days = append(days, s.Date.Day())
		}
	}
	sort.Strings(days)
	if len(days) > 0 {
		b.Opened = days[0]
	}
	b.HoursFrom = lastHours(b)
	if d := e.Delivered(n); d != nil {
		b.Delivered = d.Date.Day()
		if d.Hours() != "" {
			b.HoursFrom = d.Record
		}
	}
	if b.HoursFrom != nil {
		b.Hours = b.HoursFrom.Hours()
	}
	return b
}

// lastHours is the latest record of the build that gives the running hours.
func lastHours(b Build) *record.Record {
	var last *record.Record
	day := ""
	take := func(r *record.Record, on string) {
		if r.Hours() != "" && on >= day {
			last, day = r, on
		}
	}
	for _, s := range b.Sessions {
		take(s.Record, s.Date.String())
	}
	for _, c := range b.Changes {
		take(c.Record, c.Date.String())
	}
	return last
}

func failed(s *figure.Set) []*figure.Result {
	var list []*figure.Result
	for _, r := range s.Results {
		if r.Verdict == figure.Fails {
			list = append(list, r)
		}
	}
	return list
}

// withoutRecords leaves out which records a build wrote: the life tells them
// under its changes and sessions.
func withoutRecords(changes []diff.Change) []diff.Change {
	var kept []diff.Change
	for _, c := range changes {
		if !strings.HasPrefix(c.Path, "measurements/") && !strings.HasPrefix(c.Path, "changes/") {
			kept = append(kept, c)
		}
	}
	return kept
}
