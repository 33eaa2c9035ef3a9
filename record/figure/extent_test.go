package figure_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"stackbook/record/figure"
)

const assembly1 = "measurements/2017-04-03-assembly-KM.yaml"

// R20: an interval is judged by both ends. The band for new work is 0.04 to
// 0.07 mm; at the limit is inside (R6).
func TestR20IntervalsAreJudgedByBothEnds(t *testing.T) {
	for _, row := range []struct {
		low, high string
		verdict   figure.Verdict
	}{
		{"0.05", "0.06", figure.Conforms},
		{"0.04", "0.07", figure.Conforms},
		{"0.03", "0.05", figure.Undecided},
		{"0.03", "0.04", figure.Undecided}, // the one end is at the limit, and inside
		{"0.06", "0.08", figure.Undecided},
		{"0.07", "0.08", figure.Undecided},
		{"0.03", "0.08", figure.Undecided}, // beyond both ends
		{"0.02", "0.03", figure.Fails},
		{"0.02", "0.0399", figure.Fails},
		{"0.0701", "0.08", figure.Fails},
	} {
		s := build1(t).replace(t, assembly1, "[0.062, 0.061, 0.063]", "{between: ["+row.low+", "+row.high+"]}")
		set := s.compute(t)
		r := result(t, set, "end_float", "engine")
		name := row.low + " to " + row.high
		require.Equal(t, row.verdict, r.Verdict, name)
		require.NotNil(t, r.Extent, name)
		require.Equal(t, row.low+" "+row.high, fmt.Sprintf("%.4g %.4g", r.Extent.Low*1000, r.Extent.High*1000), name)
		require.Contains(t, string(set.Encode(nil)), "verdict: "+string(row.verdict), name)
	}
}

// R20: the middle is what is printed, with a digit more than the ends.
func TestR20TheMiddleIsPrinted(t *testing.T) {
	s := build1(t).replace(t, assembly1, "[0.062, 0.061, 0.063]", "{between: [0.06, 0.07]}")
	r := result(t, s.compute(t), "end_float", "engine")
	require.Equal(t, "0.065", r.Text())
	require.Equal(t, "0.06 mm enters, 0.07 mm does not", r.Inputs[0].Text)
	require.Nil(t, result(t, build1(t).compute(t), "end_float", "engine").Extent, "a plain reading has none")
}

// R20: one side of an open band.
func TestR20OpenBand(t *testing.T) {
	const both = "    new: {min: 0.04 mm, max: 0.07 mm}\n    reuse: {max: 0.09 mm}\n"
	for band, verdict := range map[string]figure.Verdict{
		"{max: 0.07 mm}": figure.Conforms, "{max: 0.065 mm}": figure.Undecided, "{max: 0.05 mm}": figure.Fails,
		"{min: 0.06 mm}": figure.Conforms, "{min: 0.065 mm}": figure.Undecided, "{min: 0.08 mm}": figure.Fails,
	} {
		s := build1(t).replace(t, assembly1, "[0.062, 0.061, 0.063]", "{between: [0.06, 0.07]}").replaceLimit(t, both, "    new: "+band+"\n")
		require.Equal(t, verdict, result(t, s.compute(t), "end_float", "engine").Verdict, band)
	}
}

// R20: a figure reckoned from intervals lies between its own ends: a sum from
// both low ends to both high ones, a difference from low less high to high less
// low, and the largest of some from the largest low end.
func TestR20IntervalsGoThroughFigures(t *testing.T) {
	gap := func(one, two string) *shelf {
		return build1(t).replace(t, mockUp1, "readings:\n", "readings:\n  side_seal_end_gap:\n    unit: mm\n    rotor/1/front/side-seal/1/end/1: "+one+"\n    rotor/1/front/side-seal/1/end/2: "+two+"\n")
	}
	const at = "rotor/1/front/side-seal/1"
	ends := func(r *figure.Result) string {
		return fmt.Sprintf("%.3f %.3f %.3f", r.Extent.Low*1000, r.Value*1000, r.Extent.High*1000)
	}
	both := gap("{between: [0.10, 0.15]}", "{between: [0.20, 0.30]}").compute(t)
	require.Equal(t, "0.300 0.375 0.450", ends(result(t, both, "side_seal.end_gap_sum", at)))
	require.Equal(t, "0.200 0.250 0.300", ends(result(t, both, "side_seal_end_gap", at)), "the largest of both")
	one := gap("{between: [0.10, 0.15]}", "0.12").compute(t)
	require.Equal(t, "0.220 0.245 0.270", ends(result(t, one, "side_seal.end_gap_sum", at)))
	require.Equal(t, "0.120 0.125 0.150", ends(result(t, one, "side_seal_end_gap", at)), "the value holds the lower end")

	s := build1(t).replace(t, mockUp1, "rotor/2/apex/1: 77.934", "rotor/2/apex/1: {between: [77.93, 77.94]}")
	require.Equal(t, "0.064 0.069 0.074", ends(result(t, s.compute(t), "apex_seal.end_gap", "rotor/2/apex/1"))) // housing 2: 78.004
}

// R20: of many intervals those of one point go together, and the ends are the
// same for a clearance, whose grooves all count one way.
func TestR20ManyIntervals(t *testing.T) {
	s := build1(t)
	text := s.files[mockUp1]
	start := strings.Index(text, "  apex_groove_width:")
	end := start + strings.Index(text[start:], "  apex_seal_thickness:")
	require.Positive(t, start)
	groove, seal := "  apex_groove_width:\n    unit: mm\n", ""
	for _, place := range []string{"mouth/front", "mouth/middle", "mouth/rear", "root/front", "root/middle", "root/rear"} {
		groove += "    rotor/1/apex/1/" + place + ": {between: [3.05, 3.06]}\n"
	}
	for _, place := range []string{"front", "middle", "rear"} {
		seal += "    rotor/1/apex/1/" + place + ": {between: [2.99, 3.00]}\n"
	}
	text = text[:start] + groove + text[end:]
	head, rest, _ := strings.Cut(text, "  apex_seal_thickness:\n    unit: mm\n")
	rest = rest[strings.Index(rest, "  apex_seal_"):]
	s.files[mockUp1] = head + "  apex_seal_thickness:\n    unit: mm\n" + seal + rest
	r := result(t, s.compute(t), "apex_seal.side_clearance", "rotor/1/apex/1")
	require.Len(t, r.Inputs, 9)
	require.Equal(t, "0.050 0.060 0.070", fmt.Sprintf("%.3f %.3f %.3f", r.Extent.Low*1000, r.Value*1000, r.Extent.High*1000))
}
