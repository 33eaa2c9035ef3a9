package app

import (
	"math"
	"math/rand/v2"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"

	"stackbook/cmd/internal/act"
	"stackbook/diff"
	"stackbook/record/figure"
)

// What moved a figure is printed with the decimals of the figure, and the printed
// shares add up to the printed difference, to the last digit, however they round.
func TestPrintedSharesAddUp(t *testing.T) {
	random := rand.New(rand.NewPCG(24, 1))
	f := figure.ByID("rotor.side_clearance")
	for range 2000 {
		shares := make([]figure.Share, 1+random.IntN(12))
		whole := 0.0
		for i := range shares {
			shares[i] = figure.Share{Input: strconv.Itoa(i), Share: (random.Float64() - 0.5) * math.Pow(10, -3-3*random.Float64())}
			whole += shares[i].Share
		}
		from := 1e-3 * random.Float64()
		c := diff.FigureChange{Figure: f, From: &figure.Result{Figure: f, Value: from, Decimals: 3}, To: &figure.Result{Figure: f, Value: from + whole, Decimals: 3},
			Moved: &figure.Moved{Separable: true, Shares: shares}}
		sum := int64(0)
		for _, text := range shareTexts(c, act.Display{}) {
			sum += thousandths(t, text)
		}
		was, _ := act.Display{}.Figure(c.From)
		is, _ := act.Display{}.Figure(c.To)
		require.Equal(t, thousandths(t, is)-thousandths(t, was), sum)
	}
}

// thousandths is a printed number in whole thousandths.
func thousandths(t *testing.T, text string) int64 {
	t.Helper()
	x, err := strconv.ParseFloat(text, 64)
	require.NoError(t, err)
	return int64(math.Round(x * 1000))
}
