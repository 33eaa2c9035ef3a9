package rotary

import (
	"math"
	"math/cmplx"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// outline is one flank of the rotor as a polygon with its centre, in the
// rotor's frame. With a relief its points move in along the polygon's own
// normals, and with a tip radius out.
func outline(b Bore, relief float64, points int) []complex128 {
	flank := make([]complex128, points+1)
	for i := range flank {
		x, y := b.FlankPoint(math.Pi * float64(i) / float64(points))
		flank[i] = complex(x, y)
	}
	moved := []complex128{0}
	for i, p := range flank {
		along := flank[min(i+1, points)] - flank[max(i-1, 0)]
		outwards := along / complex(cmplx.Abs(along), 0) * -1i
		moved = append(moved, p-outwards*complex(relief, 0))
	}
	return moved
}

// inside counts the sides of a polygon that a ray from p crosses.
func inside(polygon []complex128, p complex128) bool {
	odd := false
	for i, a := range polygon {
		b := polygon[(i+1)%len(polygon)]
		if (imag(a) > imag(p)) != (imag(b) > imag(p)) &&
			real(p) < real(a)+(imag(p)-imag(a))/(imag(b)-imag(a))*(real(b)-real(a)) {
			odd = !odd
		}
	}
	return odd
}

// TestSidePortByBruteForce turns a polygon of a third of the rotor over the
// wall in tenths of a degree and asks of each position whether the point lies in
// the third but not in the polygon. It knows nothing of beta, bisection or
// normals of the ideal flank.
func TestSidePortByBruteForce(t *testing.T) {
	for _, tt := range []struct {
		b            Bore
		relief, x, y float64 // mm
	}{
		{mustBore(t, 15, 105, 0), 0, 50, -80},
		{mustBore(t, 15, 105, 0), 0, -70, -70},
		{mustBore(t, 14, 98, 2), 0, 55, -65},
		{mustBore(t, 14, 98, 2), 0.5, 55, -65},
		{mustBore(t, 14, 98, 0), 0.5, 40, -72},
		{mustBore(t, 17.5, 120, 0), 0, 60, -95},
	} {
		wall, err := NewSideWall(tt.b, tt.relief/1000)
		require.NoError(t, err)
		opens, closes, err := wall.PointTiming(tt.x/1000, tt.y/1000)
		require.NoError(t, err)

		polygon := outline(tt.b, tt.relief/1000, 720)
		const step = 0.1
		first, last := math.Inf(1), math.Inf(-1)
		for alpha := -539.95; alpha < 540; alpha += step {
			s := (alpha - 450) * degree
			z := (complex(tt.x, tt.y)/1000 - cmplx.Rect(tt.b.e, s)) * cmplx.Rect(1, -s/3)
			if d := cmplx.Phase(z); d < 0.02 || d > 2*math.Pi/3-0.02 || inside(polygon, z) {
				continue
			}
			first, last = min(first, alpha), max(last, alpha)
		}
		assert.InDelta(t, first, opens/degree, 2*step, "%v", tt)
		assert.InDelta(t, last, closes/degree, 2*step, "%v", tt)
	}
}

// TestSidePortMirror: seen in a mirror the intake side is the exhaust side and
// the cycle runs backwards.
func TestSidePortMirror(t *testing.T) {
	wall, err := NewSideWall(mustBore(t, 14, 98, 2), 0.0004)
	require.NoError(t, err)
	for _, p := range [][2]float64{{0.050, -0.070}, {0.070, -0.050}, {0.020, -0.080}} {
		opens, closes, err := wall.PointTiming(p[0], p[1])
		require.NoError(t, err)
		mirrored, back, err := wall.PointTiming(-p[0], p[1])
		require.NoError(t, err)
		assert.InDelta(t, -closes, mirrored, 1e-9)
		assert.InDelta(t, -opens, back, 1e-9)
	}
}

// TestSidePortRelief: a flank cut back uncovers a point earlier and covers it
// later, the more the further.
func TestSidePortRelief(t *testing.T) {
	b := mustBore(t, 15, 105, 0)
	before := 0.0
	for _, relief := range []float64{0, 0.0002, 0.0005, 0.001} {
		wall, err := NewSideWall(b, relief)
		require.NoError(t, err)
		opens, closes, err := wall.PointTiming(0.050, -0.080)
		require.NoError(t, err)
		assert.Greater(t, closes-opens, before)
		before = closes - opens
	}
}

// TestSidePortNearTheWaist: close to the middle of the waist a point is open to
// exhaust and intake in turn; the longer opening is the answer.
func TestSidePortNearTheWaist(t *testing.T) {
	wall, err := NewSideWall(mustBore(t, 15, 105, 0), 0)
	require.NoError(t, err)
	opens, closes, err := wall.PointTiming(0.005, -0.089)
	require.NoError(t, err)
	assert.Greater(t, opens, 0.0, "the intake's opening, after top dead centre")
	_, exhaustCloses, err := wall.PointTiming(-0.005, -0.089)
	require.NoError(t, err)
	assert.InDelta(t, -opens, exhaustCloses, 1e-9)
	assert.Greater(t, closes, opens)
}
