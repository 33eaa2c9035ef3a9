package book

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// longHistory is a book of 200 engines and 3,000 commits, a clock tick a day.
func longHistory(b *testing.B) string {
	b.Helper()
	dir := filepath.Join(b.TempDir(), "book")
	require.NoError(b, exec.Command("git", "init", "-q", "-b", "main", dir).Run())
	var in strings.Builder
	file := func(path, text string) {
		fmt.Fprintf(&in, "M 100644 inline %s\ndata %d\n%s\n", path, len(text), text)
	}
	for i := range 3000 {
		fmt.Fprintf(&in, "commit refs/heads/main\ncommitter K M <km@skarvik.example> %d +0100\ndata 2\nc\n", 1400000000+i*86400)
		engine := i % 200
		file(fmt.Sprintf("engines/%d/SK-%d/spec.yaml", 2000+engine/50, engine), fmt.Sprintf("engine: SK-%d\nserial: R-%d\nlot: L-%d\nnumber: %d\n", engine, i, i/30, i))
	}
	file(Marker, "format: book/1\n")
	cmd := exec.Command("git", "-C", dir, "fast-import", "--quiet")
	cmd.Stdin = strings.NewReader(in.String())
	require.NoError(b, cmd.Run())
	require.NoError(b, os.WriteFile(filepath.Join(dir, Marker), []byte("format: book/1\n"), 0o644))
	return dir
}

// BenchmarkIndex asks a book that was just opened, with its index and by the
// walk, and makes the index from nothing.
func BenchmarkIndex(b *testing.B) {
	dir := longHistory(b)
	ask := func(name string, from int, do func(book *Book) error) {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				book, err := Open(dir, WithIndexFrom(from))
				require.NoError(b, err)
				require.NoError(b, do(book))
				require.NoError(b, book.Close())
			}
		})
	}
	log := func(book *Book) error {
		_, err := book.Log("engines/2001/SK-77")
		return err
	}
	ask("made", fewCommits, func(book *Book) error {
		require.NoError(b, os.RemoveAll(filepath.Join(dir, ".git", sideDir)))
		return log(book)
	})
	day := func(book *Book) error {
		_, _, err := book.OnOrBefore("2018-06-01")
		return err
	}
	uses := func(book *Book) error {
		head, _, err := book.Head()
		require.NoError(b, err)
		steps, err := book.Steps(head, isRecord, []string{"L-77"}, nil)
		require.NotEmpty(b, steps)
		return err
	}
	for name, do := range map[string]func(*Book) error{"history": log, "day": day, "uses": uses} {
		ask(name+"/index", fewCommits, do)
		ask(name+"/walk", 0, do)
	}
}
