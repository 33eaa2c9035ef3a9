package quantity

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func as(t *testing.T, text string, d Dimension) Quantity {
	t.Helper()
	q, err := parsed(t, text).As(d)
	require.NoError(t, err)
	return q
}

// R6, R22: equal quantities are equal in whatever unit and spelling, and have
// one canonical text.
func TestEqualAcrossUnits(t *testing.T) {
	for _, c := range []struct{ a, b, canonical string }{
		{"1.75 in", "44.45 mm", "0.04445 m"},
		{"1 3/4 in", "44.450 mm", "0.04445 m"},
		{"1 thou", "0.0254 mm", "0.0000254 m"},
		{"1 oz", "28.349523125 g", "0.028349523125 kg"},
		{"1 kPa", "10 mbar", "1000 Pa"},
		{"1 kPa gauge", "10 mbar gauge", "1000 Pa gauge"},
		{"1 psig", "1 psi gauge", "8896443230521/1290320000 Pa gauge"},
		{"212 °F", "100 degC", "373.15 K"},
		{"1/3 h", "20 min", "1200 s"},
		{"8400 rpm", "8400 1/min", "8400 rpm"},
		{"1 in/h", "25.4 mm/h", "127/18000000 m/s"},
		{"85 %", "850 1e-3", "0.85"},
		{"1 N·m", "1 Nm", "1 N m"},
	} {
		a, b := parsed(t, c.a), parsed(t, c.b)
		assert.True(t, a.Equal(b), "%s and %s", a, b)
		assert.Equal(t, c.canonical, a.Canonical(), c.a)
		assert.Equal(t, c.canonical, b.Canonical(), c.b)
	}
}

// R22: what is easily taken for one another is not equal.
func TestNotEqual(t *testing.T) {
	for _, c := range [][2]string{
		{"1 hp", "1 metric hp"},
		{"1 oz", "1 US fl oz"},
		{"1 lb", "1 lbf"},
		{"1 US gal", "1 imp gal"},
		{"100 kPa gauge", "100 kPa abs"},
		{"1 N m", "1 J"},
		{"1 in", "25.40000000000000000001 mm"},
	} {
		a, b := parsed(t, c[0]), parsed(t, c[1])
		assert.False(t, a.Equal(b), "%s and %s", a, b)
		assert.NotEqual(t, a.Canonical(), b.Canonical())
	}
}

func TestCmp(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want int
	}{
		{"0.07 mm", "70 um", 0},
		{"0.0700000000000000000001 mm", "70 um", 1},
		{"-1 mm", "1 um", -1},
		{"3.141592653589793 rad", "180 deg", -1},
	} {
		got, err := parsed(t, c.a).Cmp(parsed(t, c.b))
		require.NoError(t, err)
		assert.Equal(t, c.want, got, "%s against %s", c.a, c.b)
	}
	_, err := parsed(t, "12.5 mm").Cmp(parsed(t, "3 kg"))
	assert.EqualError(t, err, "12.5 mm and 3 kg cannot be compared: a length and a mass")
}

// R22: the field fixes gauge or absolute, point or difference; what is written
// may confirm, never override.
func TestAs(t *testing.T) {
	for _, c := range []struct {
		text string
		d    Dimension
		si   float64
	}{
		{"350 kPa", PressureGauge, 350e3},
		{"350 kPa gauge", PressureGauge, 350e3},
		{"98.6 kPa", PressureAbsolute, 98.6e3},
		{"98.6 kPa abs", PressureAbsolute, 98.6e3},
		{"98.6 kPa", Pressure, 98.6e3},
		{"20 degC", Temperature, 293.15},
		{"20 degC", TemperatureDifference, 20},
		{"18 degF", TemperatureDifference, 10},
		{"8 K", TemperatureDifference, 8},
	} {
		q := as(t, c.text, c.d)
		assert.Equal(t, c.si, q.SI(), "%s as %s", c.text, c.d)
		assert.Equal(t, c.d, q.Unit().Dimension())
		assert.Equal(t, c.text, q.String())
	}
	assert.True(t, as(t, "350 kPa", PressureGauge).Equal(parsed(t, "350 kPa gauge")))
	assert.False(t, as(t, "350 kPa", PressureGauge).Equal(as(t, "350 kPa", PressureAbsolute)))
}

