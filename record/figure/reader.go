package figure

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"stackbook/record"
	"stackbook/schema"
	"stackbook/schema/problem"
	"stackbook/schema/quantity"
)

// kind is where a value is kept.
type kind int

// The kinds of place a figure reads from.
const (
	spec      kind = iota // one quantity of the spec
	specList              // a list of quantities of the spec, one a rotor
	specCount             // a whole number of the spec
	reading               // a point at a position: one value a place, sizes at 20 degC
	asRead                // the same as it was read
	run                   // the rows of the dyno run that counts
	runSize               // a quantity written beside that run, in its session
	specWord              // a word of the spec
	specKeys              // the keys under a field of the spec
	readAt                // the positions at which a point has a reading that counts
	tests                 // the cranking tests of one rotor, a row each
	asFound               // a point as the engine was found when it was opened
)

// what names one thing a figure reads: a path of the spec, or a point and its
// position.
type what struct {
	kind     kind
	id       string
	position string
}

// values is where a look reads from: an engine's records, the same with some
// values moved a little, or those of two states mixed.
type values interface{ at(w what) *entry }

// reader reads the records of one engine. What the looks share is read once,
// however many figures ask for it.
type reader struct {
	engine *record.Engine
	known  map[what]*entry
	pools  map[pooling]pool

	instruments map[instrumentKey]*instrument
}

// entry is what stands in one place.
type entry struct {
	point    *schema.Point // whose readings these are; nil: not of readings at a position
	inputs   []Input
	values   []placed // one each input, in the same order
	written  int      // decimals of the readings
	step     float64  // worth of the last digit of the finest of them, SI; 0: nothing read
	counted  int      // readings that count, those in words among them
	rows     []row    // of a run, or of cranking tests
	words    []string // words and names, where it has no numbers
	problems problem.List
}

// row is one row of a dyno run; its cells are the entry's inputs and values of
// the same numbers.
type row struct{ cells map[string]int }

func newReader(e *record.Engine) *reader {
	return &reader{engine: e, known: map[what]*entry{}, pools: map[pooling]pool{}, instruments: map[instrumentKey]*instrument{}}
}

func (r *reader) at(w what) *entry {
	e, ok := r.known[w]
	if !ok {
		e = r.read(w)
		r.known[w] = e
	}
	return e
}

func (r *reader) read(w what) *entry {
	switch w.kind {
	case spec:
		return r.quantity(w.id)
	case specList:
		return r.list(w.id)
	case specCount:
		return r.count(w.id)
	case run:
		return r.run()
	case runSize:
		return r.besideRun(w.id)
	case specWord:
		return r.word(w.id)
	case specKeys:
		return r.keys(w.id)
	case readAt:
		return &entry{words: r.engine.Positions(schema.FindPoint(w.id))}
	case tests:
		return r.tests(w.position)
	case asFound:
		return r.asFound(w.id)
	}
	return r.readings(w)
}

// add takes in one value with what it came from.
func (e *entry) add(in Input, v placed) {
	e.inputs = append(e.inputs, in)
	v.chosen = v.SI
	e.values = append(e.values, v)
}

// read is a value as it was written.
func read(q quantity.Quantity) Num {
	si := q.SI()
	return Num{SI: si, exact: &q, chosen: si}
}

// quantity reads a quantity of the spec; the entry has no value where none is
// written.
func (r *reader) quantity(path string) *entry {
	e := &entry{}
	if q, ref, ok := r.engine.Spec.Quantity(path); ok {
		in := specInput(path, ref, q, r.engine.Spec.Field.At(path).Unit)
		in.Spread = r.statedOff(path, q.Unit().Dimension())
		e.add(in, placed{Num: read(q)})
	}
	return e
}

func specInput(path string, ref record.Ref, q quantity.Quantity, unit string) Input {
	return Input{Path: "spec.yaml " + path, Key: path, Name: path, Ref: ref, Text: q.String(), Unit: unit, SI: q.SI(), Exact: q.Canonical(), Origin: record.Nominal}
}

// list reads a list of quantities of the spec; one that cannot be read whole
// is none.
func (r *reader) list(path string) *entry {
	e := &entry{}
	n := r.engine.Spec.Node(path)
	if n == nil {
		return e
	}
	field := r.engine.Spec.Field.At(path).Of
	for i, item := range n.Items() {
		q, err := quantity.Parse(item.Text(), field.Dim, field.Unit)
		if err != nil {
			return &entry{}
		}
		e.add(specInput(fmt.Sprintf("%s.%d", path, i+1), r.engine.Spec.Ref(item), q, field.Unit), placed{Num: read(q)})
	}
	return e
}

// count reads a whole number of the spec.
func (r *reader) count(path string) *entry {
	e := &entry{}
	n := r.engine.Spec.Node(path)
	if n == nil || n.IsNull() {
		return e
	}
	value := float64(r.engine.Spec.Number(path))
	if path == "geometry.rotors" {
		value = float64(r.engine.Rotors)
	}
	if value > 0 {
		e.add(Input{Path: "spec.yaml " + path, Key: path, Name: path, Ref: r.engine.Spec.Ref(n), Text: n.Text(), Unit: "1", SI: value, Exact: n.Text(), Origin: record.Nominal}, placed{Num: Num{SI: value}})
	}
	return e
}

