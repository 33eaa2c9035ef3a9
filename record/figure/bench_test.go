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
	e := fourRotors(b, 0)
	for b.Loop() {
		figure.Compute(e, limits)
	}
}

// otherGeometry makes six sizes of a spec a little different.
var otherGeometry = strings.NewReplacer("generating_radius: 98 mm", "generating_radius: 98.1 mm", "seal_tip_radius: 2 mm", "seal_tip_radius: 2.01 mm",
	"eccentricity: 14 mm", "eccentricity: 14.02 mm", "chamber_width: 78 mm", "chamber_width: 78.01 mm",
	"flank_relief: 0.50 mm", "flank_relief: 0.52 mm", "recess_volume: 1.2 cm3", "recess_volume: 1.3 cm3")

// fourRotors makes an engine read through: each of these points at every place
// the dictionary has for it. So many of these readings, spread over all, have one
// digit more; where there are any, the spec has another geometry too.
func fourRotors(b *testing.B, changed int) *record.Engine {
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
			value := v.value
			if changed > 0 && readings%10 == 0 && readings < 10*changed {
				number, unit, _ := strings.Cut(value, " ")
				value = number + "1 " + unit
				if !strings.Contains(number, ".") {
					value = number + ".1 " + unit
				}
			}
			text += "    " + key + ": " + value + "\n"
			readings++
		}
	}
	require.Greater(b, readings, 400)
	spec := strings.NewReplacer("engine: SK-01", "engine: SK-07", "rotors: 2", "rotors: 4", "phases: [0 deg, 180 deg]", "phases: [0 deg, 180 deg, 90 deg, 270 deg]",
		"stations: [0 mm, 128 mm]", "stations: [0 mm, 128 mm, 256 mm, 384 mm]").Replace(build1(b).files["spec.yaml"])
	if changed > 0 {
		was := spec
		spec = otherGeometry.Replace(spec)
		require.Len(b, spec, len(was)+len(".1")+len(".01")+len(".02")+len(".01"))
	}
	e, problems := record.Load("engines/2024/SK-07", []record.File{
		{Path: "engines/2024/SK-07/spec.yaml", Data: []byte(spec)},
		{Path: "engines/2024/SK-07/measurements/2024-03-02-mock-up-KM.yaml", Data: []byte(text)},
	})
	require.Empty(b, problems, fmt.Sprint(problems))
	return e
}

// BenchmarkWhatMovedFortyInputs is every figure that differs between two states
// of a four-rotor engine with over 400 readings: 34 readings and six sizes of its
// geometry.
func BenchmarkWhatMovedFortyInputs(b *testing.B) {
	_, limits, _ := build2(b).load()
	from, to := figure.Compute(fourRotors(b, 0), limits), figure.Compute(fourRotors(b, 34), limits)
	moved := 0
	for b.Loop() {
		moved = 0
		for _, r := range to.Results {
			if old := from.Find(r.Figure.ID, r.At); old != nil && old.Value != r.Value {
				figure.WhatMoved(from, to, old, r)
				moved++
			}
		}
	}
	require.Positive(b, moved)
	b.ReportMetric(float64(moved), "figures")
}
