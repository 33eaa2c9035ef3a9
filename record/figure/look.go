package figure

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"stackbook/record"
	"stackbook/record/rotary"
	"stackbook/schema"
	"stackbook/schema/problem"
	"stackbook/schema/quantity"
)

// Input is one record value a figure read.
type Input struct {
	Path   string // inside the engine's folder: "spec.yaml geometry.eccentricity"
	Key    string // inside its file: "readings.housing_width.housing/1/at/A"
	Name   string // as a person says it: "housing_width at housing/1/at/A"
	Ref    record.Ref
	Text   string  // as written, with its unit
	Note   string  // what was done to it before it was used, or why not; mostly nothing
	Unit   string  // the dictionary's unit of it
	SI     float64 // as it is used: of a size, at 20 degC
	Exact  string  // canonical text, for the digest
	Origin record.Origin
	From   int     // the build a carried value comes from
	Spread *Spread // how far it may be off; nil where nothing says so
	warmth string  // of a size brought to 20 degC, canonical text for the digest
	taken  bool    // into the digest
}

// Num is a value read: its SI number, and the exact decimal it was written as.
type Num struct {
	SI     float64
	exact  *quantity.Quantity
	chosen float64 // SI, by which the worst place is chosen: the value as read, also where it is moved a little
}

// Minus is the difference of two values, exact where both were written as
// decimals: 78.004 mm less 77.866 mm is 0.138 mm and nothing beside it (R6).
func (n Num) Minus(o Num) float64 {
	if n.exact != nil && o.exact != nil {
		if d, ok := quantity.DifferenceSI(*n.exact, *o.exact); ok {
			return d
		}
	}
	return n.SI - o.SI
}

// Plus is the sum of two values, exact where both were written as decimals.
func (n Num) Plus(o Num) float64 {
	if n.exact != nil && o.exact != nil {
		if d, err := quantity.Add(*n.exact, *o.exact); err == nil {
			return d.SI()
		}
	}
	return n.SI + o.SI
}

// Look is how a figure reads an engine: every value it asks for is noted, and
// so is every one that is not there. A figure goes on with zeros after a
// missing value; what it then returns is not used.
type Look struct {
	from     values
	at       string
	inputs   []*Input
	said     map[string]string // words read, by path
	used     []what
	trail    []step // everything looked up, in order
	missing  []string
	asked    []asked
	problems problem.List
	failed   error
	refused  in      // what was given to the formula that failed
	silent   bool    // only the value is asked for: nothing is noted
	standIn  bool    // a nominal value stood in for a reading
	written  int     // decimals of the values read, in the dictionary's unit of their point
	step     float64 // worth of the last digit of the finest of them, SI; 0: nothing read

	intervals []interval           // the readings met that have two ends
	atEnd     func(i interval) int // which end to take; nil: the middle
	bench     *bench               // to work out uncertainties with; nil: a new one
	arranged  []rotary.Value       // what the formula at work was given
}

// step is one thing looked up, and what stands there.
type step struct {
	what
	entry *entry
}

// asked is a point looked for at a position, whether it was read or not.
type asked struct {
	point    *schema.Point
	position string
}

func newLook(from values, at string) *Look {
	return &Look{from: from, at: at}
}

// again makes the look a new one, which notes in the space of the old: what is
// to be kept of that must be copied first. It is done thousands of times an
// engine, and field by field is quicker than whole.
func (l *Look) again(from values, at string, silent bool) {
	l.from, l.at, l.silent, l.standIn, l.written, l.step = from, at, silent, false, 0, 0
	l.said, l.failed, l.refused, l.atEnd = nil, nil, nil, nil
	l.inputs, l.used, l.trail, l.missing, l.asked = l.inputs[:0], l.used[:0], l.trail[:0], l.missing[:0], l.asked[:0]
	l.problems, l.intervals = l.problems[:0], l.intervals[:0]
}

