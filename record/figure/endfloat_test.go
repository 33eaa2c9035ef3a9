package figure_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"stackbook/record"
	"stackbook/record/figure"
)

// limitsOf makes a limit set of a few lines.
func limitsOf(t *testing.T, line string) *record.LimitSet {
	t.Helper()
	set, problems := record.ReadLimits(record.File{Path: "limits/own.yaml", Data: []byte("format: limits/1\nname: own\nlimits:\n  " + line + "\n")})
	require.Empty(t, problems)
	return set
}

// Too large an end float asks for a thinner spacer, too small a one for a
// thicker: 0.085 with 8.025 goes to 0.065 with 8.005.
func TestSpacerForTheWantedEndFloat(t *testing.T) {
	for _, row := range []struct{ float, wanted, nearest, then string }{
		{"0.085", "8.005", "8.005", "0.065"},
		{"0.045", "8.045", "8.045", "0.065"},
		{"0.062", "8.028", "8.025", "0.062"},
		{"0.075", "8.015", "8.025", "0.075"}, // 8.005 is as near: the thicker, for the smaller change
		{"0.200", "7.890", "7.985", "0.160"},
	} {
		s := small{"geometry: {rotors: 2}\nparts: {spacer: {thickness: 8.025 mm}}\ntargets: {end_float: 0.065 mm, spacers: [7.985 mm, 8.005 mm, 8.025 mm, 8.045 mm, 8.065 mm]}\n",
			map[string]string{"mock-up 2024-03-02": "readings: {end_float: {unit: mm, engine: " + row.float + "}}\n"}}
		set := s.compute(t)
		require.Equal(t, row.wanted, result(t, set, "spacer.wanted", "engine").Text(), row.float)
		require.Equal(t, row.nearest, result(t, set, "spacer.nearest", "engine").Text(), row.float)
		require.Equal(t, row.then, result(t, set, "spacer.end_float", "engine").Text(), row.float)
	}
	spec := "geometry: {rotors: 2}\ntargets: {end_float: 0.065 mm, spacers: [8.005 mm]}\n"
	require.Equal(t, []string{"spacer_thickness at spacer", "end_float at engine"}, needed(t, small{spec: spec}.compute(t), "spacer.wanted", "engine").Needs)
	require.Equal(t, []string{"spacer_thickness at spacer", "targets.end_float in spec.yaml", "end_float at engine"},
		needed(t, small{spec: "geometry: {rotors: 2}\ntargets: {spacers: [8.005 mm]}\n"}.compute(t), "spacer.nearest", "engine").Needs)
	require.Nil(t, missing(small{spec: "geometry: {rotors: 2}\n"}.compute(t), "spacer.wanted", "engine"))
}

// A feeler and the sizes are held against what both may be off by.
func TestFeelerAgainstSizes(t *testing.T) {
	for felt, verdict := range map[string]figure.Verdict{
		"{between: [0.06, 0.07]}": figure.Conforms, // middle 0.065 against 0.070 ± 0.006 or so
		"{between: [0.03, 0.04]}": figure.Fails,
		"{between: [0.10, 0.11]}": figure.Fails,
	} {
		s := small{"geometry: {rotors: 1}\n", map[string]string{"mock-up 2024-03-02": `instruments: {M: {kind: micrometer, resolution: 0.001 mm, expanded_uncertainty: 0.004 mm}}
readings:
  housing_width: {unit: mm, instrument: M, housing/1/at/A: 78.012, housing/1/at/C: 78.004}
  apex_seal_length: {unit: mm, instrument: M, rotor/1/apex/1: 77.934}
  apex_seal_end_gap_felt: {unit: mm, rotor/1/apex/1: ` + felt + "}\n"}}
		set := s.compute(t)
		r := result(t, set, "apex_seal.end_gap_by_feeler", "rotor/1/apex/1")
		require.Equal(t, verdict, r.Verdict, felt)
		require.InDelta(t, r.Uncertainty.Expanded, r.Limit.High, 1e-15)
		require.InDelta(t, -r.Uncertainty.Expanded, r.Limit.Low, 1e-15)
		require.Nil(t, set.Find("apex_seal.end_gap_by_feeler", "rotor/1/apex/2"))
		require.Nil(t, missing(set, "apex_seal.end_gap_by_feeler", "rotor/1/apex/2"), "nobody felt there")
	}
}

// Where it is not known how far the sizes may be off, the difference is shown
// and nothing is said of agreement; what is missing of the sizes is named.
func TestFeelerAgainstSizesUnknown(t *testing.T) {
	readings := "readings:\n  apex_groove_width: {unit: mm, rotor/1/apex/1/mouth/front: 3.060}\n  apex_seal_side_clearance_felt: {unit: mm, rotor/1/apex/1: {between: [0.05, 0.06]}}\n"
	set := small{"geometry: {rotors: 1}\nparts: {rotor/1/apex/1: {thickness: 3 mm}}\n", map[string]string{"mock-up 2024-03-02": readings}}.compute(t)
	r := result(t, set, "apex_seal.side_clearance_by_feeler", "rotor/1/apex/1")
	require.Equal(t, "-0.005", r.Text()) // 0.055 − (3.060 − 3)
	require.Nil(t, r.Limit)
	require.Equal(t, figure.NoVerdict, r.Verdict)
	bare := small{"geometry: {rotors: 1}\n", map[string]string{"mock-up 2024-03-02": readings}}.compute(t)
	require.Equal(t, []string{"apex_seal_thickness at rotor/1/apex/1"}, needed(t, bare, "apex_seal.side_clearance_by_feeler", "rotor/1/apex/1").Needs)
}
