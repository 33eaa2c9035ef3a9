package rotary

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestPumpFlowByTurns counts volume: in a minute the pump turns z_drive/z_pump
// times as often as the shaft.
func TestPumpFlowByTurns(t *testing.T) {
	speed, flow, err := PumpFlow(9000*math.Pi/30, 20, 36, 12.5e-6, 0.9)
	require.NoError(t, err)
	assert.InEpsilon(t, 5000, speed*30/math.Pi, 1e-12)
	assert.InEpsilon(t, 5000*12.5e-6*0.9/60, flow, 1e-12)
}

// TestBeltSpeedIsRimSpeed: the belt moves as the pitch circle does.
func TestBeltSpeedIsRimSpeed(t *testing.T) {
	v, d, err := BeltSpeed(0.008, 22, 890)
	require.NoError(t, err)
	assert.InEpsilon(t, 890*d/2, v, 1e-12)
}

// TestBeltLengthByHull measures the belt as the hull of two pitch circles: a
// closed convex curve is as long as its support function integrated over all
// directions, which needs neither tangents nor wraps.
func TestBeltLengthByHull(t *testing.T) {
	for _, tt := range []struct{ pitch, z1, z2, centre float64 }{
		{0.008, 22, 30, 0.2}, {0.009525, 36, 20, 0.18}, {0.005, 30, 30, 0.15}, {0.008, 12, 60, 0.1},
	} {
		belt, err := BeltLength(BeltDrive{tt.pitch, tt.z1, tt.z2}, tt.centre)
		require.NoError(t, err)
		r1, r2 := tt.pitch*tt.z1/(2*math.Pi), tt.pitch*tt.z2/(2*math.Pi)
		const directions = 100000
		length := 0.0
		for i := range directions {
			u := 2 * math.Pi * float64(i) / directions
			length += max(r1, tt.centre*math.Cos(u)+r2) * 2 * math.Pi / directions
		}
		assert.InEpsilon(t, length, belt.Length, 1e-8, "%v", tt)
	}
}

// TestBeltApproximation is out by less than 1e-5 for a usual drive, never for
// equal pulleys, and never too short by more than that.
func TestBeltApproximation(t *testing.T) {
	usual, err := BeltLength(BeltDrive{0.008, 22, 30}, 0.2)
	require.NoError(t, err)
	assert.InEpsilon(t, usual.Length, usual.Approximate, 1e-5)
	equal, err := BeltLength(BeltDrive{0.005, 30, 30}, 0.15)
	require.NoError(t, err)
	assert.InEpsilon(t, equal.Length, equal.Approximate, 1e-15)
	assert.InDelta(t, math.Pi, equal.Wrap, 1e-15)
	assert.Equal(t, 15.0, equal.Mesh)
}

// TestBeltMesh: 22 teeth wrapped by 174.16 degrees are 10 whole teeth.
func TestBeltMesh(t *testing.T) {
	belt, err := BeltLength(BeltDrive{0.008, 30, 22}, 0.2)
	require.NoError(t, err)
	assert.Equal(t, 10.0, belt.Mesh)
}

// TestBeltCentreInvertsLength: the belt that fits a centre distance leads back
// to it, from pulleys that touch to pulleys a long way apart.
func TestBeltCentreInvertsLength(t *testing.T) {
	for _, drive := range []BeltDrive{{0.008, 22, 30}, {0.009525, 20, 36}, {0.005, 30, 30}} {
		shortest := drive.length(drive.touching()) / drive.Pitch
		for _, teeth := range []float64{math.Ceil(shortest), math.Ceil(shortest) + 1, 90, 200, 900} {
			centre, err := BeltCentre(drive, teeth)
			require.NoError(t, err)
			belt, err := BeltLength(drive, centre)
			require.NoError(t, err)
			assert.InEpsilon(t, teeth*drive.Pitch, belt.Length, 1e-13, "%v teeth on %v", teeth, drive)
		}
		_, err := BeltCentre(drive, math.Floor(shortest))
		assert.Error(t, err)
	}
}

func TestScavengeRatio(t *testing.T) {
	ratio, err := ScavengeRatio(60, 40)
	require.NoError(t, err)
	assert.Equal(t, 1.5, ratio)
}
