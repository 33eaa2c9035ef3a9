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
	written  int // decimals of the readings
	counted  int // readings that count, those in words among them
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
		e.values = []placed{{Num: Num{q.SI(), &q}}}
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
		path := strings.TrimPrefix(c.Session.Path, r.engine.Folder+"/") + " " + id + " " + c.Key
		e.inputs = append(e.inputs, Input{Path: path, Key: "readings." + id + "." + c.Key, Name: id + " at " + c.Key, Ref: c.Ref(),
			Text: readText(c), Unit: point.Unit, SI: q.SI(), Exact: exactText(c.Reading), Origin: c.Origin, From: c.From})
		value, written := placed{place: c.Place, Num: Num{q.SI(), &q}}, DecimalsIn(point, c.Reading)
		if len(c.Between) == 2 {
			value.is, value.ends = interval{path, id}, [2]Num{{c.Between[0].SI(), &c.Between[0]}, {c.Between[1].SI(), &c.Between[1]}}
			written++ // the middle has a digit more than the ends
		}
		e.values = append(e.values, value)
		e.written = max(e.written, written)
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
