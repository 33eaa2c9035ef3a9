package rotary

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestMeanAndUncertainty(t *testing.T) {
	e, err := MeanAndUncertainty([]float64{0.061, 0.061, 0.061}, 0, 0.002)
	require.NoError(t, err)
	assert.Equal(t, unlimitedFreedom, e.Freedom, "readings that agree")
	assert.InEpsilon(t, 0.002, e.Standard, 1e-12)

	e, err = MeanAndUncertainty([]float64{1, 3}, 0, 0)
	require.NoError(t, err)
	assert.InEpsilon(t, math.Sqrt2, e.Deviation, 1e-14, "n-1")
	assert.InEpsilon(t, 1, e.Standard, 1e-14)
	assert.InEpsilon(t, 1, e.Freedom, 1e-14, "repeats alone: n-1 degrees of freedom")
}

// TestResolutionUncertainty compares with the deviation of many values spread
// evenly over one step of an instrument.
func TestResolutionUncertainty(t *testing.T) {
	const n = 100000
	squares := 0.0
	for i := range n {
		x := (float64(i)+0.5)/n - 0.5
		squares += x * x
	}
	assert.InEpsilon(t, math.Sqrt(squares/n), ResolutionUncertainty(1), 1e-9)
}

func TestDifferenceUncertainty(t *testing.T) {
	for _, c := range []struct{ first, second, common, want float64 }{
		{3, 4, 0, 5},
		{5, 5, 5, 0}, // all from one standard: it cancels
		{5, 13, 3, math.Sqrt(16 + 160)},
	} {
		u, err := DifferenceUncertainty(c.first, c.second, c.common)
		require.NoError(t, err)
		assert.InDelta(t, c.want, u, 1e-14, "%v", c)
	}
}

func TestDecide(t *testing.T) {
	none := math.Inf(1)
	for _, c := range []struct {
		y, u, low, high float64
		want            Verdict
	}{
		{0.060, 0.005, 0.050, 0.090, Conforms}, // at the guard band
		{0.059, 0.005, 0.050, 0.090, Undecided},
		{0.041, 0.005, 0.050, 0.090, Undecided},
		{0.039, 0.005, 0.050, 0.090, Fails},
		{0.101, 0.005, 0.050, 0.090, Fails},
		{0.099, 0.005, 0.050, 0.090, Undecided},
		{0.070, 0.010, 0.050, 0.090, Conforms},
		{0.070, 0.0105, 0.050, 0.090, Undecided}, // limits closer than the guard bands
		{0.150, 0, -none, 0.150, Conforms},
		{0.151, 0, -none, 0.150, Fails},
		{7, 0, 7, none, Conforms},
		{6.9, 0, 7, none, Fails},
	} {
		assert.Equal(t, c.want, Decide(c.y, c.u, 2, c.low, c.high), "%v", c)
	}
}

// TestAtTheLimitIsInside is R6 for readings made of two lengths: whatever a
// binary number makes of 80.15 - 80.00, it is not above 0.15.
func TestAtTheLimitIsInside(t *testing.T) {
	for i := range 20000 {
		width := 40 + float64(i)/200
		clearance := (width + 0.15) - width
		require.Equal(t, Conforms, Decide(clearance, 0, 2, 0.15, 0.15), "%g", width)
	}
}

func TestConformanceProbability(t *testing.T) {
	none := math.Inf(1)
	// Quantiles of the normal distribution from common tables.
	assert.InDelta(t, 0.95, ConformanceProbability(0, 1, -1.959964, 1.959964), 1e-7)
	assert.InDelta(t, 0.95, ConformanceProbability(0, 1, -none, 1.644854), 1e-7)
	assert.InDelta(t, 0.5, ConformanceProbability(3, 1, 3, none), 1e-15)
	low, high := ConformanceProbability(-12, 1, 0, 1), ConformanceProbability(13, 1, 0, 1)
	assert.Positive(t, low, "far outside keeps its digits")
	assert.InEpsilon(t, low, high, 1e-9, "both sides alike")
	assert.Equal(t, 1.0, ConformanceProbability(3, 0, 3, 4))
	assert.Zero(t, ConformanceProbability(5, 0, 3, 4))
}
