package history

import (
	"math"
	"slices"
	"sort"
	"strings"
	"sync"

	"stackbook/record"
	"stackbook/record/rotary"
	"stackbook/record/travel"
	"stackbook/schema"
	"stackbook/schema/quantity"
)

// Wear is one size of one part that was read more than once, over the hours the
// part had run. A new part, and a part that was machined or mended there, begins
// anew. What is found on arrival counts here as much as what is read before
// assembly.
//
// A rate is that of a straight line: of bedding-in and of damage it says nothing,
// and how long a part will last does not follow from it.
type Wear struct {
	Point    *schema.Point
	At       string // position and place of the latest reading in the engine asked about
	Serial   string // of the part; "" where it bears none
	Lot      string // of the part now fitted there, where it bears no serial
	Fitted   bool   // the part is fitted in the engine now, and was not altered there since
	Own      bool   // the hours are the part's own in all; false: since it was fitted
	Readings []WearReading

	Trend Trend
	Line  rotary.Line // fitted, but for too few readings; dictionary's unit over h
	Band  float64     // half-width of the 95 % interval of the rate, in the unit an hour
	Limit *Bound      // the end of the re-use limit the size moves towards; nil: none
	Reach *rotary.Reach
	Next  *Next // when to measure it again; nil: nothing says
}

// WearReading is one reading in a part's life.
type WearReading struct {
	*schema.Reading
	Engine  *record.Engine
	Session *record.Session
	Hours   float64 // h, the part's
	Value   float64 // in the dictionary's unit; of repeats the mean
}

// Trend is what a size does over the hours.
type Trend string

// The trends.
const (
	TooFew  Trend = "too few readings" // fewer than three
	NoTrend Trend = "no trend"         // the rate does not differ from none, at 95 %
	Grows   Trend = "grows"
	Shrinks Trend = "shrinks"
)

// Bound is one end of a re-use limit.
type Bound struct {
	Value float64 // in the dictionary's unit
	Most  bool    // the greatest value; else the least
	Set   string
}

// Next is when a size is to be measured again.
type Next struct {
	Hours   float64  // h, the part's
	Engine  *float64 // h, the engine's; nil: not known
	Because Because
}

// Because is what bounds the time to measure again.
type Because string

// The bounds.
const (
	ByLimit    Because = "the limit"           // from then on a reading could lie at the limit
	ByInterval Because = "the shop's interval" // opened by then anyway
	ByObserved Because = "twice the hours observed"
	Already    Because = "may be at the limit already"
)

// confidence of the intervals, both ways: common practice, no source.
const confidence = 0.95

// WearOf lists the sizes of an engine's parts that were read at least twice with
// hours run between, by point, then front to rear, then by the time they began.
// Other engines of the shop tell of parts that were there before. limits may be
// nil; interval, in h, is that from one opening to the next, nil where there is
// none.
func WearOf(shop *travel.Shop, e *record.Engine, limits *record.LimitSet, interval *float64) []*Wear {
	w := &wearing{shop: shop, engine: e, series: map[seriesKey][]WearReading{}, own: map[*schema.Reading]bool{}}
	w.gather(e, nil)
	for _, other := range shop.Engines {
		if other.Number != e.Number {
			w.gather(other, w.series)
		}
	}
	var list []*Wear
	for key, readings := range w.series {
		for _, stretch := range w.stretches(key, readings) {
			if wear := w.wear(key, stretch); wear != nil {
				wear.fit(limits, interval)
				list = append(list, wear)
			}
		}
	}
	sort.Slice(list, func(i, j int) bool { return list[i].before(list[j]) })
	return list
}

// seriesKey tells one size of one part: by serial wherever it is, else by its
// position in the engine.
type seriesKey struct{ point, serial, position, rest string }

type wearing struct {
	shop   *travel.Shop
	engine *record.Engine
	series map[seriesKey][]WearReading
	own    map[*schema.Reading]bool
}

