package rotary

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Readings of an invented seal, mm over hours.
var (
	wearHours = []float64{0, 12, 25, 40, 58, 75}
	wearSizes = []float64{8.000, 7.978, 7.951, 7.925, 7.888, 7.857}
)

// TestFitLineLeavesNothingToGain: no nearby line has a smaller sum of squares,
// and the residuals are at right angles to x and to 1.
func TestFitLineLeavesNothingToGain(t *testing.T) {
	l, err := FitLine(wearHours, wearSizes)
	require.NoError(t, err)
	squares := func(b0, b1 float64) (sse, sum, moment float64) {
		for i, x := range wearHours {
			r := wearSizes[i] - b0 - b1*x
			sse, sum, moment = sse+r*r, sum+r, moment+r*x
		}
		return sse, sum, moment
	}
	least, sum, moment := squares(l.B0, l.B1)
	assert.InDelta(t, 0, sum, 1e-12)
	assert.InDelta(t, 0, moment, 1e-10)
	assert.InEpsilon(t, l.S*l.S*4, least, 1e-9)
	for _, d := range []float64{-1e-4, 1e-4} {
		shifted, _, _ := squares(l.B0+d, l.B1)
		turned, _, _ := squares(l.B0, l.B1+d/10)
		assert.Greater(t, shifted, least)
		assert.Greater(t, turned, least)
	}
}

// TestFitLineFarFromZero: the same points a million units away keep their slope
// and scatter. A fit by raw sums loses both.
func TestFitLineFarFromZero(t *testing.T) {
	near, err := FitLine(wearHours, wearSizes)
	require.NoError(t, err)
	x, y := make([]float64, len(wearHours)), make([]float64, len(wearHours))
	for i := range x {
		x[i], y[i] = wearHours[i]+1e6, wearSizes[i]+1e6
	}
	far, err := FitLine(x, y)
	require.NoError(t, err)
	assert.InEpsilon(t, near.B1, far.B1, 1e-6)
	assert.InEpsilon(t, near.S, far.S, 1e-5)
}

func TestFitLineOfEqualReadings(t *testing.T) {
	l, err := FitLine([]float64{0, 10, 20}, []float64{8, 8, 8})
	require.NoError(t, err)
	assert.Equal(t, Line{B0: 8, n: 3, meanX: 10, sxx: 200}, l)
}

// TestForecastBoundsLieOnTheBand: at both bounds the limit is exactly the
// half-width of one more reading away from the line.
func TestForecastBoundsLieOnTheBand(t *testing.T) {
	for _, limit := range []float64{7, 7.5, 7.9, 7.931, 8.2, 9} {
		f, err := WearForecast(wearHours, wearSizes, limit, 0, 0.95)
		require.NoError(t, err)
		require.True(t, f.Significant)
		assert.Less(t, f.Reaches.Earliest, f.Reaches.On)
		assert.Less(t, f.Reaches.On, f.Reaches.Latest)
		q, err := StudentT(0.975, 4)
		require.NoError(t, err)
		for _, h := range []float64{f.Reaches.Earliest, f.Reaches.Latest} {
			y, _, band := f.Line.at(h, q)
			assert.InEpsilon(t, band, math.Abs(limit-y), 1e-6, "limit %v at %v h", limit, h)
		}
		y, _, _ := f.Line.at(f.Reaches.On, q)
		assert.InEpsilon(t, limit, y, 1e-12)
	}
}

// TestForecastWithoutWear: readings that only scatter give no finite bound, and
// the registry says so in a word instead of a number.
func TestForecastWithoutWear(t *testing.T) {
	for name, y := range map[string][]float64{
		"scatter":     {8.000, 8.002, 7.999, 8.001},
		"all equal":   {8, 8, 8, 8},
		"just enough": {8.000, 7.999, 7.999, 7.997}, // t = 4.02 against 4.30
	} {
		out := worked(t, "wear-fit", map[string]Value{
			"hours": {List: []float64{0, 10, 20, 30}}, "readings": {List: y}, "limit": {Number: 7}, "at": {Number: 40}})
		for _, bound := range []string{"limit-reached", "measure-before", "latest"} {
			assert.Equal(t, Value{Text: Unlimited}, out[bound], "%s, %s", name, bound)
		}
		assert.InDelta(t, 8, out["start"].Number, 0.01, "the fit itself is still given")
	}
}

// TestForecastOfAPerfectLine has no scatter, so that all three hours agree.
func TestForecastOfAPerfectLine(t *testing.T) {
	f, err := WearForecast([]float64{0, 1, 2}, []float64{10, 9, 8}, 5, 3, 0.95)
	require.NoError(t, err)
	assert.Equal(t, Reach{On: 5, Earliest: 5, Latest: 5}, f.Reaches)
	assert.Equal(t, 7.0, f.Value)
	assert.Zero(t, f.ReadBand)
}

// TestThreeReadingsAreFew holds the figure that makes three readings poor
// evidence: with one degree of freedom Student's t is 12.7, so the band of the
// rate is that many standard errors wide.
func TestThreeReadingsAreFew(t *testing.T) {
	f, err := WearForecast([]float64{0, 10, 20}, []float64{8, 7.98, 7.962}, 7, 30, 0.95)
	require.NoError(t, err)
	assert.InEpsilon(t, 12.7062, f.RateBand/f.Line.SE1, 1e-5) // tan(0.475 pi)
}
