package travel

import (
	"fmt"

	"stackbook/record"
	"stackbook/schema"
)

// What the hours of a part at its fitting follow from; else a removal or a move
// of its file is named.
const (
	BySpec        = "the spec"
	AsNew         = "new"
	SinceTheFirst = "there since the first build"
)

// Run is how long a part has run in all, in every engine.
type Run struct {
	Now       *record.Hours // nil: not known
	Why       string        // why it is not known
	AtFitting *record.Hours // when it was fitted where it is; nil: not recorded
	From      string        // where that comes from: the spec, a removal, the part being new
	Fitting   record.Fitting
}

// Run reckons the hours of a fitted part: those it had when it was fitted, and
// those the engine has run since. What it had when fitted is, in this order,
//
//  1. hours_at_fitting of the spec;
//  2. none, of a part whose origin is new;
//  3. what was counted when it was last taken out of an engine, or by its
//     file of parts/;
//  4. none, of a part there since the first build whose origin is not said.
//
// Else it is not recorded.
func (s *Shop) Run(seat Seat) Run {
	run := Run{Fitting: seat.Engine.Fitting(seat.Part)}
	run.AtFitting, run.From = s.atFitting(seat, run.Fitting)
	now, ok := seat.Engine.HoursNow()
	switch {
	case run.AtFitting == nil:
		run.Why = "its hours when fitted are not recorded"
	case run.Fitting.Hours == nil:
		run.Why = "the engine's hours when it was fitted are not recorded"
	case !ok:
		run.Why = "no record gives the engine's hours"
	default:
		here := now.Less(*run.Fitting.Hours)
		if here.Value < 0 {
			run.Why = fmt.Sprintf("it was fitted at %s of the engine, which has run %s", run.Fitting.Hours, now)
			return run
		}
		sum := run.AtFitting.Plus(here)
		sum.Source, sum.Ref = now.Source, now.Ref
		run.Now = &sum
	}
	return run
}

func (s *Shop) atFitting(seat Seat, f record.Fitting) (*record.Hours, string) {
	if given, ok := seat.Engine.HoursAtFitting(seat.Part); ok {
		return &given, BySpec
	}
	if seat.Part.Origin == "new" {
		return &record.Hours{Ref: seat.Part.Ref}, AsNew
	}
	if told := s.told(seat, f); told != nil {
		return &told.Hours, told.by
	}
	if seat.Part.Origin == "" && f.First {
		return &record.Hours{Ref: seat.Part.Ref}, SinceTheFirst
	}
	return nil, ""
}

// fittedBy is the latest day a part can have been fitted on: that of the change
// that did it, else the delivery of its build. nil: there is none yet.
func fittedBy(e *record.Engine, f record.Fitting) *schema.Date {
	if f.Change != nil {
		return &f.Change.Date
	}
	if delivery := e.Delivered(f.Build); delivery != nil {
		return &delivery.Date
	}
	return nil
}

// told is a count of a part's own hours that was made outside the engine it is
// fitted in, or before it was fitted there again.
type told struct {
	record.Hours
	by   string
	date schema.Date
}

// told finds the latest count of a part's hours, by a removal or its file, that
// is not known to be later than its fitting. nil: there is none.
func (s *Shop) told(seat Seat, f record.Fitting) *told {
	var last *told
	until := fittedBy(seat.Engine, f)
	take := func(h *record.Hours, date schema.Date, by string) {
		if h == nil || until != nil && after(date, *until) {
			return
		}
		if last == nil || !last.date.Time.After(date.Time) {
			last = &told{*h, by, date}
		}
	}
	for _, o := range s.outsOf(seat) {
		if !isSame(o.Engine, seat.Engine) || f.Change != nil {
			take(o.Hours, o.Change.Date, fmt.Sprintf("its removal from %s, %s", o.Engine.Number, o.Ref))
		}
	}
	if file := s.fileOf(seat); file != nil && file.Serial != "" {
		for _, m := range file.Moves {
			take(m.Hours, m.Since, m.Ref.String())
		}
	}
	return last
}
