package quantity

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// The quick way gives the very float64 the exact one does, in every unit there
// is, for numbers of all lengths and for differences.
func TestQuickIsExact(t *testing.T) {
	random := rand.New(rand.NewPCG(2, 53))
	quick := 0
	for _, u := range Units() {
		for range 200 {
			a, b := somewhere(random, u), somewhere(random, u)
			if si, ok := a.quickSI(); ok {
				quick++
				require.Equal(t, a.slowSI(), si, a)
			}
			d, err := Sub(a, b)
			if err != nil {
				continue
			}
			si, ok := DifferenceSI(a, b)
			require.True(t, ok)
			require.Equal(t, d.slowSI(), si, "%s - %s", a, b)
		}
	}
	require.Greater(t, quick, 5000)
}

// somewhere is a quantity with up to twelve digits, or a fraction of an inch.
func somewhere(random *rand.Rand, u Unit) Quantity {
	text := fmt.Sprintf("%.*f", random.IntN(7), (random.Float64()-0.3)*[]float64{1, 100, 1e6}[random.IntN(3)])
	if random.IntN(5) == 0 {
		text = fmt.Sprintf("%d %d/%d", random.IntN(9), 1+random.IntN(6), 8<<random.IntN(4))
	}
	q, err := ParseNumber(text, u)
	if err != nil {
		panic(err)
	}
	return q
}

// Quantities of two dimensions have no difference.
func TestDifferenceOfTwoDimensions(t *testing.T) {
	mm, err := Parse("1 mm", Length, "mm")
	require.NoError(t, err)
	g, err := Parse("1 g", Mass, "g")
	require.NoError(t, err)
	_, ok := DifferenceSI(mm, g)
	require.False(t, ok)
}
