package travel

import (
	"sort"
	"strings"

	"stackbook/record"
	"stackbook/schema"
	"stackbook/schema/quantity"
)

// guarded are the kinds of position whose part must not burst. Common practice,
// no source.
var guarded = []schema.Pattern{"shaft", "rotor/*r", "rotor/*r/gear", "gear/front|centre|rear", "gear/*n", "counterweight/front|rear", "flywheel"}

// Interval is how many running hours may lie between two crack tests.
type Interval struct {
	Hours float64 // h
	Ref   record.Ref
}

// IntervalAt reads an interval of a record, nil where it has none.
func IntervalAt(r *record.Record, path string) *Interval {
	q, ref, ok := r.Quantity(path)
	if !ok {
		return nil
	}
	return &Interval{quantity.RoundTo(quantity.FromSI(q.SI(), quantity.MustLookup("h")), 1e-6), ref}
}

// Test is one crack test of a part.
type Test struct {
	Result   string // clear, mark or cracked
	Method   string
	By       string
	Note     string
	Engine   *record.Engine
	Session  *record.Session
	Position string
	Ref      record.Ref
	Hours    *record.Hours // the part had run by then; nil: not known
	Since    *record.Hours // the part has run since; nil: not known
}

// Standing is how a part that must not burst stands with its crack tests.
type Standing string

// The standings, the gravest first.
const (
	Cracked     Standing = "cracked"
	NeverTested Standing = "never tested"
	Overdue     Standing = "test overdue"
	DueUnknown  Standing = "not known when due"
	Marked      Standing = "marked"
	Tested      Standing = "tested"
)

// Guard is a part that must not burst, with its last crack test.
type Guard struct {
	Seat     Seat
	Position string // as the part's, also where the spec lists no part there
	Run      Run
	Last     *Test     // nil: never tested
	Every    *Interval // its own, its file's or the book's; nil: none
	Due      *float64  // h, of the part, when the next test is due; nil: not known
	Standing Standing
}

// Guards lists the parts of an engine that must not burst, front to rear:
// shaft and rotors, and gears, counterweights and flywheel where the spec lists
// them or they were ever read.
func (s *Shop) Guards(e *record.Engine) []Guard {
	var list []Guard
	for _, position := range guardedPositions(e) {
		part, listed := e.PartAt(position)
		if !listed {
			part = record.Part{Position: position, Ref: e.Spec.Ref(e.Spec.Doc.Root())}
		}
		list = append(list, s.Guard(Seat{e, part}))
	}
	return list
}

// isGuarded tells whether a part at a position must not burst.
func isGuarded(position string) bool {
	for _, kind := range guarded {
		if kind.Match(position, 0) {
			return true
		}
	}
	return false
}

func guardedPositions(e *record.Engine) []string {
	there := map[string]bool{"shaft": true}
	if e.Rotors > 0 {
		for _, position := range schema.Pattern("rotor/*r").Expand(e.Rotors) {
			there[position] = true
		}
	}
	for _, p := range e.Parts() {
		there[p.Position] = there[p.Position] || isGuarded(p.Position)
	}
	for _, session := range e.Sessions {
		for _, r := range session.Readings {
			there[r.Position] = there[r.Position] || isGuarded(r.Position)
		}
	}
	var list []string
	for position, yes := range there {
		if yes {
			list = append(list, position)
		}
	}
	sort.Slice(list, func(i, j int) bool { return schema.Less(list[i], list[j]) })
	return list
}

// Guard tells how the part in one seat stands with its crack tests. A test
// holds for the part across builds and engines; running does not void it.
func (s *Shop) Guard(seat Seat) Guard {
	g := Guard{Seat: seat, Position: seat.Part.Position, Run: s.Run(seat), Every: s.every(seat)}
	if tests := s.Tests(seat); len(tests) > 0 {
		g.Last = &tests[len(tests)-1]
		s.hoursOfTest(&g)
	}
	g.Standing = g.stands()
	if g.Last != nil && g.Last.Hours != nil && g.Every != nil {
		due := g.Last.Hours.Value + g.Every.Hours
		g.Due = &due
	}
	return g
}

// Told is the guard as it is told: numbers, serials, days and lines, without
// the records it rests on, which it would keep in memory.
func (g Guard) Told() Guard {
	g.Seat.Engine = &record.Engine{Number: g.Seat.Engine.Number, Folder: g.Seat.Engine.Folder}
	g.Run.Fitting.Change = nil
	if g.Last != nil {
		last := *g.Last
		last.Engine = &record.Engine{Number: last.Engine.Number, Folder: last.Engine.Folder}
		last.Session = &record.Session{Date: last.Session.Date}
		g.Last = &last
	}
	return g
}

func (g *Guard) stands() Standing {
	switch {
	case g.Last == nil:
		return NeverTested
	case g.Last.Result == "cracked":
		return Cracked
	case g.Every != nil && g.Last.Since == nil:
		return DueUnknown
	case g.Every != nil && g.Last.Since.Value > g.Every.Hours:
		return Overdue
	case g.Last.Result == "mark":
		return Marked
	}
	return Tested
}

// every is the interval of a part: its own in the spec, that of its file, else
// the book's.
func (s *Shop) every(seat Seat) *Interval {
	if own := IntervalAt(seat.Engine.Spec, "parts."+seat.Part.Position+".test_every"); own != nil {
		return own
	}
	if file := s.fileOf(seat); file != nil {
		if own := IntervalAt(file.Record, "test_every"); own != nil {
			return own
		}
	}
	return s.Every
}

