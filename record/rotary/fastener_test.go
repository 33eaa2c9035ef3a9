package rotary

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestStressAreaByThreadGeometry compares with the mean of pitch and minor
// diameter, d2 = d - 0.75 H and d3 = d - (17/12) H, H = P sqrt(3)/2 (ISO 68-1,
// from memory); 0.9382 is that rounded.
func TestStressAreaByThreadGeometry(t *testing.T) {
	for _, m := range [][2]float64{{8, 1.25}, {10, 1.5}, {10, 1.25}, {12, 1.75}, {16, 2}} {
		h := m[1] * math.Sqrt(3) / 2
		mean := (m[0] - 0.75*h + m[0] - 17.0/12*h) / 2
		got, err := StressArea(m[0]/1000, m[1]/1000)
		require.NoError(t, err)
		assert.InEpsilon(t, math.Pi/4*mean*mean*1e-6, got, 5e-6)
	}
}

// TestStretchAsSprings: a bolt cut in two stretches as much in its parts as in
// one, and its work is half load times stretch, section by section.
func TestStretchAsSprings(t *testing.T) {
	const load, modulus = 23e3, 205e9
	whole, _, err := Stretch(load, modulus, []BoltSection{{0.25, 80e-6}})
	require.NoError(t, err)
	parts, stress, err := Stretch(load, modulus, []BoltSection{{0.1, 80e-6}, {0.15, 80e-6}, {0, 60e-6}})
	require.NoError(t, err)
	assert.InEpsilon(t, whole, parts, 1e-12)
	assert.InEpsilon(t, load/60e-6, stress, 1e-12, "the weakest section has the highest stress")
	assert.InEpsilon(t, load/80e-6/modulus*0.25, whole, 1e-12)
}

// TestStretchRefuses names the section at fault.
func TestStretchRefuses(t *testing.T) {
	_, _, err := Stretch(1, 205e9, []BoltSection{{0.1, 80e-6}, {0.1, 0}})
	assert.EqualError(t, err, "stretch: area-2 must be greater than zero")
	_, _, err = Stretch(1, 205e9, []BoltSection{{-0.1, 80e-6}})
	assert.EqualError(t, err, "stretch: length-1 must not be negative")
	_, _, err = Stretch(1, 205e9, nil)
	assert.EqualError(t, err, "stretch: needs at least one section")
}

// TestPreloadScatter: the default is that of a dry bolt; a lubricated one says 0.25.
func TestPreloadScatter(t *testing.T) {
	given := si(map[string]float64{"torque": 35, "nut-factor": 0.2, "diameter": 0.01})
	dry := worked(t, "preload", given)
	assert.InEpsilon(t, 17500, dry["preload"].Number, 1e-12)
	assert.InEpsilon(t, 0.65*17500, dry["lowest"].Number, 1e-12)
	given["scatter"] = Value{Number: 0.25}
	oiled := worked(t, "preload", given)
	assert.InEpsilon(t, 1.25*17500, oiled["highest"].Number, 1e-12)
}
