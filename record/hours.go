package record

import (
	"fmt"
	"math"
	"sort"
	"strconv"

	"stackbook/schema"
	"stackbook/schema/problem"
	"stackbook/schema/quantity"
	"stackbook/schema/source"
)

// Hours is a count of running hours with how far it may be off and where it
// comes from.
//
// Two counts of one engine rest on one meter or one log book: what was missed
// before the first of them is missed in the second too. So their errors are
// not independent, and a difference or sum of them is given the greater of the
// errors stated, neither their sum nor their root of squares. An error nobody
// stated is not known, which is not none.
type Hours struct {
	Value  float64  // h
	Error  *float64 // h; nil: not stated
	Source string   // who or what counted, as written: meter, logger, the customer
	Ref    Ref      // where it is written; no file where it is of no single line
}

// String is "61 ± 3 h", or "4 h" where no error is stated.
func (h Hours) String() string {
	text := HoursText(h.Value)
	if h.Error != nil {
		text += " ± " + HoursText(*h.Error)
	}
	return text + " h"
}

// HoursText prints hours without their unit, to a hundredth where it has one.
func HoursText(hours float64) string {
	return strconv.FormatFloat(quantity.RoundTo(hours, 0.01), 'f', -1, 64)
}

// Less is the count since an earlier one of the same meter. Two equal counts
// leave none, and no error: nothing ran between them.
func (h Hours) Less(earlier Hours) Hours {
	if math.Abs(h.Value-earlier.Value) <= hourStep {
		return Hours{Source: h.Source, Ref: h.Ref}
	}
	return h.combine(earlier, -1)
}

// Plus is the count with another before it.
func (h Hours) Plus(other Hours) Hours { return h.combine(other, 1) }

func (h Hours) combine(o Hours, sign float64) Hours {
	sum := Hours{Value: quantity.RoundTo(h.Value+float64(sign*o.Value), hourStep), Error: h.Error, Source: h.Source, Ref: h.Ref}
	if sum.Error == nil || o.Error != nil && *o.Error > *sum.Error {
		sum.Error = o.Error
	}
	return sum
}

// Differs tells whether two counts of one thing are at odds: by more than their
// stated errors together.
func (h Hours) Differs(o Hours) bool { return h.apart(o) > hourStep || o.apart(h) > hourStep }

// apart is by how much h is more than o beyond what both may be off, less than
// zero where it need not be more.
func (h Hours) apart(o Hours) float64 { return h.Value - o.Value - h.off() - o.off() }

func (h Hours) off() float64 {
	if h.Error == nil {
		return 0
	}
	return *h.Error
}

// hourStep is the step hours are kept to, a few thousandths of a second: binary
// digits below it say nothing.
const hourStep = 1e-6 // h

func inHours(text string) (float64, bool) {
	q, err := quantity.Parse(text, quantity.Time, "h")
	if text == "" || err != nil {
		return 0, false
	}
	return quantity.RoundTo(quantity.FromSI(q.SI(), quantity.MustLookup("h")), hourStep), true
}

// hoursAt reads hours and hours_error of a mapping inside a record, nil where
// no hours are written.
func hoursAt(r *Record, n *source.Node) *Hours {
	value, ok := inHours(textOf(n, "hours"))
	if !ok {
		return nil
	}
	h := Hours{Value: value, Source: textOf(n, "hours_source"), Ref: r.Ref(n.Get("hours"))}
	if off, ok := inHours(textOf(n, "hours_error")); ok {
		h.Error = &off
	}
	return &h
}

// EngineHours are the running hours of the engine in all that a session or
// change gives; ok is false where it gives none.
func (r *Record) EngineHours() (h Hours, ok bool) {
	if given := hoursAt(r, r.Doc.Root()); given != nil {
		return *given, true
	}
	return Hours{}, false
}

// partHours reads one of the hours of a part of the spec.
func (e *Engine) partHours(p Part, key string) (Hours, bool) {
	n := e.Spec.Doc.Root().At("parts", p.Position, key)
	if n == nil || n.IsNull() {
		return Hours{}, false
	}
	value, ok := inHours(n.Text())
	return Hours{Value: value, Ref: e.Spec.Ref(n)}, ok
}

// HoursAtFitting are the hours the spec says a part had run when it was fitted
// where it is; ok is false where the spec does not say.
func (e *Engine) HoursAtFitting(p Part) (Hours, bool) { return e.partHours(p, "hours_at_fitting") }

// counted is one record that gives the engine's running hours.
type counted struct {
	Hours
	date   schema.Date
	build  int
	before bool // made before the engine ran in this build
}

