package history_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"stackbook/diff/history"
)

// One position of the demo's engine through its builds: what was fitted, read,
// changed and taken out there.
func TestPositionThroughTheBuilds(t *testing.T) {
	second := demo(t, "15")
	second["measurements/2019-08-27-balance-TR.yaml"] += "parts: {rotor/2: R-2033}\n" // as its commit fills it in
	p := history.At([]history.State{demo(t, "07").state(t, 1, "aa11"), second.state(t, 2, "bb22")}, "rotor/2")
	require.Len(t, p.Builds, 2)
	var told []string
	for _, b := range p.Builds {
		require.True(t, b.Known)
		told = append(told, fmt.Sprintf("build %d: %s, %d parts", b.Number, b.Fitted[0].Serial, len(b.Fitted)))
		for _, e := range b.Events {
			switch {
			case e.Session != nil:
				told = append(told, fmt.Sprintf("%s %s %s %d", e.Date.Day(), e.Session.Stage.Name, e.Serial, len(e.Readings)))
			default:
				told = append(told, fmt.Sprintf("%s %s out %d", e.Date.Day(), e.Change.Kind.Name, len(e.Removed)))
			}
		}
	}
	require.Equal(t, []string{"build 1: R-1181, 4 parts", "2017-02-27 mock-up  28", "2017-03-14 balance  1", "2017-05-04 dyno  4",
		"build 2: R-2033, 4 parts", "2019-07-20 as-received  4", "2019-07-22 as-found  4", "2019-07-26 after-cleaning  7", "2019-07-29 replacement out 1",
		"2019-08-02 replacement out 1", "2019-08-19 mock-up  28", "2019-08-27 balance R-2033 1", "2019-09-20 dyno  4"}, told)
}

// A build whose own state is not in the book is told from the records that are,
// without what was fitted.
func TestPositionOfABuildNotKnown(t *testing.T) {
	p := history.At([]history.State{demo(t, "15").state(t, 2, "")}, "housing/2")
	require.Len(t, p.Builds, 2)
	require.False(t, p.Builds[0].Known)
	require.Empty(t, p.Builds[0].Fitted)
	require.Len(t, p.Builds[0].Events, 2)
	require.Equal(t, "H-0533", p.Builds[1].Fitted[0].Serial)
}
