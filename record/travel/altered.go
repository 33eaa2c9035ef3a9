package travel

import (
	"fmt"
	"strings"

	"stackbook/record"
	"stackbook/schema"
	"stackbook/schema/problem"
)

// alteredElsewhere is a part that was machined or repaired while it sat in another
// engine, after it was read here. Work voids what was read before, wherever it was
// done (R1), and which readings count follows from an engine's own records: so
// they have to say it.
func (s *Shop) alteredElsewhere(seat Seat) problem.List {
	var problems problem.List
	for _, out := range s.outsOf(seat) {
		if isSame(out.Engine, seat.Engine) {
			continue
		}
		for _, c := range out.Engine.Changes {
			if c.Kind == nil || !c.Kind.Voids || c.Kind.Name == "replacement" || !out.sat(c) {
				continue
			}
			if void := readBefore(seat, out, c); len(void) > 0 {
				problems = append(problems, voidHere(seat, out, c, void)...)
			}
		}
	}
	return problems
}

// sat tells whether the part taken out was still there when a change of its engine
// was made: it is the next to leave its position.
func (o Out) sat(c *record.Change) bool {
	next := o.Removed
	found := false
	for _, later := range o.Engine.Changes {
		if after(c.Date, later.Date) {
			continue
		}
		for _, r := range later.Removed() {
			if r.From == o.From && (!found || after(next.Change.Date, r.Change.Date)) {
				next, found = r, true
			}
		}
	}
	return found && next.Serial == o.Serial && next.Change.Date == o.Change.Date
}

// readBefore lists the readings of the part in a seat that count, of what a change
// in another engine touched, and are not known to be later than it.
func readBefore(seat Seat, out Out, c *record.Change) []record.Counted {
	var void []record.Counted
	for i := range schema.Points() {
		point := &schema.Points()[i]
		for _, position := range seat.Engine.Positions(point) {
			if point.PartOf(position) != seat.Part.Position || !c.Reaches(out.From+strings.TrimPrefix(position, seat.Part.Position)) {
				continue
			}
			counted, _ := seat.Engine.Counting(point, position)
			for _, r := range counted {
				if order, known := c.Date.Compare(r.Session.Date); !known || order > 0 {
					void = append(void, r)
				}
			}
		}
	}
	return void
}

func voidHere(seat Seat, out Out, c *record.Change, void []record.Counted) problem.List {
	first := void[0]
	text := fmt.Sprintf("%s of %s was read here on %s, and %s altered it in %s on %s, %s: what was read before that does not hold",
		first.Point.ID, seat.Part.Serial, first.Session.Date.Day(), c.Kind.Name, out.Engine.Number, c.Date.Day(), record.Ref{File: c.Path, Line: c.Doc.Root().Line()})
	if more := len(void) - 1; more > 0 {
		text += fmt.Sprintf(" (and %d more of its readings)", more)
	}
	return at(first.Ref(), "R1", text, fmt.Sprintf("read it again after %s, or record the %s here as well, touching %s", c.Date.Day(), c.Kind.Name, seat.Part.Position))
}