// countHours lists the records that give the engine's hours, by date, then hours.
func (e *Engine) countHours() []counted {
	var list []counted
	_, firstStart := schema.FindStage("first-start")
	for _, s := range e.Sessions {
		if h, ok := s.EngineHours(); ok && s.Build <= e.Build {
			list = append(list, counted{h, s.Date, s.Build, s.Stage != nil && s.Order < firstStart})
		}
	}
	for _, c := range e.Changes {
		if h, ok := c.EngineHours(); ok && c.Build <= e.Build {
			list = append(list, counted{h, c.Date, c.Build, c.Kind != nil && c.Kind.Name == "teardown"})
		}
	}
	sort.SliceStable(list, func(i, j int) bool {
		if order := list[i].date.Time.Compare(list[j].date.Time); order != 0 {
			return order < 0
		}
		return list[i].Value < list[j].Value
	})
	return list
}

// HoursNow are the running hours of the engine in all: those of the latest
// record that gives them. ok is false where none does.
func (e *Engine) HoursNow() (h Hours, ok bool) {
	if len(e.hours) == 0 {
		return Hours{}, false
	}
	return e.hours[len(e.hours)-1].Hours, true
}

// HoursOn are the running hours of the engine on a day: those of the latest
// record on or before it. ok is false where none gives them.
func (e *Engine) HoursOn(date schema.Date) (h Hours, ok bool) {
	for _, c := range e.hours {
		if order, known := c.date.Compare(date); known && order > 0 {
			break
		}
		h, ok = c.Hours, true
	}
	return h, ok
}

// HoursAtOpening are the running hours of the engine when a build of it was
// opened: those of the first record of the build made before the engine ran
// again, as received, at the teardown or at the bench; else the last that the
// builds before tell. The first build opens at none. ok is false where no
// record tells.
//
// The delivery of the build before would not do: what the engine ran in its
// owner's hands since belongs to that build.
func (e *Engine) HoursAtOpening(build int) (h Hours, ok bool) {
	if build <= 1 {
		ok = true
	}
	for _, c := range e.hours {
		switch {
		case c.build < build:
			h, ok = c.Hours, true
		case c.build == build && c.before:
			return c.Hours, true
		}
	}
	return h, ok
}

// HoursSinceBuild are the running hours of the engine as it is built now. ok
// is false where the records do not tell.
func (e *Engine) HoursSinceBuild() (h Hours, ok bool) {
	now, ok1 := e.HoursNow()
	opened, ok2 := e.HoursAtOpening(e.Build)
	if !ok1 || !ok2 {
		return Hours{}, false
	}
	return now.Less(opened), true
}

// buildAt is the build in which the engine had run so many hours when its parts
// were put together: the last one opened at no more.
func (e *Engine) buildAt(h Hours) int {
	for n := e.Build; n > 1; n-- {
		if opened, ok := e.HoursAtOpening(n); ok && opened.Value <= h.Value+hourStep {
			return n
		}
	}
	return 1
}

// checkHours sees that the engine's hours and those of its parts can be.
func (e *Engine) checkHours() problem.List {
	return append(e.checkBackwards(), e.checkFittedLater()...)
}

// checkBackwards sees that the count of running hours never runs backwards by
// more than its stated errors.
func (e *Engine) checkBackwards() problem.List {
	var problems problem.List
	list := e.hours
	for i, c := range list {
		var most *counted
		for j := range list[:i] {
			before := &list[j]
			order, known := c.date.Compare(before.date)
			if known && order > 0 && before.apart(c.Hours) > hourStep && (most == nil || before.Value >= most.Value) {
				most = before
			}
		}
		if most != nil {
			problems = append(problems, c.problem(fmt.Sprintf("the engine has %s here, and had %s on %s by %s", c.Hours, most.Hours, most.date.Day(), most.Ref),
				"hours count the engine in all since it was new; say hours_error where they are not sure"))
		}
	}
	return problems
}

// checkFittedLater sees that no part was fitted at more hours of the engine
// than it has run.
func (e *Engine) checkFittedLater() problem.List {
	now, ok := e.HoursNow()
	if !ok {
		return nil
	}
	var problems problem.List
	for _, p := range e.parts {
		if fitted, given := e.partHours(p, "engine_hours_at_fitting"); given && fitted.apart(now) > hourStep {
			problems = append(problems, fitted.problem(fmt.Sprintf("%s was fitted at %s of the engine, which has run %s by %s", p.Position, fitted, now, now.Ref),
				"engine_hours_at_fitting are the engine's hours when the part was fitted; the part's own are hours_at_fitting"))
		}
	}
	return problems
}

func (h Hours) problem(message, mend string) problem.Problem {
	return problem.Problem{File: h.Ref.File, Line: h.Ref.Line, Column: h.Ref.Column, Rule: "hours", Message: message, Mend: mend}
}
