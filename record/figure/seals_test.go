package figure_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"stackbook/record"
	"stackbook/record/figure"
)

// Build 1 of the demo, apex 1 of rotor 2, by hand: the mass from its sizes and a
// density nobody measured, so nothing is judged; the pull with the middle of the
// seal at 100 − 4 mm and 8800 rpm.
func TestSealOfTheDemoByHand(t *testing.T) {
	const apex = "rotor/2/apex/1"
	set := build1(t).compute(t)
	mass := result(t, set, "apex_seal.mass", apex)
	require.InDelta(t, 3.250*3.000*8.01*77.934/1000, mass.In(), 0.02)
	require.Equal(t, record.Nominal, mass.Origin)
	require.Nil(t, mass.Uncertainty)
	omega := 8800 * math.Pi / 30
	pull := -mass.Value * omega * omega * (0.096/9 - 0.014)
	require.InEpsilon(t, pull, result(t, set, "apex_seal.pull_waist", apex).Value, 2e-3)
	r := result(t, set, "apex_seal.spring_over_pull", apex)
	require.InEpsilon(t, 38/pull, r.Value, 0.05)
	require.Nil(t, r.Limit)
	require.Nil(t, missing(set, "apex_seal.spring_over_pull", "rotor/1/apex/1"), "its spring load is missed by its own name")
}

// A seal that was weighed is judged: the spring holds it from the pull upwards.
func TestSpringAgainstThePull(t *testing.T) {
	omega := 9000 * math.Pi / 30
	pull := 6e-3 * omega * omega * (0.015 - (0.105+0.003-0.004)/9) // 6 g, e 15 mm, seal of 8 mm
	for load, verdict := range map[float64]figure.Verdict{1.02 * pull: figure.Conforms, 0.98 * pull: figure.Fails} {
		s := small{"geometry: {rotors: 1, generating_radius: 105 mm, seal_tip_radius: 3 mm, eccentricity: 15 mm}\noperating: {speed_momentary: 9000 rpm}\n",
			map[string]string{"mock-up 2024-03-02": sprintf("readings: {apex_seal_mass: {unit: g, rotor/1/apex/2: 6.00}, apex_seal_height: {unit: mm, rotor/1/apex/2: 8.00}, apex_spring_load: {unit: N, rotor/1/apex/2: %.3f}}\n", load)}}
		set := s.compute(t)
		require.InEpsilon(t, pull, result(t, set, "apex_seal.pull_waist", "rotor/1/apex/2").Value, 1e-9)
		require.Equal(t, verdict, result(t, set, "apex_seal.spring_over_pull", "rotor/1/apex/2").Verdict)
		require.Nil(t, missing(set, "apex_seal.mass", "rotor/1/apex/1"))
	}
}

// Where nothing pulls the seal off, the ratio says nothing and why is said.
func TestNothingPullsTheSealOff(t *testing.T) {
	s := small{"geometry: {rotors: 1, generating_radius: 105 mm, seal_tip_radius: 3 mm, eccentricity: 11 mm}\noperating: {speed_momentary: 9000 rpm}\nparts: {rotor/1/apex/1: {mass: 6 g}}\n",
		map[string]string{"mock-up 2024-03-02": "readings: {apex_seal_height: {unit: mm, rotor/1/apex/1: 8}, apex_spring_load: {unit: N, rotor/1/apex/1: 30}}\n"}}
	set := s.compute(t)
	require.Negative(t, result(t, set, "apex_seal.pull_waist", "rotor/1/apex/1").Value)
	m := needed(t, set, "apex_seal.spring_over_pull", "rotor/1/apex/1")
	require.Contains(t, m.Why, "nothing pulls the seal off the bore")
	require.Equal(t, figure.NoVerdict, m.Judged)
}

// The contact travels a sin(phi_max) = 3 e a/R either way, on half a thickness.
func TestContactOnTheTip(t *testing.T) {
	set := build1(t).compute(t)
	require.InEpsilon(t, 3*14*2./98, result(t, set, "apex_seal.contact_travel", "engine").In(), 1e-9)
	require.InDelta(t, 2.998/2-3*14*2./98, result(t, set, "apex_seal.contact_margin", "rotor/1/apex/2").In(), 1e-9)
	thin := build1(t)
	delete(thin.files, mockUp1)
	require.Equal(t, record.Nominal, result(t, thin.compute(t), "apex_seal.contact_margin", "rotor/1/apex/2").Origin)
}

// A change of the specified thickness of a ceramic seal is a figure that moves,
// with what the trade says of it as its note; of an iron seal nobody says it.
func TestThicknessOfCeramicSeals(t *testing.T) {
	set := build1(t).compute(t)
	require.Equal(t, "3.0", result(t, set, "apex_seal.nominal_thickness", "rotor/1/apex/1").Text())
	iron := small{spec: "geometry: {rotors: 1}\nparts: {rotor/1/apex/1: {material: cast iron, thickness: 3 mm}}\n"}.compute(t)
	require.Nil(t, iron.Find("apex_seal.nominal_thickness", "rotor/1/apex/1"))
}
