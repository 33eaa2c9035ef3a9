package travel

import (
	"slices"
	"sort"
	"strings"

	"stackbook/record"
	"stackbook/schema"
)

// Trace is what one engine's records tell of where a serial or lot is and was, in
// plain values: the engine can be let go, and the trace written down and read
// back.
type Trace struct {
	Engine string
	Fitted []record.Part // where the spec has it
	Out    []TracedOut
	Since  schema.Date   // of the last that is fitted, by its serial: the day of its fitting, zero where no change tells it
	Hours  *record.Hours // and how long it has run; nil: not known
}

// TracedOut is a part that was taken out, as far as it tells where that is.
type TracedOut struct {
	Serial, To, Text string
	Date             schema.Date
	Hours            *record.Hours
	Ref              record.Ref
}

// Traces gives what one of the shop's engines tells of each serial and lot. The
// hours and crack tests of others count as far as they are in the shop.
func (s *Shop) Traces(e *record.Engine) map[string]*Trace {
	all := map[string]*Trace{}
	of := func(name string) *Trace {
		if all[name] == nil {
			all[name] = &Trace{Engine: e.Number}
		}
		return all[name]
	}
	for _, p := range e.Parts() {
		for _, name := range identities(p.Serial, p.Lot) {
			t := of(name)
			if t.Fitted = append(t.Fitted, p); name == p.Serial {
				seat := Seat{e, p}
				t.Since, t.Hours = s.fittedEvent(seat).Date, s.Run(seat).Now
			}
		}
	}
	for _, c := range e.Changes {
		for _, r := range c.Removed() {
			for _, name := range identities(r.Serial, r.Lot) {
				t := of(name)
				t.Out = append(t.Out, TracedOut{r.Serial, r.To, joined(r.Where, r.Note), c.Date, r.Hours, r.Ref})
			}
		}
	}
	return all
}

// FromTraces tells where a serial or lot is, as Now does of a shop with all the
// engines that left traces of it; files are those of parts/ that bear it. The
// engines of its seats have no more than their number.
func FromTraces(name string, traces []*Trace, files []*record.PartFile) *Life {
	traces = slices.Clone(traces)
	slices.SortStableFunc(traces, func(a, b *Trace) int { return strings.Compare(a.Engine, b.Engine) })
	l := &Life{Name: name}
	for _, t := range traces {
		for _, p := range t.Fitted {
			l.Seats = append(l.Seats, Seat{&record.Engine{Number: t.Engine}, p})
		}
	}
	sortSeats(l.Seats)
	l.identify(files)
	for _, t := range traces {
		for _, o := range t.Out {
			l.Lot = l.Lot || o.Serial != name
			l.Events = append(l.Events, Event{Date: o.Date, What: Removed, Engine: t.Engine, To: o.To, Text: o.Text, Hours: o.Hours, Ref: o.Ref})
		}
	}
	sort.SliceStable(l.Events, func(i, j int) bool { return l.Events[i].Date.Time.Before(l.Events[j].Date.Time) })
	l.Place = l.lastPut()
	if len(l.Seats) == 1 && !l.Lot {
		i := slices.IndexFunc(traces, func(t *Trace) bool { return len(t.Fitted) > 0 })
		l.Place = Place{Seats: l.Seats, Since: traces[i].Since, Hours: traces[i].Hours, Ref: l.Seats[0].Part.Ref}
	}
	return l
}
