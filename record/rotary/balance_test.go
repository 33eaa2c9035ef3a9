package rotary

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestCounterweightsLeaveNothing adds the counterweights found to random shafts
// and sums force and couple again.
func TestCounterweightsLeaveNothing(t *testing.T) {
	random := rand.New(rand.NewPCG(7, 21))
	for range 200 {
		var items []UnbalanceItem
		for range 1 + random.IntN(6) {
			items = append(items, UnbalanceItem{
				Size:    0.06 + 0.01*random.Float64(),
				Phase:   20*random.Float64() - 10,
				Station: random.Float64() - 0.3,
			})
		}
		zF, zR := -0.1-random.Float64(), 0.5+random.Float64()
		front, rear, err := CounterweightsFor(items, zF, zR)
		require.NoError(t, err)
		items = append(items, UnbalanceItem{front.Size, front.Angle, zF}, UnbalanceItem{rear.Size, rear.Angle, zR})
		static, couple := ResidualOf(items)
		assert.InDelta(t, 0, static, 1e-14)
		assert.InDelta(t, 0, couple, 1e-14)
		for _, v := range []UnbalanceVector{front, rear} {
			assert.True(t, v.Size >= 0 && v.Angle >= 0 && v.Angle < 2*math.Pi, "%v", v)
		}
	}
}

// TestCoupleOfUsualOrders holds the couples of equal rotors at one pitch, in
// units of U s (own derivation).
func TestCoupleOfUsualOrders(t *testing.T) {
	for _, c := range []struct {
		phases []float64
		want   float64
	}{
		{[]float64{0, 180}, 1},
		{[]float64{0, 120, 240}, math.Sqrt(3)},
		{[]float64{0, 180, 90, 270}, math.Sqrt(2)},
		{[]float64{0, 90, 270, 180}, math.Sqrt(10)},
		{[]float64{0, 90, 180, 270}, 2 * math.Sqrt2},
	} {
		var items []UnbalanceItem
		for i, phase := range c.phases {
			items = append(items, UnbalanceItem{0.06, phase * degree, 0.128 * float64(i)})
		}
		static, couple := ResidualOf(items)
		assert.Zero(t, static, "%v: a rest of rounding is no unbalance", c.phases)
		assert.InEpsilon(t, c.want*0.06*0.128, couple, 1e-12, "%v", c.phases)
	}
}

// TestLobesCountAsItems enters the lobes' own unbalance beside the rotors'.
func TestLobesCountAsItems(t *testing.T) {
	work := func(masses, lobes []float64) []Value {
		out, err := ByID("counterweights").Work([]Value{
			{List: masses}, {List: []float64{0, math.Pi}}, {List: []float64{0, 0.13}},
			{Number: 0.014}, {Number: -0.12}, {Number: 0.26}, {List: lobes}})
		require.NoError(t, err)
		return out
	}
	heavier := work([]float64{4.5, 4.6}, nil)
	lobes := work([]float64{4, 4}, []float64{0.5 * 0.014, 0.6 * 0.014})
	for i := range heavier {
		assert.InDelta(t, heavier[i].Number, lobes[i].Number, 1e-15)
	}
}

func TestMassChangeIsTheDifference(t *testing.T) {
	const e, zF, zR = 0.015, -0.12, 0.52
	rotor := func(mass float64) (float64, float64) {
		front, rear, err := CounterweightsFor([]UnbalanceItem{{mass * e, 90 * degree, 0.26}}, zF, zR)
		require.NoError(t, err)
		return front.Size, rear.Size
	}
	front, rear, err := MassChange(0.03, e, 0.26, zF, zR)
	require.NoError(t, err)
	lightFront, lightRear := rotor(4.35)
	heavyFront, heavyRear := rotor(4.38)
	assert.InDelta(t, heavyFront-lightFront, -front, 1e-15, "counterweights stand against the rotor")
	assert.InDelta(t, heavyRear-lightRear, -rear, 1e-15)
}

func TestAngleOfNothingIsZero(t *testing.T) {
	front, rear, err := CounterweightsFor([]UnbalanceItem{{0.06, 1, 0.1}, {0.06, 1 + math.Pi, 0.1}}, 0, 1)
	require.NoError(t, err)
	assert.Equal(t, UnbalanceVector{}, front)
	assert.Equal(t, UnbalanceVector{}, rear)
}

func TestGradeUndoesPermissible(t *testing.T) {
	offset, unbalance, err := PermissibleUnbalance("test", 0.0025, 12.5, 942)
	require.NoError(t, err)
	back, grade, err := BalanceGrade(unbalance, 12.5, 942)
	require.NoError(t, err)
	assert.InEpsilon(t, offset, back, 1e-14)
	assert.InEpsilon(t, 0.0025, grade, 1e-14)
	a, b, err := SplitUnbalance(unbalance, 0.3, 0.2)
	require.NoError(t, err)
	assert.InEpsilon(t, unbalance, a+b, 1e-14)
	assert.InEpsilon(t, a*0.3, b*0.2, 1e-14, "no couple about the centre of mass")
}