// ask looks one thing up, and notes that it did.
func (l *Look) ask(w what) *entry {
	e := l.from.at(w)
	if l.silent {
		return e
	}
	l.trail = append(l.trail, step{w, e})
	if !slices.Contains(l.used, w) {
		l.used = append(l.used, w)
	}
	return e
}

func (l *Look) note(in *Input) {
	if l.silent {
		return
	}
	for i := range l.inputs { // few
		if l.inputs[i] == in || l.inputs[i].Path == in.Path {
			return
		}
	}
	l.inputs = append(l.inputs, in)
}

// noteAll notes all that an entry was made of.
func (l *Look) noteAll(e *entry) {
	if l.silent {
		return
	}
	l.inputs = slices.Grow(l.inputs, len(e.inputs))
	for i := range e.inputs {
		l.note(&e.inputs[i])
	}
}

func (l *Look) miss(what string) {
	for _, m := range l.missing {
		if m == what {
			return
		}
	}
	l.missing = append(l.missing, what)
}

// Spec reads a quantity of the spec that must be there.
func (l *Look) Spec(path string) Num {
	n, ok := l.Maybe(path)
	if !ok {
		l.miss(path + " in spec.yaml")
	}
	return n
}

// Maybe reads a quantity of the spec that may be left out.
func (l *Look) Maybe(path string) (Num, bool) {
	e := l.ask(what{spec, path, ""})
	if len(e.values) == 0 {
		return Num{}, false
	}
	l.note(&e.inputs[0])
	return e.values[0].Num, true
}

// Rotors is the number of rotors, which must be there.
func (l *Look) Rotors() int {
	return int(l.Count("geometry.rotors"))
}

// Sizes reads a list of quantities of the spec that must be there.
func (l *Look) Sizes(path string) []Num {
	e := l.ask(what{specList, path, ""})
	if len(e.values) == 0 {
		l.miss(path + " in spec.yaml")
	}
	var list []Num
	for i, v := range e.values {
		l.note(&e.inputs[i])
		list = append(list, v.Num)
	}
	return list
}

// List reads a list of quantities of the spec, one for each rotor.
func (l *Look) List(path string) []float64 {
	var list []float64
	for _, n := range l.Sizes(path) {
		list = append(list, n.SI)
	}
	if len(list) > 0 && len(list) != l.Rotors() {
		l.fail(fmt.Errorf("%s: %s has %d entries for %d rotors", l.ask(what{specList, path, ""}).inputs[0].Ref, path, len(list), l.Rotors()))
	}
	return list
}

// placed is a value with the place it was read at. Of an interval it is the
// middle.
type placed struct {
	place string
	Num
	ends *[2]Num  // nil: it has one value
	is   interval // empty: the same
}

// readings gives the values of a point at a position, one a place; where there
// are none, the point is noted as missing.
func (l *Look) readings(id, position string) []placed {
	values := l.values(id, position)
	if len(values) == 0 {
		l.miss(id + " at " + position)
	}
	return values
}

// values gives the values of a point that count at a position, one a place;
// where nothing was read, the spec's nominal value, if it has one.
func (l *Look) values(id, position string) []placed { return l.valuesOf(what{reading, id, position}) }

// asRead gives the same values as they were read, also those of warm parts;
// where there are none, the point is noted as missing.
func (l *Look) asRead(id, position string) []placed {
	values := l.valuesOf(what{asRead, id, position})
	if len(values) == 0 {
		l.miss(id + " at " + position)
	}
	return values
}

func (l *Look) valuesOf(w what) []placed {
	e := l.ask(w)
	if !l.silent {
		l.asked = append(l.asked, asked{e.point, w.position})
	}
	l.noteAll(e)
	l.problems = append(l.problems, e.problems...)
	l.written = max(l.written, e.written)
	l.step = finer(l.step, e.step)
	if len(e.values) == 0 {
		return l.nominal(e.point, w.position)
	}
	return l.taken(e.values)
}

