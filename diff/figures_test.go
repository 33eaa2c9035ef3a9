package diff_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"stackbook/diff"
	"stackbook/record"
	"stackbook/record/figure"
)

// find is the change of one figure at one position, nil where it has none.
func find(r *diff.Result, id, at string) *diff.FigureChange {
	for i, f := range r.Figures {
		if f.Figure.ID == id && f.At == at {
			return &r.Figures[i]
		}
	}
	return nil
}

// The demo's two builds. The side clearances are those of the readings, reckoned
// by hand: the least housing width less the greatest rotor width,
// 78.004 - 77.866 = 0.138 mm and 78.008 - 77.863 = 0.145 mm.
func TestFiguresOfTwoBuilds(t *testing.T) {
	r := diff.Compare(builds(t))
	require.Equal(t, []string{"SK-01/1", "SK-01/2"}, r.States)

	clearance := find(r, "rotor.side_clearance", "rotor/2")
	require.NotNil(t, clearance)
	require.Equal(t, "0.138", clearance.From.Text())
	require.Equal(t, "0.145", clearance.To.Text())
	require.InDelta(t, 0.007, *clearance.Difference, 1e-9)
	require.Nil(t, find(r, "rotor.side_clearance", "rotor/1"), "the same in both builds")

	wear := find(r, "step_wear", "plate/1/rear")
	require.NotNil(t, wear, "not measured in the first build")
	require.Nil(t, wear.From)
	require.Nil(t, wear.Difference)
	require.Equal(t, "0.06", wear.To.Text())

	back := find(diff.Compare(demo(t, "15").state(t, ""), demo(t, "07").state(t, "")), "step_wear", "plate/1/rear")
	require.NotNil(t, back)
	require.Nil(t, back.To)
	require.Nil(t, back.Difference)
}

// Figures come in the order they are declared in, those that went with the rest.
func TestFiguresAreToldAsDeclared(t *testing.T) {
	first, second := builds(t)
	rank := func(c diff.FigureChange) int { return slices.Index(figure.All(), c.Figure) }
	for _, r := range []*diff.Result{diff.Compare(first, second), diff.Compare(second, first)} {
		require.Greater(t, len(r.Figures), 20)
		require.True(t, slices.IsSortedFunc(r.Figures, func(a, b diff.FigureChange) int { return rank(a) - rank(b) }))
	}
}

// A value that is printed the same does not differ; the same reading with
// another number of digits is the same value.
func TestEqualPrintedFiguresDoNotDiffer(t *testing.T) {
	a := demo(t, "07")
	require.NotNil(t, a.state(t, "").Figures.Find("bearing.oil_clearance", "bearing/main/front"))
	widths := diff.Compare(a.state(t, ""), a.replaced(t, mockUp, "shaft/main/front/rear/x: 42.959", "shaft/main/front/rear/x: 42.9591").state(t, ""))
	require.Len(t, widths.Readings, 1)
	require.Nil(t, find(widths, "bearing.oil_clearance", "bearing/main/front"), "42.9591 mm and 42.959 mm both leave it as printed")
	digits := diff.Compare(a.state(t, ""), a.replaced(t, mockUp, "rotor/2/apex/3: 38", "rotor/2/apex/3: 38.00").state(t, ""))
	require.True(t, digits.Empty(), "%+v", digits)
	step := diff.Compare(a.state(t, ""), a.replaced(t, mockUp, "rotor/2/apex/3: 38", "rotor/2/apex/3: 38.01").state(t, ""))
	require.NotNil(t, find(step, "apex_spring_load", "rotor/2/apex/3"))
}

// A verdict that turned with the limits is told, though the value is the same.
func TestVerdictAloneIsADifference(t *testing.T) {
	a := demo(t, "07").state(t, "judged then")
	b := a
	set, problems := record.ReadLimits(record.File{Path: "limits/tight.yaml", Data: []byte(
		"format: limits/1\nname: tight\nlimits:\n  apex_spring_load: {new: {min: 40 N}, source: invented}\n")})
	require.Empty(t, problems)
	b.Figures = figure.Compute(b.Engine, set)
	r := diff.Compare(a, b)
	require.Empty(t, r.Changes)
	require.Empty(t, r.Readings)
	load := find(r, "apex_spring_load", "rotor/2/apex/1")
	require.NotNil(t, load)
	require.Equal(t, load.From.Text(), load.To.Text())
	require.Equal(t, figure.Conforms, load.From.Verdict)
	require.Equal(t, figure.Fails, load.To.Verdict)
	require.Zero(t, *load.Difference)
	require.False(t, r.Empty())
}

// At is part of what pairs figures: two positions of one figure never meet.
func TestFiguresArePairedByPosition(t *testing.T) {
	a := demo(t, "04").state(t, "")
	b := demo(t, "04").replaced(t, balance, "rotor/1: 3.962", "rotor/1: 3.982").state(t, "")
	r := diff.Compare(a, b)
	require.NotNil(t, find(r, "balance.shaft_load", "rotor/1"))
	require.Nil(t, find(r, "balance.shaft_load", "rotor/2"))
}

func BenchmarkCompare(b *testing.B) {
	first, second := builds(b)
	for b.Loop() {
		diff.Compare(first, second)
	}
}
