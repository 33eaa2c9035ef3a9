package rotary

import (
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"stackbook/schema/quantity"
)

// withDefaults puts SI numbers in a formula's input order; inputs not given
// take their defaults, as they do for a person who leaves them out.
func withDefaults(f *Formula, given map[string]Value) []Value {
	in := make([]Value, len(f.In))
	for i, p := range f.In {
		v, ok := given[p.Name]
		if !ok {
			v.Number = p.Default
		}
		in[i] = v
	}
	return in
}

// si is a set of plain numbers by name.
func si(pairs map[string]float64) map[string]Value {
	values := map[string]Value{}
	for name, x := range pairs {
		values[name] = Value{Number: x}
	}
	return values
}

// worked works a formula through the registry and returns its results by name.
func worked(t *testing.T, id string, given map[string]Value) map[string]Value {
	t.Helper()
	f := ByID(id)
	require.NotNil(t, f, id)
	out, err := f.Work(withDefaults(f, given))
	require.NoError(t, err)
	results := map[string]Value{}
	for i, p := range f.Out {
		results[p.Name] = out[i]
	}
	return results
}

// awkward are the numbers a formula is most likely to stumble over.
var awkward = []float64{0, 1, -1, 0.5, -0.1, 2, 3, 0.1, 0.0141, 0.098, 300, 1e-300, 5e-324, 1e300, -1e300,
	math.MaxFloat64, -math.MaxFloat64, 1e-9, 1e9, 273.15, 101325}

// TestWorkKeepsItsPromise throws awkward finite inputs at every formula: what
// comes back is a *RangeError that names the formula, or finite numbers.
func TestWorkKeepsItsPromise(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2)) // seeded: the same inputs on every run
	pick := func() float64 { return awkward[random.IntN(len(awkward))] }
	for _, f := range All() {
		t.Run(f.ID, func(t *testing.T) {
			for range 300 {
				in := make([]Value, len(f.In))
				for i, p := range f.In {
					switch {
					case p.Kind == List:
						for range random.IntN(5) {
							in[i].List = append(in[i].List, pick())
						}
					case p.Optional && random.IntN(2) == 0:
						in[i].Number = p.Default
					default:
						in[i].Number = pick()
					}
				}
				out, err := f.Work(in)
				if err != nil {
					var fault *RangeError
					require.ErrorAs(t, err, &fault, "%v", in)
					require.Equal(t, f.ID, fault.Formula, "%v", in)
					continue
				}
				require.Len(t, out, len(f.Out))
				for i, p := range f.Out {
					require.True(t, finiteValue(p.Kind, out[i]), "%s of %v is %v", p.Name, in, out[i])
					require.False(t, p.Kind != Text && !p.Optional && out[i].Text != "", "%s is not optional but missing", p.Name)
				}
			}
		})
	}
}

func TestGuardRefusesWhatIsNoNumber(t *testing.T) {
	f := ByID("passage-area")
	for _, tt := range []struct {
		in   []Value
		want string
	}{
		{numbers(6), "passage-area: takes 2 inputs, got 1"},
		{numbers(math.NaN(), 0.012), "passage-area: count must be a finite number"},
		{numbers(6, math.Inf(1)), "passage-area: diameter must be a finite number"},
		{numbers(1e300, 1e300), "passage-area: area is out of all bounds for these inputs"},
	} {
		_, err := f.Work(tt.in)
		assert.EqualError(t, err, tt.want)
	}
	_, err := guarded(&Formula{ID: "new", Work: func([]Value) ([]Value, error) { return nil, io.EOF }})(nil)
	assert.Equal(t, io.EOF, err, "an error of another kind passes")
	_, err = ByID("line-fit").Work([]Value{{List: []float64{1, math.NaN(), 3}}, {List: []float64{1, 2, 3}}})
	assert.EqualError(t, err, "line-fit: x must be a finite number")
}

