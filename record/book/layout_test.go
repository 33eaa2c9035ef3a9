package book

import (
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// layouts are the ways in which a repository may lie around a book. Each gets
// a fixture and gives the book's folder in it.
var layouts = map[string]func(f *fixture) string{
	"plain": func(f *fixture) string { return f.root },
	"detached": func(f *fixture) string {
		f.git("checkout", "-q", "--detach")
		return f.root
	},
	"packed": func(f *fixture) string {
		f.git("gc", "-q")
		f.git("pack-refs", "--all")
		return f.root
	},
	"branch with a slash, packed only": func(f *fixture) string {
		f.git("checkout", "-q", "-b", "bench/two")
		f.git("pack-refs", "--all", "--prune")
		return f.root
	},
	"linked work tree": func(f *fixture) string {
		other := filepath.Join(filepath.Dir(f.root), "other")
		f.git("worktree", "add", "-q", "-b", "other", other)
		return other
	},
	"linked work tree, detached": func(f *fixture) string {
		other := filepath.Join(filepath.Dir(f.root), "other")
		f.git("worktree", "add", "-q", "--detach", other)
		return other
	},
	"git directory elsewhere": func(f *fixture) string {
		f.git("init", "-q", "--separate-git-dir", filepath.Join(filepath.Dir(f.root), "elsewhere.git"))
		return f.root
	},
	"shallow clone": func(f *fixture) string {
		f.write("parts/L-2304.yaml", "lot: L-2304\n")
		f.git("add", ".")
		f.git("commit", "-qm", "second")
		clone := filepath.Join(filepath.Dir(f.root), "clone")
		f.git("clone", "-q", "--depth", "1", "file://"+f.root, clone)
		return clone
	},
	"partial clone": func(f *fixture) string {
		f.git("config", "uploadpack.allowFilter", "true")
		f.git("config", "uploadpack.allowAnySHA1InWant", "true")
		clone := filepath.Join(filepath.Dir(f.root), "clone")
		f.git("clone", "-q", "--filter=blob:none", "file://"+f.root, clone)
		return clone
	},
	"borrowed objects": func(f *fixture) string {
		clone := filepath.Join(filepath.Dir(f.root), "clone")
		f.git("clone", "-q", "--shared", f.root, clone)
		return clone
	},
	"repository above the book": func(f *fixture) string {
		f.write("shop/skarvik/book.yaml", "format: book/1\n")
		f.write("shop/skarvik/engines/2023/SK-07/spec.yaml", "engine: SK-07\n")
		f.write("shop/accounts.txt", "not the book's\n")
		f.git("add", "shop")
		f.git("commit", "-qm", "a book in a folder")
		return f.path("shop/skarvik")
	},
	"extensions of version 1": func(f *fixture) string {
		f.git("config", "core.repositoryFormatVersion", "1")
		f.git("config", "extensions.worktreeConfig", "true")
		return f.root
	},
	"named by SHA-256": func(f *fixture) string {
		f.remove(".git")
		f.git("init", "-q", "-b", "main", "--object-format=sha256")
		f.git("add", ".")
		f.git("commit", "-qm", "begin")
		f.git("repack", "-adq")
		return f.root
	},
}

// However the repository lies around the book, a file is read from folder and
// past, a commit takes just the named files, and a second one follows it.
func TestLayouts(t *testing.T) {
	t.Parallel()
	for name, arrange := range layouts {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			f := newFixture(t)
			f.root = arrange(f)
			found, err := Find(f.path("engines/2023/SK-07"))
			require.NoError(t, err)
			assert.Equal(t, f.root, found.Root())
			require.NoError(t, found.Close())
			b := f.open()

			f.write("other.yaml", "staged by hand\n")
			f.git("add", "other.yaml")
			parent := f.git("rev-parse", "HEAD")
			for _, text := range []string{"build: 2\n", "build: 3\n"} {
				f.write("engines/2023/SK-07/spec.yaml", text)
				c, err := f.commit(b, "engines/2023/SK-07/spec.yaml")
				require.NoError(t, err)
				assert.Equal(t, []string{parent}, c.Parents)
				assert.Equal(t, c.Hash, f.git("rev-parse", "HEAD"))
				assert.Contains(t, f.git("reflog", "-1", "--format=%gs"), "measured")
				data, err := b.At(c).Read("engines/2023/SK-07/spec.yaml")
				require.NoError(t, err)
				assert.Equal(t, text, string(data))
				parent = c.Hash
			}
			assert.Equal(t, "A  other.yaml", lastLine(f.git("status", "--porcelain=v1", "--", "other.yaml")))
			assert.Equal(t, f.git("log", "--format=%H", "--", "."), hashes(t, b, "."))
			f.sound()
		})
	}
}

// lastLine also leaves out the path from the repository's root to the book.
func lastLine(out string) string {
	return strings.ReplaceAll(out, "shop/skarvik/", "")
}

// hashes gives what Log does, as git log --format=%H prints it.
func hashes(t *testing.T, b *Book, prefix string) string {
	log, err := b.Log(prefix)
	require.NoError(t, err)
	var lines []string
	for _, c := range log {
		lines = append(lines, c.Hash)
	}
	return strings.Join(lines, "\n")
}

