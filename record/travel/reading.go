package travel

import (
	"stackbook/record"
	"stackbook/schema"
)

// HoursAt tells how long a part had run when a session of an engine read it at a
// position: serial is the part's, "" where it bears none. own is false where what
// it had run before it was fitted there is not recorded: then the hours are those
// since it was fitted. ok is false where the records do not tell.
//
// A part that was taken out later is reckoned back from the hours counted at its
// removal; one that is still there, forward from its fitting; one without a
// serial that was replaced later, from the replacement before.
func (s *Shop) HoursAt(e *record.Engine, session *record.Session, position, serial string) (h record.Hours, own, ok bool) {
	then, known := HoursOfSession(e, session)
	if !known {
		return h, false, false
	}
	if o := s.outSince(e, session, serial); o != nil && o.Hours != nil {
		if out, counted := o.Change.EngineHours(); counted {
			return o.Hours.Less(out.Less(then)), true, true
		}
	}
	part, fitted := e.PartAt(position)
	if fitted && part.Serial == serial && (serial != "" || !e.ReplacedSince(position, session.Date)) {
		fitting := e.Fitting(part)
		if fitting.Hours == nil {
			return h, false, false
		}
		here := then.Less(*fitting.Hours)
		if had, _ := s.atFitting(Seat{e, part}, fitting); had != nil {
			return had.Plus(here), true, true
		}
		return here, false, here.Value >= 0
	}
	start, known := replacedAt(e, session, position)
	return then.Less(start), false, known
}

// outSince is the first removal of a part from an engine that is not known to be
// earlier than a session; nil where it was not taken out since.
func (s *Shop) outSince(e *record.Engine, session *record.Session, serial string) *Out {
	if serial == "" {
		return nil
	}
	for _, o := range s.outs[serial] { // of one engine by date
		if isSame(o.Engine, e) && o.Serial == serial && !after(session.Date, o.Change.Date) {
			return &o
		}
	}
	return nil
}

// HoursOfSession are the engine's hours at a session: its own, else those known
// by its day, else, at the bench, those at which the build was opened.
func HoursOfSession(e *record.Engine, session *record.Session) (record.Hours, bool) {
	if h, ok := session.EngineHours(); ok {
		return h, true
	}
	if h, ok := e.HoursOn(session.Date); ok {
		return h, true
	}
	if _, start := schema.FindStage("first-start"); session.Order >= start {
		return record.Hours{}, false
	}
	return e.HoursAtOpening(session.Build)
}

// replacedAt are the engine's hours when what a session read at a position was
// fitted: at the last replacement before it, else at the engine's beginning.
func replacedAt(e *record.Engine, session *record.Session, position string) (record.Hours, bool) {
	var start record.Hours
	ok := true
	for _, c := range e.Changes {
		if c.Kind == nil || c.Kind.Name != "replacement" || !c.Reaches(position) || c.Behind(session) {
			continue
		}
		if start, ok = c.EngineHours(); !ok {
			start, ok = e.HoursOn(c.Date)
		}
	}
	return start, ok
}
