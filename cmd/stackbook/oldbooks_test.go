package main

import (
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"stackbook/record/figure"
)

// R4: of every formula set before today's a book is kept as text that git
// fast-import takes. A build delivered then keeps its word: what its file says
// is told wherever today's formulas give something else, with both numbers of
// the sets, and the file of a past commit is never trusted nor written over.
func TestR4OldBooksKeepTheirWord(t *testing.T) {
	for set := 1; set < figure.FormulaSet; set++ {
		dir := oldBook(t, set)
		var doc struct {
			Formulas int
			Figures  []struct {
				ID, At, Text string
				Verdict      *string
				Told         *struct {
					Text, Verdict *string
					Formulas      int
				}
			}
		}
		require.NoError(t, json.Unmarshal(runIn(t, dir, "figures", "SK-21/1", "--json"), &doc))
		require.Equal(t, figure.FormulaSet, doc.Formulas)
		then := storedThen(t, dir)
		told := 0
		for _, f := range doc.Figures {
			line, ok := then[f.ID+" "+f.At]
			if f.Told == nil {
				require.True(t, ok, "%s at %s was not told then, and nothing says so", f.ID, f.At)
				require.Equal(t, line.Value, f.Text)
				continue
			}
			told++
			require.Equal(t, set, f.Told.Formulas)
			if ok {
				require.Equal(t, line.Value, *f.Told.Text, "%s at %s", f.ID, f.At)
			} else {
				require.Nil(t, f.Told.Text)
			}
		}
		require.NotZero(t, told)
		text := string(runIn(t, dir, "figures", "SK-21/1"))
		heading := fmt.Sprintf("told at delivery with formula set %d, and today's with %d", set, figure.FormulaSet)
		require.Contains(t, text, heading)
		// A difference is by today's formulas on both sides; what they alone moved is told apart.
		require.Contains(t, string(runIn(t, dir, "diff", "SK-21/1", "SK-21")), "SK-21/1: "+heading)
		require.Contains(t, string(runIn(t, dir, "diff", "SK-21/1", "SK-21", "--as", "md")), "Told otherwise when SK-21/1 was delivered")
	}
}

// Formula set 2 brought guard bands: a clearance 0.002 mm inside its limit was
// told to conform, and by today's formulas nobody can say so.
func TestR4SetOneToldWithoutAGuardBand(t *testing.T) {
	dir := oldBook(t, 1)
	text := string(runIn(t, dir, "figures", "SK-21/1"))
	require.Regexp(t, `(?m)^bearing\.oil_clearance_smallest +bearing/rotor/1 +0\.047 +0\.047 +mm +conforms +undecided$`, text)
	require.Contains(t, string(runIn(t, dir, "explain", "SK-21/1", "bearing.oil_clearance_smallest")), "told at delivery, with formula set 1: 0.047")
}

// oldBook brings the book of a formula set back.
func oldBook(t *testing.T, set int) string {
	t.Helper()
	text, err := os.Open(filepath.Join("testdata", "books", fmt.Sprintf("formulas-%d.txt", set)))
	require.NoError(t, err, "a book of formula set %d is to be kept: see DEVELOPERS.md, how to change a formula", set)
	defer text.Close()
	dir := t.TempDir()
	git := func(stdin *os.File, args ...string) {
		cmd := exec.Command("git", args...)
		cmd.Dir, cmd.Stdin = dir, stdin
		out, err := cmd.CombinedOutput()
		require.NoError(t, err, "%s", out)
	}
	git(nil, "init", "-q", "-b", "main")
	git(text, "fast-import", "--quiet")
	git(nil, "reset", "-q", "--hard")
	return dir
}

func storedThen(t *testing.T, dir string) map[string]figure.StoredLine {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(dir, "engines", "*", "SK-21", "figures.yaml"))
	require.NoError(t, err)
	require.Len(t, files, 1)
	data, err := os.ReadFile(files[0])
	require.NoError(t, err)
	stored, ok := figure.Decode(data)
	require.True(t, ok)
	lines := map[string]figure.StoredLine{}
	for _, l := range stored.Lines {
		lines[l.ID+" "+l.At] = l
	}
	return lines
}

// runIn runs the program in a folder and gives its standard output.
func runIn(t *testing.T, dir string, args ...string) []byte {
	t.Helper()
	self, err := os.Executable()
	require.NoError(t, err)
	bin := filepath.Join(t.TempDir(), "stackbook")
	require.NoError(t, os.Symlink(self, bin))
	cmd := exec.Command(bin, args...)
	cmd.Dir, cmd.Env = dir, append(os.Environ(), "COLUMNS=160")
	var errors strings.Builder
	cmd.Stderr = &errors
	out, err := cmd.Output()
	require.NoError(t, err, errors.String())
	return out
}
