package figure

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"stackbook/record"
	"stackbook/schema"
	"stackbook/schema/quantity"
)

// Compute works out every figure the engine's records allow, and says for the
// rest what is missing. limits may be nil: then nothing is judged.
func Compute(e *record.Engine, limits *record.LimitSet) *Set {
	s := &Set{Engine: e, Limits: limits, digest: map[string]string{}}
	r := newReader(e)
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
	if f.Read == "" {
		return all
	}
	for _, at := range e.Positions(schema.FindPoint(f.Read)) {
		if !slices.Contains(all, at) {
			all = append(all, at)
		}
	}
	return all
}

// pointPositions are the positions of a point shown as measured: those read
// and, so that a limit's missing reading is told, the fixed ones.
func (f *Figure) pointPositions(e *record.Engine) []string {
	read := e.Positions(f.point)
	known := map[string]bool{}
	for _, at := range read {
		known[at] = true
	}
	for _, at := range f.point.Asked(e.Rotors) {
		if !known[at] {
			read = append(read, at)
		}
	}
	return read
}

// figure works one figure at one position.
func (s *Set) figure(r *reader, f *Figure, at string) {
	l := newLook(r, at)
	value := f.Work(l, at)
	if l.failed == nil && len(l.missing) == 0 && (math.IsNaN(value) || math.IsInf(value, 0)) {
		l.fail(errNotFinite)
	}
	s.Problems = append(s.Problems, l.problems...)
	judging, other := s.limitsOf(f, l, at)
	if len(l.missing) > 0 || l.failed != nil {
		s.miss(f, l, at, judging)
		return
	}
	s.addDigest(l.inputs)
	sortInputs(l.inputs)
	result := &Result{Figure: f, At: at, Value: value, Decimals: l.decimalsFor(f), Inputs: l.inputs, Limit: judging, Other: other}
	if f.point != nil {
		result.Step = l.step
	}
	result.Origin, result.From = l.origin()
	result.judge()
	s.Results = append(s.Results, result)
}

func (s *Set) miss(f *Figure, l *Look, at string, limit *Limit) {
	if f.point != nil && limit == nil {
		return // a point nobody read and nothing judges
	}
	s.addDigest(l.inputs)
	sortInputs(l.inputs)
	m := &Missing{Figure: f, At: at, Needs: l.missing, Why: l.why(), Limit: limit, Inputs: l.inputs}
	if len(m.Needs) > 0 {
		m.Why = ""
	}
	if limit != nil && !limit.Shown {
		m.Judged = Unmeasured
	}
	s.Missing = append(s.Missing, m)
}

// judge holds the value against its limit. A value reckoned from nominal sizes
// alone has not been measured.
func (r *Result) judge() {
	switch {
	case r.Limit == nil || r.Limit.Shown:
		r.Verdict = NoVerdict
	case r.Origin == record.Nominal:
		r.Verdict = Unmeasured
	case r.Limit.holds(r.Value):
		r.Verdict = Conforms
	default:
		r.Verdict = Fails
	}
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
	line, ok, problems := s.Limits.Find(f.limitID(), f.unit().Dimension(), f.Unit)
	s.Problems = append(s.Problems, problems...)
	if !ok {
		return nil, nil
	}
	fresh, reuse := s.band(line, line.New, "new"), s.band(line, line.Reuse, "reuse")
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

// used tells whether any part the figure read is a used one. A part whose
// origin is not written is new in the first build and used afterwards; what
// belongs to the assembly alone is always new work.
func (s *Set) used(l *Look) bool {
	for _, in := range l.inputs {
		id, key, ok := pointOf(in)
		if !ok {
			continue
		}
		point := schema.FindPoint(id)
		position, _, found := point.Split(key, s.Engine.Rotors)
		if part := point.PartOf(position); found && part != "" && s.usedPart(part) {
			return true
		}
	}
	return false
}

func (s *Set) usedPart(position string) bool {
	part, _ := s.Engine.PartAt(position)
	used := part.Origin == "used" || part.Origin == "" && s.Engine.Build > 1
	s.digest["spec.yaml parts."+position+".used"] = strconv.FormatBool(used)
	return used
}

// pointOf takes apart the path of an input that is a reading: its file, whose
// name may hold blanks, its point and its key.
func pointOf(in Input) (id, key string, ok bool) {
	words := strings.Split(in.Path, " ")
	if len(words) < 3 || !strings.HasPrefix(in.Path, "measurements/") {
		return "", "", false
	}
	id, key = words[len(words)-2], words[len(words)-1]
	return id, key, schema.FindPoint(id) != nil
}
