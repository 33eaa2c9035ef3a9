package quantity

import (
	"math"
	"math/big"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gopkg.in/yaml.v3"
)

type checkValue struct {
	Value yaml.Node
	Unit  string
}

// check is one known answer of testdata/checks.yaml, as far as units need it.
type check struct {
	ID       string
	Inputs   map[string]checkValue
	Expected map[string]checkValue
	Note     string
}

func readChecks(t *testing.T) []check {
	t.Helper()
	text, err := os.ReadFile("../../testdata/checks.yaml")
	require.NoError(t, err)
	var file struct{ Checks []check }
	require.NoError(t, yaml.Unmarshal(text, &file))
	return file.Checks
}

// The known conversions, held in both ways they are given: the decimals, which
// are rounded to 12 significant digits, must be ours so rounded, and where the
// note gives the exact quotient it must be ours exactly.
//
// The tolerance in the file (1e-12 of the value) does not serve here: for
// lbf_ft, lbf_in and lb_per_hr it is narrower than the rounding of the decimals
// themselves, so that the exact quotient of the same check lies outside it.
func TestKnownConversions(t *testing.T) {
	count := 0
	for _, c := range readChecks(t) {
		if !strings.HasPrefix(c.ID, "unit.") {
			continue
		}
		count++
		t.Run(c.ID, func(t *testing.T) {
			require.Len(t, c.Inputs, 1)
			require.NotEmpty(t, c.Expected)
			for _, in := range c.Inputs {
				for _, out := range c.Expected {
					convertBothWays(t, c.Note, in, out)
				}
			}
		})
	}
	assert.Equal(t, 31, count, "known conversions in the file")
}

// convertBothWays converts in to the unit of out exactly and by floats.
func convertBothWays(t *testing.T, note string, in, out checkValue) {
	t.Helper()
	from, to := MustLookup(in.Unit), MustLookup(out.Unit)
	q, err := ParseNumber(in.Value.Value, from)
	require.NoError(t, err)
	q, err = q.In(to)
	require.NoError(t, err)
	if quotient, ok := strings.CutPrefix(note, "rational "); ok {
		assert.Equal(t, quotient, q.Rat().String())
	}

	var given, want float64
	require.NoError(t, in.Value.Decode(&given))
	require.NoError(t, out.Value.Decode(&want))
	exactly, _ := q.Rat().Float64()
	assert.Equal(t, FormatSig(want, 12), FormatSig(exactly, 12))
	assert.Equal(t, FormatSig(want, 12), FormatSig(FromSI(ToSI(given, from), to), 12))
}

// Every unit the known answers use is known here. Port timings are angles with
// the dead centre they count from, which is no part of the unit; text and rel
// are not units.
func TestUnitsOfKnownAnswers(t *testing.T) {
	for _, c := range readChecks(t) {
		for _, side := range []map[string]checkValue{c.Inputs, c.Expected} {
			for name, v := range side {
				symbol := v.Unit
				for _, centre := range []string{" ATDC", " BTDC", " ABDC", " BBDC"} {
					symbol = strings.TrimSuffix(symbol, centre)
				}
				if symbol == "text" || symbol == "rel" || symbol == "" {
					continue
				}
				_, ok := Lookup(symbol)
				assert.True(t, ok, "%s: %s has the unit %q", c.ID, name, v.Unit)
			}
		}
	}
}

// R22: the exact sizes of the units that are easily taken for one another.
// Definitions from memory; the long decimal of hp is the one R22 gives.
func TestExactFactors(t *testing.T) {
	for _, c := range []struct{ symbol, factor string }{
		{"hp", "745.69987158227022 W"},
		{"metric hp", "735.49875 W"},
		{"oz", "0.028349523125 kg"},
		{"lb", "0.45359237 kg"},
		{"lbf", "4.4482216152605 N"},
		{"psi", "8896443230521/1290320000 Pa"},
		{"psi gauge", "8896443230521/1290320000 Pa"},
		{"degC", "1 K, from 273.15 K"},
		{"degF", "5/9 K, from 45967/180 K"},
		{"rad", "180/pi deg"},
		{"%", "0.01"},
		{"L/min", "1/60000 m3/s"},
	} {
		assert.Equal(t, c.factor, MustLookup(c.symbol).Factor(), c.symbol)
	}
}

