package diff_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"stackbook/diff"
)

// taken is an engine with one reading, or none.
func taken(t *testing.T, point, line string) diff.State {
	t.Helper()
	f := bare("geometry: {rotors: 2}")
	if line != "" {
		f = f.with("measurements/2017-05-04-dyno-KM.yaml",
			fmt.Sprintf("format: measurements/1\nengine: SK-01\nbuild: 1\nstage: dyno\ndate: 2017-05-04\nby: KM\nreadings:\n  %s: {%s}\n", point, line))
	}
	return f.state(t, "")
}

// A reading that counts is compared by point and place, in the dictionary's
// unit; a difference of points on a scale is one of differences.
func TestReadingsThatCount(t *testing.T) {
	for _, c := range []struct {
		name, point, before, after string
		want                       diff.Reading
		difference                 any // nil: none
	}{
		{"greater", "end_float", "engine: 0.062 mm", "engine: 0.085 mm", diff.Reading{At: "engine", Unit: "mm", From: 0.062, To: 0.085, Digits: [2]int{3, 3}}, 0.023},
		{"less", "end_float", "engine: 0.085 mm", "engine: 0.062 mm", diff.Reading{At: "engine", Unit: "mm", From: 0.085, To: 0.062, Digits: [2]int{3, 3}}, -0.023},
		{"in the dictionary's unit, with its own digits each", "end_float", "engine: 0.003 in", "engine: 80 um", diff.Reading{At: "engine", Unit: "mm", From: 0.0762, To: 0.08, Digits: [2]int{3, 3}}, 0.0038},
		{"grams for kilograms", "rotor_mass", "rotor/2: 3.948 kg", "rotor/2: 3.916 kg", diff.Reading{At: "rotor/2", Unit: "g", From: 3948.0, To: 3916.0}, -32.0},
		{"added", "end_float", "", "engine: 0.06 mm", diff.Reading{At: "engine", Unit: "mm", To: 0.06, Digits: [2]int{0, 2}}, nil},
		{"removed", "end_float", "engine: 0.06 mm", "", diff.Reading{At: "engine", Unit: "mm", From: 0.06, Digits: [2]int{2, 0}}, nil},
		{"the mean of repeats, with one digit more", "end_float", "unit: mm, engine: 0.06", "unit: mm, engine: [0.062, 0.061, 0.063, 0.064]", diff.Reading{At: "engine", Unit: "mm", From: 0.06, To: 0.0625, Digits: [2]int{2, 4}}, 0.0025},
		{"the middle of an interval", "end_float", "engine: 0.06 mm", "unit: mm, engine: {between: [0.06, 0.07]}", diff.Reading{At: "engine", Unit: "mm", From: 0.06, To: 0.065, Digits: [2]int{2, 2}}, 0.005},
		{"degrees", "coolant_temperature", "housing/2/out: 80 degC", "housing/2/out: 76.5 degC", diff.Reading{At: "housing/2/out", Unit: "degC", From: 80.0, To: 76.5, Digits: [2]int{0, 1}}, -3.5},
		{"degrees of another scale", "coolant_temperature", "engine/in: 20 degC", "engine/in: 50 degF", diff.Reading{At: "engine/in", Unit: "degC", From: 20.0, To: 10.0, Digits: [2]int{0, 2}}, -10.0},
		{"gauge pressure", "oil_pressure_idle", "engine: 200 kPa", "engine: 1.5 bar", diff.Reading{At: "engine", Unit: "kPa", From: 200.0, To: 150.0}, -50.0},
		{"words", "crack_test", "shaft: clear", "shaft: 'cracked'", diff.Reading{At: "shaft", From: "clear", To: "cracked"}, nil},
		{"words added", "crack_test", "", "shaft: clear", diff.Reading{At: "shaft", To: "clear"}, nil},
	} {
		r := diff.Compare(taken(t, c.point, c.before), taken(t, c.point, c.after))
		require.Len(t, r.Readings, 1, c.name)
		got := r.Readings[0]
		if c.difference == nil {
			require.Nil(t, got.Difference, c.name)
		} else {
			require.NotNil(t, got.Difference, c.name)
			require.InDelta(t, c.difference, *got.Difference, 1e-12, c.name)
		}
		c.want.Point, got.Difference, got.Steps = c.point, nil, [2]float64{}
		require.Equal(t, c.want, got, c.name)
	}
}

