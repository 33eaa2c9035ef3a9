package history

import (
	"regexp"
	"strconv"
	"sync"

	"stackbook/record"
	"stackbook/record/travel"
	"stackbook/schema"
)

// Standing is what an engine is doing.
type Standing string

// The standings.
const (
	OnBench   Standing = "on the bench"   // its first build is open
	InRebuild Standing = "in for rebuild" // a later build is open
	LaidUp    Standing = "laid up"        // open, and nothing was done since it was laid up
	Delivered Standing = "delivered"
)

// StandingOf tells what an engine is doing, and since which day its records say
// so; the day is zero where none does.
func StandingOf(e *record.Engine) (Standing, schema.Date) {
	if d := e.Delivered(e.Build); d != nil {
		return Delivered, d.Date
	}
	if c := laidUp(e); c != nil {
		return LaidUp, c.Date
	}
	standing := InRebuild
	if e.Build <= 1 {
		standing = OnBench
	}
	return standing, opened(e)
}

// laidUp is the change that laid an open build up, nil where work followed it.
func laidUp(e *record.Engine) *record.Change {
	var stored *record.Change
	for _, c := range e.Changes { // by date
		switch {
		case c.Build != e.Build || c.Kind == nil:
		case c.Kind.Name == "storage":
			stored = c
		case c.Kind.Name != "event" && c.Kind.Name != "claim" && c.Kind.Name != "note":
			stored = nil
		}
	}
	if stored == nil {
		return nil
	}
	for _, s := range e.Sessions {
		if order, known := s.Date.Compare(stored.Date); s.Build == e.Build && known && order > 0 {
			return nil
		}
	}
	return stored
}

// opened is the first day of a record of the engine's build.
func opened(e *record.Engine) schema.Date {
	var first schema.Date
	take := func(build int, date schema.Date) {
		if build == e.Build && (first.Time.IsZero() || date.Time.Before(first.Time)) {
			first = date
		}
	}
	for _, s := range e.Sessions {
		take(s.Build, s.Date)
	}
	for _, c := range e.Changes {
		take(c.Build, c.Date)
	}
	return first
}

// SinceDelivery are the running hours of an engine since it was last delivered;
// ok is false where it never was, or the records do not tell.
func SinceDelivery(e *record.Engine) (h record.Hours, ok bool) {
	for build := e.Build; build > 0; build-- {
		d := e.Delivered(build)
		if d == nil {
			continue
		}
		then, known := d.EngineHours()
		if !known {
			then, known = e.HoursOn(d.Date)
		}
		now, told := e.HoursNow()
		if !known || !told {
			return record.Hours{}, false
		}
		return now.Less(then), true
	}
	return record.Hours{}, false
}

// Word is what was last heard of an engine from outside the shop.
type Word struct {
	Date   schema.Date
	Kind   string // claim, event, note or running
	What   string
	Source string // where it comes from, as written
	File   string
}

// LastWord is the latest claim, the latest session in the customer's hands, or
// the latest event or note that names its source; ok is false where there is
// none.
func LastWord(e *record.Engine) (w Word, ok bool) {
	for _, c := range e.Changes {
		source := c.Text("source")
		outside := c.Kind != nil && (c.Kind.Name == "claim" || source != "" && (c.Kind.Name == "event" || c.Kind.Name == "note"))
		if outside && !c.Date.Time.Before(w.Date.Time) {
			w, ok = Word{c.Date, c.Kind.Name, c.What, source, c.Path}, true
		}
	}
	for _, s := range e.Sessions {
		if s.Stage != nil && s.Stage.Name == "running" && !s.Date.Time.Before(w.Date.Time) {
			w, ok = Word{s.Date, s.Stage.Name, s.Text("note"), s.Text("hours_source"), s.Path}, true
		}
	}
	return w, ok
}

// Due is work that is due, or will be, by the shop's own intervals.
type Due struct {
	What string   // opening, crack test, look again, operating limits
	At   []string // positions
	Text string   // in words, where hours do not tell it all
	Left *float64 // h the engine may run until then, less than nothing when over; nil: not counted in hours
	Now  bool     // due by now, or not known
	File string
	Day  *schema.Date // on which it falls due, where it goes by a day; nil: it does not
}

// On is the same work as it is told on another day.
func (d Due) On(today schema.Date) Due {
	if d.Day != nil {
		d.Now = !d.Day.Time.After(today.Time)
	}
	return d
}

// DueWork lists what is due of an engine: its opening, that many hours after a
// delivery (nil: no interval is set); crack tests; and concessions that are to be
// looked at again. today is the day it is asked on.
func DueWork(e *record.Engine, guards []travel.Guard, opening *float64, today schema.Date) []Due {
	var list []Due
	if since, ok := SinceDelivery(e); ok && opening != nil && e.Delivered(e.Build) != nil {
		left := *opening - since.Value
		list = append(list, Due{What: "opening", Left: &left, Now: left <= 0, File: e.Delivered(e.Build).Path})
	}
	list = append(list, dueTests(guards)...)
	for _, c := range e.OpenConcessions() {
		if again := c.Text("concession.look_again"); again != "" {
			list = append(list, lookAgain(e, c, again, today))
		}
	}
	return list
}

// dueTests gathers the crack tests: those of one standing and one time are told
// together.
func dueTests(guards []travel.Guard) []Due {
	var list []Due
	for _, g := range guards {
		d := Due{What: "crack test", At: []string{g.Position}, Text: string(g.Standing), Now: g.Standing != travel.Tested && g.Standing != travel.Marked}
		if g.Last != nil {
			d.File = g.Last.Ref.File
		}
		if g.Last != nil && g.Last.Since != nil && g.Every != nil && g.Standing != travel.Cracked {
			left := g.Every.Hours - g.Last.Since.Value
			d.Left = &left
		}
		if !d.Now && d.Left == nil {
			continue
		}
		if n := len(list); n > 0 && list[n-1].sameTime(d) {
			list[n-1].At = append(list[n-1].At, g.Position)
			continue
		}
		list = append(list, d)
	}
	return list
}

func (d Due) sameTime(o Due) bool {
	return d.Text == o.Text && (d.Left == nil) == (o.Left == nil) && (d.Left == nil || *d.Left == *o.Left)
}

var (
	hoursOfBuild = sync.OnceValue(func() *regexp.Regexp {
		return regexp.MustCompile(`(\d+(?:\.\d+)?) h of this build`)
	})
	dayInText = sync.OnceValue(func() *regexp.Regexp {
		return regexp.MustCompile(`\d{4}-\d{2}-\d{2}`)
	})
)

// lookAgain tells when a concession is to be looked at, where its words name
// hours of the build or a day; what they say besides is for a person.
func lookAgain(e *record.Engine, c *record.Change, again string, today schema.Date) Due {
	d := Due{What: "look again", At: c.Touches, Text: again, File: c.Path}
	if m := hoursOfBuild().FindStringSubmatch(again); m != nil {
		hours, err := strconv.ParseFloat(m[1], 64)
		opened, known := e.HoursAtOpening(c.Build)
		now, told := e.HoursNow()
		if err == nil && known && told {
			left := hours - now.Less(opened).Value
			d.Left, d.Now = &left, left <= 0
		}
	} else if day, err := schema.ParseDate(dayInText().FindString(again)); err == nil {
		d.Day = &day
	}
	return d.On(today)
}