// R22: other spellings are read as the unit they stand for.
func TestSpellings(t *testing.T) {
	for symbol, spellings := range map[string][]string{
		"um":         {"µm", "μm", "micron"},
		"degC":       {"°C", "deg C", "deg_C"},
		"degF":       {"°F"},
		"deg":        {"°", "degrees"},
		"cm3":        {"cc", "cm³", "cm^3"},
		"in":         {"inch", "inches"},
		"rpm":        {"rev/min", "1/min", "r/min", "RPM"},
		"N m":        {"Nm", "N·m", "N.m", "N-m", "N*m", "N  m", "N\u00a0m"},
		"lbf.ft":     {"lbf ft", "lbf-ft", "lbf_ft", "ft-lb", "ft.lb", "ft lb", "ft-lbf", "lb-ft"},
		"lbf.in":     {"lbf in", "in-lb"},
		"lb/h":       {"lb/hr", "lb / h"},
		"metric hp":  {"PS", "metric_hp"},
		"US gal":     {"US_gal", "US-gal"},
		"US fl oz":   {"US_floz"},
		"oz.in":      {"oz in", "oz_in", "oz-in"},
		"lb/(hp h)":  {"lb/(hp-h)", "lb/hp-hr"},
		"kPa gauge":  {"kPa  gauge", "kPa gage"},
		"psi gauge":  {"psig"},
		"bar abs":    {"bara", "bar absolute"},
		"m/s2":       {"m/s²"},
		"kgf/cm2":    {"kgf/cm²", "kg/cm2"},
		"1e-6/K":     {"ppm/K", "µm/(m·K)"},
		"kJ/(kg K)":  {"kJ/(kg·K)", "kJ/(kg-K)"},
		"g mm":       {"g·mm", "g-mm", "g.mm"},
		"L/min":      {"l/min"},
		"imp gal/h":  {"imp gal/hr"},
		"cm3/rev":    {"cc/rev"},
		"US gal/min": {"US_gal/min"},
	} {
		for _, spelling := range append(spellings, symbol) {
			u, ok := Lookup(spelling)
			if assert.True(t, ok, "%q should be %s", spelling, symbol) {
				assert.Equal(t, symbol, u.Symbol(), "%q", spelling)
			}
		}
	}
}

func TestUnknownUnits(t *testing.T) {
	for _, c := range []struct{ symbol, nearest string }{
		{"KPA", "kPa"},
		{"mpa", "MPa"},
		{"kpa gauge", "kPa gauge"},
		{"kg gauge", ""},
		{"mm gauge", ""},
		{"C", "degC"},
		{"F", "degF"},
		{`"`, "in"},
		{"gal", "US gal"},
		{"lb.in", "lbf.in"},
		{"lfb", "lbf"},
		{"m/s3", "m/s2"},
		{"parsec", ""},
		{"", ""},
		{strings.Repeat("m", 41), ""},
		{"deg ATDC", "deg"},
	} {
		_, ok := Lookup(c.symbol)
		assert.False(t, ok, c.symbol)
		assert.Equal(t, c.nearest, Nearest(c.symbol), "nearest to %q", c.symbol)
	}
	assert.PanicsWithValue(t, "quantity: no unit is written parsec", func() { MustLookup("parsec") })
}

func TestUnits(t *testing.T) {
	all := Units()
	require.Len(t, all, len(table().rows))
	for i, u := range all {
		found, ok := Lookup(u.Symbol())
		require.True(t, ok, u.Symbol())
		assert.Equal(t, u, found)
		assert.NotEmpty(t, u.Source(), u.Symbol())
		if i > 0 && all[i-1].Dimension() == u.Dimension() {
			assert.Less(t, all[i-1].Symbol(), u.Symbol())
		} else if i > 0 {
			assert.Less(t, all[i-1].Dimension(), u.Dimension())
		}
	}
}

