package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
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
		{"history", made.Rebuilt, "--commits"}, {"history", made.To + "@HEAD~40", "--commits"}, {"show", made.Rebuilt + "@" + made.Date}, {"show", made.Rebuilt + "/1"},
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

// The list of an engine's commits is git's own, word for word, with the index and
// without, of the last commit and of past ones; and a file that is shown is what
// git has.
func TestCommitsAndFilesAreGits(t *testing.T) {
	t.Parallel()
	dir := filepath.Join(t.TempDir(), "book")
	made, err := bigbook.Make(dir, bigbook.Small, 8)
	require.NoError(t, err)
	git := func(args ...string) string {
		out, err := bigbook.Git(dir, args...)
		require.NoError(t, err)
		return string(out)
	}
	side := filepath.Join(dir, ".git", "stackbook")
	require.NoError(t, os.WriteFile(side, nil, 0o644)) // no index can be made
	for range 2 {
		for state, commit := range map[string]string{made.Rebuilt: "HEAD", made.To + "@HEAD~40": "HEAD~40", made.Rebuilt + "/1": "build/" + made.Rebuilt + "/1", made.OnBench: "HEAD"} {
			engine := strings.TrimRight(strings.Split(strings.Split(state, "@")[0], "/")[0], "\n")
			var want strings.Builder
			log := git("log", "--format=%H%x09%cs%x09%an%x09%s", commit, "--", made.Folder(engine))
			for line := range strings.Lines(log) {
				parts := strings.Split(strings.TrimSuffix(line, "\n"), "\t")
				fmt.Fprintf(&want, "%s,%s,%s,%s\r\n", parts[1], parts[0], parts[2], csvField(parts[3]))
			}
			require.Equal(t, "date,commit,by,subject\r\n"+want.String(), run(t, dir, "history", state, "--commits", "--as", "csv"), state)
			require.Equal(t, git("show", commit+":"+made.Folder(engine)+"/spec.yaml"), run(t, dir, "show", state), state)
			for name := range strings.FieldsSeq(git("ls-tree", "-r", "--name-only", commit, made.Folder(engine))) {
				require.Equal(t, git("show", commit+":"+name), run(t, dir, "show", state, name), name)
			}
		}
		_ = os.Remove(side) // a folder, the second time, stays
	}
	require.FileExists(t, filepath.Join(side, "history"))
	git("fsck", "--strict", "--no-dangling")
}

// csvField is a field as RFC 4180 has it.
func csvField(text string) string {
	if strings.ContainsAny(text, ",\"\r\n") {
		return `"` + strings.ReplaceAll(text, `"`, `""`) + `"`
	}
	return text
}
