package quantity

import (
	"math/big"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func parsed(t testing.TB, text string) Quantity {
	t.Helper()
	q, err := Parse(text)
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
		q, err := Parse(c.text)
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

// R13: what YAML or a keyboard makes of a number is refused with its mend.
func TestParseRefuses(t *testing.T) {
	for _, c := range []struct{ text, message string }{
		{"", "nothing is written here; write a number with its unit, such as 12.5 mm"},
		{"  ", "nothing is written here; write a number with its unit, such as 12.5 mm"},
		{"12.5", "12.5 needs a unit, such as 12.5 mm"},
		{"1 3/4", "1 3/4 needs a unit, such as 1 3/4 mm"},
		{"12,5 mm", "12,5 mm has a comma in its number; write 12.5 mm"},
		{"0,125 mm", "0,125 mm has a comma in its number; write 0.125 mm"},
		{"1,200 mm", "1,200 mm has a comma in its number; write 1.200 mm or 1200 mm"},
		{"-1,200 mm", "-1,200 mm has a comma in its number; write -1.200 mm or -1200 mm"},
		{"19,480.5 g mm", "19,480.5 g mm has a comma in its number; write 19480.5 g mm"},
		{"1,234,567 mm", "1,234,567 mm has a comma in its number; write 1234567 mm"},
		{"1.234,5 mm", "1.234,5 mm has a comma in its number; write 1234.5 mm"},
		{"1_200 mm", "1_200 mm has a mark between its digits; write 1200 mm"},
		{"1'200 mm", "1'200 mm has a mark between its digits; write 1200 mm"},
		{"1.2.3 mm", "1.2.3 mm has a mark between its digits; write it like 12.5 mm"},
		{"1 200 mm", "1 200 mm holds two numbers; thousands are written without a gap: 1200 mm"},
		{"12 13 mm", "12 13 mm holds two numbers; write one, such as 12 mm"},
		{"12 13 bananas", "12 13 bananas holds two numbers; write one, such as 12 mm"},
		{"10-20 kPa", "10-20 kPa holds two numbers; write one, such as 10 kPa"},
		{"1-3/4 in", "1-3/4 in holds two numbers; write one, such as 1 3/4 in"},
		{"5 .5 mm", "5 .5 mm holds two numbers; write one, such as 5 mm"},
		{"0x1F mm", "0x1F mm is hexadecimal; write a decimal number, such as 12.5 mm"},
		{"NaN mm", "NaN mm is not a measured number; leave the value empty where none was taken"},
		{".inf", ".inf is not a measured number; leave the value empty where none was taken"},
		{"-Infinity", "-Infinity is not a measured number; leave the value empty where none was taken"},
		{"mm 12", "mm 12 does not begin with a number; write it like 12.5 mm"},
		{"about 12 mm", "about 12 mm does not begin with a number; write it like 12.5 mm"},
		{"--3 mm", "--3 mm does not begin with a number; write it like 12.5 mm"},
		{"- mm", "- mm does not begin with a number; write it like 12.5 mm"},
		{"1/min", "1/min: the unit /min is not known; the nearest is rpm"},
		{"12 mn", "12 mn: the unit mn is not known; the nearest is mm"},
		{"12 C", "12 C: the unit C is not known; the nearest is degC"},
		{"12 bananas", "12 bananas: the unit bananas is not known; write one such as mm, kg or kPa"},
		{"1\nmm", `"1\nmm": the unit "\nmm" is not known; the nearest is mm`},
		{"1e31 m", "1e31 m has an exponent beyond 30; write it with a larger or smaller unit"},
		{"1e-31 m", "1e-31 m has an exponent beyond 30; write it with a larger or smaller unit"},
		{"1e999999999999999999999 m", "1e999999999999999999999 m has an exponent beyond 30; write it with a larger or smaller unit"},
		{"3/0 in", "3/0 in divides by zero; write a fraction such as 3/8 in"},
		{"1 5/4 in", "1 5/4 in has a fraction of one or more behind a whole number; write it like 1 3/4 in"},
		{"1.5 3/4 in", "1.5 3/4 in holds two numbers; write one, such as 1.5 in"},
		{strings.Repeat("1", 251) + " m", strings.Repeat("1", 60) + "… has 251 digits; at most 250 are read"},
		{"1/" + strings.Repeat("1", 250) + " m", "1/" + strings.Repeat("1", 58) + "… has a fraction of more than 250 digits"},
		{strings.Repeat("1", 1001), strings.Repeat("1", 60) + "… is 1001 bytes long; a quantity is short, such as 12.5 mm"},
	} {
		_, err := Parse(c.text)
		assert.EqualError(t, err, c.message, "%q", c.text)
	}
}

func TestParseNoUnit(t *testing.T) {
	_, err := Parse("12.5")
	assert.ErrorIs(t, err, ErrNoUnit)
	_, err = Parse("12.5 mn")
	assert.NotErrorIs(t, err, ErrNoUnit)
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
		"3.061 mm": "3.061 mm has a unit of its own; its unit is given as mm already, write 3.061",
		"3,061":    "3,061 has a comma in its number; write 3.061 or 3061",
		"3.061 mn": "3.061 mn: the unit mn is not known; the nearest is mm",
		"thick":    "thick does not begin with a number; write it like 12.5 mm",
	} {
		_, err := ParseNumber(text, mm)
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
		q, err := Parse(text)
		if err != nil {
			require.NotContains(t, err.Error(), "\n")
			require.Less(t, len(err.Error()), 1000)
			return
		}
		again, err := Parse(q.String())
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
		if _, err := Parse("12.512 mm"); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkParseFraction(b *testing.B) {
	for b.Loop() {
		if _, err := Parse("1 3/4 in"); err != nil {
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
