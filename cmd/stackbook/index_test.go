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
		{"history", made.Rebuilt}, {"history", made.Rebuilt + "@" + made.Date}, {"history", "--serial", made.Serial}, {"history", "@" + made.Date, "--serial", made.Serial},
		{"figures", made.Rebuilt + "@" + made.Date}, {"parts", made.To}, {"parts", made.To + "@HEAD~40"}, {"parts", made.Lot},
		{"fleet", "@" + made.Date}, {"diff", made.Rebuilt + "/1", made.Rebuilt + "@" + made.Date}, {"export", made.Rebuilt, "--for", "warranty"},
	}
	for _, name := range []string{made.Lot, made.Serial, made.Customer, made.Rebuilt, "RT-80", "S-02", "L-1000", "no such"} {
		for _, state := range []string{"", "@HEAD", "@HEAD~300", "@" + made.Date} {
			asked = append(asked, []string{"where-used", name + state})
		}
	}
	answers := func() (all []string) {
		for _, words := range asked {
			all = append(all, run(t, dir, append(words, "--json")...))
		}
		return all
	}
	side := filepath.Join(dir, ".git", "stackbook")
	for _, edit := range []string{"", "lot: L-none\n", "lot: " + made.Lot + "\n"} {
		if edit != "" {
			file := filepath.Join(dir, filepath.FromSlash(made.Folder(made.OnBench)), "changes", "2026-01-09-note.yaml")
			require.NoError(t, os.MkdirAll(filepath.Dir(file), 0o755))
			text := "format: change/1\nengine: " + made.OnBench + "\nbuild: 1\ndate: 2026-01-09\nkind: replacement\nby: KM\nwhat: one taken out\nremoved:\n  - from: rotor/1/coolant/front/inner\n    " + edit
			require.NoError(t, os.WriteFile(file, []byte(text), 0o644))
		}
		require.NoError(t, os.RemoveAll(side))
		require.NoError(t, os.WriteFile(side, nil, 0o644)) // no index can be made
		walked := answers()
		require.NoError(t, os.Remove(side))
		for i, got := range answers() {
			require.Equal(t, walked[i], got, "%q", asked[i])
		}
		require.FileExists(t, filepath.Join(side, "history"))
		for i, got := range answers() {
			require.Equal(t, walked[i], got, "%q from the file", asked[i])
		}
	}
	run(t, dir, "commit", made.OnBench, "-m", "one taken out")
	for _, args := range [][]string{{"fsck", "--strict", "--no-dangling"}, {"diff", "--exit-code", "HEAD"}} {
		_, err := bigbook.Git(dir, args...)
		require.NoError(t, err)
	}
}
