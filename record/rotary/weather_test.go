package rotary

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestVapourEquationsAgree holds the distances the doc comments promise.
func TestVapourEquationsAgree(t *testing.T) {
	for celsius := 0.5; celsius <= 40; celsius += 0.5 {
		k := celsius + zeroCelsius
		reference, err := VapourIAPWS(k)
		require.NoError(t, err)
		for _, tt := range []struct {
			name     string
			equation func(float64) (float64, error)
			within   float64
		}{
			{"Buck", VapourBuck, 1e-3},
			{"Wexler and Greenspan", VapourWexlerGreenspan, 1e-3},
			{"Magnus", VapourMagnus, 5e-3},
		} {
			p, err := tt.equation(k)
			require.NoError(t, err)
			assert.InEpsilon(t, reference, p, tt.within, "%s at %v degC", tt.name, celsius)
		}
	}
}

// TestVapourAtBoilingAndCriticalPoint: 101.42 kPa at 100 degC and the critical
// pressure at the critical temperature (both from memory).
func TestVapourAtBoilingAndCriticalPoint(t *testing.T) {
	p, err := VapourIAPWS(373.15)
	require.NoError(t, err)
	assert.InDelta(t, 101420, p, 10)
	p, err = VapourIAPWS(373.9 + zeroCelsius)
	require.NoError(t, err)
	assert.InEpsilon(t, 22.064e6, p, 2e-3)
}

// corrections are the factors by name, with the state each is 1 at.
var corrections = []struct {
	id        string
	reference Air
}{
	{"correction-j1349-1990", Air{99000, 298.15, 0}},
	{"correction-j1349-later", Air{99000, 298.15, 0}},
	{"correction-iso-1585", Air{99000, 298.15, 0}},
	{"correction-din-70020", Air{101300, 293.15, 0}},
	// 60 degF; the printed 519.7 is 459.7 + 60.
	{"correction-60f", Air{29.92 * 13595.1 * 9.80665 * 0.0254, (60-32)/1.8 + zeroCelsius, 0}},
}

func correction(t *testing.T, id string, a Air) float64 {
	t.Helper()
	return worked(t, id, si(map[string]float64{
		"pressure": a.Pressure, "temperature": a.Temperature, "humidity": a.Humidity}))["factor"].Number
}

// TestCorrections: each factor is 1 at its own reference state, grows as the air
// gets thinner, warmer and (but for the older DIN) moister.
func TestCorrections(t *testing.T) {
	for _, c := range corrections {
		r := c.reference
		assert.InDelta(t, 1, correction(t, c.id, r), 1e-12, c.id)
		assert.Greater(t, correction(t, c.id, Air{0.98 * r.Pressure, r.Temperature, 0}), 1.0, c.id)
		assert.Greater(t, correction(t, c.id, Air{r.Pressure, r.Temperature + 5, 0}), 1.0, c.id)
		assert.Less(t, correction(t, c.id, Air{r.Pressure, r.Temperature - 5, 0}), 1.0, c.id)
		moist := correction(t, c.id, Air{r.Pressure, r.Temperature, 0.6})
		if c.id == "correction-din-70020" {
			assert.Equal(t, 1.0, moist)
		} else {
			assert.Greater(t, moist, 1.005, c.id)
		}
	}
}

// TestCorrectionJ1349IsForIndicatedPower: friction of 0.18 of the observed brake
// power stays as it is, the rest follows the air.
func TestCorrectionJ1349IsForIndicatedPower(t *testing.T) {
	air := Air{96000, 305.15, 0}
	cf, err := CorrectionJ1349Of1990(air)
	require.NoError(t, err)
	const brake = 150e3
	indicated := brake * 1.18
	thin := 99000.0 / 96000 * math.Sqrt(305.0/298)
	assert.InEpsilon(t, indicated*thin-0.18*brake, brake*cf, 1e-12)
}

// TestDryAir: moist air is lighter than dry air at the same pressure, by 0.378 of
// the vapour's share (the ratio of the gas constants less one).
func TestDryAir(t *testing.T) {
	_, dry, err := DryAir(Air{101325, 303.15, 0})
	require.NoError(t, err)
	p, moist, err := DryAir(Air{101325, 303.15, 1})
	require.NoError(t, err)
	assert.InEpsilon(t, dry*(1-0.378*(101325-p)/101325), moist, 1e-5)
}

func TestShaftPowerComesBack(t *testing.T) {
	shaft, err := ShaftPower(150e3, 0.85, 5e3)
	require.NoError(t, err)
	assert.InEpsilon(t, 150e3, (shaft-5e3)*0.85, 1e-12)
}
