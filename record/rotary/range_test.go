package rotary

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// rangeCase puts one value in place of an input that works.
type rangeCase struct {
	input string
	value float64
	why   string
}

var goodBore = map[string]float64{"eccentricity": 0.014, "generating-radius": 0.098, "seal-tip-radius": 0.002, "chamber-width": 0.078}

// rangeGroups are inputs that work, each with cases that change one of them.
var rangeGroups = []struct {
	id     string
	inputs map[string]float64
	cases  []rangeCase
}{
	{"swept-volume", goodBore, []rangeCase{
		{"eccentricity", 0, "must be greater than zero"},
		{"generating-radius", 0.042, "must be more than three times the eccentricity: below that the bore has loops"},
		{"seal-tip-radius", -0.001, "must not be negative"},
		{"seal-tip-radius", 0.12, "must be smaller than the hollow of the waist, (R-3e)^2/(9e-R)"},
		{"chamber-width", 0, "must be greater than zero"},
	}},
	{"eccentricity-from-axes", map[string]float64{"major-axis": 0.228, "minor-axis": 0.172}, []rangeCase{
		{"minor-axis", 0.228, "must be smaller than the major axis and more than half of it"},
		{"minor-axis", 0.113, "must be smaller than the major axis and more than half of it"},
	}},
	{"flank-point", with(goodBore, "flank-parameter", 1), []rangeCase{
		{"flank-parameter", -0.01, "must lie between 0 and 180 deg"},
		{"flank-parameter", 3.15, "must lie between 0 and 180 deg"},
	}},
	{"relief-volume", with(goodBore, "flank-clearance", 0.0005), []rangeCase{
		{"flank-clearance", -0.0005, "must not be negative"},
		{"flank-clearance", 1, "must be far smaller than the flank is long"},
	}},
	{"compression-ratio", with(goodBore, "pocket-volume", 30e-6), []rangeCase{
		{"pocket-volume", -1e-6, "must not be negative"},
		{"extra-volume", -1e-6, "must not be negative"},
	}},
	{"compression-ratio-measured", with(goodBore, "measured-volume", 75e-6), []rangeCase{
		{"measured-volume", 0, "must be greater than zero"},
		{"extra-volume", -1e-6, "must not be negative"},
	}},
	{"pocket-volume", with(goodBore, "compression-ratio", 9), []rangeCase{
		{"compression-ratio", 1, "must be greater than 1"},
		{"compression-ratio", 25, "is out of reach: higher than with no pocket at all"},
	}},
	{"effective-compression-ratio", with(with(goodBore, "least-volume", 70e-6), "intake-closing", 1), []rangeCase{
		{"least-volume", 0, "must be greater than zero"},
		{"intake-closing", StrokeAngle, "must lie within 270 deg of bottom dead centre"},
	}},
	{"equivalent-displacement", map[string]float64{"swept-volume": 556e-6, "rotors": 4}, []rangeCase{
		{"swept-volume", 0, "must be greater than zero"},
		{"rotors", 2.5, "must be a whole number from 1 to 1000"},
	}},
	{"contact-acceleration", map[string]float64{"eccentricity": 1, "generating-radius": 9, "speed": 900}, []rangeCase{
		{"speed", -1, "must not be negative"},
		{"parameter", math.Pi / 2, "is where the trochoid is straight and has no radius of curvature"},
	}},
	{"gear", map[string]float64{"speed": 900, "pinion-teeth": 34, "ring-teeth": 51, "eccentricity": 0.014}, []rangeCase{
		{"ring-teeth", 50, "must be three for every two of the pinion's"},
		{"ring-teeth", 0, "must be a whole number from 1 to 1000"},
	}},
	{"sliding-speed", with(goodBore, "speed", 900), []rangeCase{{"speed", -900, "must not be negative"}}},
	{"seal-acceleration", map[string]float64{"eccentricity": 0.014, "mass-radius": 0.094, "speed": 900}, []rangeCase{
		{"mass-radius", 0, "must be greater than zero"},
	}},
	{"shaft-load", map[string]float64{"mass": 4, "eccentricity": 0.014, "speed": 900}, []rangeCase{
		{"mass", 0, "must be greater than zero"},
		{"speed", -1, "must not be negative"},
	}},
	{"rotor-mass-change", map[string]float64{"mass-change": 0.03, "eccentricity": 0.014, "station": 0.1, "front-plane": -0.1, "rear-plane": 0.5},
		[]rangeCase{{"rear-plane", -0.1, "must not coincide with the front plane"}}},
	{"permissible-unbalance", map[string]float64{"grade": 0.0025, "mass": 12, "speed": 900}, []rangeCase{
		{"speed", 0, "must be greater than zero"},
		{"grade", 0, "must be greater than zero"},
	}},
	{"balance-grade", map[string]float64{"unbalance": 1e-5, "mass": 12, "speed": 900}, []rangeCase{
		{"unbalance", -1e-5, "must not be negative"},
	}},
	{"unbalance-split", map[string]float64{"grade": 0.0025, "mass": 12, "speed": 900, "distance-a": 0.2, "distance-b": 0.3}, []rangeCase{
		{"distance-b", 0, "must be greater than zero"},
	}},
	{"running-clearance", map[string]float64{"bore": 0.0431, "journal": 0.043}, []rangeCase{
		{"journal", 0, "must be greater than zero"},
	}},
	{"length-at-20C", map[string]float64{"length": 0.08, "part-expansion": 2e-5, "part-temperature": 300,
		"instrument-expansion": 1e-5, "instrument-temperature": 300}, []rangeCase{
		{"part-temperature", 0, "must be above absolute zero, and no length may shrink to nothing"},
		{"instrument-expansion", -1e-5, "must not be negative"},
	}},
	{"hot-clearance", map[string]float64{"outer-size": 0.08, "outer-expansion": 2e-5, "outer-temperature": 360,
		"inner-size": 0.0798, "inner-expansion": 1e-5, "inner-temperature": 400}, []rangeCase{
		{"inner-temperature", -5, "must be above absolute zero, and no length may shrink to nothing"},
		{"inner-size", 0, "must be greater than zero"},
	}},
	{"difference-uncertainty", map[string]float64{"first-uncertainty": 2e-6, "second-uncertainty": 1e-6}, []rangeCase{
		{"common-uncertainty", 1.5e-6, "must not exceed either of the two"},
		{"first-uncertainty", -2e-6, "must not be negative"},
		{"coverage-factor", 0, "must be greater than zero"},
	}},
	{"decision", map[string]float64{"value": 6e-5, "standard-uncertainty": 1e-6, "lower-limit": 5e-5, "upper-limit": 9e-5}, []rangeCase{
		{"standard-uncertainty", -1e-6, "must not be negative"},
		{"upper-limit", 4e-5, "must not be below the lower limit"},
		{"coverage-factor", 0, "must be greater than zero"},
	}},
	{"torque", map[string]float64{"power": 2e5, "speed": 900}, []rangeCase{{"speed", 0, "must be greater than zero"}}},
	{"bmep", map[string]float64{"torque": 220, "rotors": 2, "swept-volume": 6.5e-4}, []rangeCase{
		{"rotors", 0, "must be a whole number from 1 to 1000"},
	}},
	{"air-flow", map[string]float64{"volumetric-efficiency": 1, "density": 1.2, "rotors": 2, "swept-volume": 6.5e-4, "speed": 900}, []rangeCase{
		{"density", 0, "must be greater than zero"},
		{"speed", -900, "must not be negative"},
	}},
}

