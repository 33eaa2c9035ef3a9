package figure

import (
	"math"
	"slices"
	"strconv"

	"stackbook/record"
	"stackbook/record/rotary"
	"stackbook/schema"
	"stackbook/schema/quantity"
)

// Compute works out every figure the engine's records allow, and says for the
// rest what is missing. limits may be nil: then nothing is judged.
func Compute(e *record.Engine, limits *record.LimitSet) *Set { return compute(e, limits, false) }

// Values is Compute without uncertainties, which are most of its work, and
// without limits: nothing is judged.
func Values(e *record.Engine) *Set { return compute(e, nil, true) }

func compute(e *record.Engine, limits *record.LimitSet, bare bool) *Set {
	s := &Set{bare: bare, look: Look{bench: &bench{}}, Engine: e, Limits: limits, parts: map[string]bool{}, guard: guardOf(limits), lines: map[*Figure][2]*Limit{}}
	r := newReader(e)
	r.known, s.digest = make(map[what]*entry, places(e)), make([]digested, 0, 2*places(e))
	s.reader = r
	for _, f := range All() {
		if f.Only != nil && !f.Only(e) {
			continue
		}
		for _, at := range f.positions(e) {
			s.figure(r, f, at)
		}
	}
	s.digestLimits()
	s.Problems.Sort()
	return s
}

// places is about how many things the figures of an engine look up: those of the
// spec, and of each point where it was read or might have been.
func places(e *record.Engine) int {
	const ofNone = 256
	n := ofNone
	for _, s := range e.Sessions {
		n += len(s.Readings)
	}
	return n
}

// positions lists where the figure exists in the engine; of a point whose
// number of positions is not fixed, where it was read.
func (f *Figure) positions(e *record.Engine) []string {
	if f.point != nil {
		return f.pointPositions(e)
	}
	var all []string
	for _, p := range f.At {
		all = append(all, p.Expand(e.Rotors)...)
	}
	if f.Read != "" {
		for _, at := range e.Positions(schema.FindPoint(f.Read)) {
			if !slices.Contains(all, at) {
				all = append(all, at)
			}
		}
	}
	if f.Where == nil {
		return all
	}
	return slices.DeleteFunc(all, func(at string) bool { return !f.Where(e, at) })
}

// pointPositions are the positions of a point shown as measured: those read
// and, so that a limit's missing reading is told, the fixed ones.
func (f *Figure) pointPositions(e *record.Engine) []string {
	read := e.Positions(f.point)
	for _, at := range f.point.Asked(e.Rotors) {
		if !slices.Contains(read, at) { // some dozens at most
			read = append(read, at)
		}
	}
	return read
}

// figure works one figure at one position.
func (s *Set) figure(r *reader, f *Figure, at string) {
	l := &s.look
	l.again(r, at, false)
	value := f.Work(l, at)
	if l.failed == nil && len(l.missing) == 0 && (math.IsNaN(value) || math.IsInf(value, 0)) {
		l.fail(errNotFinite)
	}
	s.Problems = append(s.Problems, l.problems...)
	judging, other := s.limitsOf(f, l, at)
	if len(l.missing) > 0 || l.failed != nil {
		s.miss(f, l, at, judging, other)
		return
	}
	s.addDigest(l)
	sortInputs(l.inputs)
	result := &Result{Figure: f, At: at, Value: value, Decimals: l.decimalsFor(f), Inputs: slices.Clone(l.inputs), used: slices.Clone(l.used), Limit: judging, Other: other}
	if f.point != nil {
		result.Step = l.step
	}
	result.Extent = extent(r, f, l, at, value)
	result.Origin, result.From = l.origin()
	if !s.bare {
		result.Uncertainty = uncertainty(f, at, r, l)
	}
	result.judge(s.guard)
	s.Results = append(s.Results, result)
}

func (s *Set) miss(f *Figure, l *Look, at string, limit, other *Limit) {
	if f.point != nil && limit == nil {
		return // a point nobody read and nothing judges
	}
	s.addDigest(l)
	sortInputs(l.inputs)
	m := &Missing{Figure: f, At: at, Needs: slices.Clone(l.missing), Why: l.why(), Limit: limit, Other: other, Inputs: slices.Clone(l.inputs)}
	if len(m.Needs) > 0 {
		m.Why = ""
	}
	if limit != nil && !limit.Shown {
		m.Judged = Unmeasured
	}
	s.Missing = append(s.Missing, m)
}