// readings reads a point at a position: what counts, one value a place.
func (r *reader) readings(w what) *entry {
	if w.kind == asRead {
		if same := r.at(what{reading, w.id, w.position}); same.asWritten() {
			return same
		}
	}
	point := schema.FindPoint(w.id)
	counted, problems := r.engine.Counting(point, w.position)
	e := &entry{point: point, counted: len(counted), problems: problems, inputs: make([]Input, 0, len(counted)), values: make([]placed, 0, len(counted))}
	for _, c := range counted {
		if r.addReading(e, c) && w.kind == reading {
			r.bringTo20(e, c, point.PartOf(w.position))
		}
	}
	return e
}

// asWritten tells whether nothing was done to the readings of an entry, nor could
// have been, for the warmth of their parts.
func (e *entry) asWritten() bool {
	return !slices.ContainsFunc(e.inputs, func(in Input) bool { return in.Note != "" || in.warmth != "" })
}

// addReading takes in one reading; ok is false for one in words.
func (r *reader) addReading(e *entry, c record.Counted) (ok bool) {
	q, ok := c.Mean()
	if !ok {
		return false
	}
	n := Num{SI: q.SI()}
	if n.chosen = n.SI; len(c.Values) == 1 {
		n.exact = &c.Values[0]
	} else {
		mean := q
		n.exact = &mean
	}
	id := c.Point.ID
	path, key, name := namesOf(r.inFolder(c.Session), id, c.Key)
	value, written := placed{place: c.Place, Num: n}, DecimalsIn(c.Point, c.Reading)
	if len(c.Between) == 2 {
		value.is, value.ends = interval{path, id}, &[2]Num{read(c.Between[0]), read(c.Between[1])}
		written++ // the middle has a digit more than the ends
	}
	e.add(Input{Path: path, Key: key, Name: name, Ref: c.Ref(),
		Text: readText(c), Unit: c.Point.Unit, SI: n.SI, Exact: exactText(c.Reading), Origin: c.Origin, From: c.From, Spread: r.spread(c, n.SI)}, value)
	e.written = max(e.written, written)
	e.step = finer(e.step, Step(c.Reading))
	return true
}

// namesOf are the path, key and name of a reading, cut from one text.
func namesOf(file, id, at string) (path, key, name string) {
	all := file + " " + id + " " + at + "readings." + id + "." + at + id + " at " + at
	p := len(file) + len(" ") + len(id) + len(" ") + len(at)
	k := p + len("readings.") + len(id) + len(".") + len(at)
	return all[:p], all[p:k], all[k:]
}

func (r *reader) inFolder(s *record.Session) string {
	rest, inside := strings.CutPrefix(s.Path, r.engine.Folder)
	if inside && strings.HasPrefix(rest, "/") {
		return rest[1:]
	}
	return s.Path
}

// cellUnits are the dictionary's units of the columns the figures read.
var cellUnits = map[string]string{"speed": "rpm", "torque": "N m", "power": "kW"}

// run reads the rows of the dyno run that counts.
func (r *reader) run() *entry {
	e := &entry{}
	table, session := r.engine.Run()
	if table == nil {
		return e
	}
	for _, one := range table.Rows {
		cells := map[string]int{}
		for _, column := range []string{"speed", "torque", "power"} {
			q, ok := one.Cells[column]
			if !ok {
				continue
			}
			name := fmt.Sprintf("dyno %s at %s", column, one.Cells["speed"])
			cells[column] = len(e.values)
			e.add(Input{Path: r.inFolder(session) + " " + strings.ReplaceAll(name, " ", "_"), Key: "tables.dyno." + one.Cells["speed"].String() + "." + column, Name: name,
				Ref: one.Ref, Text: q.String(), Unit: cellUnits[column], SI: q.SI(), Exact: q.Canonical(), Origin: record.Measured}, placed{Num: Num{SI: q.SI()}})
		}
		e.rows = append(e.rows, row{cells})
	}
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
	for _, list := range [2][]quantity.Quantity{r.Values, r.Between} {
		for _, q := range list {
			most = max(most, decimalsOfStep(q.LastDigit()/one))
		}
	}
	return most
}

// Step is what one step of the last digit of a reading is worth, in coherent SI
// units: of repeats the finest. A fraction says more than one step of its
// divisor: a tenth of it.
func Step(r *schema.Reading) float64 {
	step := 0.0
	for _, list := range [2][]quantity.Quantity{r.Values, r.Between} {
		for _, q := range list {
			s := q.LastDigit()
			if q.Decimals() < 0 {
				s /= 10
			}
			step = finer(step, s)
		}
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
	return int(math.Ceil(-float64(math.Log10(step/one)) - 1e-9))
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
	if len(r.Values) == 1 {
		return r.Values[0].Canonical()
	}
	var parts []string
	for _, q := range append(append([]quantity.Quantity(nil), r.Values...), r.Between...) {
		parts = append(parts, q.Canonical())
	}
	return strings.Join(parts, "; ")
}
