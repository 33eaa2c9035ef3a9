package book

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// both gives the folder and HEAD of a book in which they are the same.
func both(t *testing.T, b *Book) map[string]Tree {
	head, ok, err := b.Head()
	require.NoError(t, err)
	require.True(t, ok)
	return map[string]Tree{"folder": b.Folder(), "past": b.At(head)}
}

// Folder and past answer alike: what is there, what is not, what is refused (R25).
func TestTree(t *testing.T) {
	t.Parallel()
	f := newFixture(t)
	f.write("engines-old/x", "x\n") // sorts before engines/ for git, after it bytewise
	f.write("large.bin", strings.Repeat("x", MaxFile+1))
	f.write("largest.bin", strings.Repeat("x", MaxFile))
	linked(f)
	f.git("add", ".")
	f.git("commit", "-qm", "more")
	for name, tree := range both(t, f.open()) {
		t.Run(name, func(t *testing.T) {
			data, err := tree.Read("engines/2023/SK-07/spec.yaml")
			require.NoError(t, err)
			assert.Equal(t, "engine: SK-07\n", string(data))
			data, err = tree.Read("largest.bin")
			require.NoError(t, err)
			assert.Len(t, data, MaxFile)

			for _, p := range []string{"nowhere", "engines/2023/SK-09/spec.yaml", "book.yaml/inside"} {
				_, err = tree.Read(p)
				assert.ErrorIs(t, err, fs.ErrNotExist, p)
				_, err = tree.List(p)
				assert.ErrorIs(t, err, fs.ErrNotExist, p)
			}
			_, err = tree.List("book.yaml")
			assert.ErrorIs(t, err, fs.ErrNotExist)
			for p, want := range map[string]string{
				"link.yaml": "symbolic link", "engines": "not a regular file", "large.bin": "larger than 16 MiB",
				"../book/book.yaml": "not a path inside", "/etc/passwd": "not a path inside", ".git/config": "git's own folder",
			} {
				_, err = tree.Read(p)
				assert.ErrorContains(t, err, want, p)
			}

			var unfit *UnfitError
			for _, p := range []string{"link.yaml", "linked/spec.yaml", "engines", "large.bin"} {
				if _, err = tree.Read(p); !errors.Is(err, fs.ErrNotExist) { // a link of the past has nothing behind it
					require.ErrorAs(t, err, &unfit, p)
				}
			}

			entries, err := tree.List(".")
			require.NoError(t, err)
			var names []string
			for _, e := range entries {
				names = append(names, e.Name)
				assert.Equal(t, strings.HasSuffix(e.Name, ".bin") || e.Name == "book.yaml", e.File, e.Name)
				assert.Equal(t, e.Name == "engines" || e.Name == "engines-old", e.Dir, e.Name)
			}
			assert.Equal(t, []string{"book.yaml", "engines", "engines-old", "large.bin", "largest.bin", "link.yaml", "linked"}, names)
		})
	}
}

// What lies behind a link to a folder is not in the book.
func TestBehindLink(t *testing.T) {
	t.Parallel()
	f := newFixture(t)
	linked(f)
	_, err := f.open().Folder().Read("linked/spec.yaml")
	assert.ErrorContains(t, err, "linked is a symbolic link")
	_, err = f.open().Folder().List("linked")
	assert.ErrorContains(t, err, "linked is a symbolic link")
}

// A past state knows git's names of its folders, and stays as it is while the
// folder goes on and git packs everything under a running program.
func TestPastStays(t *testing.T) {
	t.Parallel()
	f := newFixture(t)
	b := f.open()
	head, _, err := b.Head()
	require.NoError(t, err)
	past := b.At(head)
	entries, err := past.List("engines/2023")
	require.NoError(t, err)
	assert.Equal(t, []Entry{{"SK-07", true, false, f.git("rev-parse", "HEAD:engines/2023/SK-07")}}, entries)
	f.write("engines/2023/SK-07/spec.yaml", "build: 2\n")
	f.git("commit", "-qam", "later")
	f.git("gc", "-q", "--prune=now")
	data, err := past.Read("engines/2023/SK-07/spec.yaml")
	require.NoError(t, err)
	assert.Equal(t, "engine: SK-07\n", string(data))
	later, err := b.Resolve("main")
	require.NoError(t, err)
	f.git("repack", "-adq", "--depth=50", "--window=10")
	data, err = b.At(later).Read("engines/2023/SK-07/spec.yaml")
	require.NoError(t, err)
	assert.Equal(t, "build: 2\n", string(data))
}

