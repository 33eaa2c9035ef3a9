package book

import (
	"errors"
	"io/fs"
	"os"
	"testing"

	"github.com/stretchr/testify/require"
)

// at opens the book as a hook would that git names an index to.
func (f *fixture) at(index string) *Staged {
	f.t.Helper()
	b, err := Open(f.root, WithEnv(func(key string) string {
		if key == "GIT_INDEX_FILE" {
			return index
		}
		return os.Getenv(key)
	}))
	require.NoError(f.t, err)
	f.t.Cleanup(func() { b.Close() })
	s, err := b.Staged()
	require.NoError(f.t, err)
	return s
}

// What is staged is a whole tree of its own, whatever the folder holds.
func TestStagedIsATree(t *testing.T) {
	t.Parallel()
	f := newFixture(t)
	f.write("engines/2023/SK-07/spec.yaml", "engine: SK-07 staged\n")
	f.write("engines/2023/SK-07/new.yaml", "staged: yes\n")
	f.write("engines/2023/SK-07.txt", "beside the folder\n")
	f.git("add", ".")
	f.write("engines/2023/SK-07/intended.yaml", "name only\n")
	f.git("add", "-N", "engines/2023/SK-07/intended.yaml")
	f.git("rm", "-q", "--cached", "engines/2024/SK-16/spec.yaml")
	f.write("engines/2023/SK-07/spec.yaml", "engine: SK-07 in the folder\n")
	s := f.at("")
	data, err := s.Read("engines/2023/SK-07/spec.yaml")
	require.NoError(t, err)
	require.Equal(t, "engine: SK-07 staged\n", string(data))
	for _, gone := range []string{"engines/2024/SK-16/spec.yaml", "engines/2023/SK-07/intended.yaml", "engines/2023/SK-07"} {
		_, err = s.Read(gone)
		require.True(t, errors.Is(err, fs.ErrNotExist), gone)
	}
	_, err = s.List("engines/2024")
	require.True(t, errors.Is(err, fs.ErrNotExist))
	list, err := s.List("engines/2023")
	require.NoError(t, err)
	require.Len(t, list, 2)
	require.Equal(t, Entry{Name: "SK-07", Dir: true}, list[0])
	require.Equal(t, "SK-07.txt", list[1].Name)
	require.True(t, list[1].File)
	names, err := s.Changes()
	require.NoError(t, err)
	require.Equal(t, []string{"engines/2023/SK-07.txt", "engines/2023/SK-07/new.yaml", "engines/2023/SK-07/spec.yaml", "engines/2024/SK-16/spec.yaml"}, names)
	require.False(t, s.Passing())
	require.False(t, s.UnderWay())
}

// Staging changes the named files in the index and nothing else.
func TestStageAddsToTheIndex(t *testing.T) {
	t.Parallel()
	for _, args := range [][]string{nil, {"--object-format=sha256"}} {
		f := newFixture(t, args...)
		f.write("engines/2024/SK-16/spec.yaml", "engine: SK-16 by hand\n")
		f.git("add", ".")
		s := f.at(".git/index")
		require.NoError(t, s.Stage(map[string][]byte{
			"engines/2023/SK-07/figures.yaml": []byte("figures: []\n"),
			"engines/2023/SK-07/spec.yaml":    []byte("engine: SK-07 anew\n"),
		}))
		data, err := s.Read("engines/2023/SK-07/figures.yaml")
		require.NoError(t, err)
		require.Equal(t, "figures: []\n", string(data))
		require.Equal(t, "engine: SK-07 anew", f.git("show", ":engines/2023/SK-07/spec.yaml"))
		require.Equal(t, "engine: SK-16 by hand", f.git("show", ":engines/2024/SK-16/spec.yaml"))
		require.Equal(t, "AD engines/2023/SK-07/figures.yaml\nMM engines/2023/SK-07/spec.yaml\nM  engines/2024/SK-16/spec.yaml", f.status())
		f.sound()
	}
}

// R8: the index of a commit of some files alone is known by its name, and a
// repository whose root is above the book by the paths.
func TestStagedHonoursTheIndexGitNames(t *testing.T) {
	t.Parallel()
	f := newFixture(t)
	other := f.path(".git/next-index-77.lock")
	f.write("engines/2023/SK-07/spec.yaml", "engine: SK-07 partly\n")
	add := f.command("add", "engines/2023/SK-07/spec.yaml")
	add.Env = append(os.Environ(), "GIT_INDEX_FILE="+other)
	f.copyIndex(other)
	require.NoError(t, add.Run())
	s := f.at(other)
	require.True(t, s.Passing())
	names, err := s.Changes()
	require.NoError(t, err)
	require.Equal(t, []string{"engines/2023/SK-07/spec.yaml"}, names)
	names, err = f.at("").Changes()
	require.NoError(t, err)
	require.Empty(t, names)
	require.NoError(t, os.Remove(other))
}

func (f *fixture) copyIndex(to string) {
	f.t.Helper()
	data, err := os.ReadFile(f.path(".git/index"))
	require.NoError(f.t, err)
	require.NoError(f.t, os.WriteFile(to, data, 0o666))
}

func TestStagedBelowTheRoot(t *testing.T) {
	t.Parallel()
	f := newFixture(t)
	f.write("shop/book.yaml", "format: book/1\n")
	f.write("shop/engines/2023/SK-01/spec.yaml", "engine: SK-01\n")
	f.write("outside.txt", "not the book's\n")
	f.git("add", ".")
	inner := &fixture{t, f.path("shop")}
	s := inner.at(".git/index")
	names, err := s.Changes()
	require.NoError(t, err)
	require.Equal(t, []string{"book.yaml", "engines/2023/SK-01/spec.yaml"}, names)
	list, err := s.List(".")
	require.NoError(t, err)
	require.Len(t, list, 2)
	require.NoError(t, s.Stage(map[string][]byte{"engines/2023/SK-01/figures.yaml": []byte("x\n")}))
	require.Equal(t, "x", f.git("show", ":shop/engines/2023/SK-01/figures.yaml"))
}

// An index that only the git program reads, and one of a book without a commit.
func TestStagedOfOtherIndexes(t *testing.T) {
	t.Parallel()
	f := newFixture(t)
	f.git("update-index", "--split-index")
	f.write("engines/2023/SK-07/spec.yaml", "engine: SK-07 split\n")
	f.git("add", ".")
	s := f.at("")
	data, err := s.Read("engines/2023/SK-07/spec.yaml")
	require.NoError(t, err)
	require.Equal(t, "engine: SK-07 split\n", string(data))
	require.NoError(t, s.Stage(map[string][]byte{"book.yaml": []byte("format: book/1 # anew\n")}))
	require.Equal(t, "format: book/1 # anew", f.git("show", ":book.yaml"))
	f.sound()

	f.git("checkout", "-q", "--orphan", "other")
	f.git("rm", "-rfq", ".")
	f.write("book.yaml", "format: book/1\n")
	f.git("add", ".")
	names, err := f.at("").Changes()
	require.NoError(t, err)
	require.Equal(t, []string{"book.yaml"}, names)
}