// gather adds the readings of an engine, of another one only those of parts with
// serials that are known already.
func (w *wearing) gather(e *record.Engine, known map[seriesKey][]WearReading) {
	for _, session := range e.Sessions {
		for i := range session.Readings {
			r := &session.Readings[i]
			key, ok := keyOf(e, session, r)
			if !ok || known != nil && (key.serial == "" || known[key] == nil) {
				continue
			}
			q, isNumber := record.Mean(r)
			unit, err := quantity.MustLookup(r.Point.Unit).As(r.Point.Dim)
			hours, own, told := w.shop.HoursAt(e, session, r.Point.PartOf(r.Position), key.serial)
			if !isNumber || err != nil || !told {
				continue
			}
			w.own[r] = own
			w.series[key] = append(w.series[key], WearReading{r, e, session, hours.Value, quantity.FromSI(q.SI(), unit)})
		}
	}
}

// keyOf tells which size of which part a reading is of; ok is false for one of
// the assembly.
func keyOf(e *record.Engine, session *record.Session, r *schema.Reading) (key seriesKey, ok bool) {
	part := r.Point.PartOf(r.Position)
	if part == "" || r.Point.Text || !wears(r.Point) {
		return key, false
	}
	key = seriesKey{point: r.Point.ID, serial: session.Serial(part), rest: strings.TrimPrefix(r.Key, part)}
	if fitted, there := e.PartAt(part); key.serial == "" && there && !e.ReplacedSince(part, session.Date) {
		key.serial = fitted.Serial
	}
	if key.serial == "" {
		key.position = part
	}
	return key, true
}

// wears tells whether a point is a size that running alters: lengths, and the
// load of a spring. Masses and unbalance are set on the scale.
func wears(p *schema.Point) bool { return p.Dim == quantity.Length || p.Dim == quantity.Force }

// stretches parts the readings of a size where the part was replaced, machined or
// mended between two of them.
func (w *wearing) stretches(key seriesKey, readings []WearReading) [][]WearReading {
	sort.SliceStable(readings, func(i, j int) bool {
		a, b := readings[i].Session, readings[j].Session
		if order := a.Date.Time.Compare(b.Date.Time); order != 0 {
			return order < 0
		}
		return a.Order < b.Order
	})
	var list [][]WearReading
	for i, r := range readings {
		if i == 0 || begunBetween(key, readings[i-1], r) {
			list = append(list, nil)
		}
		list[len(list)-1] = append(list[len(list)-1], r)
	}
	return list
}

// begunBetween tells whether a change between two readings began the size anew.
func begunBetween(key seriesKey, a, b WearReading) bool {
	engines := []WearReading{a}
	if b.Engine != a.Engine {
		engines = append(engines, b)
	}
	for _, where := range engines {
		for _, c := range where.Engine.Changes {
			if begins(c, key, where.Position) && c.Behind(a.Session) && !c.Behind(b.Session) {
				return true
			}
		}
	}
	return false
}

// begins tells whether a change begins a size anew. A serial proves that the part
// was not replaced.
func begins(c *record.Change, key seriesKey, position string) bool {
	if key.serial == "" && slices.ContainsFunc(c.Removed(), func(r record.Removed) bool { return r.From == key.position }) {
		return true
	}
	return c.Kind != nil && c.Kind.Voids && c.Reaches(position) && !(key.serial != "" && c.Kind.Name == "replacement")
}

// wear is one stretch as a size that was read at least twice with hours run
// between, else nil.
func (w *wearing) wear(key seriesKey, readings []WearReading) *Wear {
	first, last := readings[0], readings[len(readings)-1]
	if len(readings) < 2 || !slices.ContainsFunc(readings, func(r WearReading) bool { return math.Abs(r.Hours-first.Hours) > leastHours }) {
		return nil
	}
	wear := &Wear{Point: last.Point, Serial: key.serial, Own: true, Readings: readings}
	for _, r := range readings {
		wear.Own = wear.Own && w.own[r.Reading]
		if r.Engine == w.engine {
			wear.At = r.Key
		}
	}
	if wear.At == "" {
		return nil // read while the part was in another engine
	}
	part, there := w.engine.PartAt(last.Point.PartOf(last.Position))
	if there && last.Engine == w.engine && part.Serial == key.serial {
		wear.Fitted = !slices.ContainsFunc(w.engine.Changes, func(c *record.Change) bool { return begins(c, key, last.Position) && c.Behind(last.Session) })
	}
	if wear.Fitted && key.serial == "" {
		wear.Lot = part.Lot
	}
	return wear
}

// leastHours is the least time run that tells two readings apart: six minutes.
const leastHours = 0.1 // h

