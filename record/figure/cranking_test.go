package figure_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"stackbook/record/figure"
)

// pulses is a cranking test of two rotors.
func pulses(speed, air, first, second string) string {
	return sprintf("%sreadings:\n  cranking_pressure: {unit: kPa, rotor/1/pulse/1: %s, rotor/2/pulse/1: %s}\n%s", air, first, second, speed)
}

const (
	at250   = "  cranking_speed: {unit: rpm, rotor/1: 250, rotor/2: 250}\n"
	seaAir  = "ambient: {pressure: 101.325 kPa}\n"
	threeOf = "805, rotor/1/pulse/2: 812, rotor/1/pulse/3: 820"
)

// Build 1 of the demo: the reading itself is left as it was read; beside it
// stands what it is at the reference barometer: 805 · 101.325/98.6 is 827.
func TestCrankingOfTheDemo(t *testing.T) {
	s := build1(t).compute(t)
	checkKnown(t, s, []known{
		{"cranking_pressure", "rotor/1", "805", "conforms"},
		{"cranking.lowest", "rotor/1", "827", ""}, {"cranking.lowest", "rotor/2", "820", ""}, // 798 · 1.02764
		{"cranking.pulse_spread", "rotor/1", "15", ""}, {"cranking.pulse_spread", "rotor/2", "17", ""},
		{"cranking.rotor_difference", "engine", "5", ""}, // 812.33 − 807.67 = 4.67, · 1.02764
		{"cranking.speed", "rotor/1", "250", ""},
	})
}

// Pressures at another speed than the reference are not compared, and why is
// said; up to a tenth away is as good as the reference (R6: at it is inside).
func TestCrankingAtAnotherSpeed(t *testing.T) {
	for speed, refused := range map[string]bool{"210": true, "224.9": true, "225": false, "250": false, "275": false, "276": true} {
		s := small{"geometry: {rotors: 2}\n", map[string]string{"cranking 2024-03-02": pulses("  cranking_speed: {unit: rpm, engine: "+speed+"}\n", seaAir, threeOf, "800")}}
		set := s.compute(t)
		if !refused {
			require.Equal(t, "805", result(t, set, "cranking.lowest", "rotor/1").Text(), speed)
			continue
		}
		for _, f := range [][2]string{{"cranking.lowest", "rotor/1"}, {"cranking.pulse_spread", "rotor/1"}, {"cranking.rotor_difference", "engine"}} {
			require.Regexp(t, `^read at \d+ rpm: not comparable with 250 rpm; read at two speeds$`, needed(t, set, f[0], f[1]).Why, speed)
		}
		require.Nil(t, missing(set, "cranking.at_two_speeds", "rotor/1"), "one speed alone")
	}
}

// What a test lacks is named: the air, the speed, a pulse.
func TestCrankingSaysWhatIsMissing(t *testing.T) {
	compute := func(speed, air, first string) *figure.Set {
		return small{"geometry: {rotors: 2}\n", map[string]string{"cranking 2024-03-02": pulses(speed, air, first, "800")}}.compute(t)
	}
	const session = "measurements/2024-03-02-cranking-KM.yaml"
	require.Equal(t, []string{"ambient.pressure in " + session}, needed(t, compute(at250, "", threeOf), "cranking.lowest", "rotor/1").Needs)
	require.Equal(t, []string{"cranking_speed at rotor/1 in " + session}, needed(t, compute("", seaAir, threeOf), "cranking.lowest", "rotor/1").Needs)
	require.Equal(t, []string{"three pulses of cranking_pressure at rotor/2"}, needed(t, compute(at250, seaAir, threeOf), "cranking.pulse_spread", "rotor/2").Needs)
	never := small{spec: "geometry: {rotors: 2}\n"}.compute(t)
	require.Nil(t, missing(never, "cranking.lowest", "rotor/1"), "nobody cranked it")
}

// The latest test counts as a whole: pulses of an older one are not put beside
// the newer one's.
func TestLatestCrankingTestCountsWhole(t *testing.T) {
	s := small{"geometry: {rotors: 2}\n", map[string]string{
		"cranking 2024-03-02": pulses(at250, seaAir, "700, rotor/1/pulse/2: 710, rotor/1/pulse/3: 720", "800"),
		"dyno 2024-04-02":     pulses(at250, "ambient: {pressure: 98.6 kPa}\n", "790", "800"),
	}}
	set := s.compute(t)
	require.Equal(t, "812", result(t, set, "cranking.lowest", "rotor/1").Text()) // 790 · 101.325/98.6
	require.NotNil(t, missing(set, "cranking.pulse_spread", "rotor/1"))
}

// Two sessions at two speeds give an estimate, which no limit ever judges; the
// refused pressure points to it.
func TestTwoSpeedsAreAnEstimate(t *testing.T) {
	sessions := map[string]string{
		"cranking 2024-03-02": pulses("  cranking_speed: {unit: rpm, engine: 270}\n", seaAir, "800", "800"),
		"cranking 2024-03-03": pulses("  cranking_speed: {unit: rpm, engine: 220}\n", seaAir, "760", "760"),
	}
	s := small{"geometry: {rotors: 2}\n", sessions}
	set := figure.Compute(s.load(t), limitsOf(t, "cranking.at_two_speeds: {new: {min: 900 kPa}, source: own}"))
	r := result(t, set, "cranking.at_two_speeds", "rotor/1")
	require.InDelta(t, 785.71, r.In(), 0.01) // 901.325 (861.325/901.325)^((1/270 − 1/250)/(1/270 − 1/220)) − 101.325
	require.Equal(t, figure.NoVerdict, r.Verdict)
	require.Nil(t, r.Limit)
	require.Equal(t, "estimate, no verdict", r.Figure.Mark)
	require.Contains(t, needed(t, set, "cranking.lowest", "rotor/1").Why, "the estimate from two speeds stands beside it")
	sessions["cranking 2024-03-03"] = pulses("  cranking_speed: {unit: rpm, engine: 300}\n", seaAir, "830", "830")
	require.Contains(t, needed(t, s.compute(t), "cranking.at_two_speeds", "rotor/1").Why, "250 rpm lies too far outside 270 rpm and 300 rpm")
}

// Speeds hardly apart tell of the noise, not of the leak.
func TestSpeedsHardlyApart(t *testing.T) {
	s := small{"geometry: {rotors: 2}\n", map[string]string{
		"cranking 2024-03-02": pulses("  cranking_speed: {unit: rpm, engine: 250}\n", seaAir, "800", "800"),
		"cranking 2024-03-03": pulses("  cranking_speed: {unit: rpm, engine: 252}\n", seaAir, "810", "810"),
	}}
	set := s.compute(t)
	require.Nil(t, set.Find("cranking.at_two_speeds", "rotor/1"))
	require.Nil(t, missing(set, "cranking.at_two_speeds", "rotor/1"))
}
