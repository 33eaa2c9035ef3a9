package figure_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"stackbook/record"
	"stackbook/record/figure"
	"stackbook/schema"
)

func BenchmarkCompute(b *testing.B) {
	e, limits, problems := build2(b).load()
	require.Empty(b, problems)
	for b.Loop() {
		figure.Compute(e, limits)
	}
}

// BenchmarkComputeFourRotors is a four-rotor engine with about 400 readings:
// every figure of the fits at every place.
func BenchmarkComputeFourRotors(b *testing.B) {
	_, limits, _ := build2(b).load()
	e := fourRotors(b)
	for b.Loop() {
		figure.Compute(e, limits)
	}
}

// fourRotors makes an engine read through: each of these points at every place
// the dictionary has for it.
func fourRotors(b *testing.B) *record.Engine {
	b.Helper()
	values := []struct{ id, value string }{
		{"housing_width", "78.010 mm"}, {"rotor_width", "77.865 mm"}, {"apex_groove_width", "3.061 mm"}, {"apex_seal_thickness", "2.999 mm"},
		{"apex_seal_length", "77.934 mm"}, {"apex_seal_height", "8.01 mm"}, {"apex_spring_height", "5.3 mm"}, {"journal_diameter", "73.998 mm"},
		{"bearing_bore", "74.064 mm"}, {"pocket_volume", "27.2 cm3"}, {"rotor_mass", "3962 g"}, {"corner_bore", "11.02 mm"}, {"corner_seal_diameter", "10.99 mm"},
		{"side_groove_width", "1.04 mm"}, {"side_seal_thickness", "1.00 mm"}, {"side_seal_end_gap", "0.10 mm"},
	}
	text := "format: measurements/1\nengine: SK-07\nbuild: 1\nstage: mock-up\ndate: 2024-03-02\nby: KM\ninstruments:\n  M: {kind: any, resolution: 0.001 mm, expanded_uncertainty: 0.05 %, serial: M-1}\nreadings:\n"
	readings := 0
	for _, v := range values {
		text += "  " + v.id + ":\n    instrument: M\n"
		for _, key := range schema.FindPoint(v.id).Keys(4) {
			text += "    " + key + ": " + v.value + "\n"
			readings++
		}
	}
	require.Greater(b, readings, 400)
	spec := strings.NewReplacer("engine: SK-01", "engine: SK-07", "rotors: 2", "rotors: 4", "phases: [0 deg, 180 deg]", "phases: [0 deg, 180 deg, 90 deg, 270 deg]",
		"stations: [0 mm, 128 mm]", "stations: [0 mm, 128 mm, 256 mm, 384 mm]").Replace(build1(b).files["spec.yaml"])
	e, problems := record.Load("engines/2024/SK-07", []record.File{
		{Path: "engines/2024/SK-07/spec.yaml", Data: []byte(spec)},
		{Path: "engines/2024/SK-07/measurements/2024-03-02-mock-up-KM.yaml", Data: []byte(text)},
	})
	require.Empty(b, problems, fmt.Sprint(problems))
	return e
}
