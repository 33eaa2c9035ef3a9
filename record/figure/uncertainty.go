package figure

import (
	"math"
	"slices"

	"stackbook/record"
	"stackbook/record/rotary"
)

// Uncertainty is how far a figure may be off by what it was read with: the law
// of propagation of JCGM 100:2008 (GUM), with the sensitivities found by moving
// every input by its own standard uncertainty both ways. What one instrument's
// certificate adds to several inputs moves with all of them at once, so that it
// cancels in a difference and adds up in a sum.
type Uncertainty struct {
	Standard float64 // SI
	Expanded float64 // SI: K times Standard
	K        float64
	Freedom  float64 // effective degrees of freedom (Welch-Satterthwaite); +Inf where no repeats limit it
	Parts    []Part  // what it is made of, greatest first
}

// Part is what one cause adds to a figure's uncertainty.
type Part struct {
	Cause string  // an input's name, or the instrument or standard that several share
	Moves float64 // by how much the figure moves, SI, signed
	Share float64 // of the variance, 0 to 1
}

// fewRepeats is where k = 2 no longer covers 95 %: with fewer effective degrees
// of freedom Student's t stands in its place (JCGM 100:2008, G.6.6, from
// memory).
const fewRepeats = 10

// shifted is what another source of values gives, with some moved by their
// standard uncertainties, up or down. It serves one working of a figure after the
// other, and what it lent to one is used again for the next.
type shifted struct {
	from  values
	by    *cause
	sign  float64
	trail []step // what the figure looked up when it was worked first, in order
	next  int    // of the trail

	entries []entry
	values  []placed
}

func (s *shifted) at(w what) *entry {
	e := s.find(w)
	first := s.by.firstOf(e.inputs)
	if first < 0 {
		return e
	}
	from := len(s.values)
	s.values = append(s.values, e.values...)
	s.entries = append(s.entries, *e)
	c := &s.entries[len(s.entries)-1]
	c.values = s.values[from:len(s.values):len(s.values)]
	for i := first; i < len(e.inputs); i++ {
		if by, ok := s.by.of(&e.inputs[i]); ok {
			c.values[i].Num = Num{SI: c.values[i].SI + float64(s.sign*by), chosen: c.values[i].chosen}
		}
	}
	return c
}

// find is what stands there unmoved. A figure that is worked again looks up the
// same things in the same order, as long as nothing it decides by has moved over.
func (s *shifted) find(w what) *entry {
	if s.next < len(s.trail) && s.trail[s.next].what == w {
		s.next++
		return s.trail[s.next-1].entry
	}
	return s.from.at(w)
}

// bench is what uncertainties are worked out with, one after the other.
type bench struct {
	moved  shifted
	look   Look
	causes []cause
}

// cause is what moves one or several inputs together.
type cause struct {
	name    string
	inputs  []*Input // those it may move
	shares  string   // the calibration they are moved by; "": each by what is its own
	repeats float64  // part of it that repeats gave, 0 to 1
	freedom float64
}

// of is by how much the cause moves an input, SI.
func (c *cause) of(in *Input) (by float64, ok bool) {
	for _, own := range c.inputs {
		if own != in && (own.Ref.Line != in.Ref.Line || own.Path != in.Path) { // lines first: they are quicker told apart
			continue
		}
		if c.shares == "" {
			return own.Spread.Own, true
		}
		return own.calibration(c.shares)
	}
	return 0, false
}

// calibration is what a certificate or a setting standard adds to an input.
func (in *Input) calibration(shared string) (by float64, ok bool) {
	if in.Spread == nil || in.Spread.Calibration == 0 || in.Spread.Shared != shared {
		return 0, false
	}
	return in.Spread.Calibration, true
}

// firstOf is the first of some inputs that the cause moves, -1 where it moves
// none.
func (c *cause) firstOf(inputs []Input) int {
	for i := range inputs {
		if _, ok := c.of(&inputs[i]); ok {
			return i
		}
	}
	return -1
}