// A repository without a commit gets its first; then HEAD is there.
func TestFirstCommit(t *testing.T) {
	t.Parallel()
	f := &fixture{t, filepath.Join(t.TempDir(), "book")}
	require.NoError(t, os.Mkdir(f.root, 0o755))
	f.git("init", "-q", "-b", "main")
	f.write("book.yaml", "format: book/1\n")
	b := f.open()
	_, ok, err := b.Head()
	require.NoError(t, err)
	assert.False(t, ok)
	changes, err := b.Changes(".")
	require.NoError(t, err)
	assert.Equal(t, []Change{{Path: "book.yaml", What: Added}}, changes)

	c, err := f.commit(b, "book.yaml")
	require.NoError(t, err)
	assert.Empty(t, c.Parents)
	assert.Equal(t, c.Hash, f.git("rev-parse", "main"))
	assert.Contains(t, f.git("reflog", "-1"), "commit (initial): measured")
	f.sound()
}

// A bare repository can be read and not written.
func TestBare(t *testing.T) {
	t.Parallel()
	f := newFixture(t)
	bare := filepath.Join(filepath.Dir(f.root), "bare.git")
	f.git("clone", "-q", "--bare", f.root, bare)
	b, err := Find(bare)
	require.NoError(t, err)
	defer b.Close()
	head, ok, err := b.Head()
	require.NoError(t, err)
	require.True(t, ok)
	data, err := b.At(head).Read("engines/2023/SK-07/spec.yaml")
	require.NoError(t, err)
	assert.Equal(t, "engine: SK-07\n", string(data))
	_, err = b.Folder().Read("book.yaml")
	assert.ErrorIs(t, err, fs.ErrNotExist)
	_, err = b.Folder().List(".")
	assert.ErrorIs(t, err, fs.ErrNotExist)
	_, err = b.Commit([]Edit{{Path: "book.yaml"}}, f.options(b))
	assert.ErrorContains(t, err, "bare repository")
}

// Where there is no book, the error says how to make one.
func TestFindNothing(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	_, err := Find(dir)
	require.ErrorIs(t, err, ErrNoBook)
	assert.ErrorContains(t, err, "stackbook begin DIR")

	require.NoError(t, os.WriteFile(filepath.Join(dir, Marker), nil, 0o644))
	_, err = Find(dir)
	require.ErrorIs(t, err, ErrNoBook)
	assert.ErrorContains(t, err, "git init "+dir)

	f := newFixture(t)
	_, err = Open(f.path("engines"))
	assert.ErrorIs(t, err, ErrNoBook)
}

// A repository of a kind we do not know, or that we could only misread, is
// refused by name.
func TestFindRefuses(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct {
		arrange func(f *fixture)
		want    string
	}{
		"unknown extension": {func(f *fixture) {
			f.git("config", "core.repositoryFormatVersion", "1")
			f.git("config", "extensions.refStorage", "reftable")
		}, "extensions.refstorage = reftable"},
		"moved work tree": {func(f *fixture) { f.git("config", "core.worktree", "/elsewhere") }, "core.worktree"},
		".git file that points nowhere": {func(f *fixture) {
			f.remove(".git")
			f.write(".git", "gitdir: /nowhere\n")
		}, "/nowhere, which is not a git repository"},
		".git file without a path": {func(f *fixture) {
			f.remove(".git")
			f.write(".git", "x\n")
		}, `should be a folder or hold the line "gitdir: PATH"`},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			f := newFixture(t)
			c.arrange(f)
			_, err := Open(f.root)
			assert.ErrorContains(t, err, c.want)
		})
	}
}

// Another user's repository is refused as git refuses it, and allowed once
// safe.directory allows it.
func TestOwner(t *testing.T) {
	if os.Geteuid() != 0 { // only root can give a folder away; others look at root's
		assert.False(t, ownedByUser("/"))
		return
	}
	f := newFixture(t)
	require.NoError(t, os.Chown(f.root, 4711, 4711))
	_, err := Open(f.root)
	require.ErrorContains(t, err, "belongs to another user")
	assert.ErrorContains(t, err, "safe.directory")
	t.Setenv("HOME", t.TempDir())
	t.Setenv("XDG_CONFIG_HOME", "")
	f.git("config", "--global", "safe.directory", f.root)
	_, err = Open(f.root)
	assert.NoError(t, err)
}

// A path of the operating system becomes one of the book, through links too,
// and one outside is refused.
func TestRel(t *testing.T) {
	t.Parallel()
	f := newFixture(t)
	b := f.open()
	link := filepath.Join(filepath.Dir(f.root), "link")
	require.NoError(t, os.Symlink(f.root, link))
	for from, want := range map[string]string{
		f.root: ".", f.path("engines/2023"): "engines/2023", f.path("not/there/yet"): "not/there/yet",
		filepath.Join(link, "engines"): "engines", filepath.Join(link, "new"): "new", f.path("engines/../parts"): "parts",
	} {
		got, err := b.Rel(from)
		require.NoError(t, err)
		assert.Equal(t, want, got)
	}
	for _, from := range []string{"/", filepath.Dir(f.root), f.root + "2"} {
		_, err := b.Rel(from)
		assert.ErrorContains(t, err, "outside the book")
	}
}