// TestRangeErrorsOfEngine holds the lines a person reads for inputs outside the
// range of the formulas of geometry, motion, balance, clearance, uncertainty
// and power.
func TestRangeErrorsOfEngine(t *testing.T) {
	for _, group := range rangeGroups {
		f := ByID(group.id)
		require.NotNil(t, f, group.id)
		_, err := f.Work(withDefaults(f, si(group.inputs)))
		require.NoError(t, err, group.id)
		for _, c := range group.cases {
			_, err := f.Work(withDefaults(f, si(with(group.inputs, c.input, c.value))))
			assert.EqualError(t, err, group.id+": "+c.input+" "+c.why, "%s %g", c.input, c.value)
		}
	}
}

// with is a copy of inputs with one more, or one replaced.
func with(inputs map[string]float64, name string, x float64) map[string]float64 {
	more := map[string]float64{name: x}
	for n, v := range inputs {
		if n != name {
			more[n] = v
		}
	}
	return more
}

// TestRangeErrorsOfLists holds the same for inputs that are lists.
func TestRangeErrorsOfLists(t *testing.T) {
	list := func(xs ...float64) Value { return Value{List: xs} }
	shaft := func(masses, phases, stations, lobes Value, zR float64) []Value {
		return []Value{masses, phases, stations, {Number: 0.014}, {Number: -0.1}, {Number: zR}, lobes}
	}
	for _, c := range []struct {
		id   string
		in   []Value
		want string
	}{
		{"counterweights", shaft(list(), list(), list(), list(), 0.5), "masses must name at least one rotor"},
		{"counterweights", shaft(list(4, 4), list(0), list(0, 1), list(), 0.5), "phases must have one value for each rotor"},
		{"counterweights", shaft(list(4, 4), list(0, 3), list(0), list(), 0.5), "stations must have one value for each rotor"},
		{"counterweights", shaft(list(4, 4), list(0, 3), list(0, 1), list(1), 0.5), "lobe-unbalances must have one value for each rotor"},
		{"counterweights", shaft(list(4, -4), list(0, 3), list(0, 1), list(), 0.5), "masses must be greater than zero"},
		{"counterweights", shaft(list(4, 4), list(0, 3), list(0, 1), list(), -0.1), "rear-plane must not coincide with the front plane"},
		{"rotor-couple", []Value{list(), {Number: 0.1}, {Number: 4}, {Number: 0.014}}, "phases must name at least one rotor"},
		{"side-clearance", []Value{{Number: 0.08}, list()}, "rotor-widths must have at least one value"},
		{"side-clearance", []Value{{Number: 0.08}, list(0.0798, 0)}, "rotor-widths must be greater than zero"},
		{"mean-and-uncertainty", []Value{list(0.06), {Number: 0}, {Number: 0}},
			"readings must be two or more: one alone says nothing of repeatability"},
		{"mean-and-uncertainty", []Value{list(0.06, 0.07), {Number: -1}, {Number: 0}}, "resolution must not be negative"},
		{"decision", []Value{{Number: 1}, {Number: 0}, {Number: -noLimit}, {Number: noLimit}, {Number: 2}}, "needs a lower-limit or an upper-limit"},
	} {
		f := ByID(c.id)
		require.NotNil(t, f, c.id)
		_, err := f.Work(c.in)
		assert.EqualError(t, err, c.id+": "+c.want)
	}
}

// TestSideClearanceTakesTheWidest holds which of a rotor's widths counts.
func TestSideClearanceTakesTheWidest(t *testing.T) {
	clearance, err := SideClearance(0.080, []float64{0.0798, 0.07985, 0.0797})
	require.NoError(t, err)
	assert.InDelta(t, 0.00015, clearance, 1e-12)
}

func TestTorqueUndoesPower(t *testing.T) {
	torque := worked(t, "torque", si(map[string]float64{"power": Power(220, 900), "speed": 900}))["torque"]
	assert.InDelta(t, 220, torque.Number, 1e-12)
}
