package quantity

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestFormat(t *testing.T) {
	for _, c := range []struct {
		value    float64
		decimals int
		want     string
	}{
		{12.5, 2, "12.50"},
		{-0.001, 2, "0.00"},
		{-0.006, 2, "-0.01"},
		{-0.2, 0, "0"},
		{math.Copysign(0, -1), 1, "0.0"},
		{0.125, 2, "0.12"},
		{1e21, 0, "1000000000000000000000"},
		{-100, 0, "-100"},
	} {
		assert.Equal(t, c.want, Format(c.value, c.decimals))
	}
}

func TestFormatSig(t *testing.T) {
	for _, c := range []struct {
		value float64
		sig   int
		want  string
	}{
		{0.0012345, 3, "0.00123"},
		{12345, 3, "12300"},
		{9.996, 3, "10.0"},
		{99.96, 3, "100"},
		{-0.5, 1, "-0.5"},
		{0, 3, "0.00"},
		{math.Inf(1), 3, "+Inf"},
		{math.NaN(), 3, "NaN"},
	} {
		assert.Equal(t, c.want, FormatSig(c.value, c.sig))
	}
}

func TestRoundTo(t *testing.T) {
	for _, c := range []struct{ value, step, want float64 }{
		{0.16, 0.05, 0.15},
		{78.0094, 0.001, 78.009},
		{-2.5, 1, -3},
		{8437, 50, 8450},
		{8424, 50, 8400},
		{7, 0.7, 7},
		{12.3, 0, 12.3},
		{12.3, -1, 12.3},
	} {
		assert.Equal(t, c.want, RoundTo(c.value, c.step), "%g to %g", c.value, c.step)
	}
	assert.True(t, math.IsNaN(RoundTo(math.NaN(), 0.1)))
}
