package figure

import (
	"fmt"
	"math"
	"strings"

	"stackbook/record"
	"stackbook/schema"
	"stackbook/schema/problem"
	"stackbook/schema/quantity"
)

// reader holds what the looks of one engine share: each value is read once,
// however many figures ask for it.
type reader struct {
	engine *record.Engine
	spec   map[string]*entry
	read   map[string]*entry
}

// entry is what stands at one path of the spec, or what was read of one point
// at one position.
type entry struct {
	inputs   []Input
	values   []placed
	written  int     // decimals of the readings
	step     float64 // worth of the last digit of the finest of them, SI; 0: nothing read
	counted  int     // readings that count, those in words among them
	problems problem.List
}

func newReader(e *record.Engine) *reader {
	return &reader{engine: e, spec: map[string]*entry{}, read: map[string]*entry{}}
}

// quantity reads a quantity of the spec; the entry has no value where none is
// written.
func (r *reader) quantity(path string) *entry {
	if known, ok := r.spec[path]; ok {
		return known
	}
	e := &entry{}
	if q, ref, ok := r.engine.Spec.Quantity(path); ok {
		e.values = []placed{{"", Num{q.SI(), &q}}}
		e.inputs = []Input{{Path: "spec.yaml " + path, Key: path, Name: path, Ref: ref, Text: q.String(), Unit: r.engine.Spec.Field.At(path).Unit, SI: q.SI(), Exact: q.Canonical(), Origin: record.Nominal}}
	}
	r.spec[path] = e
	return e
}

// readings reads a point at a position: what counts, one value a place.
func (r *reader) readings(id, position string) *entry {
	key := id + " " + position
	if known, ok := r.read[key]; ok {
		return known
	}
	point := schema.FindPoint(id)
	counted, problems := r.engine.Counting(point, position)
	e := &entry{counted: len(counted), problems: problems}
	for _, c := range counted {
		q, ok := c.Mean()
		if !ok {
			continue
		}
		e.inputs = append(e.inputs, Input{Path: strings.TrimPrefix(c.Session.Path, r.engine.Folder+"/") + " " + id + " " + c.Key, Key: "readings." + id + "." + c.Key, Name: id + " at " + c.Key, Ref: c.Ref(),
			Text: readText(c), Unit: point.Unit, SI: q.SI(), Exact: exactText(c.Reading), Origin: c.Origin, From: c.From})
		e.values = append(e.values, placed{c.Place, Num{q.SI(), &q}})
		e.written = max(e.written, DecimalsIn(point, c.Reading))
		e.step = finer(e.step, Step(c.Reading))
	}
	r.read[key] = e
	return e
}

// readText prints a reading as it was written: repeats with their mean.
func readText(c record.Counted) string {
	q, _ := c.Mean()
	switch {
	case len(c.Between) == 2:
		return c.Between[0].String() + " enters, " + c.Between[1].String() + " does not"
	case len(c.Values) > 1:
		unit := quantity.MustLookup(c.Point.Unit)
		return fmt.Sprintf("%s %s, mean of %d", quantity.Format(quantity.FromSI(q.SI(), unit), decimalsOf(c.Values)+1), unit.Symbol(), len(c.Values))
	}
	return q.String()
}

func decimalsOf(values []quantity.Quantity) int {
	most := 0
	for _, v := range values {
		most = max(most, v.Decimals())
	}
	return most
}

// DecimalsIn is how many decimals a reading was written with, in the
// dictionary's unit of its point: 3.962 kg has none in grams. Where the last
// digit written is no power of ten there, as of an inch in millimetres, one
// more is kept than it needs.
func DecimalsIn(point *schema.Point, r *schema.Reading) int {
	unit, err := quantity.MustLookup(point.Unit).As(point.Dim)
	if err != nil {
		return 0
	}
	one := quantity.ToSI(1, unit) - quantity.ToSI(0, unit)
	most := 0
	for _, q := range append(append([]quantity.Quantity(nil), r.Values...), r.Between...) {
		most = max(most, decimalsOfStep(q.LastDigit()/one))
	}
	return most
}

// Step is what one step of the last digit of a reading is worth, in coherent SI
// units: of repeats the finest. A fraction says more than one step of its
// divisor: a tenth of it.
func Step(r *schema.Reading) float64 {
	step := 0.0
	for _, q := range append(append([]quantity.Quantity(nil), r.Values...), r.Between...) {
		s := q.LastDigit()
		if q.Decimals() < 0 {
			s /= 10
		}
		step = finer(step, s)
	}
	return step
}

// finer is the smaller of two steps; 0 is none.
func finer(a, b float64) float64 {
	if a == 0 || b > 0 && b < a {
		return b
	}
	return a
}

// DecimalsFor is how many decimals show a step, in coherent SI units, in a unit:
// those that were written where it is the unit of the writing, and as many as
// the step is worth in any other: 0.001 mm is 0.00004 in.
func DecimalsFor(step float64, u quantity.Unit) int {
	one := quantity.ToSI(1, u) - quantity.ToSI(0, u)
	if !(step > 0 && step < one) {
		return 0
	}
	return int(math.Ceil(-math.Log10(step/one) - 1e-9))
}

// decimalsOfStep is how many decimals a step of that size needs.
func decimalsOfStep(step float64) int {
	if !(step > 0 && step < 1) {
		return 0
	}
	exponent := -float64(math.Log10(step))
	if nearest := math.Round(exponent); math.Abs(exponent-nearest) < 1e-9 {
		return int(nearest)
	}
	return int(math.Ceil(exponent)) + 1
}

// exactText is the canonical text of a reading: every repeat counts.
func exactText(r *schema.Reading) string {
	var parts []string
	for _, q := range append(append([]quantity.Quantity(nil), r.Values...), r.Between...) {
		parts = append(parts, q.Canonical())
	}
	return strings.Join(parts, "; ")
}
