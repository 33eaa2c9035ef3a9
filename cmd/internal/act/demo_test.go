package act_test

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"stackbook/cmd/internal/act"
	"stackbook/record/book"
)

// names lists a folder.
func names(t *testing.T, dir string) []string {
	t.Helper()
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	list := []string{}
	for _, e := range entries {
		list = append(list, e.Name())
	}
	return list
}

func demoAt(dir string, step func(done, of int)) error {
	_, _, err := act.Demo(dir, act.DemoOptions{Short: true, Book: []book.Option{book.WithEnv(env)}, Now: now}, step)
	return err
}

// A demo that is broken off leaves the folder free for the next one, whether
// the folder was there before or not.
func TestDemoBrokenOff(t *testing.T) {
	for _, there := range []bool{false, true} {
		parent := t.TempDir()
		dir := filepath.Join(parent, "book")
		if there {
			require.NoError(t, os.Mkdir(dir, 0o755))
		}
		require.Panics(t, func() {
			_ = demoAt(dir, func(done, of int) {
				if done == 5 {
					panic("killed")
				}
			})
		})
		if there {
			require.Empty(t, names(t, dir))
		} else {
			require.NoDirExists(t, dir)
		}
		require.NoError(t, demoAt(dir, func(int, int) {}))
		require.FileExists(t, filepath.Join(dir, "book.yaml"))
	}
}

// A demo that fails takes away what it made.
func TestDemoFails(t *testing.T) {
	parent := t.TempDir()
	dir := filepath.Join(parent, "deep", "book")
	err := demoAt(dir, func(done, of int) {
		if done == 3 { // somebody else breaks the book that is being made
			hidden, err := filepath.Glob(filepath.Join(parent, "deep", ".stackbook-demo-*", "book", ".git", "HEAD"))
			require.NoError(t, err)
			require.Len(t, hidden, 1)
			require.NoError(t, os.WriteFile(hidden[0], []byte("no ref"), 0o666))
		}
	})
	require.ErrorContains(t, err, "the demo's commit ")
	require.Empty(t, names(t, filepath.Join(parent, "deep")))
}

func TestDemoLeavesNothingBeside(t *testing.T) {
	parent := t.TempDir()
	require.NoError(t, demoAt(filepath.Join(parent, "book"), func(int, int) {}))
	require.Equal(t, []string{"book"}, names(t, parent))
}

// What holds anything, is no folder, or lies in a repository is left alone.
func TestDemoRefuses(t *testing.T) {
	parent := t.TempDir()
	full := filepath.Join(parent, "full")
	require.NoError(t, os.Mkdir(full, 0o755))
	file := filepath.Join(full, "mine.txt")
	require.NoError(t, os.WriteFile(file, nil, 0o644))
	none := func(int, int) { t.Fatal("a commit was made") }
	require.EqualError(t, demoAt(full, none), full+" is not empty; name an empty folder or one that does not exist yet")
	require.EqualError(t, demoAt(file, none), file+" is no folder; name an empty folder or one that does not exist yet")
	require.Equal(t, []string{"full"}, names(t, parent))

	b := demoBook(t)
	head := b.git("rev-parse", "HEAD")
	inside := b.path("engines/demo")
	require.EqualError(t, demoAt(inside, none), inside+" lies in the git repository of "+b.dir+", and the demo makes one of its own; name a folder outside it")
	require.NoDirExists(t, inside)
	require.Equal(t, head, b.git("rev-parse", "HEAD"))
}
