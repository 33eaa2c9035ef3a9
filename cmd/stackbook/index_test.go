package main

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"stackbook/cmd/internal/bigbook"
)

// What the program tells of a large book is the same, byte for byte, whether it
// walks through all commits, makes the index or has one: in the folder as it was
// committed, with edits, and of any past state.
func TestTheIndexChangesNoAnswer(t *testing.T) {
	t.Parallel()
	dir := filepath.Join(t.TempDir(), "book")
	made, err := bigbook.Make(dir, bigbook.Small, 7)
	require.NoError(t, err)
	require.NotEmpty(t, made.To)
	asked := [][]string{
		{"history", made.Rebuilt + "@" + made.Date}, {"history", "@" + made.Date, "--serial", made.Serial}, {"parts", made.To + "@HEAD~40"},
		{"where-used", made.Lot}, {"where-used", made.Lot + "@HEAD"}, {"where-used", made.Serial + "@HEAD~300"}, {"where-used", made.Customer + "@" + made.Date},
		{"where-used", "S-02@HEAD~900"}, {"where-used", "L-1000@HEAD~950"}, {"export", made.Rebuilt, "--for", "warranty"},
	}
	answers := func() (all []string) {
		for _, words := range asked {
			all = append(all, run(t, dir, append(words, "--json")...))
		}
		return all
	}
	side := filepath.Join(dir, ".git", "stackbook")
	for _, edited := range []bool{false, true} {
		if edited {
			file := filepath.Join(dir, filepath.FromSlash(made.Folder(made.OnBench)), "changes", "2026-01-09-note.yaml")
			require.NoError(t, os.MkdirAll(filepath.Dir(file), 0o755))
			text := "format: change/1\nengine: " + made.OnBench + "\nbuild: 1\ndate: 2026-01-09\nkind: replacement\nby: KM\nwhat: one taken out\nremoved:\n  - from: rotor/1/apex/1\n    lot: " + made.Lot + "\n"
			require.NoError(t, os.WriteFile(file, []byte(text), 0o644))
		}
		require.NoError(t, os.RemoveAll(side))
		require.NoError(t, os.WriteFile(side, nil, 0o644)) // no index can be made
		walked := answers()
		require.NoError(t, os.Remove(side))
		for i, got := range answers() {
			require.Equal(t, walked[i], got, "%q", asked[i])
		}
		require.FileExists(t, filepath.Join(side, "history")) // made for the first, and asked by the others
	}
	_, err = bigbook.Git(dir, "fsck", "--strict", "--no-dangling")
	require.NoError(t, err)
}