// Changes of every kind, in one folder alone; what git was told to leave
// alone is left alone.
func TestChanges(t *testing.T) {
	t.Parallel()
	f := newFixture(t)
	for _, name := range []string{"assumed", "skipped", "moded", "gone", "plain", "linked"} {
		f.write("parts/"+name, "1\n")
	}
	f.git("add", ".")
	f.git("commit", "-qm", "parts")
	f.git("update-index", "--assume-unchanged", "parts/assumed")
	f.git("update-index", "--skip-worktree", "parts/skipped")
	f.write("parts/assumed", "2\n")
	f.remove("parts/skipped")
	require.NoError(t, os.Chmod(f.path("parts/moded"), 0o755))
	f.remove("parts/gone")
	f.write("parts/plain", "2\n")
	f.git("add", "parts/plain")
	f.remove("parts/linked")
	require.NoError(t, os.Symlink("plain", f.path("parts/linked")))
	f.write("parts/new", "1\n")
	f.write("parts/intended", "1\n")
	f.git("add", "-N", "parts/intended")
	f.write("parts/staged", "1\n")
	f.git("add", "parts/staged")
	f.write("parts/"+tempPrefix+"1", "half")
	f.write("elsewhere", "1\n")
	b := f.open()
	want := []Change{
		{"parts/gone", Deleted, true, false},
		{"parts/intended", Added, true, false},
		{"parts/linked", Modified, true, false},
		{"parts/moded", Modified, true, false},
		{"parts/new", Added, false, false},
		{"parts/plain", Modified, true, true},
		{"parts/staged", Added, true, true},
	}
	got, err := b.Changes("parts")
	require.NoError(t, err)
	assert.Equal(t, want, got)
	got, err = b.Changes("parts/plain")
	require.NoError(t, err)
	assert.Equal(t, want[5:6], got)
	got, err = b.Changes("never")
	require.NoError(t, err)
	assert.Empty(t, got)

	f.git("config", "core.fileMode", "false")
	got, err = f.open().Changes("parts/moded")
	require.NoError(t, err)
	assert.Empty(t, got)
}

// Of an index that only git reads the same is told, by asking git, and so it is
// of one in which an entry stands for a folder: what is tracked, and what a sparse
// checkout leaves out of the folder (R9).
func TestChangesByGit(t *testing.T) {
	t.Parallel()
	for name, arrange := range map[string]func(f *fixture){
		"split": func(f *fixture) {
			f.git("sparse-checkout", "set", "--cone", "engines/2024")
			f.git("update-index", "--split-index")
		},
		"sparse": func(f *fixture) { f.git("sparse-checkout", "set", "--cone", "--sparse-index", "engines/2024") },
		"named by SHA-256": func(f *fixture) {
			f.remove(".git")
			f.git("init", "-q", "-b", "main", "--object-format=sha256")
			f.git("add", ".")
			f.git("commit", "-qm", "begin")
			f.git("sparse-checkout", "set", "--cone", "engines/2024")
		},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			f := newFixture(t)
			arrange(f)
			require.NoDirExists(t, f.path("engines/2023"))
			f.write("engines/2024/SK-16/spec.yaml", "build: 2\n")
			f.write("engines/2024/SK-16/staged.txt", "1\n")
			f.git("add", "engines/2024/SK-16/staged.txt")
			f.write("engines/2024/SK-16/new.txt", "1\n")
			got, err := f.open().Changes(".")
			require.NoError(t, err)
			assert.Equal(t, []Change{
				{"engines/2024/SK-16/new.txt", Added, false, false},
				{"engines/2024/SK-16/spec.yaml", Modified, true, false},
				{"engines/2024/SK-16/staged.txt", Added, true, true},
			}, got)
		})
	}
}

