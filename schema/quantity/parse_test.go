package quantity

import (
	"math/big"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// parse reads a quantity of any dimension.
func parse(text string) (Quantity, error) { return wish{dim: Length, symbol: "mm"}.parse(text) }

func parsed(t testing.TB, text string) Quantity {
	t.Helper()
	q, err := parse(text)
	require.NoError(t, err)
	return q
}

func TestParse(t *testing.T) {
	for _, c := range []struct {
		text, number, symbol string
		decimals             int
	}{
		{"12.5 mm", "25/2", "mm", 1},
		{"12.50 mm", "25/2", "mm", 2},
		{"12.5mm", "25/2", "mm", 1},
		{"  12.5   mm ", "25/2", "mm", 1},
		{"12.5\u00a0mm", "25/2", "mm", 1},
		{"-3 deg", "-3", "deg", 0},
		{"+0.2 mm", "1/5", "mm", 1},
		{".5 mm", "1/2", "mm", 1},
		{"-.5 mm", "-1/2", "mm", 1},
		{"12. mm", "12", "mm", 0},
		{"1e-3 m", "1/1000", "m", 3},
		{"1.50E+3 mm", "1500", "mm", 0},
		{"1e30 mm", "1" + strings.Repeat("0", 30), "mm", 0},
		{"007 mm", "7", "mm", 0},
		{"-0 mm", "0", "mm", 0},
		{"3/8 in", "3/8", "in", -1},
		{"3/8in", "3/8", "in", -1},
		{"010/020 in", "1/2", "in", -1},
		{"1 3/4 in", "7/4", "in", -1},
		{"-1 3/4 in", "-7/4", "in", -1},
		{"24 1/min", "24", "rpm", 0},
		{"24 1/4 1/min", "97/4", "rpm", -1},
		{"0.01 1/mm", "1/100", "1/mm", 2},
		{"23 1e-6/K", "23", "1e-6/K", 0},
		{"1.6 1e-3", "8/5", "1e-3", 1},
		{"85 %", "85", "%", 0},
		{"30 lbf.ft", "30", "lbf.ft", 0},
		{"30 ft-lb", "30", "lbf.ft", 0},
		{"98.6 kPa abs", "493/5", "kPa abs", 1},
		{"3.55 kJ/(kg K)", "71/20", "kJ/(kg K)", 2},
		{"0.1234567890123456789 m", "1234567890123456789/10000000000000000000", "m", 19},
		{"123456789012345678901234567890 m", "123456789012345678901234567890", "m", 0},
		{"-12345678901234567890e3 m", "-12345678901234567890000", "m", 0},
	} {
		q, err := parse(c.text)
		if !assert.NoError(t, err, c.text) {
			continue
		}
		want, ok := new(big.Rat).SetString(c.number)
		require.True(t, ok)
		assert.Zero(t, want.Cmp(q.Rat()), "%q is %s", c.text, q.Rat())
		assert.Equal(t, c.symbol, q.Unit().Symbol(), c.text)
		assert.Equal(t, c.decimals, q.Decimals(), c.text)
		assert.Equal(t, strings.TrimSpace(c.text), q.String(), "text is handed back as written")
	}
}

// R13: what YAML or a keyboard makes of a number is refused with its mend, which
// is read where it is ready to type.
func TestParseRefuses(t *testing.T) {
	for _, c := range []struct{ text, message string }{
		{"", "nothing is written here; write it like 12.5 mm"},
		{"  ", "nothing is written here; write it like 12.5 mm"},
		{"12.5", "12.5 needs a unit; write 12.5 mm"},
		{"1 3/4", "1 3/4 needs a unit; write 1 3/4 mm"},
		{"12,5 mm", "12,5 mm has a comma in its number; write 12.5 mm"},
		{"12,5", "12,5 has a comma in its number; write 12.5 mm"},
		{"12,5 mn", "12,5 mn has a comma in its number; write it like 12.5 mm"},
		{"0,125 mm", "0,125 mm has a comma in its number; write 0.125 mm"},
		{"1,200 mm", "1,200 mm has a comma in its number; write 1.200 mm or 1200 mm"},
		{"-1,200 mm", "-1,200 mm has a comma in its number; write -1.200 mm or -1200 mm"},
		{"19,480.5 mm", "19,480.5 mm has a comma in its number; write 19480.5 mm"},
		{"1,234,567 mm", "1,234,567 mm has a comma in its number; write 1234567 mm"},
		{"1.234,5 mm", "1.234,5 mm has a comma in its number; write 1234.5 mm"},
		{"1_200 mm", "1_200 mm has a mark between its digits; write 1200 mm"},
		{"1'200 mm", "1'200 mm has a mark between its digits; write 1200 mm"},
		{"1.2.3 mm", "1.2.3 mm has a mark between its digits; write it like 12.5 mm"},
		{"1 200 mm", "1 200 mm holds two numbers: thousands are written without a gap; write 1200 mm"},
		{"1 200", "1 200 holds two numbers: thousands are written without a gap; write 1200 mm"},
		{"12 13 mm", "12 13 mm holds two numbers; write 12 mm"},
		{"12 13 bananas", "12 13 bananas holds two numbers; write 12 mm"},
		{"10-20 mm", "10-20 mm holds two numbers; write 10 mm"},
		{"1-3/4 in", "1-3/4 in holds two numbers; write 1 3/4 in"},
		{"5 .5 mm", "5 .5 mm holds two numbers; write 5 mm"},
		{"−3 mm", "−3 mm does not begin with a number; write -3 mm"},
		{"１２ mm", "１２ mm does not begin with a number; write 12 mm"},
		{"12·5 mm", "12·5 mm: the unit ·5 mm is not known; write 12.5 mm"},
		{"12:30 mm", "12:30 mm has a colon in its number; write it like 12.5 mm"},
		{"12:30", "12:30 has a colon in its number; write it like 12.5 mm"},
		{"0x1F mm", "0x1F mm is not a decimal number; write it like 12.5 mm"},
		{"0o17", "0o17 is not a decimal number; write it like 12.5 mm"},
		{"NaN mm", "NaN mm is not a measured number; leave the value empty where none was taken"},
		{".inf", ".inf is not a measured number; leave the value empty where none was taken"},
		{"-Infinity", "-Infinity is not a measured number; leave the value empty where none was taken"},
		{"mm 12", "mm 12 does not begin with a number; write it like 12.5 mm"},
		{"about 12 mm", "about 12 mm does not begin with a number; write 12 mm"},
		{"ca. 12.5 mm", "ca. 12.5 mm does not begin with a number; write 12.5 mm"},
		{"~12 mm", "~12 mm does not begin with a number; write 12 mm"},
		{"class 12 mm", "class 12 mm does not begin with a number; write it like 12.5 mm"},
		{"--3 mm", "--3 mm does not begin with a number; write it like 12.5 mm"},
		{"- mm", "- mm does not begin with a number; write it like 12.5 mm"},
		{"1/min", "1/min: the unit /min is not known; write it like 12.5 mm"},
		{"12 mn", "12 mn: the unit mn is not known; write 12 mm"},
		{"12mn", "12mn: the unit mn is not known; write 12 mm"},
		{"12 C", "12 C: the unit C is not known; write it like 12.5 mm"},
		{"12 bananas", "12 bananas: the unit bananas is not known; write it like 12.5 mm"},
		{"1\nmm", `"1\nmm": the unit "\nmm" is not known; write 1 mm`},
		{"1e31 m", "1e31 m has an exponent beyond 30; write it like 12.5 mm"},
		{"1e-31 m", "1e-31 m has an exponent beyond 30; write it like 12.5 mm"},
		{"1e999999999999999999999 m", "1e999999999999999999999 m has an exponent beyond 30; write it like 12.5 mm"},
		{"3/0 in", "3/0 in divides by zero; write it like 12.5 mm"},
		{"1 5/4 in", "1 5/4 in has a fraction of one or more behind a whole number; write it like 12.5 mm"},
		{"1.5 3/4 in", "1.5 3/4 in holds two numbers; write 1.5 in"},
		{strings.Repeat("1", 251) + " m", strings.Repeat("1", 60) + "… has 251 digits, and at most 250 are read; write it like 12.5 mm"},
		{"1/" + strings.Repeat("1", 250) + " m", "1/" + strings.Repeat("1", 58) + "… has a fraction of more than 250 digits; write it like 12.5 mm"},
		{strings.Repeat("1", 1001), strings.Repeat("1", 60) + "… is 1001 bytes long, and a quantity is short; write it like 12.5 mm"},
	} {
		_, err := parse(c.text)
		assert.EqualError(t, err, c.message, "%q", c.text)
		var refused *RefusedError
		require.ErrorAs(t, err, &refused)
		for _, text := range append(refused.Write, refused.Like) {
			if text == "" {
				continue
			}
			_, err := parse(text)
			assert.NoError(t, err, "the mend of %q", c.text)
		}
	}
}

// The mends are written in the field's own unit, and a unit of another kind is
// none of them.
func TestParseMendsInTheFieldsUnit(t *testing.T) {
	for _, c := range []struct {
		text    string
		dim     Dimension
		symbol  string
		message string
	}{
		{"251", RotationalSpeed, "rpm", "251 needs a unit; write 251 rpm"},
		{"8,400", RotationalSpeed, "rpm", "8,400 has a comma in its number; write 8.400 rpm or 8400 rpm"},
		{"80 C", Temperature, "degC", "80 C: the unit C is not known; write 80 degC"},
		{"80 C", Length, "mm", "80 C: the unit C is not known; write it like 12.5 mm"},
		{"fast", RotationalSpeed, "rpm", "fast does not begin with a number; write it like 8400 rpm"},
		{"14 kg", Length, "mm", "14 kg is a mass, and a length is wanted; write it like 12.5 mm"},
		{"98 kPa abs", PressureGauge, "kPa", "98 kPa abs is an absolute pressure, and a gauge pressure is wanted; write it like 350 kPa"},
		{"150", PressureGauge, "kPa", "150 needs a unit; write 150 kPa"},
		{"1,2", Ratio, "1", "1,2 has a comma in its number; write 1.2"},
		{"much", Ratio, "1", "much does not begin with a number; write it like 12.5"},
		{"19 480", Unbalance, "g mm", "19 480 holds two numbers: thousands are written without a gap; write 19480 g mm"},
	} {
		_, err := Parse(c.text, c.dim, c.symbol)
		assert.EqualError(t, err, c.message)
	}
}

func TestParseNumber(t *testing.T) {
	mm := MustLookup("mm")
	q, err := ParseNumber(" 3.061 ", mm)
	require.NoError(t, err)
	assert.True(t, q.Equal(parsed(t, "3.061 mm")))
	assert.Equal(t, "3.061 mm", q.String())
	assert.Equal(t, 3, q.Decimals())

	q, err = ParseNumber("1 3/4", MustLookup("in"))
	require.NoError(t, err)
	assert.Equal(t, "1 3/4 in", q.String())

	q, err = ParseNumber("9.3", Unit{})
	require.NoError(t, err)
	assert.Equal(t, "9.3", q.String())
	assert.Equal(t, 9.3, q.SI())

	for text, message := range map[string]string{
		"3.061 mm": "3.061 mm has a unit of its own, and it is given as mm already; write 3.061",
		"3,061":    "3,061 has a comma in its number; write 3.061 or 3061",
		"3.061 mn": "3.061 mn: the unit mn is not known; write 3.061",
		"thick":    "thick does not begin with a number; write it like 12.5",
	} {
		_, err := ParseNumber(text, mm)
		assert.EqualError(t, err, message)
	}
}

// Under a unit a number may stand alone, or have a unit of its own of the same
// kind.
func TestParseUnder(t *testing.T) {
	mm := MustLookup("mm")
	for text, want := range map[string]string{"3.061": "3.061 mm", "0.1205 in": "3.0607 mm", " 3/8 ": "0.375 mm"} {
		q, err := ParseUnder(text, mm)
		require.NoError(t, err)
		assert.True(t, q.Equal(parsed(t, want)), text)
	}
	for text, message := range map[string]string{
		"3,061":   "3,061 has a comma in its number; write 3.061 or 3061",
		"3,06 mm": "3,06 mm has a comma in its number; write 3.06 mm",
		"3.061 g": "3.061 g is a mass, and a length is wanted; write it like 12.5",
		"3.06 mn": "3.06 mn: the unit mn is not known; write 3.06 mm",
	} {
		_, err := ParseUnder(text, mm)
		assert.EqualError(t, err, message)
	}
}

// FuzzParse holds what Parse promises for any text: it never panics, an error
// is one short line, and what is accepted keeps its value through its own text
// and through every unit of its dimension.
func FuzzParse(f *testing.F) {
	for _, seed := range []string{
		"12.5 mm", "-1 3/4 in", "3/8in", ".5 mm", "1e-3 m", "1E30 GPa", "24 1/min", "23 1e-6/K", "9.3 1",
		"30 psig", "20 °C", "180 deg", "3 rad", "12,5 mm", "1,200.5 mm", "1_0 mm", "0x1F", "NaN", "1 2 3",
		"5 kpa abs gauge", "1/0 m", "\xff mm", "7 \u00b5m", "- ", "1e", "5 ''",
	} {
		f.Add(seed)
	}
	units := Units()
	f.Fuzz(func(t *testing.T, text string) {
		q, err := parse(text)
		if err != nil {
			require.NotContains(t, err.Error(), "\n")
			require.Less(t, len(err.Error()), 1000)
			return
		}
		again, err := parse(q.String())
		require.NoError(t, err)
		require.True(t, q.Equal(again), "%q reads back as %s", q, again)
		for _, u := range units {
			if u.Dimension() != q.Unit().Dimension() {
				continue
			}
			other, err := q.In(u)
			require.NoError(t, err)
			require.True(t, q.Equal(other), "%s and %s", q, other)
			require.Equal(t, q.Canonical(), other.Canonical())
		}
	})
}

// A typical reading should take well under a microsecond; a season's records
// hold tens of thousands.
func BenchmarkParse(b *testing.B) {
	for b.Loop() {
		if _, err := parse("12.512 mm"); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkParseFraction(b *testing.B) {
	for b.Loop() {
		if _, err := parse("1 3/4 in"); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkSI(b *testing.B) {
	q := parsed(b, "12.512 mm")
	for b.Loop() {
		q.SI()
	}
}
