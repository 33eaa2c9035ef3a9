package act_test

import (
	"os"
	"path/filepath"
	"regexp"
	"testing"

	"github.com/stretchr/testify/require"

	"stackbook/cmd/internal/act"
	"stackbook/record"
	"stackbook/record/book"
	"stackbook/record/figure"
)

// Every line of a ready-made limit set judges a figure there is, can be read in
// its unit, and says whether it was published or is from memory, in words.
func TestReadyLimitsJudgeFigures(t *testing.T) {
	require.Equal(t, []string{"side-port-654-early", "side-port-654-late", "side-port-654-mid", "side-port-654-race"}, act.ReadyLimits())
	said := regexp.MustCompile(`^(published|from memory): .*(manual|page of replacement criteria)`)
	key := regexp.MustCompile(`\bS\d`)
	for _, name := range act.ReadyLimits() {
		data, err := os.ReadFile(filepath.Join("limits", name+".yaml"))
		require.NoError(t, err)
		set, problems := record.ReadLimits(record.File{Path: "limits/" + name + ".yaml", Data: data})
		require.Empty(t, problems, name)
		require.Equal(t, name, set.Name)
		ids := set.Node("limits").Keys()
		require.GreaterOrEqual(t, len(ids), 7, name)
		for _, id := range ids {
			f := figure.ByID(id)
			require.NotNil(t, f, "%s: %s", name, id)
			limit, ok, problems := set.Find(id, f.Dimension(), f.Unit)
			require.True(t, ok, "%s: %s", name, id)
			require.Empty(t, problems, "%s: %s", name, id)
			require.False(t, limit.New.Empty() && limit.Reuse.Empty(), "%s: %s", name, id)
			require.Regexp(t, said, limit.Source, "%s: %s", name, id)
			require.NotRegexp(t, key, limit.Source, "%s: %s: a key nobody has the list of", name, id)
		}
	}
}

// The limits as printed, a few of each set, in the words of the page.
func TestReadyLimitsAsPrinted(t *testing.T) {
	for _, row := range []struct{ set, id, band, side, value string }{
		{"late", "rotor.side_clearance", "new", "max", "0.19 mm"},
		{"late", "end_float", "reuse", "max", "0.10 mm"},
		{"late", "cranking.lowest", "reuse", "min", "680 kPa"},
		{"mid", "apex_seal.side_clearance", "new", "min", "0.062 mm"},
		{"mid", "end_float", "reuse", "max", "0.09 mm"},
		{"early", "rotor.side_clearance", "reuse", "min", "0.10 mm"},
		{"early", "edge_chipping", "reuse", "max", "2 mm"},
		{"race", "apex_seal.end_gap_at_A", "new", "max", "0.11 mm"},
	} {
		data, err := os.ReadFile(filepath.Join("limits", "side-port-654-"+row.set+".yaml"))
		require.NoError(t, err)
		set, _ := record.ReadLimits(record.File{Path: "limits/x.yaml", Data: data})
		require.Equal(t, row.value, set.Doc.Root().At("limits", row.id, row.band, row.side).Text(), "%s %s", row.set, row.id)
	}
}

// A book begins with the sets asked for, and with no others.
func TestBeginWithReadyLimits(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "book")
	_, err := act.Begin(dir, act.BeginOptions{Shop: "Skarvik Rotary", Limits: []string{"side-port-654-late", "side-port-654-race"}, Book: []book.Option{book.WithEnv(env)}, Now: now})
	require.NoError(t, err)
	require.ElementsMatch(t, []string{"shop.yaml", "side-port-654-late.yaml", "side-port-654-race.yaml"}, names(t, filepath.Join(dir, "limits")))
}

// A set there is none of is named with the nearest one, before anything is made.
func TestBeginWithUnknownLimits(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "book")
	for name, mend := range map[string]string{"side-port-654-lat": "did you mean side-port-654-late?", "x": "there are: side-port-654-early, side-port-654-late, side-port-654-mid, side-port-654-race"} {
		_, err := act.Begin(dir, act.BeginOptions{Shop: "Skarvik Rotary", Limits: []string{name}, Book: []book.Option{book.WithEnv(env)}, Now: now})
		var usage *act.UsageError
		require.ErrorAs(t, err, &usage)
		require.Equal(t, mend, usage.Mend)
		require.NoDirExists(t, dir)
	}
}