// TestEveryFormulaSaysWhatItIs holds what a person is shown for a formula:
// nothing empty, no name twice, a unit that can be read wherever there is a number.
func TestEveryFormulaSaysWhatItIs(t *testing.T) {
	for _, f := range All() {
		assert.NotEmpty(t, f.Topic, f.ID)
		assert.NotEmpty(t, f.Title, f.ID)
		assert.NotEmpty(t, f.Words, f.ID)
		assert.NotEmpty(t, f.Source, f.ID)
		assert.NotEmpty(t, f.Out, f.ID)
		for side, params := range map[string][]Param{"in": f.In, "out": f.Out} {
			seen := map[string]bool{}
			for _, p := range params {
				where := fmt.Sprintf("%s %s %s", f.ID, side, p.Name)
				assert.Regexp(t, `^[a-z][A-Za-z0-9.-]*$`, p.Name, where)
				assert.False(t, seen[p.Name] || seen["symbol "+p.Symbol], where+" stands twice")
				seen[p.Name], seen["symbol "+p.Symbol] = true, true
				assert.NotEmpty(t, p.Title, where)
				assert.Equal(t, p.Kind == Text, p.Unit == "", where)
				if unit, ok := quantity.Lookup(p.Unit); p.Kind != Text && assert.True(t, ok, "%s: no unit %q", where, p.Unit) {
					assert.Equal(t, p.Unit, unit.Symbol(), "%s: not the unit's own spelling", where)
				}
			}
		}
	}
}