func TestAsRefuses(t *testing.T) {
	for _, c := range []struct {
		text    string
		d       Dimension
		message string
	}{
		{"12 kg", Length, "12 kg is a mass, and a length is wanted; write it like 12.5 mm"},
		{"350 kPa abs", PressureGauge, "350 kPa abs is an absolute pressure, and a gauge pressure is wanted; write it like 350 kPa"},
		{"98 kPa gauge", PressureAbsolute, "98 kPa gauge is a gauge pressure, and an absolute pressure is wanted; write it like 98.6 kPa"},
		{"98 kPa gauge", Pressure, "98 kPa gauge is a gauge pressure, and a pressure is wanted; write it like 150 kPa"},
		{"30 lb", Force, "30 lb is a mass, and a force is wanted; write it like 38 N"},
		{"30 oz.in", Torque, "30 oz.in is an unbalance, and a torque is wanted; write it like 35 N m"},
		{"12 J", Torque, "12 J is an energy, and a torque is wanted; write it like 35 N m"},
	} {
		_, err := parsed(t, c.text).As(c.d)
		assert.EqualError(t, err, c.message)
	}
}

// SI values are the float64 nearest to the exact value. Expected numbers are
// written as the decimal or quotient they are.
func TestSI(t *testing.T) {
	for _, c := range []struct {
		text string
		want float64
	}{
		{"12.5 mm", 0.0125},
		{"78.009 mm", 0.078009},
		{"567.15 cm3", 567.15e-6},
		{"-3 deg", -math.Pi / 60},
		{"180 deg", math.Pi},
		{"1 rad", 1},
		{"8400 rpm", 280 * math.Pi},
		{"1 rad/s", 1},
		{"20 degC", 293.15},
		{"1 cm3/deg", 180e-6 / math.Pi},
		{"16 cm3/rev", 16e-6},
		{"310 g/kWh", 310e-3 / 3.6e6},
		{"23 1e-6/K", 23e-6},
		{"50 %", 0.5},
		{"1 hp", 745.69987158227022},
		{"1e30 GPa", 1e39},
	} {
		assert.Equal(t, c.want, parsed(t, c.text).SI(), c.text)
	}
}

func TestIn(t *testing.T) {
	for _, c := range []struct {
		text, unit, want string
		decimals         int
	}{
		{"1 3/4 in", "mm", "44.45 mm", 2},
		{"12.50 mm", "mm", "12.50 mm", 2},
		{"1 mm", "in", "5/127 in", -1},
		{"100 degC", "degF", "212 degF", 0},
		{"-40 degF", "degC", "-40 degC", 0},
		{"350 kPa gauge", "bar gauge", "3.5 bar gauge", 1},
		{"85 %", "1", "0.85", 2},
		{"90 deg", "deg", "90 deg", 0},
	} {
		q := parsed(t, c.text)
		got, err := q.In(MustLookup(c.unit))
		require.NoError(t, err)
		assert.Equal(t, c.want, got.String())
		assert.Equal(t, c.decimals, got.Decimals(), c.text)
		assert.Equal(t, q.LastDigit(), got.LastDigit(), "converting makes no reading finer")
	}
	_, err := parsed(t, "12 mm").In(MustLookup("kg"))
	assert.EqualError(t, err, "12 mm is a length and cannot be given in kg, a unit of a mass")
}

func TestLastDigit(t *testing.T) {
	for _, c := range []struct {
		text string
		want float64
	}{
		{"12.50 mm", 1e-5},
		{"12 mm", 1e-3},
		{"1.5e3 mm", 0.1},
		{"3/8 in", 0.0254 / 8},
		{"1 6/16 in", 0.0254 / 16},
		{"21.5 degC", 0.1},
		{"90 deg", math.Pi / 180},
	} {
		assert.InEpsilon(t, c.want, parsed(t, c.text).LastDigit(), 1e-14, c.text)
	}
}

// R6: sums stay exact where binary floats would drift.
func TestSumIsExact(t *testing.T) {
	sum, step := parsed(t, "0.0 mm"), parsed(t, "0.1 mm")
	for range 10 {
		var err error
		sum, err = Add(sum, step)
		require.NoError(t, err)
	}
	assert.True(t, sum.Equal(parsed(t, "1 mm")))
	assert.Equal(t, "1.0 mm", sum.String())
	assert.Equal(t, 1e-3, sum.SI())
}