// What a partial clone left out is brought in when it is read; where that fails
// the error says so.
func TestPartialClone(t *testing.T) {
	t.Parallel()
	for _, filter := range []string{"blob:none", "tree:0"} {
		t.Run(filter, func(t *testing.T) {
			t.Parallel()
			f := newFixture(t)
			origin := f.root
			f.git("config", "uploadpack.allowFilter", "true")
			f.git("config", "uploadpack.allowAnySHA1InWant", "true")
			f.write("engines/2023/SK-07/spec.yaml", "build: 2\n")
			f.git("commit", "-qam", "two")
			f.write("engines/2023/SK-07/spec.yaml", "build: 3\n")
			f.git("commit", "-qam", "three")
			f.root = filepath.Join(filepath.Dir(origin), "clone")
			(&fixture{t, origin}).git("clone", "-q", "--filter="+filter, "file://"+origin, f.root)
			b := f.open()
			for rev, want := range map[string]string{"HEAD": "build: 3\n", "HEAD~": "build: 2\n"} {
				c, err := b.Resolve(rev)
				require.NoError(t, err)
				data, err := b.At(c).Read("engines/2023/SK-07/spec.yaml")
				require.NoError(t, err)
				assert.Equal(t, want, string(data))
			}
			require.NoError(t, os.RemoveAll(origin))
			c, err := b.Resolve("HEAD~2")
			require.NoError(t, err)
			_, err = b.At(c).Read("engines/2023/SK-07/spec.yaml")
			assert.ErrorContains(t, err, "it was left out of this clone, and: git cat-file: ")
		})
	}
}

// What a sparse checkout keeps out of the folder is told from what was deleted.
func TestSkipped(t *testing.T) {
	t.Parallel()
	f := newFixture(t)
	skipped := func(p string) []string {
		names, err := f.open().Folder().Skipped(p)
		require.NoError(t, err)
		return names
	}
	f.remove("engines/2023/SK-07/spec.yaml")
	assert.Empty(t, skipped("."))
	for _, kind := range []string{"--no-sparse-index", "--sparse-index"} {
		f.git("checkout", "-q", ".")
		f.git("sparse-checkout", "set", "--cone", kind, "engines/2024")
		f.remove("engines/2024/SK-16/spec.yaml")
		away := []string{"engines/2023/SK-07/measurements/2024-03-02-mock-up-KM.yaml", "engines/2023/SK-07/spec.yaml"}
		assert.Equal(t, away, skipped("engines"), kind)
		assert.Equal(t, away[:1], skipped("engines/2023/SK-07/measurements"), kind)
		assert.Equal(t, away[1:], skipped("engines/2023/SK-07/spec.yaml"), kind)
		assert.Empty(t, skipped("engines/2024"), kind)
		f.write("engines/2023/SK-07/spec.yaml", "put there by hand\n")
		assert.Equal(t, away[:1], skipped("engines"), kind)
		f.remove("engines/2023/SK-07/spec.yaml")
	}
	b := f.open()
	head, _, err := b.Head()
	require.NoError(t, err)
	names, err := b.At(head).Skipped(".")
	require.NoError(t, err)
	assert.Empty(t, names)
}

// A file that differs from HEAD by its line ends alone has not changed where
// git converts them.
func TestChangesConverted(t *testing.T) {
	t.Parallel()
	f := newFixture(t)
	f.git("config", "core.autocrlf", "true")
	f.write("book.yaml", "format: book/1\r\n")
	f.write("engines/2024/SK-16/spec.yaml", "engine: SK-17\r\n")
	got, err := f.open().Changes(".")
	require.NoError(t, err)
	assert.Equal(t, []Change{{"engines/2024/SK-16/spec.yaml", Modified, true, false}}, got)
}