// TestRangeErrors holds the lines a person reads when an input lies outside
// what a formula holds for.
func TestRangeErrors(t *testing.T) {
	list := func(xs ...float64) Value { return Value{List: xs} }
	for _, tt := range []struct {
		id   string
		in   []Value
		want string
	}{
		{"port-angles", numbers(0.015, 0.105, 0, 0, 0), "port-angles: the point must not be the centre of the bore"},
		{"port-angles-by-arc", numbers(0.015, 0.105, 0, 0.4), "port-angles-by-arc: arc must be at most half way round the bore"},
		{"peripheral-port-timing", numbers(-0.5, -0.6, -2.5, -2.3), "peripheral-port-timing: intake-to must come after the port's beginning, in the direction of rotation"},
		{"peripheral-port-timing", numbers(-1, -0.6, -3.5, -2.3), "peripheral-port-timing: exhaust-from must lie on the port side, as the port's end must: -180 deg to 0 deg"},
		{"port-durations", numbers(5, 0, 0, 0), "port-durations: intake-closes must come after the intake opens"},
		{"side-port-point", numbers(0.015, 0.105, 0, 0.2, 0, 0), "side-port-point: the point must lie inside the bore, off its centre"},
		{"side-port-point", numbers(0.015, 0.105, 0, 0.01, -0.01, 0), "side-port-point: the rotor never uncovers this point"},
		{"side-port-point", numbers(0.015, 0.105, 0, 0.05, -0.08, 0.08), "side-port-point: relief must leave some rotor: less than R-2e"},
		{"port-gas-speed", numbers(6e-4, 1, 900, 0, 7, 0.6, 293), "port-gas-speed: area must be greater than zero"},
		{"port-gas-speed", numbers(6e-4, 0, 900, 0.001, 7, 0.6, 293), "port-gas-speed: volumetric-efficiency must be greater than zero"},
		{"port-gas-speed", numbers(6e-4, 1, 900, 0.001, 7, 0, 293), "port-gas-speed: flow-coefficient must be greater than zero"},
		{"port-gas-speed", numbers(6e-4, 1, 900, 0.001, 7, 0.6, 0), "port-gas-speed: temperature must be greater than zero"},
		{"station-pressure", numbers(20000), "station-pressure: altitude must lie between -1000 m and 11000 m"},
		{"cranking-barometer", numbers(8e5, 0), "cranking-barometer: barometer must be greater than zero"},
		{"cranking-two-speeds", numbers(8e5, 25, 8.1e5, 25, 1e5), "cranking-two-speeds: speed-2 must differ from speed-1"},
		{"cranking-limits", numbers(30), "cranking-limits: speed must lie within 10 % of 250 rpm, the speed the printed values hold for"},
		{"vapour-pressure", numbers(350), "vapour-pressure: temperature must lie between -40 degC and 60 degC"},
		{"dry-air", numbers(98500, 303.15, 1.2), "dry-air: humidity must lie between 0 % and 100 %"},
		{"dry-air", numbers(4000, 303.15, 1), "dry-air: pressure must be more than the vapour pressure"},
		{"correction-din-70020", numbers(0, 293.15), "correction-din-70020: pressure must be greater than zero"},
		{"driveline-loss", numbers(1e5, 1.2, 0), "driveline-loss: efficiency must be above 0 and at most 1"},
		{"tuned-speed", numbers(4, 293, 0, 1), "tuned-speed: length must be greater than zero"},
		{"helmholtz", numbers(293, 0.04, 0.3, 4e-4, 0), "helmholtz: events-per-turn must be greater than zero"},
		{"injector-duty", numbers(2e5, 9e-8, 0, 1e-5, 745), "injector-duty: injectors must be greater than zero"},
		{"pulse-width", numbers(900, 0.001, 0.002), "pulse-width: dead-time must not exceed the pulse"},
		{"premix", numbers(0.06, 0), "premix: ratio must be greater than zero"},
		{"pump-flow", numbers(900, 22, 30, 1.6e-5, 1.1), "pump-flow: efficiency must be above 0 and at most 1"},
		{"scavenge-ratio", numbers(1e-3, 0), "scavenge-ratio: pressure-flow must be greater than zero"},
		{"belt-length", numbers(0.008, 22, 30, 0.05), "belt-length: centre-distance must keep the pulleys apart: at least (D1+D2)/2"},
		{"belt-length", numbers(0.008, 22.5, 30, 0.2), "belt-length: teeth-1 must be a whole number from 1 to 1000"},
		{"belt-centre", numbers(0.008, 22, 30, 40), "belt-centre: belt-teeth is too few to go round both pulleys"},
		{"stress-area", numbers(0.001, 0.0015), "stress-area: pitch must be smaller than the diameter"},
		{"stretch", numbers(17500, 0.23, 0, 0.02, 61e-6, 205e9, 0.00125), "stretch: diameter-1 must be greater than zero"},
		{"preload", numbers(35, 0.2, 0.01, 1), "preload: scatter must be at least 0 and below 1"},
		{"line-fit", []Value{list(1, 2), list(1, 2)}, "line-fit: x must have at least three values: two points fit any line and leave no scatter to judge by"},
		{"line-fit", []Value{list(1, 2, 3), list(1, 2)}, "line-fit: y must have as many values as x"},
		{"line-fit", []Value{list(2, 2, 2), list(1, 2, 3)}, "line-fit: x must not be all the same"},
		{"wear-fit", []Value{list(0, 1, 2), list(1, 2, 3), {Number: 5}, {Number: 1}, {Number: 1}}, "wear-fit: confidence must lie between 50 % and 99.99 %"},
		{"student-t", numbers(0.975, 0), "student-t: degrees-of-freedom must be at least 1"},
		{"student-t", numbers(1, 5), "student-t: probability must lie between 0.000001 and 0.999999"},
		{"coolant-series", []Value{{}, {Number: 0.002}, {Number: 350}, {Number: 1600}, {Number: 1042}, {Number: 3550}}, "coolant-series: heat needs a value for at least one housing"},
		{"coolant-centre-fed", []Value{list(2e4, 2e4), {Number: 2}, list(1, 1), {Number: 0.002}, {Number: 350}, {Number: 1600}, {Number: 1042}, {Number: 3550}},
			"coolant-centre-fed: split must leave at least one housing in each branch"},
	} {
		f := ByID(tt.id)
		require.NotNil(t, f, tt.id)
		_, err := f.Work(tt.in)
		assert.EqualError(t, err, tt.want)
	}
}