// Every dimension has a name, a base unit of size one, and an example that is
// a quantity of it.
func TestDimensions(t *testing.T) {
	for d := range dimensionCount {
		require.NotEmpty(t, d.String(), int(d))
		u, ok := Lookup(d.row().base)
		require.True(t, ok, "base of %s", d)
		assert.Zero(t, u.def().factor.Cmp(one), "base of %s", d)
		assert.Nil(t, u.def().zero, "base of %s", d)
		q, err := parse(d.Example())
		require.NoError(t, err)
		_, err = q.As(d)
		assert.NoError(t, err)
	}
	assert.Equal(t, "an unknown dimension", Dimension(-1).String())
	assert.Equal(t, "an unknown dimension", dimensionCount.String())
}

func TestUnitAs(t *testing.T) {
	u, err := MustLookup("degF").As(TemperatureDifference)
	require.NoError(t, err)
	assert.InDelta(t, 10.0, ToSI(18, u), 1e-12, "a difference has no offset")
	assert.InDelta(t, 18.0, FromSI(10, u), 1e-12)
	assert.Equal(t, "5/9 K", u.Factor())

	u, err = MustLookup("kPa").As(PressureGauge)
	require.NoError(t, err)
	assert.Equal(t, MustLookup("kPa gauge"), u)

	_, err = MustLookup("kPa abs").As(PressureGauge)
	assert.EqualError(t, err, "kPa abs is a unit of an absolute pressure, not of a gauge pressure")
	_, err = MustLookup("kg").As(Length)
	assert.EqualError(t, err, "kg is a unit of a mass, not of a length")
}

func TestZeroUnit(t *testing.T) {
	var u Unit
	assert.Equal(t, "1", u.Symbol())
	assert.Equal(t, Ratio, u.Dimension())
	assert.Equal(t, "1", u.Factor())
	assert.Equal(t, 2.5, ToSI(2.5, u))
}

// Floats go to SI and come back to the number that was typed, near enough.
func TestFloatRoundTrip(t *testing.T) {
	for _, u := range Units() {
		for _, x := range []float64{0, 1, -3, 0.1, 12.512, 78.009, 9140, 1e-6} {
			assert.InDelta(t, x, FromSI(ToSI(x, u), u), 1e-12*max(1, math.Abs(x)), u.Symbol())
		}
	}
	mm := MustLookup("mm")
	for i := range 100000 {
		x := float64(i) / 1000
		back := FromSI(ToSI(x, mm), mm)
		require.LessOrEqual(t, math.Abs(back-x), math.Nextafter(x, math.Inf(1))-x, "%g mm: one last binary digit at most", x)
	}
}

// pi by Machin's formula, 16 atan(1/5) - 4 atan(1/239), in whole numbers of
// 60 decimals.
func TestPi(t *testing.T) {
	scale := new(big.Int).Exp(big.NewInt(10), big.NewInt(60), nil)
	atanOfInverse := func(n int64) *big.Int {
		sum, term := new(big.Int), new(big.Int).Quo(scale, big.NewInt(n))
		for k := int64(1); term.Sign() != 0; k += 2 {
			part := new(big.Int).Quo(term, big.NewInt(k))
			if k%4 == 3 {
				part.Neg(part)
			}
			sum.Add(sum, part)
			term.Quo(term, big.NewInt(n*n))
		}
		return sum
	}
	want := new(big.Int).Mul(big.NewInt(16), atanOfInverse(5))
	want.Sub(want, new(big.Int).Mul(big.NewInt(4), atanOfInverse(239)))
	assert.Equal(t, new(big.Rat).SetFrac(want, scale).FloatString(50), pi().FloatString(50))
}
