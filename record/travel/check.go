package travel

import (
	"fmt"

	"stackbook/record"
	"stackbook/schema/problem"
)

// Check finds what cannot be true of one of an engine's parts in two records: a
// serial fitted twice; one that its file, a removal or a crack test puts elsewhere
// or rules out while a spec has it fitted; hours at fitting other than those
// counted before; readings that count though it was altered elsewhere since. Only
// among all engines of the book is it complete.
func (s *Shop) Check(e *record.Engine) problem.List {
	var problems problem.List
	for _, p := range e.Parts() {
		if p.Serial == "" {
			continue
		}
		seat := Seat{e, p}
		for _, check := range []func(Seat) problem.List{s.fittedTwice, s.fileElsewhere, s.scrapped, s.crackedAndFitted, s.hoursAtOdds, s.alteredElsewhere} {
			problems = append(problems, check(seat)...)
		}
	}
	problems.Sort()
	return problems
}

// CheckFiles finds part files at odds with one another, and more pieces of a lot
// fitted than came.
func (s *Shop) CheckFiles() problem.List {
	problems := record.SamePart(s.Files)
	for _, f := range s.Files {
		problems = append(problems, s.piecesFitted(f)...)
	}
	problems.Sort()
	return problems
}

func (seat Seat) problem(rule, message, mend string) problem.List {
	return at(seat.Part.Ref, rule, message, mend)
}

func at(ref record.Ref, rule, message, mend string) problem.List {
	return problem.List{{File: ref.File, Line: ref.Line, Column: ref.Column, Rule: rule, Message: message, Mend: mend}}
}

// String names a seat: "SK-01 at rotor/2".
func (seat Seat) String() string { return seat.Engine.Number + " at " + seat.Part.Position }

// like tells whether two seats hold what one part would: the same serial, no
// two part numbers, and the same kind of position.
func (seat Seat) like(other Seat) bool {
	return seat.Part.Serial == other.Part.Serial && record.SameNumber(seat.Part.Number, other.Part.Number) && kindOf(seat.Part.Position) == kindOf(other.Part.Position)
}

// fittedTwice is told once, at the later of two seats.
func (s *Shop) fittedTwice(seat Seat) problem.List {
	for _, other := range s.seats[seat.Part.Serial] {
		if isSame(other.Engine, seat.Engine) && other.Part.Position == seat.Part.Position {
			return nil
		}
		if seat.like(other) {
			return seat.problem("fitted-twice", fmt.Sprintf("%s is fitted here and in %s, %s", seat.Part.Serial, other, other.Part.Ref),
				"a part is in one place: take it out of the spec it left, with a change that says removed")
		}
	}
	return nil
}

// fileElsewhere is a part whose file says that it is not in an engine.
func (s *Shop) fileElsewhere(seat Seat) problem.List {
	f := s.fileOf(seat)
	if f == nil || f.Serial == "" {
		return nil
	}
	last, ok := f.Last()
	if !ok || last.Is == "another engine" || last.Is == "" {
		return nil
	}
	return at(last.Ref, "whereabouts", fmt.Sprintf("%s is %q here since %s, and is fitted in %s, %s", seat.Part.Serial, last.Is, last.Since.Day(), seat, seat.Part.Ref),
		fmt.Sprintf("add the move to it: {since: ..., is: another engine, where: %s}, or take the part out of the spec", seat))
}

// scrapped is a part that was taken out to scrap.
func (s *Shop) scrapped(seat Seat) problem.List {
	for _, o := range s.outsOf(seat) {
		if o.To == "scrap" {
			return seat.problem("scrapped", fmt.Sprintf("%s is fitted here, and went to scrap from %s on %s, %s", seat.Part.Serial, o.Engine.Number, o.Change.Date.Day(), o.Ref),
				"write the serial of the part that is fitted, or where the other really went")
		}
	}
	return nil
}

// crackedAndFitted is a part that was fitted, or left the shop, after it was
// found cracked. One that was found cracked where it sits is the engine's own
// affair until then.
func (s *Shop) crackedAndFitted(seat Seat) problem.List {
	tests := s.Tests(seat)
	if len(tests) == 0 {
		return nil
	}
	last := tests[len(tests)-1]
	if last.Result != "cracked" {
		return nil
	}
	day := last.Session.Date
	fitting := seat.Engine.Fitting(seat.Part)
	delivery := seat.Engine.Delivered(seat.Engine.Build)
	switch {
	case !isSame(last.Engine, seat.Engine), fitting.Change != nil && after(fitting.Change.Date, day), delivery != nil && after(delivery.Date, day):
		return seat.problem("cracked", fmt.Sprintf("%s is fitted here, and was found cracked on %s, %s", seat.Part.Serial, day.Day(), last.Ref),
			"do not run it: fit another, or record the later test that cleared it")
	}
	return nil
}

// hoursAtOdds is a part whose hours at fitting are not those counted when it
// was last taken out of an engine, or by its file.
func (s *Shop) hoursAtOdds(seat Seat) problem.List {
	fitting := seat.Engine.Fitting(seat.Part)
	before := s.told(seat, fitting)
	if before == nil {
		return nil
	}
	given, ok := seat.Engine.HoursAtFitting(seat.Part)
	if !ok && seat.Part.Origin != "new" {
		return nil
	}
	if !ok {
		given.Ref = seat.Part.Ref
	}
	if !given.Differs(before.Hours) {
		return nil
	}
	said := fmt.Sprintf("%s had run %s when it was fitted here", seat.Part.Serial, given)
	if !ok {
		said = seat.Part.Serial + " is new here"
	}
	return at(given.Ref, "hours", fmt.Sprintf("%s, and %s by %s", said, before.Hours, before.by), "write the part's own hours, in every engine, or mend where they were counted")
}

// piecesFitted sees that no more pieces of a lot are fitted than came.
func (s *Shop) piecesFitted(f *record.PartFile) problem.List {
	if f.Lot == "" || f.Pieces == 0 {
		return nil
	}
	var seats []Seat
	for _, seat := range s.seats[f.Lot] {
		if seat.Part.Lot == f.Lot && record.SameNumber(seat.Part.Number, f.Number) {
			seats = append(seats, seat)
		}
	}
	if len(seats) <= f.Pieces {
		return nil
	}
	sortSeats(seats)
	extra := seats[f.Pieces]
	return at(f.Ref(f.Node("pieces")), "pieces", fmt.Sprintf("%d pieces of lot %s came, and %d are fitted: one more than came in %s, %s", f.Pieces, f.Lot, len(seats), extra, extra.Part.Ref), "count again, or write the lot each part came from")
}