func (w *Wear) before(o *Wear) bool {
	order := pointOrder()
	a, b := order[w.Point.ID], order[o.Point.ID]
	switch {
	case a != b:
		return a < b
	case w.At != o.At:
		return schema.Less(w.At, o.At)
	case w.Readings[0].Session != o.Readings[0].Session:
		return w.Readings[0].Session.Date.Time.Before(o.Readings[0].Session.Date.Time)
	}
	return w.Serial < o.Serial
}

var pointOrder = sync.OnceValue(func() map[string]int {
	order := map[string]int{}
	for i, id := range schema.PointIDs() {
		order[id] = i
	}
	return order
})

// fit lays a line through the readings and tells what follows from it. The fit is
// the same in any units: here the dictionary's, over hours.
func (w *Wear) fit(limits *record.LimitSet, interval *float64) {
	w.Trend = TooFew
	if len(w.Readings) < 3 {
		return
	}
	hours, values := w.points()
	line, err := rotary.FitLine(hours, values)
	if err != nil {
		return
	}
	if line.B1 != 0 {
		w.Limit = boundOf(limits, w.Point, line.B1 > 0)
	}
	limit := values[len(values)-1] // any will do where only the rate is asked
	if w.Limit != nil {
		limit = w.Limit.Value
	}
	f, err := rotary.WearForecast(hours, values, limit, hours[len(hours)-1], confidence)
	if err != nil {
		return
	}
	w.Line, w.Band = f.Line, f.RateBand
	switch {
	case !f.Significant:
		w.Trend = NoTrend
		return
	case line.B1 > 0:
		w.Trend = Grows
	default:
		w.Trend = Shrinks
	}
	if w.Limit != nil {
		w.Reach = &f.Reaches
		w.next(interval)
	}
}

// Forecast is what one more reading at an hour of the part's would be on the
// fitted line, and the ends of its 95 % interval, in the dictionary's unit. ok is
// false where there is no trend, which no line tells anything of.
func (w *Wear) Forecast(at float64) (value, low, high float64, ok bool) {
	if w.Trend != Grows && w.Trend != Shrinks {
		return 0, 0, 0, false
	}
	hours, values := w.points()
	f, err := rotary.WearForecast(hours, values, values[len(values)-1], at, confidence)
	return f.Value, f.Value - f.ReadBand, f.Value + f.ReadBand, err == nil
}

// points are the readings as the line is fitted to them.
func (w *Wear) points() (hours, values []float64) {
	for _, r := range w.Readings {
		hours, values = append(hours, r.Hours), append(values, r.Value)
	}
	return hours, values
}

// boundOf is the end of a point's re-use limit that a size which grows, or
// shrinks, moves towards; nil where none judges.
func boundOf(limits *record.LimitSet, p *schema.Point, grows bool) *Bound {
	limit, ok, _ := limits.Find(p.ID, p.Dim, p.Unit)
	if !ok || limit.ReferenceOnly {
		return nil
	}
	end := limit.Reuse.Low
	if grows {
		end = limit.Reuse.High
	}
	unit, err := quantity.MustLookup(p.Unit).As(p.Dim)
	if end == nil || err != nil {
		return nil
	}
	return &Bound{Value: quantity.FromSI(end.SI(), unit), Most: grows, Set: limits.Name}
}

// next tells when to measure again: before a reading could lie at the limit, no
// later than the shop's interval after the last reading, and no further than
// twice the hours observed. Beyond these a line is arithmetic, not evidence.
func (w *Wear) next(interval *float64) {
	if !w.Fitted {
		return
	}
	first, last := w.Readings[0], w.Readings[len(w.Readings)-1]
	n := Next{Hours: w.Reach.Earliest, Because: ByLimit}
	if most := first.Hours + float64(2*(last.Hours-first.Hours)); most < n.Hours {
		n.Hours, n.Because = most, ByObserved
	}
	if interval != nil && last.Hours+*interval < n.Hours {
		n.Hours, n.Because = last.Hours+*interval, ByInterval
	}
	if n.Hours <= last.Hours {
		n.Hours, n.Because = last.Hours, Already
	}
	if then, ok := travel.HoursOfSession(last.Engine, last.Session); ok {
		engine := then.Value + (n.Hours - last.Hours)
		n.Engine = &engine
	}
	w.Next = &n
}
