package schema_test

import (
	"sort"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"stackbook/schema"
	"stackbook/schema/quantity"
)

func TestPositions(t *testing.T) {
	for _, p := range []string{"engine", "housing/2", "plate/3", "plate/1/rear", "rotor/2/apex/3", "rotor/1/front/corner/2", "rotor/1/rear/side-seal/3",
		"rotor/2/front/oil-ring/outer", "shaft/main/front", "shaft/lobe/2", "bearing/rotor/1", "bolt/18", "joint/housing-2/rear/inner", "counterweight/rear", "port/1/intake/primary"} {
		require.NoError(t, schema.CheckPosition(p, 2), p)
	}
	for _, p := range []string{"", "rotor", "rotor/0", "rotor/01", "rotor/3", "rotor/+1", "plate/4", "rotor/1/apex/4", "joint/housing-3/rear/inner", "Rotor/1", "rotor/1/", "/rotor/1", "bolt/100"} {
		require.Error(t, schema.CheckPosition(p, 2), p)
	}
}

// An engine has one side plate more than rotors, and what is not known yet
// may be any engine's.
func TestPositionsOfAnEngine(t *testing.T) {
	require.NoError(t, schema.CheckPosition("plate/5", 4))
	require.Error(t, schema.CheckPosition("plate/6", 4))
	require.NoError(t, schema.CheckPosition("rotor/12", 0))
	require.EqualError(t, schema.CheckPosition("rotor/2", 1), "there is no rotor/2 in an engine of one rotor")
}

// Every position a pattern expands to is one of its own.
func TestExpandedPositionsMatch(t *testing.T) {
	for _, kind := range schema.Positions {
		for _, p := range kind.Pattern.Expand(3) {
			require.True(t, kind.Pattern.Match(p, 3), "%s of %s", p, kind.Pattern)
			require.NoError(t, schema.CheckPosition(p, 3))
		}
	}
}

func TestPositionsInOrder(t *testing.T) {
	list := []string{"bolt/10", "bolt/9", "rotor/2", "rotor/1/apex/2", "rotor/1/apex/1", "rotor/1", "engine"}
	sort.Slice(list, func(i, j int) bool { return schema.Less(list[i], list[j]) })
	require.Equal(t, []string{"bolt/9", "bolt/10", "engine", "rotor/1", "rotor/1/apex/1", "rotor/1/apex/2", "rotor/2"}, list)
}

func TestBelow(t *testing.T) {
	require.True(t, schema.Below("rotor/2/apex/1", "rotor/2"))
	require.True(t, schema.Below("rotor/2", "rotor/2"))
	require.True(t, schema.Below("housing/1", "engine"))
	require.False(t, schema.Below("rotor/21", "rotor/2"))
	require.False(t, schema.Below("rotor/2", "rotor/2/apex/1"))
}

// The dictionary itself is in order: every point is taken at positions there
// are, in a unit there is, with its bounds in it.
func TestPointsAreInOrder(t *testing.T) {
	seen := map[string]bool{}
	for i := range schema.Points() {
		p := &schema.Points()[i]
		require.False(t, seen[p.ID], "%s stands twice", p.ID)
		seen[p.ID] = true
		for _, at := range p.At {
			numbered := schema.Pattern(strings.ReplaceAll(string(at), "*n", "1"))
			for _, position := range numbered.Expand(2) {
				require.NoError(t, schema.CheckPosition(position, 2), p.ID)
			}
		}
		require.NotEmpty(t, p.Title)
		require.NotEmpty(t, p.How, "%s: how is it measured?", p.ID)
		require.NotEmpty(t, p.With, "%s: with what?", p.ID)
		require.NotEmpty(t, p.Stages, "%s: when?", p.ID)
		for _, s := range p.Stages {
			stage, _ := schema.FindStage(s)
			require.NotNil(t, stage, "%s is asked for at %q", p.ID, s)
		}
		if p.Text {
			require.Empty(t, p.Unit)
			continue
		}
		for _, bound := range []string{p.Low, p.High} {
			_, err := quantity.Parse(bound, p.Dim, p.Unit)
			require.NoError(t, err, p.ID)
		}
	}
}

// All 25 of the points that matter most have a reading in the dictionary.
func TestPointsThatMatterMost(t *testing.T) {
	have := map[int]bool{}
	for i := range schema.Points() {
		have[schema.Points()[i].Priority] = true
	}
	for n := 1; n <= 25; n++ {
		require.True(t, have[n], "point %d of the list has no reading", n)
	}
}

// Keys of a reading are taken apart into position and place.
func TestSplitKeys(t *testing.T) {
	width := schema.FindPoint("housing_width")
	position, place, ok := width.Split("housing/2/at/C", 2)
	require.True(t, ok)
	require.Equal(t, []string{"housing/2", "at/C"}, []string{position, place})
	_, _, ok = width.Split("housing/3/at/C", 2)
	require.False(t, ok)
	groove := schema.FindPoint("apex_groove_width")
	position, place, ok = groove.Split("rotor/1/apex/2/mouth/front", 2)
	require.True(t, ok)
	require.Equal(t, []string{"rotor/1/apex/2", "mouth/front"}, []string{position, place})
	require.Equal(t, "rotor/1", groove.PartOf(position), "the groove belongs to the rotor")
	require.Equal(t, "rotor/1/apex/2", schema.FindPoint("apex_seal_thickness").PartOf(position), "the thickness to the seal")
	crack := schema.FindPoint("crack_test")
	for _, own := range []string{"shaft", "flywheel", "rotor/1", "rotor/1/gear", "gear/front", "counterweight/rear", "housing/2", "plate/3"} {
		require.Equal(t, own, crack.PartOf(own), "a crack test is of the part itself")
	}
	for _, key := range groove.Keys(2) {
		_, _, ok := groove.Split(key, 2)
		require.True(t, ok, key)
	}
}

func TestNearest(t *testing.T) {
	known := []string{"housing_width", "rotor_width", "end_float"}
	require.Equal(t, "housing_width", schema.Nearest("housing_widht", known))
	require.Equal(t, "end_float", schema.Nearest("endfloat", known))
	require.Equal(t, "", schema.Nearest("bolt", known))
	require.Equal(t, "", schema.Nearest("b", []string{"id", "build"}))
}

// Numbers are permanent and must live on every kind of disk (R11).
func TestEngineNumbers(t *testing.T) {
	for _, n := range []string{"SK-07", "A", "7", "SK-07-B", "ABCDEFGHIJKLMNOPQRSTUVWX"} {
		require.NoError(t, schema.CheckNumber(n), n)
	}
	for _, n := range []string{"", "sk-07", "SK_07", "SK 07", "-SK", "SK/07", "..", "CON", "NUL", "COM1", "LPT9", "ABCDEFGHIJKLMNOPQRSTUVWXY", "SK-Ö7"} {
		require.Error(t, schema.CheckNumber(n), n)
	}
}

func TestDates(t *testing.T) {
	day, err := schema.ParseDate("2024-03-02")
	require.NoError(t, err)
	at, err := schema.ParseDate("2024-03-02 14:30")
	require.NoError(t, err)
	later, err := schema.ParseDate("2024-03-02T15:00")
	require.NoError(t, err)
	order, known := at.Compare(later)
	require.Equal(t, []any{-1, true}, []any{order, known})
	_, known = day.Compare(later)
	require.False(t, known, "a day and a time on it have no order")
	for _, bad := range []string{"", "2024-02-30", "2.3.2024", "2024-3-2", "24-03-02"} {
		_, err := schema.ParseDate(bad)
		require.Error(t, err, bad)
	}
}
