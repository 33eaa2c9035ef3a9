package figure_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"stackbook/record/figure"
)

const bolted = "geometry: {rotors: 1}\nfasteners: {torque: 35 N m, nut_factor: 0.2, thread: 10 mm, pitch: 1.25 mm, length: 230 mm, shank_diameter: 9 mm, property_class: %s%s}\n"

// Clamp load, what the thread bears, and stretch, by hand: F = 35/(0.2 · 0.010)
// = 17500 N.
func TestBoltByHand(t *testing.T) {
	s := small{sprintf(bolted, "10.9", ", lubricant: engine oil on thread and head"), map[string]string{"assembly 2024-03-02": "readings: {bolt_stretch: {unit: mm, bolt/3: 0.330}}\n"}}
	set := s.compute(t)
	in := func(id, at string) float64 { return result(t, set, id, at).In() }
	require.InEpsilon(t, 17500, in("fastener.preload", "engine"), 1e-12)
	require.InEpsilon(t, 17500*0.75, in("fastener.preload_lowest", "engine"), 1e-12, "lubricated: 25 % either way")
	require.InEpsilon(t, 100*17500/(61.198494*830), in("fastener.proof_share", "engine"), 1e-6)
	require.InEpsilon(t, 100*17500*1.25/(61.198494*830), in("fastener.proof_share_highest", "engine"), 1e-6)
	require.InEpsilon(t, 100*17500*1.25/(61.198494*1040), in("fastener.ultimate_share_highest", "engine"), 1e-6)
	stretch := 17500. * 230 / (205e3 * math.Pi / 4 * 81) // mm
	require.InEpsilon(t, stretch, in("fastener.stretch", "engine"), 1e-9)
	require.InDelta(t, 0.330-stretch, in("fastener.stretch_difference", "bolt/3"), 1e-9)
	for _, none := range []string{"", ", lubricant: dry", ", lubricant: None at all"} {
		dry := small{spec: sprintf(bolted, "10.9", none)}.compute(t)
		require.InEpsilon(t, 17500*0.65, result(t, dry, "fastener.preload_lowest", "engine").In(), 1e-12, none)
	}
}

// A class nobody knows is refused, and says which are known.
func TestBoltOfUnknownClass(t *testing.T) {
	m := needed(t, small{spec: sprintf(bolted, "11.9", "")}.compute(t), "fastener.proof_share", "engine")
	require.Equal(t, `fasteners.property_class: nothing is known of the class "11.9"; 8.8, 9.8, 10.9 and 12.9 are known`, m.Why)
	lacking := small{spec: "geometry: {rotors: 1}\nfasteners: {nut_factor: 0.2, torque: 35 N m}\n"}.compute(t)
	require.Equal(t, []string{"fasteners.thread in spec.yaml"}, needed(t, lacking, "fastener.preload", "engine").Needs)
	require.Nil(t, missing(build1(t).compute(t), "fastener.preload", "engine"), "torque alone asks for nothing")
}

// Hot, an aluminium stack grows more than its steel bolts. With bolts that alone
// give way the rise is E A times the difference in growth: a third and more.
func TestHotClampLoadIsAnUpperBound(t *testing.T) {
	s := small{spec: sprintf(bolted, "10.9", ", stack_expansion: 21.5 1e-6/K, bolt_expansion: 12.3 1e-6/K, stack_temperature: 90 degC")}
	set := figure.Compute(s.load(t), limitsOf(t, "fastener.preload_hot: {new: {max: 1 N}, source: own}"))
	r := result(t, set, "fastener.preload_hot", "engine")
	rise := 9.2e-6 * 70 * 205e9 * math.Pi / 4 * 81e-6
	require.InEpsilon(t, 17500+rise, r.In(), 1e-9)
	require.Greater(t, rise/17500, 1.0/3)
	require.Equal(t, "upper bound: bolts alone give way", r.Figure.Mark)
	require.Equal(t, figure.NoVerdict, r.Verdict)
	part := small{spec: sprintf(bolted, "10.9", ", stack_expansion: 21.5 1e-6/K")}.compute(t)
	require.Equal(t, []string{"fasteners.bolt_expansion in spec.yaml", "fasteners.stack_temperature in spec.yaml"}, needed(t, part, "fastener.preload_hot", "engine").Needs)
}

// The demo: every bolt tightened alike; when it was opened, 17 to 32 N m.
func TestTorqueSpread(t *testing.T) {
	set := build2(t).compute(t)
	require.Equal(t, "0.0", result(t, set, "fastener.tightening_spread", "engine").Text())
	require.Equal(t, "15.0", result(t, set, "fastener.loosening_spread", "engine").Text())
	cleaned := demoTo(t, "10").compute(t)
	require.Nil(t, cleaned.Find("fastener.tightening_spread", "engine"))
	require.Nil(t, missing(cleaned, "fastener.tightening_spread", "engine"), "that of build 1 is no longer asked for, that of build 2 not yet")
	require.Nil(t, build1(t).compute(t).Find("fastener.loosening_spread", "engine"), "build 1 was never opened before")
}
