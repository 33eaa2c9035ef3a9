package figure_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"stackbook/record"
	"stackbook/record/figure"
)

// movedBy is what moved a figure between two states.
func movedBy(t *testing.T, from, to *figure.Set, id, at string) figure.Moved {
	t.Helper()
	return figure.WhatMoved(from, to, result(t, from, id, at), result(t, to, id, at))
}

func sharesOf(m figure.Moved) map[string]float64 {
	shares := map[string]float64{}
	for _, s := range m.Shares {
		shares[s.Input] = s.Share
	}
	return shares
}

// The end gap of build 2 is larger because the new housing is wider and the
// seals were cut shorter: each by its own millimetres.
func TestWhatMovedAClearance(t *testing.T) {
	from, to := build1(t).compute(t), build2(t).compute(t)
	m := movedBy(t, from, to, "apex_seal.end_gap", "rotor/2/apex/3")
	require.True(t, m.Separable)
	require.Len(t, m.Shares, 2)
	require.Equal(t, "apex_seal_length at rotor/2/apex/3", m.Shares[0].Input)
	require.InDelta(t, 0.025e-3, m.Shares[0].Share, 1e-12) // 77.934 − 77.909
	require.Equal(t, "housing_width at housing/2", m.Shares[1].Input)
	require.InDelta(t, 0.004e-3, m.Shares[1].Share, 1e-12) // 78.008 − 78.004
}

// For two inputs Shapley's value is the mean of the two orders. Power from
// torque and speed is a product: T n from 200 to 220 N m and 7000 to 8000 rpm.
func TestWhatMovedIsTheMeanOverAllOrders(t *testing.T) {
	spec := "  generating_radius: 98 mm\n  seal_tip_radius: 0 mm\n  eccentricity: %s mm\n  chamber_width: %s mm\n"
	set := func(e, b string) *figure.Set {
		return oneRotor(t, fmt.Sprintf(spec, e, b), "  X: {kind: x}\n", "  end_float: {engine: }\n", noLimits)
	}
	from, to := set("14", "78"), set("15", "80")
	m := sharesOf(movedBy(t, from, to, "chamber.swept_volume", "engine"))
	k := 3 * math.Sqrt(3) * 0.098
	require.InDelta(t, k*0.001*(0.078+0.080)/2, m["geometry.eccentricity"], 1e-15)
	require.InDelta(t, k*0.002*(0.014+0.015)/2, m["geometry.chamber_width"], 1e-15)
	require.Len(t, m, 2, "what did not change has no share")
}

// Over random changes of all sizes of a spec: the shares add up to the whole
// difference, swapping the states turns every sign, and changing the values in
// another order gives the same shares.
func TestSharesAddUp(t *testing.T) {
	random := rand.New(rand.NewPCG(24, 1953))
	keys := []string{"generating_radius", "seal_tip_radius", "eccentricity", "chamber_width", "flank_relief", "recess_volume"}
	base := []float64{98, 2, 14, 78, 0.5, 1.2}
	text := func(values []float64, order []int) string {
		s := ""
		for _, i := range order {
			unit := "mm"
			if keys[i] == "recess_volume" {
				unit = "cm3"
			}
			s += fmt.Sprintf("  %s: %.4f %s\n", keys[i], values[i], unit)
		}
		return s
	}
	set := func(values []float64, pocket float64) *figure.Set {
		return oneRotor(t, text(values, random.Perm(len(keys))), "  X: {kind: x}\n",
			fmt.Sprintf("  pocket_volume: {unit: cm3, rotor/1/face/1: %.2f, rotor/1/face/2: 27.3, rotor/1/face/3: 27.1}\n", pocket), noLimits)
	}
	for range 40 {
		changed := append([]float64(nil), base...)
		for i := range changed {
			if random.IntN(2) == 0 {
				changed[i] *= 1 + 0.02*(random.Float64()-0.5)
			}
		}
		from, to, again := set(base, 27.2), set(changed, 27.9), set(changed, 27.9)
		for _, id := range []string{"compression.ratio", "chamber.swept_volume", "compression.relief_volume", "geometry.leaning_angle"} {
			there, back := movedBy(t, from, to, id, "engine"), sharesOf(movedBy(t, to, from, id, "engine"))
			require.True(t, there.Separable)
			whole := result(t, to, id, "engine").Value - result(t, from, id, "engine").Value
			sum := 0.0
			for _, s := range there.Shares {
				sum += s.Share
				require.InDelta(t, -s.Share, back[s.Input], 1e-9*math.Abs(whole)+1e-15, "%s %s", id, s.Input)
			}
			require.InDelta(t, whole, sum, 1e-12*math.Abs(whole)+1e-18, id)
			require.Equal(t, sharesOf(there), sharesOf(movedBy(t, from, again, id, "engine")), id)
		}
	}
}

