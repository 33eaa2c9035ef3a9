package figure

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// What is of one rotor or housing is of each, whatever the figure is of the
// whole engine.
func TestAcrossRotors(t *testing.T) {
	byID := map[string]*Figure{}
	for _, f := range All() {
		byID[f.ID] = f
	}
	for _, c := range []struct {
		id, at string
		want   Rotors
	}{
		{"rotor.side_clearance", "rotor/2", OfEach},
		{"compression.ratio", "engine", OfEach},
		{"power.per_rotor", "engine", OfEach},
		{"power.bmep", "engine", OfEach},
		{"chamber.swept_volume", "engine", OfEach},
		{"power.peak", "engine", OfWhole},
		{"engine.displacement", "engine", OfWhole},
		{"counterweight.unbalance", "counterweight/front", OfWhole},
		{"torque.peak", "engine", Summed},
		{"cooling.heat", "engine", Summed},
		{"cooling.heat", "housing/1", OfEach},
	} {
		require.Equal(t, c.want, byID[c.id].AcrossRotors(c.at), "%s at %s", c.id, c.at)
	}
}

// A share takes its uncertainty along and no verdict; the figure stays as it was.
func TestEachRotor(t *testing.T) {
	f := &Figure{ID: "x", Title: "greatest torque", Mark: "estimate", Unit: "N m"}
	whole := &Result{Figure: f, At: "engine", Value: 360, Decimals: 1, Extent: &Extent{350, 370}, Uncertainty: &Uncertainty{Standard: 2, Expanded: 4, K: 2},
		Guard: 3.3, Verdict: Conforms, Limit: &Limit{Low: 300, High: 400}, Other: &Limit{Low: 200, High: 500}}
	before := *whole
	each := whole.EachRotor(4)
	require.Equal(t, before, *whole)
	require.Equal(t, "estimate", f.Mark)
	require.Equal(t, "estimate, for each rotor", each.Figure.Mark)
	require.Equal(t, 90.0, each.Value)
	require.Equal(t, Extent{87.5, 92.5}, *each.Extent)
	require.Equal(t, []float64{0.5, 1, 2}, []float64{each.Uncertainty.Standard, each.Uncertainty.Expanded, each.Uncertainty.K})
	require.Equal(t, NoVerdict, each.Verdict)
	require.Nil(t, each.Limit)
	require.Nil(t, each.Other)
	require.Zero(t, each.Guard)
}
