package record

import (
	"fmt"
	"slices"
	"sort"
	"strings"

	"stackbook/schema"
	"stackbook/schema/problem"
	"stackbook/schema/quantity"
)

// Origin says where a value comes from.
type Origin string

// The origins of a value.
const (
	Measured Origin = "measured" // read in a session of this build
	Carried  Origin = "carried"  // read in an earlier build, on the part still fitted
	Nominal  Origin = "nominal"  // written in the spec, not measured
)

// Counted is a reading that counts, with where it comes from.
type Counted struct {
	*schema.Reading
	Session *Session
	Origin  Origin
	From    int // the build it was read in
}

// Ref is where the reading stands.
func (c Counted) Ref() Ref { return c.Session.Ref(c.Node) }

// Mean is the mean of the repeats of the reading, exact; of an interval its
// middle. ok is false for a reading in words.
func (c Counted) Mean() (quantity.Quantity, bool) { return Mean(c.Reading) }

// Mean is the mean of the repeats of a reading, exact; of an interval its
// middle. ok is false for a reading in words.
func Mean(r *schema.Reading) (quantity.Quantity, bool) {
	values := r.Values
	if len(r.Between) == 2 {
		values = r.Between
	}
	if len(values) == 0 {
		return quantity.Quantity{}, false
	}
	return quantity.Mean(values), true
}

// Counting returns the readings of a point at a position that count for the
// engine's build, one a place, by place (rule R1):
//
//  1. the latest session of this build whose stage describes the engine as
//     built: what is found on arrival or on parts as they came serves wear only;
//  2. else the latest of an earlier build, carried while the same part is
//     fitted: the same serial, or, without serials, no replacement since;
//  3. machining, repair or replacement after a reading voids it for what it
//     touches, except that a part's serial proves it was not replaced; a
//     reading and a change of one day without times are a problem, since
//     their order is not known.
//
// Readings of the assembly itself (end float) are never carried. A nominal
// value of the spec is the last resort and is the caller's. Two sessions of
// which neither is known to be later, with different values, are a problem
// and not a choice.
func (e *Engine) Counting(point *schema.Point, position string) ([]Counted, problem.List) {
	all := e.Usable(point, position)
	slices.SortStableFunc(all, func(a, b Counted) int { return strings.Compare(a.Place, b.Place) })
	counted := all[:0]
	var problems problem.List
	for len(all) > 0 {
		n := 1
		for n < len(all) && all[n].Place == all[0].Place {
			n++
		}
		best, problem := choose(all[:n])
		counted, all = append(counted, best), all[n:]
		problems = append(problems, problem...)
		problems = append(problems, e.sameDay(position, best)...)
	}
	return counted, problems
}

// Counts tells whether a point has any reading at a position that counts for the
// engine's build.
func (e *Engine) Counts(point *schema.Point, position string) bool {
	return slices.ContainsFunc(e.near(point, position), func(t taken) bool {
		_, ok := e.candidate(point, position, t)
		return ok
	})
}

// Usable lists every reading of a point at a position that may count for the
// engine's build, of which Counting takes the latest of each place: by date, the
// latest last.
func (e *Engine) Usable(point *schema.Point, position string) []Counted {
	near := e.near(point, position)
	if len(near) == 0 {
		return nil
	}
	all := make([]Counted, 0, len(near))
	for _, t := range near {
		if c, ok := e.candidate(point, position, t); ok {
			all = append(all, c)
		}
	}
	return all
}

// near lists the readings that could be of this point here: those taken at the
// position, and those taken elsewhere on the part now fitted.
func (e *Engine) near(point *schema.Point, position string) []taken {
	list := e.at[spot{point, position}]
	part := point.PartOf(position)
	fitted := e.fitted[part]
	if part == "" || fitted.Serial == "" {
		return list
	}
	moved := false
	for _, t := range e.bySerial[onPart(point, fitted.Serial, strings.TrimPrefix(position, part))] {
		if t.reading.Position != position {
			if !moved {
				list, moved = append([]taken(nil), list...), true
			}
			list = append(list, t)
		}
	}
	return list
}

// candidate tells whether a reading may count at all, and as what.
func (e *Engine) candidate(point *schema.Point, position string, t taken) (Counted, bool) {
	if t.session.Stage == nil || !t.session.Stage.AsBuilt || t.session.Build > e.Build {
		return Counted{}, false
	}
	same, bySerial := e.samePart(point, position, t)
	if !same || e.voided(position, t, bySerial) {
		return Counted{}, false
	}
	c := Counted{Reading: t.reading, Session: t.session, Origin: Measured, From: t.session.Build}
	if c.From < e.Build {
		c.Origin = Carried
	}
	return c, true
}

