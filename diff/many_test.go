package diff_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"stackbook/diff"
)

// three are two builds of the demo's engine and one in between, as three states.
func three(t *testing.T) []diff.State {
	t.Helper()
	return []diff.State{demo(t, "07").state(t, "SK-01/1"), demo(t, "10").state(t, "in between"), demo(t, "15").state(t, "SK-01/2")}
}

// What differs between any two of the states has a row with the value of each;
// what is the same in all has none.
func TestSideBySide(t *testing.T) {
	states := three(t)
	side := diff.Side(states, diff.Filter{})
	require.Equal(t, []string{"SK-01/1", "in between", "SK-01/2"}, side.States)
	values := map[string][]string{}
	for _, r := range side.Changes {
		values[r.Path] = r.Values
	}
	require.Equal(t, []string{"R-1181", "R-1181", "R-2033"}, values["parts.rotor/2.serial"])
	require.Equal(t, []string{"front to rear", "front to rear", "centre feed"}, values["cooling.routing"])
	require.Equal(t, []string{"", "", "1"}, values["cooling.feed_after"])
	require.NotContains(t, values, "geometry.eccentricity")

	for _, r := range side.Figures {
		if r.Figure.ID == "housing.width_difference" && r.At == "housing/2" {
			require.Equal(t, []string{"0.008", "0.069", "0.006"}, []string{r.Results[0].Text(), r.Results[1].Text(), r.Results[2].Text()})
		}
	}
	pairs := map[string]bool{}
	for _, other := range states[1:] {
		for _, c := range diff.Compare(states[0], other).Figures {
			pairs[c.Figure.ID+" "+c.At] = true
		}
	}
	require.Len(t, side.Figures, len(pairs), "every figure that differs from the first, once")
	require.True(t, side.Apart.Empty())
	require.True(t, diff.Side([]diff.State{states[0], states[0], states[0]}, diff.Filter{}).Empty())
}

// Rows stand in the order of the dictionary, whichever state brought them.
func TestSideBySideOrder(t *testing.T) {
	side := diff.Side(three(t), diff.Filter{})
	var sections, points []string
	for _, r := range side.Changes {
		head, _, _ := strings.Cut(r.Path, ".")
		if len(sections) == 0 || sections[len(sections)-1] != head {
			sections = append(sections, head)
		}
	}
	for _, r := range side.Readings {
		if len(points) == 0 || points[len(points)-1] != r.Point {
			points = append(points, r.Point)
		}
	}
	require.Equal(t, unique(sections), sections)
	require.Equal(t, unique(points), points)
}

func unique(list []string) []string {
	seen, once := map[string]bool{}, []string{}
	for _, s := range list {
		if !seen[s] {
			seen[s] = true
			once = append(once, s)
		}
	}
	return once
}

// Engines of different numbers of rotors: what both have is lined up, and the
// positions of the larger one are named apart.
func TestSideBySideOfDifferentEngines(t *testing.T) {
	two := demo(t, "03")
	three := two.replaced(t, "spec.yaml", "rotors: 2", "rotors: 3").
		replaced(t, "spec.yaml", "phases: [0 deg, 180 deg]", "phases: [0 deg, 120 deg, 240 deg]").
		replaced(t, "spec.yaml", "stations: [0 mm, 128 mm]", "stations: [0 mm, 128 mm, 256 mm]").
		replaced(t, "spec.yaml", "  shaft: {part: ES-2", "  rotor/3: {serial: R-9}\n  rotor/1/gear: {serial: G-1}\n  shaft: {part: ES-3")
	side := diff.Side([]diff.State{two.state(t, "two"), three.state(t, "three"), two.state(t, "two again")}, diff.Filter{Kinds: []string{diff.Parts, diff.Spec}})
	require.Equal(t, map[string][]string{"three": {"rotor/3"}}, side.Apart.Alone)
	var paths []string
	for _, r := range side.Changes {
		paths = append(paths, r.Path)
	}
	require.Equal(t, []string{"geometry.rotors", "geometry.phases.2", "geometry.phases.3", "geometry.stations.3", "parts.rotor/1/gear.serial", "parts.shaft.part"}, paths)
}

// A filter leaves what it names and nothing else; all filters together leave
// all.
func TestKeep(t *testing.T) {
	whole := diff.Compare(demo(t, "07").state(t, ""), demo(t, "15").state(t, ""))
	require.Equal(t, whole, whole.Keep(diff.Filter{}))
	require.Equal(t, whole, whole.Keep(diff.Filter{Kinds: diff.Kinds}))
	kept := 0
	for _, kind := range diff.Kinds {
		r := whole.Keep(diff.Filter{Kinds: []string{kind}})
		require.False(t, r.Empty(), kind)
		kept += len(r.Changes) + len(r.Readings) + len(r.Figures)
	}
	require.Equal(t, len(whole.Changes)+len(whole.Readings)+len(whole.Figures), kept, "each difference is of one kind")

	at := whole.Keep(diff.Filter{At: "rotor/2"})
	require.NotEmpty(t, at.Changes)
	require.NotEmpty(t, at.Figures)
	for _, c := range at.Changes {
		require.Contains(t, c.Path, "rotor/2")
	}
	for _, c := range at.Figures {
		require.True(t, strings.HasPrefix(c.At, "rotor/2"), c.At)
	}
	cooling := whole.Keep(diff.Filter{Topic: "cooling"})
	require.NotEmpty(t, cooling.Changes)
	for _, c := range cooling.Changes {
		require.True(t, strings.HasPrefix(c.Path, "cooling."), c.Path)
	}
	fits := whole.Keep(diff.Filter{Topic: "fits", Kinds: []string{diff.Figures}})
	require.NotEmpty(t, fits.Figures)
	require.Empty(t, fits.Changes)
	require.Empty(t, fits.Readings)
}
