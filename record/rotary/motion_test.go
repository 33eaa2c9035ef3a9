package rotary

import (
	"math"
	"math/cmplx"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Motion is tested against differences of positions a short time apart.

const testSpeed = 900.0 // rad/s, about 8600 rpm

// material is where a point fixed in the rotor's frame is when the shaft has
// turned by alpha.
func material(b Bore, w complex128) func(alpha float64) complex128 {
	return func(alpha float64) complex128 { return onShaft(b, w, alpha) }
}

// velocity and acceleration of a point at the shaft angle alpha, by differences.
func velocity(position func(float64) complex128, alpha float64) complex128 {
	const h = 1e-5
	return (position(alpha+h) - position(alpha-h)) * complex(testSpeed/(2*h), 0)
}

func acceleration(position func(float64) complex128, alpha float64) complex128 {
	const h = 1e-4
	second := position(alpha+h) - 2*position(alpha) + position(alpha-h)
	return second * complex(testSpeed*testSpeed/(h*h), 0)
}

func TestSlidingSpeedAgainstDifferences(t *testing.T) {
	eachBore(t, func(t *testing.T, b Bore) {
		for alpha := -4.0; alpha < 12; alpha += 0.37 {
			contact := point(b.Point(alpha / 3))
			touching := (contact - complex(b.e, 0)*turned(alpha)) / turned(alpha/3) // in the rotor's frame
			speed := cmplx.Abs(velocity(material(b, touching), alpha))
			assert.InEpsilon(t, speed, b.SlidingSpeed(testSpeed, alpha), 1e-7, "at %g rad", alpha)
		}
	})
}

func TestSlidingSpeedRange(t *testing.T) {
	eachBore(t, func(t *testing.T, b Bore) {
		const n = 3600
		sum, most, least := 0.0, 0.0, math.Inf(1)
		for i := range n {
			v := b.SlidingSpeed(testSpeed, 6*math.Pi*float64(i)/n)
			sum, most, least = sum+v, math.Max(most, v), math.Min(least, v)
		}
		highest, lowest, mean := b.SlidingSpeedRange(testSpeed)
		assert.InEpsilon(t, most, highest, 1e-12)
		assert.InEpsilon(t, least, lowest, 1e-6)
		assert.InEpsilon(t, sum/n, mean, 1e-9)
	})
}

func TestSealAccelerationAgainstDifferences(t *testing.T) {
	eachBore(t, func(t *testing.T, b Bore) {
		radius := b.r - 0.004
		for alpha := -4.0; alpha < 12; alpha += 0.37 {
			along := acceleration(material(b, complex(radius, 0)), alpha) / turned(alpha/3)
			got, err := SealAcceleration(b.e, radius, testSpeed, alpha)
			require.NoError(t, err)
			assert.InDelta(t, -real(along), got, 1e-5*testSpeed*testSpeed*b.r, "at %g rad", alpha)
		}
	})
}

func TestContactAccelerationAgainstDifferences(t *testing.T) {
	eachBore(t, func(t *testing.T, b Bore) {
		for parameter := 0.05; parameter < math.Pi; parameter += 0.13 {
			inward := -acceleration(material(b, complex(b.r, 0)), 3*parameter) / turned(b.Normal(parameter))
			got, radius, err := b.ContactAcceleration(testSpeed, parameter)
			require.NoError(t, err)
			assert.InDelta(t, real(inward), got, 1e-5*testSpeed*testSpeed*b.r, "at %g rad", parameter)
			centreSpeed := cmplx.Abs(velocity(material(b, complex(b.r, 0)), 3*parameter))
			assert.InEpsilon(t, centreSpeed*centreSpeed/got, radius, 1e-6, "at %g rad", parameter)
		}
	})
}

// TestGearRolls holds that pitch circles of the sizes given roll on each other:
// equal speed at the point where they touch.
func TestGearRolls(t *testing.T) {
	g, err := Gear(testSpeed, 34, 51, 0.014)
	require.NoError(t, err)
	atPinion := 0.014*testSpeed - g.RingRadius*g.RotorSpeed // beyond the shaft's centre; the pinion stands still
	assert.InDelta(t, 0, atPinion, 1e-12)
	assert.InDelta(t, 0.014, g.RingRadius-g.PinionRadius, 1e-15)
	assert.InDelta(t, 2*g.PinionRadius, 34*g.Module, 1e-15)
	assert.InDelta(t, 2*g.RingRadius, 51*g.Module, 1e-15)
}