// Tests lists the crack tests of the part in a seat, by their dates; of two on
// one day the graver result comes last, so that it is the one that stands.
func (s *Shop) Tests(seat Seat) []Test {
	var list []Test
	for _, t := range s.tests[seat.Engine.Folder] {
		if seat.tested(t) {
			list = append(list, t)
		}
	}
	for _, t := range s.testsOf[seat.serial()] {
		if !isSame(t.Engine, seat.Engine) && seat.tested(t) {
			list = append(list, t)
		}
	}
	sort.SliceStable(list, func(i, j int) bool {
		a, b := list[i], list[j]
		if order, known := a.Session.Date.Compare(b.Session.Date); known && order != 0 {
			return order < 0
		}
		return gravity[a.Result] < gravity[b.Result]
	})
	return list
}

var gravity = map[string]int{"clear": 1, "mark": 2, "cracked": 3}

// takeTests notes the crack tests of one engine, all together and by the
// serials they were made on.
func (s *Shop) takeTests(e *record.Engine) {
	for _, session := range e.Sessions {
		for _, t := range TestsIn(e, session) {
			s.tests[e.Folder] = append(s.tests[e.Folder], t)
			for _, serial := range []string{session.Serial(t.Position), session.Serial(rotorOf(t.Position))} {
				if serial != "" {
					s.testsOf[serial] = append(s.testsOf[serial], t)
				}
			}
		}
	}
}

// TestsIn lists the crack tests of one session of an engine, as written. What
// each part had run is not reckoned.
func TestsIn(e *record.Engine, session *record.Session) []Test {
	var list []Test
	for i := range session.Readings {
		if r := &session.Readings[i]; r.Point.ID == "crack_test" {
			list = append(list, testOf(e, session, r))
		}
	}
	return list
}

func testOf(e *record.Engine, session *record.Session, r *schema.Reading) Test {
	by := r.By
	if by == "" {
		by = session.By
	}
	return Test{Result: r.Text, Method: r.Method, By: by, Note: r.Note, Engine: e, Session: session, Position: r.Position, Ref: session.Ref(r.Node)}
}

// rotorOf is the rotor a gear is in, "" for any other position.
func rotorOf(position string) string {
	if rotor, isGear := strings.CutSuffix(position, "/gear"); isGear {
		return rotor
	}
	return ""
}

// serial is what the part in a seat is told by: its own, or of a gear that
// bears none its rotor's.
func (seat Seat) serial() string {
	rotor := rotorOf(seat.Part.Position)
	if seat.Part.Serial != "" || rotor == "" {
		return seat.Part.Serial
	}
	part, _ := seat.Engine.PartAt(rotor)
	return part.Serial
}

// serial is that of the part tested, or, of a gear told by its rotor, the
// rotor's.
func (t *Test) serial(byRotor bool) string {
	if rotor := rotorOf(t.Position); byRotor && rotor != "" {
		return t.Session.Serial(rotor)
	}
	return t.Session.Serial(t.Position)
}

// tested tells whether a test was made on the part now in a seat: by serial, in
// any engine; without one, at the same position of the same engine while
// nothing was replaced there, and never an earlier build's on a new part.
func (seat Seat) tested(t Test) bool {
	part, session := seat.Part, t.Session
	if kindOf(t.Position) != kindOf(part.Position) {
		return false
	}
	if fitted, read := seat.serial(), t.serial(part.Serial == ""); read != "" && fitted != "" {
		return read == fitted
	}
	switch {
	case !isSame(t.Engine, seat.Engine) || t.Position != part.Position || session.Build > t.Engine.Build:
		return false
	case part.Origin == "new" && session.Build < t.Engine.Build:
		return false
	}
	return !t.Engine.ReplacedSince(part.Position, session.Date)
}

// hoursOfTest reckons what the part had run at its last test, and has since. A
// test made where the part still sits rests on the engine's hours; one made
// before the part was taken out, on the hours counted at its removal.
func (s *Shop) hoursOfTest(g *Guard) {
	t := g.Last
	then, ok := engineHoursAt(t)
	if !ok {
		return
	}
	if out := s.outAfter(g.Seat, t); out != nil {
		s.hoursByRemoval(g, then, out)
		return
	}
	now, ok := t.Engine.HoursNow()
	if !ok || !isSame(t.Engine, g.Seat.Engine) {
		return
	}
	since := now.Less(then)
	t.Since = &since
	if fitted := g.Run.Fitting.Hours; g.Run.AtFitting != nil && fitted != nil {
		had := g.Run.AtFitting.Plus(then.Less(*fitted))
		t.Hours = &had
	}
}

func (s *Shop) hoursByRemoval(g *Guard, then record.Hours, out *Out) {
	engine, ok := out.Change.EngineHours()
	if !ok || out.Hours == nil {
		return
	}
	had := out.Hours.Less(engine.Less(then))
	g.Last.Hours = &had
	if g.Run.Now != nil {
		since := g.Run.Now.Less(had)
		g.Last.Since = &since
	}
}

// outAfter is the first removal of the part from the engine it was tested in,
// after the test; nil where it was not taken out since.
func (s *Shop) outAfter(seat Seat, t *Test) *Out {
	for _, o := range s.outsOf(seat) {
		if isSame(o.Engine, t.Engine) && after(o.Change.Date, t.Session.Date) {
			return &o
		}
	}
	return nil
}

func engineHoursAt(t *Test) (record.Hours, bool) {
	if h, ok := t.Session.EngineHours(); ok {
		return h, true
	}
	return t.Engine.HoursOn(t.Session.Date)
}
