// Package travel follows parts from engine to engine: how long each has run,
// when it was last crack-tested, where it is now, and where two records tell
// different stories of it.
//
// A part is told by its serial. Serials of two part numbers, or at two kinds of
// position, are two parts: rotor 1 and housing 1 of a small shop. Parts
// without serials are told by their lot, as many as there are.
//
// What is answered rests on the records of one state alone. A number nobody
// wrote is not recorded; it is never none.
package travel

import (
	"slices"
	"sort"

	"stackbook/record"
	"stackbook/schema"
)

// Shop is what one state of a book knows of parts: its engines, or some of
// them, and the files of parts/.
type Shop struct {
	Engines []*record.Engine
	Files   []*record.PartFile
	Every   *Interval // the book's own interval of crack tests; nil: none

	seats map[string][]Seat             // by serial, and by lot
	outs  map[string][]Out              // by serial, and by lot
	files map[string][]*record.PartFile // by serial, and by lot

	tests   map[string][]Test // by the engine's folder
	testsOf map[string][]Test // by serial
}

// Seat is a part where it is fitted now.
type Seat struct {
	Engine *record.Engine
	Part   record.Part
}

// Out is a part that was taken out of an engine.
type Out struct {
	Engine *record.Engine
	record.Removed
}

// New gathers what is known of parts. Engines are taken by number, whatever
// their order; every may be nil. An engine may be in outline: what others have to
// know of it is then told as well, and it can be asked about itself when it is
// given whole.
func New(engines []*record.Engine, files []*record.PartFile, every *Interval) *Shop {
	s := &Shop{Engines: append([]*record.Engine(nil), engines...), Files: files, Every: every,
		seats: map[string][]Seat{}, outs: map[string][]Out{}, files: map[string][]*record.PartFile{},
		tests: map[string][]Test{}, testsOf: map[string][]Test{}}
	sort.SliceStable(s.Engines, func(i, j int) bool { return s.Engines[i].Number < s.Engines[j].Number })
	for _, e := range s.Engines {
		s.take(e)
		s.takeTests(e)
	}
	for _, f := range files {
		s.files[f.Bears()] = append(s.files[f.Bears()], f)
	}
	return s
}

func (s *Shop) take(e *record.Engine) {
	for _, p := range e.Parts() {
		for _, key := range identities(p.Serial, p.Lot) {
			s.seats[key] = append(s.seats[key], Seat{e, p})
		}
	}
	for _, c := range e.Changes {
		for _, r := range c.Removed() {
			for _, key := range identities(r.Serial, r.Lot) {
				s.outs[key] = append(s.outs[key], Out{e, r})
			}
		}
	}
}

// identities are the words a part may be asked for by.
func identities(serial, lot string) []string {
	var keys []string
	if serial != "" {
		keys = append(keys, serial)
	}
	if lot != "" && lot != serial {
		keys = append(keys, lot)
	}
	return keys
}

// kindOf is the kind of a position, the same for rotor/1 and rotor/2.
func kindOf(position string) schema.Pattern {
	for _, kind := range schema.Positions {
		if kind.Pattern.Match(position, 0) {
			return kind.Pattern
		}
	}
	return ""
}

// same tells whether a part taken out at a position may be the one fitted in a
// seat. A removal names no part number.
func (o Out) same(seat Seat) bool {
	return o.Serial != "" && o.Serial == seat.Part.Serial && kindOf(o.From) == kindOf(seat.Part.Position)
}

// outsOf lists the removals of the part fitted in a seat, by their dates.
func (s *Shop) outsOf(seat Seat) []Out {
	var list []Out
	for _, o := range s.outs[seat.Part.Serial] {
		if o.same(seat) {
			list = append(list, o)
		}
	}
	sort.SliceStable(list, func(i, j int) bool { return list[i].Change.Date.Time.Before(list[j].Change.Date.Time) })
	return list
}

// fileOf is the file of the part fitted in a seat, by its serial, else by its
// lot; nil where there is none.
func (s *Shop) fileOf(seat Seat) *record.PartFile {
	for _, key := range identities(seat.Part.Serial, seat.Part.Lot) {
		for _, f := range s.files[key] {
			own := f.Serial != "" && f.Serial == seat.Part.Serial || f.Lot != "" && f.Lot == seat.Part.Lot
			if own && record.SameNumber(f.Number, seat.Part.Number) {
				return f
			}
		}
	}
	return nil
}

// isSame tells whether two are one engine, whole or in outline.
func isSame(a, b *record.Engine) bool { return a.Folder == b.Folder }

// Elsewhere tells whether another engine has, had or tested a part that bears
// the serial of one fitted in this engine. Where none does, nothing the others
// tell can alter what this engine's records say of its parts.
func (s *Shop) Elsewhere(e *record.Engine) bool {
	for _, p := range e.Parts() {
		serial := Seat{e, p}.serial()
		if serial == "" {
			continue
		}
		if slices.ContainsFunc(s.seats[serial], func(o Seat) bool { return o.Part.Serial == serial && !isSame(o.Engine, e) }) ||
			slices.ContainsFunc(s.outs[serial], func(o Out) bool { return o.Serial == serial && !isSame(o.Engine, e) }) ||
			slices.ContainsFunc(s.testsOf[serial], func(t Test) bool { return !isSame(t.Engine, e) }) {
			return true
		}
	}
	return false
}

// Serials lists what Elsewhere goes by: the serials that the parts fitted in an
// engine are told by, and those of which the engine has anything to tell, the
// first among them. Where no other engine tells one that is asked, Elsewhere is
// false.
func Serials(e *record.Engine) (asked, told []string) {
	for _, p := range e.Parts() {
		asked = append(asked, Seat{e, p}.serial())
		told = append(told, p.Serial)
	}
	for _, c := range e.Changes {
		for _, r := range c.Removed() {
			told = append(told, r.Serial)
		}
	}
	for _, session := range e.Sessions {
		for _, t := range TestsIn(e, session) {
			told = append(told, session.Serial(t.Position), session.Serial(rotorOf(t.Position)))
		}
	}
	return eachOnce(asked), eachOnce(told)
}

// eachOnce sorts words and leaves out the empty one.
func eachOnce(words []string) []string {
	slices.Sort(words)
	words = slices.Compact(words)
	if len(words) > 0 && words[0] == "" {
		words = words[1:]
	}
	return words
}

// after tells whether a day is known to be later than another.
func after(a, b schema.Date) bool {
	order, known := a.Compare(b)
	return known && order > 0
}