// uncertainty works out how far a figure may be off; nil where an input's
// uncertainty is not known, where a nominal size stood in for a reading, or
// where nothing states any.
func uncertainty(f *Figure, at string, from values, l *Look) *Uncertainty {
	if l.standIn || !known(l.inputs) {
		return nil
	}
	b := l.bench
	if b == nil {
		b = &bench{}
	}
	b.causes = causesOf(l.inputs, b.causes[:0])
	if len(b.causes) == 0 {
		return nil
	}
	u := &Uncertainty{Freedom: math.Inf(1), Parts: make([]Part, 0, len(b.causes))}
	b.moved.from, b.moved.trail = from, nil
	if l.from == from {
		b.moved.trail = l.trail
	}
	variance, quartics := 0.0, 0.0
	for i := range b.causes {
		c := &b.causes[i]
		b.moved.by = c
		moves, ok := f.moves(&b.moved, &b.look, at)
		if !ok {
			return nil
		}
		variance += float64(moves * moves)
		if c.freedom > 0 && c.repeats > 0 {
			quartics += math.Pow(moves*c.repeats, 4) / c.freedom
		}
		u.Parts = append(u.Parts, Part{Cause: c.name, Moves: moves})
	}
	if variance == 0 {
		return nil
	}
	u.Standard = math.Sqrt(variance)
	if quartics > 0 {
		u.Freedom = float64(variance*variance) / quartics
	}
	u.K = coverageFor(u.Freedom)
	u.Expanded = float64(u.K * u.Standard)
	u.share(variance)
	return u
}

// known tells whether every reading among the inputs says how far it may be off.
func known(inputs []*Input) bool {
	return !slices.ContainsFunc(inputs, func(in *Input) bool { return in.Spread == nil && in.Origin != record.Nominal })
}

// causesOf lists what can move the inputs: each by itself, and those that share
// a calibration together. They are added to a list.
func causesOf(inputs []*Input, causes []cause) []cause {
	for i, in := range inputs {
		if in.Spread == nil {
			continue
		}
		if own := in.Spread.Own; own > 0 {
			causes = append(causes, cause{in.Name, inputs[i : i+1], "", in.Spread.Repeats / own, in.Spread.Freedom})
		}
		shares := in.Spread.Shared
		if in.Spread.Calibration == 0 || slices.ContainsFunc(causes, func(c cause) bool { return c.shares == shares }) {
			continue
		}
		causes = append(causes, cause{name: "calibration of " + shares, inputs: inputs, shares: shares})
	}
	return causes
}

// moves is by how much a cause moves the figure: half the difference of the
// figure moved up and moved down.
func (f *Figure) moves(moved *shifted, scratch *Look, at string) (float64, bool) {
	worth := func(sign float64) (float64, bool) {
		moved.sign, moved.next, moved.entries, moved.values = sign, 0, moved.entries[:0], moved.values[:0]
		return f.work(scratch, moved, at)
	}
	up, ok1 := worth(+1)
	low, ok2 := worth(-1)
	return (up - low) / 2, ok1 && ok2
}

// work works the figure from other values; ok is false where it has none. The
// look is used over and over, for a figure is worked thousands of times.
func (f *Figure) work(l *Look, from values, at string) (float64, bool) {
	l.again(from, at, true)
	value := f.Work(l, at)
	return value, len(l.missing) == 0 && l.failed == nil && !math.IsNaN(value) && !math.IsInf(value, 0)
}

// coverageFor is the coverage factor for 95 %.
func coverageFor(freedom float64) float64 {
	if freedom >= fewRepeats {
		return coverage
	}
	k, err := rotary.StudentT(0.975, math.Max(1, freedom))
	if err != nil {
		return coverage
	}
	return k
}

// share gives each part its share of the variance and puts the greatest first.
func (u *Uncertainty) share(variance float64) {
	for i := range u.Parts {
		u.Parts[i].Share = float64(u.Parts[i].Moves*u.Parts[i].Moves) / variance
	}
	for i := 1; i < len(u.Parts); i++ { // few, and mostly in order already
		for j := i; j > 0 && u.Parts[j].Share > u.Parts[j-1].Share; j-- {
			u.Parts[j], u.Parts[j-1] = u.Parts[j-1], u.Parts[j]
		}
	}
}
