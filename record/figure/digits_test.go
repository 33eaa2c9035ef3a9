package figure_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"stackbook/record/figure"
	"stackbook/schema"
	"stackbook/schema/quantity"
)

// A reading keeps its digits in the unit it was written in, and has as many as
// its last digit is worth in another: a thousandth of a millimetre is 0.00004 in.
func TestDigitsOfAReading(t *testing.T) {
	for _, c := range []struct {
		written []string
		dim     quantity.Dimension
		shown   string
		want    int
	}{
		{[]string{"0.0024 in"}, quantity.Length, "in", 4},
		{[]string{"0.06 mm"}, quantity.Length, "mm", 2},
		{[]string{"78.012 mm"}, quantity.Length, "in", 5},
		{[]string{"77.86 mm"}, quantity.Length, "in", 4},
		{[]string{"3.07 in", "3.0709 in"}, quantity.Length, "in", 4},
		{[]string{"0.0024 in"}, quantity.Length, "mm", 3},
		{[]string{"3/8 in"}, quantity.Length, "in", 2},
		{[]string{"805 kPa"}, quantity.Pressure, "bar", 2},
		{[]string{"8 bar"}, quantity.Pressure, "kPa", 0},
		{[]string{"175 degF"}, quantity.Temperature, "degC", 1},
		{[]string{"3.962 kg"}, quantity.Mass, "g", 0},
	} {
		r := &schema.Reading{}
		for _, text := range c.written {
			q, err := quantity.Parse(text, c.dim, c.shown)
			require.NoError(t, err)
			r.Values = append(r.Values, q)
		}
		require.Equal(t, c.want, figure.DecimalsFor(figure.Step(r), quantity.MustLookup(c.shown)), "%v in %s", c.written, c.shown)
	}
	require.Zero(t, figure.Step(&schema.Reading{}))
	require.Zero(t, figure.DecimalsFor(0, quantity.MustLookup("mm")))
}