// Each side knows what its last digit is worth, whatever unit it is shown in: a
// mean of repeats has one digit more, a side not read has none.
func TestReadingsKnowTheirLastDigit(t *testing.T) {
	r := diff.Compare(taken(t, "end_float", "engine: 0.0024 in"), taken(t, "end_float", "unit: mm, engine: [0.062, 0.061, 0.063, 0.064]"))
	require.InDeltaSlice(t, []float64{2.54e-6, 1e-7}, r.Readings[0].Steps[:], 1e-15) // 0.0001 in; a tenth of 0.001 mm
	r = diff.Compare(taken(t, "end_float", ""), taken(t, "end_float", "engine: 0.06 mm"))
	require.InDeltaSlice(t, []float64{0, 1e-5}, r.Readings[0].Steps[:], 1e-15)
}

// Repeats with the mean of a single reading count the same, though the session
// was altered.
func TestRepeatsCountByTheirMean(t *testing.T) {
	a, b := taken(t, "end_float", "unit: mm, engine: 0.062"), taken(t, "end_float", "unit: mm, engine: [0.061, 0.063]")
	r := diff.Compare(a, b)
	require.Empty(t, r.Readings)
	require.Empty(t, r.Figures)
	require.Len(t, r.Changes, 1)
}

// R1: what describes parts as they came is no reading of the engine as built.
func TestR1AsFoundIsNoReadingThatCounts(t *testing.T) {
	before := demo(t, "08").replaced(t, "spec.yaml", "build: 1", "build: 2")
	r := diff.Compare(before.state(t, ""), demo(t, "09").state(t, ""))
	require.Empty(t, r.Readings)
	require.Len(t, r.Figures, 1, "the one figure that tells of the engine as it was found, and says so")
	require.Equal(t, "fastener.loosening_spread", r.Figures[0].Figure.ID)
}

// R1: a reading follows its part by serial: the rotor that moved brings its
// readings along, as long as the session says which serial was read.
func TestR1ReadingsFollowTheSerial(t *testing.T) {
	engine := func(build int, rotors string) diff.State {
		return files{
			"spec.yaml": fmt.Sprintf("format: spec/1\nengine: SK-01\nid: 5c02-7be1-90aa\ntitle: two-rotor\nbuild: %d\ngeometry: {rotors: 2}\nparts: {%s}\n", build, rotors),
			"measurements/2017-02-27-mock-up-KM.yaml": "format: measurements/1\nengine: SK-01\nbuild: 1\nstage: mock-up\ndate: 2017-02-27\nby: KM\n" +
				"parts: {rotor/1: R-1, rotor/2: R-2}\nreadings: {rotor_width: {unit: mm, rotor/1/corner/1: 77.862, rotor/2/corner/1: 77.866}}\n",
		}.state(t, "")
	}
	swapped := diff.Compare(engine(1, "rotor/1: {serial: R-1}, rotor/2: {serial: R-2}"), engine(2, "rotor/1: {serial: R-2}, rotor/2: {serial: R-1}"))
	require.Len(t, swapped.Changes, 2)
	require.Len(t, swapped.Readings, 2)
	require.Equal(t, []any{"rotor/1/corner/1", 77.862, 77.866}, []any{swapped.Readings[0].At, swapped.Readings[0].From, swapped.Readings[0].To})
	require.InDelta(t, 0.004, *swapped.Readings[0].Difference, 1e-12)
	require.Equal(t, []any{"rotor/2/corner/1", 77.866, 77.862}, []any{swapped.Readings[1].At, swapped.Readings[1].From, swapped.Readings[1].To})
}

// Readings are told in the order of the dictionary, then front to rear with
// numbers by their value.
func TestReadingsAreToldInOrder(t *testing.T) {
	var at []string
	a := demo(t, "05")
	b := a.with("measurements/2017-04-03-assembly-KM.yaml", "")
	for _, r := range diff.Compare(a.state(t, ""), b.state(t, "")).Readings {
		at = append(at, r.Point+" "+r.At)
	}
	require.Equal(t, []string{"coolant_pressure_loss engine", "end_float engine",
		"tightening_torque bolt/1", "tightening_torque bolt/2", "tightening_torque bolt/3"}, at[:5])
	require.Equal(t, []string{"tightening_torque bolt/17", "tightening_torque bolt/18", "turning_torque engine"}, at[len(at)-3:])
}
