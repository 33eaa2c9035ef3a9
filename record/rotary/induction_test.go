package rotary

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestTunedSpeedByTravelTime: at the tuned speed the shaft turns through theta
// while the wave makes its trips; the length of that speed is the length given.
func TestTunedSpeedByTravelTime(t *testing.T) {
	const theta, sound, length = 270 * degree, 354.7, 0.55
	for _, trips := range []float64{1, 2, 3} {
		speed, err := TunedSpeed(theta, sound, length, trips)
		require.NoError(t, err)
		assert.InEpsilon(t, theta, speed*2*length*trips/sound, 1e-12)
		back, err := TunedLength(theta, sound, speed, trips)
		require.NoError(t, err)
		assert.InEpsilon(t, length, back, 1e-12)
	}
}

// TestHelmholtzAsMassAndSpring: the gas in the neck is a mass rho A L, the
// volume a spring rho c^2 A^2/V; their frequency does not depend on rho.
func TestHelmholtzAsMassAndSpring(t *testing.T) {
	const rho, sound, d, length, volume = 1.16, 349.0, 0.042, 0.35, 366e-6
	area := math.Pi * d * d / 4
	mass, spring := rho*area*length, rho*sound*sound*area*area/volume
	f, err := Helmholtz(sound, d, length, volume)
	require.NoError(t, err)
	assert.InEpsilon(t, math.Sqrt(spring/mass)/(2*math.Pi), f, 1e-12)
}

// TestHelmholtzTunedSpeed: one event a turn at 182.69 Hz is 10,961 rpm; two
// events a turn need half the speed.
func TestHelmholtzTunedSpeed(t *testing.T) {
	given := si(map[string]float64{"temperature": 303.15, "diameter": 0.042, "length": 0.35, "volume": 366e-6})
	one := worked(t, "helmholtz", given)
	assert.InEpsilon(t, 60*one["frequency"].Number, one["speed"].Number*30/math.Pi, 1e-12)
	given["events-per-turn"] = Value{Number: 2}
	assert.InEpsilon(t, one["speed"].Number/2, worked(t, "helmholtz", given)["speed"].Number, 1e-12)
}