func twelveRotors(t *testing.T, spec, readings string) *figure.Set {
	t.Helper()
	e := &edge{files: []record.File{
		{Path: "engines/2024/SK-07/spec.yaml", Data: []byte("format: spec/1\nengine: SK-07\nid: 7f3a-91c0-55de\ntitle: twelve\nbuild: 1\ngeometry:\n" + spec)},
		{Path: "engines/2024/SK-07/measurements/2024-03-02-balance-KM.yaml", Data: []byte(
			"format: measurements/1\nengine: SK-07\nbuild: 1\nstage: balance\ndate: 2024-03-02\nby: KM\nreadings:\n" + readings)},
	}, limits: "format: limits/1\nname: edge\n" + noLimits}
	return e.compute(t)
}

// R24: at most twelve groups are told apart, the rest stand together; they add
// up all the same.
func TestR24SmallestAreFoldedIntoOthers(t *testing.T) {
	set := func(step float64) *figure.Set {
		readings := "  rotor_mass:\n    unit: g\n"
		for rotor := 1; rotor <= 12; rotor++ {
			readings += fmt.Sprintf("    rotor/%d: %.1f\n", rotor, 3950+step*float64(rotor))
		}
		spec := "  rotors: 12\n  eccentricity: " + fmt.Sprint(14+step/100) + " mm\n  phases: [0 deg, 180 deg, 90 deg, 270 deg, 0 deg, 180 deg, 90 deg, 270 deg, 0 deg, 180 deg, 90 deg, 270 deg]\n" +
			"  stations: [0 mm, 128 mm, 256 mm, 384 mm, 512 mm, 640 mm, 768 mm, 896 mm, 1024 mm, 1152 mm, 1280 mm, 1408 mm]\n" +
			fmt.Sprintf("balance: {front_plane: -%.1f mm, rear_plane: 1530 mm, oil_allowance: %.1f g}\n", 118+step, 25+step)
		return twelveRotors(t, spec, readings)
	}
	from, to := set(0), set(1)
	m := movedBy(t, from, to, "counterweight.unbalance", "counterweight/front")
	require.True(t, m.Separable)
	require.LessOrEqual(t, len(m.Shares), 12)
	shares, sum := sharesOf(m), 0.0
	require.Contains(t, shares, figure.Others)
	for _, s := range m.Shares {
		sum += s.Share
	}
	whole := result(t, to, "counterweight.unbalance", "counterweight/front").Value - result(t, from, "counterweight.unbalance", "counterweight/front").Value
	require.InDelta(t, whole, sum, 1e-12)
}

// R24: where a mix of old and new has no value, no shares are made up.
func TestR24NotSeparable(t *testing.T) {
	set := func(r, e string) *figure.Set {
		return oneRotor(t, "  generating_radius: "+r+" mm\n  seal_tip_radius: 0 mm\n  eccentricity: "+e+" mm\n  chamber_width: 78 mm\n", "  X: {kind: x}\n", "  end_float: {engine: }\n", noLimits)
	}
	m := movedBy(t, set("98", "14"), set("40", "6"), "geometry.leaning_angle", "engine")
	require.False(t, m.Separable, "40 mm with 14 mm is no trochoid")
	require.Empty(t, m.Shares)
}

// BenchmarkWhatMoved is every figure between the demo's two builds.
func BenchmarkWhatMoved(b *testing.B) {
	one, limits, _ := build1(b).load()
	two, _, _ := build2(b).load()
	from, to := figure.Compute(one, limits), figure.Compute(two, limits)
	for b.Loop() {
		for _, r := range to.Results {
			if old := from.Find(r.Figure.ID, r.At); old != nil && old.Value != r.Value {
				figure.WhatMoved(from, to, old, r)
			}
		}
	}
}
