package rotary

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const degree = math.Pi / 180

// mustBore is a bore in mm.
func mustBore(t *testing.T, e, r, a float64) Bore {
	t.Helper()
	b, err := NewBore("test", e/1000, r/1000, a/1000)
	require.NoError(t, err)
	return b
}

// TestPortAngleAtFindsItsOwnPoints goes round the whole bore: a point computed
// at t must come back as t, whichever quadrant it is in, and lie on the bore.
func TestPortAngleAtFindsItsOwnPoints(t *testing.T) {
	for _, b := range []Bore{mustBore(t, 15, 105, 0), mustBore(t, 15, 102, 3), mustBore(t, 14, 98, 2), mustBore(t, 17.5, 55, 0)} {
		for deg := -179.5; deg <= 180; deg += 2.5 {
			x, y := b.Point(deg * degree)
			p, outside, err := b.PortAngleAt(x, y)
			require.NoError(t, err)
			assert.InDelta(t, deg, p.T/degree, 1e-9)
			assert.InDelta(t, 3*deg+90, p.Leading/degree, 1e-8)
			assert.InDelta(t, 3*deg+450, p.Trailing/degree, 1e-8)
			assert.InDelta(t, 0, outside, 1e-12)

			p, outside, err = b.PortAngleAt(1.01*x, 1.01*y)
			require.NoError(t, err)
			assert.InDelta(t, deg, p.T/degree, 1e-9, "the direction alone counts")
			assert.InDelta(t, 0.01*math.Hypot(x, y), outside, 1e-12)
		}
	}
}

// TestPortAngleByArc compares with a polygon of 20,000 sides walked along the
// bore, and with the slope at the waist, 3/(R-3e + a(R-9e)/(R-3e)).
func TestPortAngleByArc(t *testing.T) {
	b := mustBore(t, 15, 102, 3)
	for _, to := range []float64{-200, -140, -91, -60, 10, 80} {
		const sides = 20000
		walked := 0.0
		x0, y0 := b.Point(-90 * degree)
		for i := 1; i <= sides; i++ {
			x, y := b.Point((-90 + (to+90)*float64(i)/sides) * degree)
			walked += math.Copysign(math.Hypot(x-x0, y-y0), to+90)
			x0, y0 = x, y
		}
		p, err := b.PortAngleByArc(walked)
		require.NoError(t, err)
		assert.InDelta(t, to, p.T/degree, 1e-5)
	}
	const step = 1e-6
	p, err := b.PortAngleByArc(step)
	require.NoError(t, err)
	waist, bend := 0.102-3*0.015, 0.102-9*0.015
	assert.InEpsilon(t, 3/(waist+0.003*bend/waist), (p.Leading+180*degree)/step, 1e-4)
}

// TestPeripheralTimingByScan steps the apexes of one chamber past the ports and
// counts how long each port lies between them.
func TestPeripheralTimingByScan(t *testing.T) {
	intake, exhaust := Span{-58 * degree, -35 * degree}, Span{-145 * degree, -134 * degree}
	timing, err := PeripheralTiming(intake, exhaust)
	require.NoError(t, err)
	const step = 0.05
	var in, ex, both float64
	for alpha := -540.0; alpha < 540; alpha += step {
		middle := -90 + alpha/3 // of the chamber; its apexes are 60 degrees to either side
		trailing, leading := (middle-60)*degree, (middle+60)*degree
		open := func(p Span) bool { return leading >= p.From && trailing <= p.To }
		if open(intake) {
			in += step
		}
		if open(exhaust) {
			ex += step
		}
		if open(intake) && open(exhaust) {
			both += step
		}
	}
	assert.InDelta(t, in, timing.Intake()/degree, 2*step)
	assert.InDelta(t, ex, timing.Exhaust()/degree, 2*step)
	assert.InDelta(t, both, timing.Overlap()/degree, 2*step)
}

// TestPortDurationsAgree takes a timing through the words of the trade and back.
func TestPortDurationsAgree(t *testing.T) {
	timing, err := PeripheralTiming(Span{-60 * degree, -30 * degree}, Span{-143 * degree, -132.5 * degree})
	require.NoError(t, err)
	got := worked(t, "port-durations", si(map[string]float64{
		"intake-opens": -timing.IntakeOpensBTDC, "intake-closes": timing.IntakeClosesABDC,
		"exhaust-opens": timing.ExhaustOpensBBDC, "exhaust-closes": -timing.ExhaustClosesATDC}))
	assert.InDelta(t, timing.Intake(), got["intake-duration"].Number, 1e-12)
	assert.InDelta(t, timing.Exhaust(), got["exhaust-duration"].Number, 1e-12)
	assert.InDelta(t, timing.Overlap(), got["overlap"].Number, 1e-12)
}

// TestPortGasSpeedIsVolumeOverTime: the speed times the area times the open time
// is the gas of one chamber, and the Mach index is the speed at eta_v = 1 over
// C times the speed of sound.
func TestPortGasSpeedIsVolumeOverTime(t *testing.T) {
	p := PortFlow{Swept: 567e-6, Area: 1500e-6, Duration: 430 * degree, Speed: 900}
	v, err := PortGasSpeed(p, 0.9)
	require.NoError(t, err)
	assert.InEpsilon(t, 0.9*p.Swept, v*p.Area*p.Duration/p.Speed, 1e-12)
	z, err := MachIndex(p, 0.6, 343)
	require.NoError(t, err)
	assert.InEpsilon(t, v/0.9/(0.6*343), z, 1e-12)

	p.Speed = 0
	_, err = MachIndex(p, 0.6, 343)
	assert.EqualError(t, err, "port-gas-speed: speed must be greater than zero")
}