// samePart tells whether the reading was taken on the part now fitted at the
// position; bySerial, whether serials prove it.
func (e *Engine) samePart(point *schema.Point, position string, t taken) (same, bySerial bool) {
	now := point.PartOf(position)
	if now == "" {
		return t.reading.Position == position && t.session.Build == e.Build, false
	}
	then := point.PartOf(t.reading.Position)
	if strings.TrimPrefix(t.reading.Position, then) != strings.TrimPrefix(position, now) {
		return false, false
	}
	fitted, _ := e.PartAt(now)
	read := t.session.Serial(then)
	switch {
	case fitted.Serial != "" && read != "":
		return fitted.Serial == read, true
	case fitted.Origin == "new" && t.session.Build < e.Build:
		return false, false // a new part was not there to be read in an earlier build
	}
	return then == now, false
}

// voided tells whether a later change made the reading worthless.
func (e *Engine) voided(position string, t taken, bySerial bool) bool {
	for _, c := range e.Changes {
		order, known := c.Date.Compare(t.session.Date)
		if known && order > 0 && e.voids(c, position, t, bySerial) {
			return true
		}
	}
	return false
}

// voids tells whether a change, if it came after the reading, would make it
// worthless.
func (e *Engine) voids(c *Change, position string, t taken, bySerial bool) bool {
	if c.Kind == nil || !c.Kind.Voids || c.Build > e.Build || bySerial && c.Kind.Name == "replacement" {
		return false
	}
	for _, was := range e.touchedWhere(c, position, t, bySerial) {
		if c.Reaches(was) {
			return true
		}
	}
	return false
}

// sameDay reports a change that may or may not have come after the reading.
func (e *Engine) sameDay(position string, best Counted) problem.List {
	t := taken{best.Reading, best.Session}
	_, bySerial := e.samePart(best.Point, position, t)
	for _, c := range e.Changes {
		if _, known := c.Date.Compare(best.Session.Date); known || !e.voids(c, position, t, bySerial) {
			continue
		}
		ref := best.Ref()
		return problem.List{{File: ref.File, Line: ref.Line, Column: ref.Column, Rule: "R1",
			Message: fmt.Sprintf("%s at %s was read on the day of %s, which touches it: before or after?", best.Point.ID, best.Key, c.Path),
			Mend:    "give both a time: date: " + c.Date.Day() + " 14:30"}}
	}
	return nil
}

// choose takes the latest of the candidates of one place.
func choose(candidates []Counted) (Counted, problem.List) {
	best := candidates[0]
	var rivals []Counted
	for _, c := range candidates[1:] {
		order, known := c.Session.Date.Compare(best.Session.Date)
		switch {
		case c.From != best.From:
			if c.From > best.From {
				best, rivals = c, nil
			}
		case !known || order == 0:
			rivals = append(rivals, c)
		case order > 0:
			best, rivals = c, nil
		}
	}
	for _, c := range rivals {
		if !sameReading(best.Reading, c.Reading) {
			return best, problem.List{tie(best, c)}
		}
	}
	return best, nil
}

func tie(a, b Counted) problem.Problem {
	ref := b.Ref()
	return problem.Problem{File: ref.File, Line: ref.Line, Column: ref.Column, Rule: "R1",
		Message: fmt.Sprintf("%s at %s differs from %s, and neither is known to be later", b.Point.ID, b.Key, a.Ref()),
		Mend:    "give both sessions a time: date: " + b.Session.Date.Day() + " 14:30"}
}

func sameReading(a, b *schema.Reading) bool {
	if a.Text != b.Text || len(a.Values) != len(b.Values) || len(a.Between) != len(b.Between) {
		return false
	}
	for i := range a.Values {
		if !a.Values[i].Equal(b.Values[i]) {
			return false
		}
	}
	for i := range a.Between {
		if !a.Between[i].Equal(b.Between[i]) {
			return false
		}
	}
	return true
}

// Positions lists the positions at which a point has a reading that counts
// for the engine's build, in the order of the engine, front to rear.
func (e *Engine) Positions(point *schema.Point) []string {
	var all []string
	for _, kind := range point.At {
		for _, position := range e.expand(kind, point) {
			if !slices.Contains(all, position) && e.Counts(point, position) { // some dozens at most
				all = append(all, position)
			}
		}
	}
	return all
}

// expand lists the positions of a kind; where their number is not fixed, those
// that were read.
func (e *Engine) expand(kind schema.Pattern, point *schema.Point) []string {
	if !strings.Contains(string(kind), "*n") {
		return kind.Expand(e.Rotors)
	}
	seen := map[string]bool{}
	for _, t := range e.byPoint[point.ID] {
		if kind.Match(t.reading.Position, e.Rotors) {
			seen[t.reading.Position] = true
		}
	}
	list := sortedKeys(seen)
	sort.SliceStable(list, func(i, j int) bool { return len(list[i]) < len(list[j]) })
	return list
}

func sortedKeys[V any](m map[string]V) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	sort.Strings(keys)
	return keys
}
