package app

import (
	"testing"

	"github.com/stretchr/testify/require"

	"stackbook/cmd/internal/act"
	"stackbook/diff"
	"stackbook/record/figure"
)

// What became the same at several places is told once; the order is that of
// the engine.
func TestPartLines(t *testing.T) {
	change := func(path, from, to string) diff.Change {
		return diff.Change{Path: "parts." + path, What: diff.Changed, From: from, To: to}
	}
	require.Equal(t, []string{
		"rotor/1/apex/1, rotor/1/apex/2 and 1 more: lot B-14; now lot B-21",
		"rotor/2: serial R-1181; now serial R-2033",
	}, partLines([]diff.Change{
		change("rotor/1/apex/1.lot", "B-14", "B-21"), change("rotor/1/apex/2.lot", "B-14", "B-21"),
		change("rotor/2.serial", "R-1181", "R-2033"), change("rotor/2/apex/1.lot", "B-14", "B-21"),
		{Path: "operating.sent", What: diff.Changed, From: "2017-05-19", To: "2019-09-27"},
	}))
}

// Of the figures only those that moved by more than they may be off are told,
// and those with another verdict; where the uncertainty is not known, nobody
// can say that they moved.
func TestMovedLines(t *testing.T) {
	f := figure.ByID("end_float")
	off := func(x float64) *figure.Uncertainty { return &figure.Uncertainty{Standard: x / 2, Expanded: x, K: 2} }
	moved := func(from, to float64, u *figure.Uncertainty, within bool, was, is figure.Verdict) diff.FigureChange {
		limit := &figure.Limit{Low: 0, High: 1e-4, Set: "shop"}
		d := (to - from) * 1e3
		return diff.FigureChange{Figure: f, At: "engine", Difference: &d, Within: within,
			From: &figure.Result{Figure: f, At: "engine", Value: from, Decimals: 3, Uncertainty: u, Limit: limit, Verdict: was},
			To:   &figure.Result{Figure: f, At: "engine", Value: to, Decimals: 3, Uncertainty: u, Limit: limit, Verdict: is}}
	}
	lines := func(c ...diff.FigureChange) []string { return movedLines(c, act.Display{}) }
	require.Equal(t, []string{"end float at engine: +0.020 mm"}, lines(moved(5e-5, 7e-5, off(5e-6), false, "conforms", "conforms")))
	require.Empty(t, lines(moved(5e-5, 7e-5, off(5e-5), true, "conforms", "conforms")), "within uncertainty")
	require.Empty(t, lines(moved(5e-5, 7e-5, nil, false, "conforms", "conforms")), "uncertainty not known")
	require.Equal(t, []string{"end float at engine: +0.060 mm"}, lines(moved(5e-5, 11e-5, nil, false, "conforms", "fails")))
	require.Equal(t, []string{"end float at 2 places: -0.010 to +0.020 mm"},
		lines(moved(5e-5, 7e-5, off(5e-6), false, "conforms", "conforms"), moved(5e-5, 4e-5, off(5e-6), false, "conforms", "conforms")))
	require.Empty(t, lines())
}
