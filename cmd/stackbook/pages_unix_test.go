//go:build unix

package main

import (
	"crypto/sha256"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// Pages that a signal meets at any moment are all as they were, or all as they
// are to be: what lies there is what the list says, and nothing else.
func TestPagesInterrupted(t *testing.T) {
	t.Parallel()
	b := newBench(t)
	b.run(".", "demo", "--short", "book")
	took := b.run("book", "export", "--all", "../pages")
	spec := filepath.Join(b.dir, "book", "engines", "2017", "SK-01", "spec.yaml")
	text, err := os.ReadFile(spec)
	require.NoError(t, err)
	first := b.pages(t)
	for round := range 9 {
		lot := fmt.Sprintf("lot: L-%d", round)
		require.NoError(t, os.WriteFile(spec, []byte(strings.Replace(string(text), "lot: L-2951", lot, 1)), 0o666))
		b.interrupt(round, took, "book", "export", "--all", "../pages")
		b.pages(t)
	}
	b.run("book", "export", "--all", "../pages")
	require.NotEqual(t, first, b.pages(t), "the last run set new pages")
	b.tidy("book", ours...)
}

// After a kill that nothing can heed, at any moment, the next run sets all pages
// and leaves nothing beside them.
func TestPagesKilled(t *testing.T) {
	t.Parallel()
	b := newBench(t)
	b.run(".", "demo", "--short", "book")
	took := b.run("book", "export", "--all", "../pages")
	whole := b.pages(t)
	left := 0
	for range 6 {
		require.NoError(t, os.RemoveAll(filepath.Join(b.dir, "pages")))
		cmd := b.command("book", "interruptible", "export", "--all", "../pages")
		require.NoError(t, cmd.Start())
		time.Sleep(time.Duration(b.rng.Int64N(int64(took))))
		_ = cmd.Process.Kill() // it may be done by then
		_ = cmd.Wait()
		if b.there("pages/.stackbook-new") {
			left++
		}
		b.run("book", "export", "--all", "../pages")
		require.Equal(t, whole, b.pages(t))
	}
	require.Positive(t, left, "no kill came while pages were waiting")
	b.tidy("book", ours...)
}

// pages sees that the folder holds what its list says, and gives the list.
func (b *bench) pages(t *testing.T) string {
	t.Helper()
	root := filepath.Join(b.dir, "pages")
	list, err := os.ReadFile(filepath.Join(root, "pages.sha256"))
	require.NoError(t, err)
	sums := map[string]string{}
	for line := range strings.Lines(string(list)) {
		sum, name, _ := strings.Cut(strings.TrimSpace(line), "  ")
		sums[name] = sum
	}
	err = filepath.WalkDir(root, func(file string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		name, err := filepath.Rel(root, file)
		require.NoError(t, err)
		if name == "pages.sha256" {
			return nil
		}
		data, err := os.ReadFile(file)
		require.Equal(t, sums[filepath.ToSlash(name)], fmt.Sprintf("%x", sha256.Sum256(data)), name)
		delete(sums, filepath.ToSlash(name))
		return err
	})
	require.NoError(t, err)
	require.Empty(t, sums)
	require.NoDirExists(t, filepath.Join(root, ".stackbook-new"))
	return string(list)
}
