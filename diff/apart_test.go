package diff_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"stackbook/diff"
	"stackbook/record/figure"
)

// wide is the demo's two-rotor engine made into one of three rotors, with
// another torque on the dyno.
func wide(t *testing.T) files {
	t.Helper()
	return demo(t, "07").replaced(t, "spec.yaml", "id: 5c02-7be1-90aa", "id: 5c02-7be1-90ab").
		replaced(t, "spec.yaml", "rotors: 2", "rotors: 3").
		replaced(t, "spec.yaml", "phases: [0 deg, 180 deg]", "phases: [0 deg, 120 deg, 240 deg]").
		replaced(t, "spec.yaml", "stations: [0 mm, 128 mm]", "stations: [0 mm, 128 mm, 256 mm]").
		replaced(t, "spec.yaml", "  shaft: {part: ES-2", "  rotor/3: {serial: R-9}\n  shaft: {part: ES-3")
}

// Engines of different numbers of rotors: what each rotor and chamber is is
// compared, what grows with the number by its share, and what is of the whole
// engine or of a rotor that one lacks is named.
func TestEnginesOfDifferentKinds(t *testing.T) {
	two, three := demo(t, "07").state(t, "two"), wide(t).state(t, "three")
	r := diff.Compare(two, three)
	require.Equal(t, []int{2, 3}, r.Apart.Rotors)
	require.True(t, r.Apart.Records)
	require.Contains(t, r.Apart.Alone["three"], "rotor/3")
	require.NotContains(t, r.Apart.Alone, "two")

	var whole []string
	for _, f := range r.Apart.Whole {
		whole = append(whole, f.ID)
	}
	require.Contains(t, whole, "engine.displacement")
	byID := map[string]diff.FigureChange{}
	for _, c := range r.Figures {
		require.NotContains(t, whole, c.Figure.ID)
		require.NotContains(t, c.At, "rotor/3")
		byID[c.Figure.ID] = c
	}
	require.NotContains(t, byID, "power.peak", "the same run in both, and of the whole engine")
	torque := byID["torque.peak"]
	require.True(t, torque.EachRotor, "one torque shared by two rotors, and by three")
	require.InDelta(t, two.Figures.Find("torque.peak", "engine").Value/2, torque.From.Value, 1e-9)
	require.InDelta(t, three.Figures.Find("torque.peak", "engine").Value/3, torque.To.Value, 1e-9)
	require.Nil(t, torque.Moved)
	require.Equal(t, figure.NoVerdict, torque.To.Verdict)
	for _, c := range r.Changes {
		require.NotContains(t, c.Path, "rotor/3")
	}

	back := diff.Compare(three, two)
	require.Equal(t, len(r.Figures), len(back.Figures))
	require.Equal(t, r.Apart.Alone, back.Apart.Alone)
}

// Engines of one kind have nothing set apart but their records, and states of
// one engine nothing at all.
func TestNothingApart(t *testing.T) {
	before := demo(t, "07").state(t, "before")
	require.True(t, apart(before, demo(t, "15").state(t, "after")).Empty())
	sister := demo(t, "07").replaced(t, "spec.yaml", "id: 5c02-7be1-90aa", "id: 5c02-7be1-90ab").state(t, "sister")
	p := apart(before, sister)
	require.Equal(t, diff.Apart{Alone: map[string][]string{}, Records: true}, *p)
}

func apart(a, b diff.State) *diff.Apart { return &diff.Compare(a, b).Apart }

// A filter leaves out what it did not ask for, also of what is set apart.
func TestKeepApart(t *testing.T) {
	r := diff.Compare(demo(t, "07").state(t, "two"), wide(t).state(t, "three"))
	parts := r.Keep(diff.Filter{Kinds: []string{diff.Parts}}).Apart
	require.Empty(t, parts.Whole)
	require.False(t, parts.Records)
	require.Contains(t, parts.Alone["three"], "rotor/3")
	at := r.Keep(diff.Filter{At: "rotor/1"}).Apart
	require.Empty(t, at.Alone)
	require.Empty(t, at.Whole)
	for _, f := range r.Keep(diff.Filter{Topic: figure.TopicBalance}).Apart.Whole {
		require.Equal(t, figure.TopicBalance, f.Topic)
	}
}

// Several engines of which two are alike: a third one decides what can be
// compared, and each says what it alone has.
func TestSideBySideOfKinds(t *testing.T) {
	two, three := demo(t, "07").state(t, "two"), wide(t).state(t, "three")
	again := wide(t).state(t, "again")
	side := diff.Side([]diff.State{three, again, two}, diff.Filter{})
	require.Equal(t, side.Apart.Alone["three"], side.Apart.Alone["again"])
	for _, f := range side.Figures {
		if f.Figure.ID == "torque.peak" {
			require.True(t, f.EachRotor)
			require.Equal(t, f.Results[0].Value, f.Results[1].Value)
			require.InDelta(t, two.Figures.Find("torque.peak", "engine").Value/2, f.Results[2].Value, 1e-9)
		}
	}
}
