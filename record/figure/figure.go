// Package figure is the figure machine: what follows from an engine's records.
//
// A figure is declared once: where it exists, its unit and title, its formula
// in words with its source, and a function of what it reads. It reads through
// a Look, which notes every record value used. From that one fact come its
// inputs with file and line, what is missing, the digest that tells a stale
// file from a fresh one, and its verdict.
//
// FormulaSet rises with every change of a formula that could move a figure.
// figures.yaml names the set it was written with, is trusted only while set and
// inputs are today's, and is never written over by an older program (R4).
package figure

import (
	"math"

	"stackbook/record"
	"stackbook/record/rotary"
	"stackbook/schema"
	"stackbook/schema/problem"
	"stackbook/schema/quantity"
)

// FormulaSet is the number of today's formulas.
//
//	1  geometry, motion, balance, clearances, power
//	2  uncertainties, verdicts with a guard band, sizes at 20 degC, and the other chapters
const FormulaSet = 2

// Figure declares one figure.
type Figure struct {
	ID       string
	Topic    string
	Title    string
	Unit     string // the dictionary's unit of the value
	Decimals int    // digits shown behind the point, in that unit
	At       []schema.Pattern
	Read     string // a point: the figure exists also wherever that was read
	Formula  string // id in the registry of formulas; words and source come from there
	Words    string // the formula in words where it is none of the registry's, or what is fed into it
	Source   string
	Note     string  // what the figure does not say
	Mark     string  // the note in a word or two, shown beside the title: "geometric"
	Beside   string  // what is to stand beside a change of it: talk of the trade, and what can be reckoned instead
	Outer    string  // of a clearance: the point of the outer size and
	Inner    string  // that of the inner one; below nought they cannot go together
	NoChange float64 // a relative difference below this is no change; 0: any is one
	Only     func(e *record.Engine) bool
	Where    func(e *record.Engine, at string) bool // at which of its positions it exists; nil: at all
	Dim      quantity.Dimension                     // what the value is, where its unit leaves that open: K of a difference
	Stated   bool                                   // what it rests on is stated and not measured: judged all the same
	Rotors   Rotors                                 // how it depends on the number of rotors, where it is not of one of them
	LimitOf  string                                 // the figure whose limit judges this one too: the other end of one band
	Limit    func(l *Look, at string) (Limit, bool) // its own limit, where no limit set is asked
	Work     func(l *Look, at string) float64       // SI
	point    *schema.Point                          // the point shown as measured
}

// Describe gives the formula in words and its source.
func (f *Figure) Describe() (words, source string) {
	words, source = f.Words, f.Source
	if r := rotary.ByID(f.Formula); r != nil {
		if words == "" {
			words = r.Words
		}
		if source == "" {
			source = r.Source
		}
	}
	return words, source
}

// limitID is the line of a limit set that judges the figure.
func (f *Figure) limitID() string {
	if f.LimitOf != "" {
		return f.LimitOf
	}
	return f.ID
}

// unit is the figure's unit for its dimension.
func (f *Figure) unit() quantity.Unit {
	u := quantity.MustLookup(f.Unit)
	dim := f.Dim
	if f.point != nil {
		dim = f.point.Dim
	}
	if as, err := u.As(dim); err == nil {
		return as
	}
	return u
}

// Verdict is what a value is found to be against its limit.
type Verdict string

// The verdicts (ISO 14253-1 for the first three).
const (
	NoVerdict  Verdict = ""
	Conforms   Verdict = "conforms"
	Undecided  Verdict = "undecided" // on either side of the limit, for all that was read
	Fails      Verdict = "fails"
	Unmeasured Verdict = "unmeasured"
)

// Limit is the band a value is held against, in SI; an open end is NaN.
type Limit struct {
	Low, High float64
	Kind      string // "new", "reuse", or the standard it comes from
	Set       string
	Source    string
	For       string
	Shown     bool // for reference only: no verdict
	Agreeing  bool // made of the value's own uncertainty: no guard band is due beside it
}

// Result is one figure at one position.
type Result struct {
	Figure      *Figure
	At          string
	Value       float64      // SI; the middle where it has an extent
	Extent      *Extent      // nil: no reading it rests on is an interval
	Decimals    int          // digits shown behind the point, in the figure's unit
	Step        float64      // worth of the last digit written, SI, where the figure is the reading itself; 0 else
	Uncertainty *Uncertainty // nil: not known
	Guard       float64      // SI, width of the guard band on each side of a limit; 0: none
	Verdict     Verdict
	Limit       *Limit // the one that judges
	Other       *Limit // the other band of the same line, shown beside it
	Inputs      []*Input
	Origin      record.Origin // the weakest of its inputs' origins
	From        int           // the build a carried input comes from, 0 else
	used        []what
}

// Told is the result as it is told in a line: without its inputs and what each
// adds to the uncertainty, which it would keep in memory.
func (r *Result) Told() *Result {
	t := *r
	t.Inputs, t.used = nil, nil
	if r.Uncertainty != nil {
		u := *r.Uncertainty
		u.Parts = nil
		t.Uncertainty = &u
	}
	return &t
}

// In gives the value in the figure's unit.
func (r *Result) In() float64 { return quantity.FromSI(r.Value, r.Figure.unit()) }

