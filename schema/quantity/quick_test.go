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
	quick, texts := 0, 0
	for _, u := range Units() {
		for range 200 {
			a, b := somewhere(random, u), somewhere(random, u)
			if si, ok := a.quickSI(); ok {
				quick++
				require.Equal(t, a.slowSI(), si, a)
			}
			if text, ok := a.quickCanonical(); ok {
				texts++
				require.Equal(t, a.slowCanonical(), text, a)
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
	require.Greater(t, texts, 5000)
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

// The canonical text has the digits a person would write: none is lost at the
// ends of what the quick way can do.
func TestQuickCanonicalAtItsEnds(t *testing.T) {
	for text, want := range map[string]string{
		"0 mm": "0 m", "-0.5 mm": "-0.0005 m", "1000 mm": "1 m", "1200 m": "1200 m", "0.000000001 mm": "0.000000000001 m",
		"9007199254740991 mm": "9007199254740.991 m", "9007199254740993 mm": "9007199254740.993 m", "1 1/3 m": "4/3 m", "1/8 in": "0.003175 m",
	} {
		q, err := ParseAny(text)
		require.NoError(t, err, text)
		require.Equal(t, want, q.Canonical(), text)
		require.Equal(t, q.slowCanonical(), q.Canonical(), text)
	}
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