// taken notes the intervals among values and takes the ends that are asked for.
func (l *Look) taken(values []placed) []placed {
	copied := false
	for i, v := range values {
		if v.is.path == "" {
			continue
		}
		if !slices.Contains(l.intervals, v.is) {
			l.intervals = append(l.intervals, v.is)
		}
		if l.atEnd == nil {
			continue
		}
		if !copied {
			values, copied = slices.Clone(values), true
		}
		values[i].Num = v.ends[l.atEnd(v.is)]
	}
	return values
}

func (l *Look) nominal(point *schema.Point, position string) []placed {
	if point.Nominal == "" {
		return nil
	}
	n, ok := l.Maybe(strings.ReplaceAll(point.Nominal, "{part}", point.PartOf(position)))
	if !ok {
		return nil
	}
	l.standIn = true
	return []placed{{Num: n}}
}

// Largest is the largest value of a point over its places.
func (l *Look) Largest(id, position string) Num { return pick(l.readings(id, position), 1) }

// Smallest is the smallest value of a point over its places.
func (l *Look) Smallest(id, position string) Num { return pick(l.readings(id, position), -1) }

func pick(values []placed, sign float64) Num {
	best := Num{}
	for i, v := range values {
		if i == 0 || sign*v.chosen > sign*best.chosen {
			best = v.Num
		}
	}
	return best
}

// Mean is the mean of a point over its places.
func (l *Look) Mean(id, position string) Num {
	values := l.readings(id, position)
	sum := 0.0
	for _, v := range values {
		sum += v.SI
	}
	return Num{SI: sum / math.Max(1, float64(len(values)))}
}

// Place is the value at one place; missing when it was not read there.
func (l *Look) Place(id, position, place string) Num {
	for _, v := range l.values(id, position) {
		if v.place == place {
			return v.Num
		}
	}
	l.miss(id + " at " + position + "/" + place)
	return Num{}
}

// SmallestBut is the smallest value at all places but one; missing when it was
// read nowhere else.
func (l *Look) SmallestBut(id, position, but string) Num {
	var others []placed
	for _, v := range l.values(id, position) {
		if v.place != but && v.place != "" {
			others = append(others, v)
		}
	}
	if len(others) == 0 {
		l.miss(id + " at " + position + ", anywhere but " + but)
	}
	return pick(others, -1)
}

// Has tells whether a point has a reading that counts at a position.
func (l *Look) Has(id, position string) bool {
	return l.ask(what{reading, id, position}).counted > 0
}

// origin is the weakest origin of the readings used, and the build the oldest
// carried one comes from. Figures of the spec alone are nominal, and so are those in
// which a nominal value stands for a reading nobody took.
func (l *Look) origin() (record.Origin, int) {
	origin, from, read := record.Measured, 0, false
	for _, in := range l.inputs {
		if in.Origin == record.Carried && (from == 0 || in.From < from) {
			origin, from = record.Carried, in.From
		}
		read = read || in.Origin != record.Nominal
	}
	if !read || l.standIn {
		return record.Nominal, 0
	}
	return origin, from
}

// decimalsFor is how many decimals a figure is shown with: its own, or those
// of the reading where it is the reading itself.
func (l *Look) decimalsFor(f *Figure) int {
	if f.point != nil {
		return l.written
	}
	return f.Decimals
}

// sortInputs orders inputs as a person looks for them: by file, then line.
func sortInputs(list []*Input) {
	slices.SortStableFunc(list, func(a, b *Input) int {
		return cmp.Or(strings.Compare(a.Ref.File, b.Ref.File), cmp.Compare(a.Ref.Line, b.Ref.Line))
	})
}

// Count reads a whole number of the spec that must be there.
func (l *Look) Count(path string) float64 {
	e := l.ask(what{specCount, path, ""})
	if len(e.values) == 0 {
		l.miss(path + " in spec.yaml")
		return 0
	}
	l.note(&e.inputs[0])
	return e.values[0].SI
}