// Text prints the value with digits enough that it and the verdict agree: a
// value just outside is never rounded to look inside, nor the other way (R6).
func (r *Result) Text() string {
	u := r.Figure.unit()
	decimals, _ := r.Digits(u, r.Decimals, mostDecimals)
	return quantity.Format(quantity.FromSI(r.Value, u), decimals)
}

// mostDecimals is enough to tell a value from its limit, in any unit, where
// the verdict can: a thousand-millionth of a thousandth of a millimetre.
const mostDecimals = 15

// Digits gives how many decimals the value and its limit are to be printed with
// in a unit, at least those given, so that the two printed numbers lie to each
// other as the verdict says. A limit that was reckoned and not written by
// anybody gets as many as the value.
func (r *Result) Digits(u quantity.Unit, value, limit int) (forValue, forLimit int) {
	if r.Limit == nil {
		return value, limit
	}
	for ; value < mostDecimals; value++ {
		if r.Limit.Set == "" && limit < mostDecimals {
			limit = max(limit, value)
		}
		if r.agrees(u, value, limit) {
			break
		}
	}
	return value, limit
}

// agrees tells whether the value rounded to some digits lies on the side of its
// rounded limit that the value itself lies on.
func (r *Result) agrees(u quantity.Unit, value, limit int) bool {
	rounded := func(si float64, decimals int) float64 {
		if math.IsNaN(si) {
			return si
		}
		text := quantity.Format(quantity.FromSI(si, u), decimals)
		q, err := quantity.ParseNumber(text, u)
		if err != nil {
			return si
		}
		return q.SI()
	}
	l := *r.Limit
	l.Low, l.High = rounded(l.Low, limit), rounded(l.High, limit)
	return l.holds(rounded(r.Value, value)) == r.Limit.holds(r.Value)
}

// Missing is one figure that cannot be computed at one position, and why.
type Missing struct {
	Figure *Figure
	At     string
	Needs  []string // what is not written down: "housing_width at housing/1"
	Why    string   // or what is wrong with what is
	Limit  *Limit   // a limit it would be held against
	Other  *Limit   // the other band of the same line
	Inputs []*Input // what it did read
	Judged Verdict  // unmeasured where there is a limit, else no verdict
}

// Set is all that follows from one engine in one state.
type Set struct {
	Engine   *record.Engine
	Limits   *record.LimitSet
	Results  []*Result  // by topic, then declared order, then position front to rear
	Missing  []*Missing // in the same order
	Problems problem.List
	guard    float64               // k of the guard band
	bare     bool                  // without uncertainties
	lines    map[*Figure][2]*Limit // the bands of the limit set read so far, for new work and for re-use
	reader   *reader
	digest   []digested      // everything read
	parts    map[string]bool // by position: whether the part there is a used one
	look     Look            // of the figure being worked
}

// Find returns the result of a figure at a position, or nil.
func (s *Set) Find(id, at string) *Result {
	for _, r := range s.Results {
		if r.Figure.ID == id && r.At == at {
			return r
		}
	}
	return nil
}

// Count counts the verdicts.
func (s *Set) Count() map[Verdict]int {
	n := map[Verdict]int{}
	for _, r := range s.Results {
		n[r.Verdict]++
	}
	for _, m := range s.Missing {
		n[m.Judged]++
	}
	return n
}

// holds tells whether a value lies in the band: at the limit is inside. Value
// and limit are rounded to a thousand-millionth of the limit first, so that
// binary fractions don't push a value over an edge it lies on (R6).
func (l *Limit) holds(value float64) bool {
	low := math.IsNaN(l.Low) || roundTo(value, l.Low) >= roundTo(l.Low, l.Low)
	high := math.IsNaN(l.High) || roundTo(value, l.High) <= roundTo(l.High, l.High)
	return low && high
}

// low and high are the ends of the band, infinite where it is open.
func (l *Limit) low() float64 {
	if math.IsNaN(l.Low) {
		return math.Inf(-1)
	}
	return l.Low
}

func (l *Limit) high() float64 {
	if math.IsNaN(l.High) {
		return math.Inf(1)
	}
	return l.High
}

// TooNarrow tells whether the band is narrower than its own guard bands, so
// that no value at all could be shown to conform with this gauge.
func (r *Result) TooNarrow() bool {
	return r.Limit != nil && !r.Limit.Shown && r.Guard > 0 && r.Limit.High-r.Limit.Low < 2*r.Guard
}

// Probability is how likely the value lies within its limit, 0 to 1 (JCGM
// 106:2012, from memory); ok is false without limit or uncertainty.
func (r *Result) Probability() (p float64, ok bool) {
	if r.Limit == nil || r.Uncertainty == nil {
		return 0, false
	}
	return rotary.ConformanceProbability(r.Value, r.Uncertainty.Standard, r.Limit.low(), r.Limit.high()), true
}

func roundTo(x, limit float64) float64 {
	step := math.Abs(limit) * 1e-9
	if step == 0 {
		return x
	}
	return math.Round(x / step)
}

// IsReading tells whether the figure is a point shown as it was measured.
func (f *Figure) IsReading() bool { return f.point != nil }

// Dimension is the dimension of the figure's value.
func (f *Figure) Dimension() quantity.Dimension { return f.unit().Dimension() }
