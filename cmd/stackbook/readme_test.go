package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// The README shows real output: each of its console blocks is run in the demo
// book, in order, and must print what stands there. A line of three dots
// stands for any number of lines.
func TestReadmeShowsRealOutput(t *testing.T) {
	text, err := os.ReadFile(filepath.Join("..", "..", "README.md"))
	require.NoError(t, err)
	dir := t.TempDir()
	self, err := os.Executable()
	require.NoError(t, err)
	bin := filepath.Join(dir, "bin")
	require.NoError(t, os.Mkdir(bin, 0o777))
	require.NoError(t, os.Symlink(self, filepath.Join(bin, "stackbook")))
	env := append(os.Environ(), "PATH="+bin+string(os.PathListSeparator)+os.Getenv("PATH"), "COLUMNS=160", "HOME="+dir,
		"GIT_AUTHOR_NAME=KM", "GIT_AUTHOR_EMAIL=km@skarvik.example", "GIT_COMMITTER_NAME=KM", "GIT_COMMITTER_EMAIL=km@skarvik.example")
	book := filepath.Join(dir, "skarvik")
	run := func(where, line string) string {
		cmd := exec.Command("sh", "-c", line)
		cmd.Dir, cmd.Env = where, env
		out, _ := cmd.CombinedOutput() // a command may fail on purpose
		return strings.TrimRight(string(out), "\n")
	}
	run(dir, "stackbook demo skarvik")
	blocks := consoleBlocks(string(text))
	require.Greater(t, len(blocks), 5)
	for _, b := range blocks {
		got := run(book, b.command) // once: it may write
		require.True(t, matches(b.output, got), "$ %s\nprints:\n%s\n\nREADME.md has:\n%s", b.command, got, b.output)
	}
	recipe := block(string(text), "sh", "stackbook-delivery 1")
	require.NotEmpty(t, recipe)
	sum, _, _ := strings.Cut(run(book, recipe), " ")
	require.Contains(t, run(book, "git tag -l '--format=%(contents)' build/SK-01/2"), "SHA-256: "+sum+"\n", "R17: what README.md works out is what is sealed")
	require.Len(t, sum, 64)
}

// block is the block of a kind that holds a text.
func block(text, kind, holds string) string {
	for _, part := range strings.Split(text, "```"+kind+"\n")[1:] {
		if body, _, _ := strings.Cut(part, "\n```"); strings.Contains(body, holds) {
			return body
		}
	}
	return ""
}

// consoleBlock is one command of a console block with what it prints.
type consoleBlock struct{ command, output string }

func consoleBlocks(text string) []consoleBlock {
	var blocks []consoleBlock
	for _, part := range strings.Split(text, "```console\n")[1:] {
		body, _, _ := strings.Cut(part, "\n```")
		for _, one := range strings.Split("\n"+body, "\n$ ")[1:] {
			command, output, _ := strings.Cut(one, "\n")
			blocks = append(blocks, consoleBlock{command, strings.TrimRight(output, "\n")})
		}
	}
	return blocks
}

// matches compares line by line, trailing blanks aside.
func matches(want, got string) bool {
	return matchLines(strings.Split(want, "\n"), strings.Split(got, "\n"))
}

func matchLines(want, got []string) bool {
	for len(want) > 0 {
		if want[0] == "..." {
			for skip := 0; skip <= len(got); skip++ {
				if matchLines(want[1:], got[skip:]) {
					return true
				}
			}
			return false
		}
		if len(got) == 0 || strings.TrimRight(want[0], " ") != strings.TrimRight(got[0], " ") {
			return false
		}
		want, got = want[1:], got[1:]
	}
	return len(got) == 0
}