// judge holds the value against its limit: one that rests on an interval by
// both its ends, any other with the guard band that k times its standard
// uncertainty makes on both sides of the limit. A value reckoned from nominal
// sizes alone has not been measured.
func (r *Result) judge(k float64) {
	switch {
	case r.Limit == nil || r.Limit.Shown:
		r.Verdict = NoVerdict
	case r.Origin == record.Nominal && !r.Figure.Stated:
		r.Verdict = Unmeasured
	case r.Limit.Agreeing:
		r.Verdict = Fails
		if r.Limit.holds(r.Value) {
			r.Verdict = Conforms
		}
	case r.Extent != nil:
		r.Verdict = r.Extent.judge(r.Limit)
	case r.Uncertainty != nil:
		r.Guard = float64(k * r.Uncertainty.Standard)
		r.Verdict = Verdict(rotary.Decide(r.Value, r.Uncertainty.Standard, k, r.Limit.low(), r.Limit.high()))
	case r.Limit.holds(r.Value):
		r.Verdict = Conforms
	default:
		r.Verdict = Fails
	}
}

// defaultGuard is the k of the guard band where a limit set names none: that
// of the 2017 edition of ISO 14253-1 for one limit (95 % probability of
// conforming; from memory).
const defaultGuard = 1.65

// guardOf is the k of the guard band a limit set names.
func guardOf(limits *record.LimitSet) float64 {
	if limits != nil {
		if q, _, ok := limits.Quantity("guard"); ok {
			return q.SI()
		}
	}
	return defaultGuard
}

// limitsOf finds the limit a figure is judged by and the other band of the
// same line: a used part is judged by the re-use limit, a new one by the band
// for new work (R1).
func (s *Set) limitsOf(f *Figure, l *Look, at string) (judging, other *Limit) {
	if f.Limit != nil {
		own, ok := f.Limit(l, at)
		if !ok {
			return nil, nil
		}
		return &own, nil
	}
	fresh, reuse := s.bands(f)
	switch {
	case fresh == nil:
		return reuse, nil
	case reuse == nil:
		return fresh, nil
	case s.used(l):
		return reuse, fresh
	}
	return fresh, reuse
}

// bands reads the line of the limit set that judges a figure, once.
func (s *Set) bands(f *Figure) (fresh, reuse *Limit) {
	known, ok := s.lines[f]
	if !ok {
		line, found, problems := s.Limits.Find(f.limitID(), f.unit().Dimension(), f.Unit)
		s.Problems = append(s.Problems, problems...)
		if found {
			known = [2]*Limit{s.band(line, line.New, "new"), s.band(line, line.Reuse, "reuse")}
		}
		s.lines[f] = known
	}
	return known[0], known[1]
}

func (s *Set) band(line record.Limit, b record.Band, kind string) *Limit {
	if b.Empty() {
		return nil
	}
	end := func(q *quantity.Quantity) float64 {
		if q == nil {
			return math.NaN()
		}
		return q.SI()
	}
	return &Limit{Low: end(b.Low), High: end(b.High), Kind: kind, Set: s.Limits.Name, Source: line.Source, For: line.For, Shown: line.ReferenceOnly}
}

// used tells whether any part the figure looked for readings of is a used one,
// whether they were taken or not. A part whose origin is not written is new in
// the first build and used afterwards; what belongs to the assembly alone is
// always new work.
func (s *Set) used(l *Look) bool {
	for _, a := range l.asked {
		if part := a.point.PartOf(a.position); part != "" && s.usedPart(part) {
			return true
		}
	}
	return false
}

func (s *Set) usedPart(position string) bool {
	used, known := s.parts[position]
	if !known {
		part, _ := s.Engine.PartAt(position)
		used = part.Origin == "used" || part.Origin == "" && s.Engine.Build > 1
		s.parts[position] = used
		s.digested("spec.yaml parts."+position, ".used", strconv.FormatBool(used))
	}
	return used
}
