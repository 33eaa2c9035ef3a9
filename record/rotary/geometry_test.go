package rotary

import (
	"fmt"
	"math"
	"math/cmplx"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Geometry is tested here against figures drawn point by point: the rotor as a
// polygon, the bore as another, areas by the shoelace rule, speeds by
// differences. These tests hold to a relative 1e-6 or so on any processor,
// with or without fused operations (R5).

// bores are sizes in m that span what is built and what is hard: sharp and
// rounded seals, an almost looped bore, one whose waist is not hollow.
var bores = []struct{ e, r, a float64 }{
	{0.015, 0.105, 0},
	{0.014, 0.098, 0.002},
	{0.0175, 0.117, 0.003},
	{0.0116, 0.0715, 0.001},
	{0.015, 0.050, 0.0001},
	{0.010, 0.095, 0.004},
}

func eachBore(t *testing.T, test func(t *testing.T, b Bore)) {
	t.Helper()
	for _, size := range bores {
		t.Run(fmt.Sprintf("e=%g R=%g a=%g", size.e, size.r, size.a), func(t *testing.T) {
			b, err := NewBore("test", size.e, size.r, size.a)
			require.NoError(t, err)
			test(t, b)
		})
	}
}

func point(x, y float64) complex128 { return complex(x, y) }

// turned is the complex number of length 1 in the direction angle.
func turned(angle float64) complex128 { return cmplx.Rect(1, angle) }

// onShaft carries a point of the rotor's frame to where it is when the shaft
// has turned by angle since the rotor's first apex was on the major axis.
func onShaft(b Bore, w complex128, angle float64) complex128 {
	return complex(b.e, 0)*turned(angle) + w*turned(angle/3)
}

// shoelace is the area of a polygon in the order of its corners,
// anticlockwise positive.
func shoelace(corners []complex128) float64 {
	sum := 0.0
	for i, p := range corners {
		q := corners[(i+1)%len(corners)]
		sum += real(p)*imag(q) - imag(p)*real(q)
	}
	return sum / 2
}

// chamberPolygon draws one chamber at a shaft angle after its top dead centre:
// along the bore, round one seal tip, back along the flank, round the other.
func chamberPolygon(b Bore, alpha float64) []complex128 {
	const n = 8000
	shaft := alpha + math.Pi/2
	first, second := shaft/3, shaft/3+2*math.Pi/3
	var corners []complex128
	for i := range n {
		corners = append(corners, point(b.Point(first+(second-first)*float64(i)/n)))
	}
	tip := func(apex, from, to float64) {
		centre := complex(b.r, 0) * turned(apex)
		for i := range n / 10 {
			direction := apex + from + (to-from)*float64(i)/(n/10)
			corners = append(corners, onShaft(b, centre+complex(b.a, 0)*turned(direction), shaft))
		}
	}
	tip(2*math.Pi/3, b.Leaning(second), -b.MaxLeaning())
	for i := range n {
		corners = append(corners, onShaft(b, point(b.FlankPoint(math.Pi*(1-float64(i)/n))), shaft))
	}
	tip(0, b.MaxLeaning(), b.Leaning(first))
	return corners
}

func TestChamberVolumeAgainstPolygon(t *testing.T) {
	eachBore(t, func(t *testing.T, b Bore) {
		const width = 0.078
		c, err := NewChamber("test", b, width)
		require.NoError(t, err)
		least, most := c.IdealVolumes()
		for _, degrees := range []float64{0, 20, 90, 135, 200, 270, 355, -155} {
			alpha := degrees * math.Pi / 180
			drawn := width * shoelace(chamberPolygon(b, alpha))
			assert.InDelta(t, drawn, c.Volume(least, alpha), 2e-6*drawn, "at %g deg", degrees)
		}
		assert.InDelta(t, most-least, c.SweptVolume(), 1e-12*most)
		top, bottom := shoelace(chamberPolygon(b, 0)), shoelace(chamberPolygon(b, StrokeAngle))
		assert.InEpsilon(t, width*(bottom-top), c.SweptVolume(), 1e-6)
	})
}

func TestChamberVolumeSlopeAgainstDifferences(t *testing.T) {
	eachBore(t, func(t *testing.T, b Bore) {
		c, err := NewChamber("test", b, 0.08)
		require.NoError(t, err)
		const h = 1e-5
		for alpha := -5.0; alpha < 10; alpha += 0.7 {
			difference := (c.Volume(0, alpha+h) - c.Volume(0, alpha-h)) / (2 * h)
			assert.InDelta(t, difference, c.VolumeSlope(alpha), 1e-8*c.SweptVolume(), "at %g rad", alpha)
		}
		assert.InDelta(t, 0, c.VolumeSlope(StrokeAngle), 1e-12*c.SweptVolume(), "at bottom dead centre")
		assert.InDelta(t, c.Volume(1, 1), c.Volume(1, 1+CycleAngle), 1e-12, "after a cycle")
	})
}

func TestBoreAgainstPolyline(t *testing.T) {
	eachBore(t, func(t *testing.T, b Bore) {
		const n = 20000
		length, previous := 0.0, point(b.Point(-1))
		for i := 1; i <= n; i++ {
			next := point(b.Point(-1 + 5*float64(i)/n))
			length += cmplx.Abs(next - previous)
			previous = next
		}
		assert.InEpsilon(t, length, b.Length(-1, 4), 1e-6)
		assert.InDelta(t, b.Perimeter(), b.Length(1, 1+2*math.Pi), 1e-12)

		major, minor := b.Axes()
		assert.InDelta(t, 2*cmplx.Abs(point(b.Point(0))), major, 1e-12)
		assert.InDelta(t, 2*cmplx.Abs(point(b.Point(math.Pi/2))), minor, 1e-12)

		const h = 1e-4
		turn := b.Normal(math.Pi/2+h) - b.Normal(math.Pi/2-h)
		assert.InDelta(t, turn/b.Length(math.Pi/2-h, math.Pi/2+h), b.WaistCurvature(), 1e-4*math.Abs(b.WaistCurvature())+1e-6)
	})
}

func TestFromAxesUndoesAxes(t *testing.T) {
	eachBore(t, func(t *testing.T, b Bore) {
		e, tip, err := FromAxes(b.Axes())
		require.NoError(t, err)
		assert.InDelta(t, b.e, e, 1e-15)
		assert.InDelta(t, b.r+b.a, tip, 1e-15)
	})
}

func TestLargestLeaning(t *testing.T) {
	eachBore(t, func(t *testing.T, b Bore) {
		largest := 0.0
		for i := range 100000 {
			largest = math.Max(largest, b.Leaning(math.Pi*float64(i)/100000))
		}
		assert.InDelta(t, largest, b.MaxLeaning(), 1e-8)
	})
}

// TestFlankTouchesBore holds what makes the flank the ideal one: it touches the
// bore at every point and is outside it at none.
func TestFlankTouchesBore(t *testing.T) {
	eachBore(t, func(t *testing.T, b Bore) {
		for beta := 0.05; beta < math.Pi; beta += 0.1 {
			c := -3 * b.e / b.r * math.Cos(beta)
			contact := math.Acos(c)
			there := onShaft(b, point(b.FlankPoint(beta)), (3*contact-beta)/2)
			bore := point(b.Point((contact + beta) / 2))
			assert.Less(t, cmplx.Abs(there-bore), 1e-14, "at beta %g", beta)
		}
		for alpha := 0.0; alpha < CycleAngle; alpha += 0.5 {
			for beta := 0.0; beta <= math.Pi; beta += 0.1 {
				p := onShaft(b, point(b.FlankPoint(beta)), alpha)
				assert.LessOrEqual(t, cmplx.Abs(p), boreRadius(b, cmplx.Phase(p))+1e-12, "at %g, beta %g", alpha, beta)
			}
		}
	})
}

// boreRadius is the distance of the bore from its centre in a direction, by
// bisection: the polar angle grows steadily with the parameter.
func boreRadius(b Bore, direction float64) float64 {
	low, high := direction-math.Pi/2, direction+math.Pi/2
	for range 60 {
		t := (low + high) / 2
		if behind := point(b.Point(t)) / turned(direction); imag(behind) < 0 {
			low = t
		} else {
			high = t
		}
	}
	return cmplx.Abs(point(b.Point(low)))
}

func TestFlankLengthAgainstPolyline(t *testing.T) {
	eachBore(t, func(t *testing.T, b Bore) {
		const n = 20000
		length, previous := 0.0, point(b.FlankPoint(0))
		for i := 1; i <= n; i++ {
			next := point(b.FlankPoint(math.Pi * float64(i) / n))
			length += cmplx.Abs(next - previous)
			previous = next
		}
		assert.InEpsilon(t, length, b.FlankLength(), 1e-6)
	})
}

// TestReliefAgainstPolygon draws the strip between a sharp seal's flank and the
// parallel curve c inside it.
func TestReliefAgainstPolygon(t *testing.T) {
	const n, c = 20000, 0.0005
	b, err := NewBore("test", 0.014, 0.098, 0)
	require.NoError(t, err)
	var strip, inner []complex128
	for i := 0; i <= n; i++ {
		beta := math.Pi * float64(i) / n
		contact := math.Acos(-3 * b.e / b.r * math.Cos(beta))
		normal := b.Normal((contact+beta)/2) - (3*contact-beta)/6
		p := point(b.FlankPoint(beta))
		strip = append(strip, p)
		inner = append(inner, p-complex(c, 0)*turned(normal))
	}
	for i := range inner {
		strip = append(strip, inner[n-i])
	}
	area, err := b.reliefArea("test", c)
	require.NoError(t, err)
	assert.InEpsilon(t, math.Abs(shoelace(strip)), area, 1e-6)
}

// TestApproximateSweptVolume holds the error stated for the series.
func TestApproximateSweptVolume(t *testing.T) {
	for _, size := range []struct{ e, r, a float64 }{{15, 102, 3}, {15, 103, 2}, {17.5, 117, 3}} {
		b, err := NewBore("test", size.e/1000, size.r/1000, size.a/1000)
		require.NoError(t, err)
		assert.InEpsilon(t, b.sweptArea(), b.approximateSweptArea(), 3e-5)
	}
}

// TestPocketForRatio works a ratio forwards and back.
func TestPocketForRatio(t *testing.T) {
	eachBore(t, func(t *testing.T, b Bore) {
		c, err := NewChamber("test", b, 0.08)
		require.NoError(t, err)
		built := Recess{Relief: 0.0004, Pocket: 30e-6, Extra: 1.2e-6}
		least, err := c.LeastVolume("test", built)
		require.NoError(t, err)
		ratio, err := c.CompressionRatio("test", least)
		require.NoError(t, err)
		pocket, err := c.PocketVolume("test", ratio, built)
		require.NoError(t, err)
		assert.InEpsilon(t, built.Pocket, pocket, 1e-10)
		effective, err := c.EffectiveCompressionRatio("test", least, 0)
		require.NoError(t, err)
		assert.InEpsilon(t, ratio, effective, 1e-12, "intake closing at bottom dead centre")
	})
}

func TestEllipticE(t *testing.T) {
	for _, m := range []float64{0, 0.3, 0.84, 0.999} {
		for _, phi := range []float64{-7, -1.5, 0, 0.4, math.Pi / 2, 2, math.Pi, 5.5, 20} {
			const n = 20000 // Simpson's rule
			f := func(i int) float64 {
				s := math.Sin(phi * float64(i) / n)
				return math.Sqrt(1 - m*s*s)
			}
			sum := f(0) + f(n)
			for i := 1; i < n; i++ {
				sum += float64(2+2*(i%2)) * f(i)
			}
			assert.InDelta(t, sum*phi/n/3, ellipticE(phi, m), 1e-9, "E(%g|%g)", phi, m)
		}
	}
}
