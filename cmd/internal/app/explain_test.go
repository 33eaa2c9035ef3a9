package app

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// Far out in the tails a number such as 1.81e-49 % would say what nobody knows.
func TestPercent(t *testing.T) {
	for p, want := range map[float64]string{
		0:        "below 0.1 %",
		1.81e-51: "below 0.1 %",
		0.00099:  "below 0.1 %",
		0.001:    "of 0.1 %",
		0.5:      "of 50 %",
		0.8349:   "of 83.5 %",
		0.999:    "of 99.9 %",
		0.99901:  "above 99.9 %",
		1:        "above 99.9 %",
	} {
		require.Equal(t, want, percent(p), "%g", p)
	}
}