// R22: differences convert without offset; the difference of two points on a
// scale is no point.
func TestAddSub(t *testing.T) {
	for _, c := range []struct {
		a, op, b, want string
		d              Dimension
	}{
		{"78.004 mm", "-", "77.866 mm", "0.138 mm", Length},
		{"1.20 mm", "-", "1.10 mm", "0.10 mm", Length},
		{"1 in", "+", "10 mm", "177/127 in", Length},
		{"10 mm", "+", "1 in", "35.4 mm", Length},
		{"3/8 in", "+", "0.25 in", "0.625 in", Length},
		{"80 degC", "-", "72 degC", "8 degC", TemperatureDifference},
		{"80 degC", "-", "68 degF", "60 degC", TemperatureDifference},
		{"350 kPa gauge", "-", "200 kPa gauge", "150 kPa", Pressure},
		{"350 kPa gauge", "+", "0.5 bar", "400 kPa gauge", PressureGauge},
		{"350 kPa gauge", "-", "50 kPa", "300 kPa gauge", PressureGauge},
	} {
		op := map[string]func(a, b Quantity) (Quantity, error){"+": Add, "-": Sub}[c.op]
		got, err := op(parsed(t, c.a), parsed(t, c.b))
		require.NoError(t, err)
		assert.Equal(t, c.want, got.String())
		assert.Equal(t, c.d, got.Unit().Dimension(), "%s %s %s", c.a, c.op, c.b)
	}
	rise := as(t, "18 degF", TemperatureDifference)
	warm, err := Add(parsed(t, "20 degC"), rise)
	require.NoError(t, err)
	assert.Equal(t, "30 degC", warm.String())
	assert.Equal(t, Temperature, warm.Unit().Dimension())
}

func TestAddSubRefuse(t *testing.T) {
	_, err := Add(parsed(t, "20 degC"), parsed(t, "30 degC"))
	assert.EqualError(t, err, "20 degC and 30 degC have no sum: each is a temperature")
	_, err = Add(parsed(t, "1 mm"), parsed(t, "1 kg"))
	assert.EqualError(t, err, "1 mm and 1 kg cannot be added: a length and a mass")
	_, err = Sub(parsed(t, "1 mm"), parsed(t, "1 kg"))
	assert.EqualError(t, err, "1 kg cannot be taken from 1 mm: a mass and a length")
	_, err = Sub(parsed(t, "350 kPa gauge"), parsed(t, "98 kPa abs"))
	assert.EqualError(t, err, "98 kPa abs cannot be taken from 350 kPa gauge: an absolute pressure and a gauge pressure")
}

// R6: the mean of repeats is exact, also between points on a scale.
func TestMean(t *testing.T) {
	for _, c := range []struct {
		of   []string
		want string
	}{
		{[]string{"12.50 mm"}, "12.50 mm"},
		{[]string{"3.064 mm", "3.063 mm", "3.065 mm"}, "3.064 mm"},
		{[]string{"3.06 mm", "3.07 mm"}, "3.065 mm"},
		{[]string{"0.1 mm", "0.1 mm", "0.2 mm"}, "2/15 mm"},
		{[]string{"1 mm", "1 in"}, "13.2 mm"},
		{[]string{"20 degC", "86 degF"}, "25 degC"},
		{[]string{"10 kPa gauge", "20 kPa gauge"}, "15 kPa gauge"},
	} {
		var qs []Quantity
		for _, text := range c.of {
			qs = append(qs, parsed(t, text))
		}
		assert.Equal(t, c.want, Mean(qs).String())
		assert.Equal(t, qs[0].Unit(), Mean(qs).Unit())
	}
	assert.Equal(t, 0.001, Mean([]Quantity{parsed(t, "1 mm"), parsed(t, "2.00 mm")}).LastDigit())
	assert.True(t, Mean(nil).Equal(Quantity{}))
}

func TestNeverChanges(t *testing.T) {
	a, b := parsed(t, "1.5 mm"), parsed(t, "0.5 in")
	a.Rat().SetInt64(99)
	a.SI()
	_, _ = Add(a, b)
	_, _ = b.In(MustLookup("mm"))
	_, _ = a.Cmp(b)
	assert.Equal(t, "3/2", a.Rat().String())
	assert.Equal(t, "1/2", b.Rat().String())
	assert.Equal(t, "0.001", exactText(MustLookup("mm").def().factor, 0))
}

func TestZeroQuantity(t *testing.T) {
	var q Quantity
	assert.Equal(t, "0", q.String())
	assert.Equal(t, "0", q.Canonical())
	assert.Zero(t, q.SI())
	assert.Equal(t, 1.0, q.LastDigit())
	assert.True(t, q.Equal(parsed(t, "0 %")))
	sum, err := Add(q, parsed(t, "5 %"))
	require.NoError(t, err)
	assert.Equal(t, "0.05", sum.String())
}
