package rotary

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestStationPressureHydrostatics integrates dp/dh = -p g M/(R T) with the
// constants of the standard atmosphere (ISO 2533, from memory) in steps of a
// metre, by the midpoint rule.
func TestStationPressureHydrostatics(t *testing.T) {
	const g, gas = 9.80665, 287.05287
	p := standardPressure
	for h := 0.0; h < 3000; h++ {
		slope := func(p, h float64) float64 { return -p * g / (gas * (288.15 - 0.0065*h)) }
		p += slope(p+slope(p, h)/2, h+0.5)
		if math.Mod(h+1, 1000) == 0 {
			got, err := StationPressure(h + 1)
			require.NoError(t, err)
			assert.InEpsilon(t, p, got, 1e-6, "%v m", h+1)
		}
	}
}

// TestCrankingBarometerBothForms compares with the form that goes by absolute
// pressures; at the reference barometer nothing changes.
func TestCrankingBarometerBothForms(t *testing.T) {
	for _, gauge := range []float64{0, 5.4e5, 8.2e5} {
		for _, barometer := range []float64{7.7e4, 9.86e4, standardPressure} {
			got, err := CrankingAtReference(gauge, barometer)
			require.NoError(t, err)
			assert.InDelta(t, (gauge+barometer)*standardPressure/barometer-standardPressure, got, 1e-6)
		}
		same, err := CrankingAtReference(gauge, standardPressure)
		require.NoError(t, err)
		assert.InDelta(t, gauge, same, 1e-9)
	}
}

// TestCrankingTwoSpeedsFollowsTheModel makes readings from a known leakage and
// wants it back, whichever reading comes first.
func TestCrankingTwoSpeedsFollowsTheModel(t *testing.T) {
	const barometer, leakage, sealed = 98600.0, 8.0, 1.3e6 // Pa, rad/s, Pa absolute
	at := func(rpm float64) CrankingReading {
		n := rpm * math.Pi / 30
		return CrankingReading{Gauge: sealed*math.Exp(-leakage/n) - barometer, Speed: n}
	}
	want := at(250).Gauge
	for _, pair := range [][2]float64{{230, 270}, {270, 230}, {250, 240}, {246, 251}} {
		got, b, err := CrankingTwoSpeeds(at(pair[0]), at(pair[1]), barometer)
		require.NoError(t, err)
		assert.InEpsilon(t, want, got, 1e-9)
		assert.InEpsilon(t, leakage, b, 1e-9)
	}
}

func TestCrankingAcceptance(t *testing.T) {
	limits := printedCranking.CrankingLimits
	for _, tt := range []struct {
		name   string
		rotors [][]float64 // kPa
		want   string
	}{
		{"good", [][]float64{{805, 812, 820}, {798, 810, 815}}, CrankingPass},
		{"one rotor", [][]float64{{805, 812, 820}}, CrankingPass},
		{"a dead chamber", [][]float64{{760, 765, 772}, {540, 640, 655}}, CrankingLow},
		{"uneven chambers", [][]float64{{700, 851, 860}, {790, 800, 810}}, CrankingChambers},
		{"uneven rotors", [][]float64{{830, 828, 825}, {715, 710, 705}}, CrankingRotorMeans},
		{"outer rotors of four", [][]float64{{700, 700, 700}, {760, 760, 760}, {760, 760, 760}, {801, 801, 801}}, CrankingRotorMeans},
		// R6: at the limit is inside it.
		{"at the minimum and the chamber limit", [][]float64{{680, 830, 680}}, CrankingPass},
		{"at the rotor limit", [][]float64{{800, 800, 800}, {700, 700, 700}}, CrankingPass},
	} {
		pascal := make([][]float64, len(tt.rotors))
		for i, rotor := range tt.rotors {
			for _, kPa := range rotor {
				// As a reading in psi would arrive, with the rounding of a conversion.
				pascal[i] = append(pascal[i], kPa/6.894757293168361*6894.757293168361)
			}
		}
		got, err := CrankingAcceptance(pascal, limits)
		require.NoError(t, err)
		assert.Equal(t, tt.want, got, tt.name)
	}
}

// TestCrankingAcceptanceRefuses: a rotor left out in the middle is a mistake,
// rotors left out at the end are not there.
func TestCrankingAcceptanceRefuses(t *testing.T) {
	good := Value{List: []float64{8e5, 8e5, 8e5}}
	limits := si(map[string]float64{"minimum": 6.8e5, "chamber-spread": 1.5e5, "rotor-spread": 1e5})
	f := ByID("cranking-acceptance")
	_, err := f.Work(withDefaults(f, map[string]Value{"rotor-1": good, "rotor-3": good}))
	assert.EqualError(t, err, "cranking-acceptance: rotor-2 needs at least one chamber's pressure")
	_, err = f.Work(withDefaults(f, nil))
	assert.EqualError(t, err, "cranking-acceptance: needs the pressures of at least one rotor")
	_, err = f.Work(withDefaults(f, map[string]Value{"rotor-1": {List: []float64{-1}}}))
	assert.EqualError(t, err, "cranking-acceptance: rotor-1 must not be negative")
	limits["rotor-1"], limits["rotor-2"] = good, good
	assert.Equal(t, CrankingPass, worked(t, f.ID, limits)["verdict"].Text)
}
