package book

import (
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"github.com/stretchr/testify/require"
)

// links is what these tests tell git.
var links = Links{
	Hooks:      map[string]string{"pre-commit": "echo ours >>ran\n", "commit-msg": "exit 0\n"},
	Attributes: "/engines/*/*/spec.yaml diff=stackbook\n",
	Config:     "[diff \"stackbook\"]\n\ttextconv = \"tr a-z A-Z <\"\n",
}

// place puts a hook of the person's own in place.
func (f *fixture) place(name, text string) {
	f.t.Helper()
	require.NoError(f.t, os.MkdirAll(filepath.Dir(f.path(name)), 0o755))
	syscall.ForkLock.RLock() // no other test's child may hold it while git runs it
	defer syscall.ForkLock.RUnlock()
	require.NoError(f.t, os.WriteFile(f.path(name), []byte(text), 0o755))
}

// gitFiles gives every file of git's that link may touch, with its mode.
func (f *fixture) gitFiles(dirs ...string) map[string]string {
	f.t.Helper()
	found := map[string]string{}
	for _, dir := range append(dirs, ".git/hooks", ".git/info") {
		entries, err := os.ReadDir(f.path(dir))
		require.NoError(f.t, err)
		for _, e := range entries {
			info, err := e.Info()
			require.NoError(f.t, err)
			if target, err := os.Readlink(filepath.Join(f.path(dir), e.Name())); err == nil {
				found[dir+"/"+e.Name()] = "-> " + target
				continue
			}
			found[dir+"/"+e.Name()] = info.Mode().String() + " " + f.read(dir+"/"+e.Name())
		}
	}
	found[".git/config"] = f.read(".git/config")
	return found
}

// R8: linking disturbs nothing that stands there, a second time changes nothing,
// and unlinking brings every byte and mode back.
func TestUnlinkBringsBackEveryByte(t *testing.T) {
	t.Parallel()
	for name, prepare := range map[string]func(f *fixture){
		"nothing there": func(f *fixture) {
			require.NoError(f.t, os.RemoveAll(f.path(".git/hooks")))
			f.remove(".git/info/attributes")
		},
		"own hooks":         func(f *fixture) { f.place(".git/hooks/pre-commit", "#!/bin/sh\necho own >>ran\n") },
		"own binary hook":   func(f *fixture) { f.place(".git/hooks/commit-msg", "\x7fELF\x00\xff") },
		"hook switched off": func(f *fixture) { f.write(".git/hooks/pre-commit", "#!/bin/sh\nexit 1\n") },
		"hook is a link":    func(f *fixture) { f.place("own", "#!/bin/sh\n"); f.link("../../own", ".git/hooks/pre-commit") },
		"own attributes":    func(f *fixture) { f.write(".git/info/attributes", "*.txt diff=other") },
		"empty attributes":  func(f *fixture) { f.write(".git/info/attributes", "") },
		"byte order mark":   func(f *fixture) { f.write(".git/info/attributes", "\ufeff*.x binary\r\n") },
		"config without end": func(f *fixture) {
			f.write(".git/config", strings.TrimRight(f.read(".git/config"), "\n")+"\n[shop]\r\n\tname = Skarvik ; town")
		},
		"config for one's own eyes": func(f *fixture) { require.NoError(f.t, os.Chmod(f.path(".git/config"), 0o600)) },
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			f := newFixture(t)
			prepare(f)
			require.NoError(t, os.MkdirAll(f.path(".git/hooks"), 0o755))
			require.NoError(t, os.MkdirAll(f.path(".git/info"), 0o755))
			before := f.gitFiles()
			b := f.open()
			done, err := b.Link(links)
			require.NoError(t, err)
			require.ElementsMatch(t, []string{".git/config", ".git/info/attributes", ".git/hooks/pre-commit", ".git/hooks/commit-msg"}, done.Written)
			linked := f.gitFiles()
			require.Equal(t, "diff: stackbook", strings.TrimPrefix(f.git("check-attr", "diff", "engines/2023/SK-07/spec.yaml"), "engines/2023/SK-07/spec.yaml: "), name)
			require.NotEmpty(t, f.git("config", "diff.stackbook.textconv"))
			done, err = b.Link(links)
			require.NoError(t, err)
			require.Empty(t, done.Written, "linking twice is linking once")
			require.Equal(t, linked, f.gitFiles())
			done, err = b.Unlink()
			require.NoError(t, err)
			require.Empty(t, done.Left)
			require.Equal(t, before, f.gitFiles())
			done, err = b.Unlink()
			require.NoError(t, err)
			require.Empty(t, done.Written)
			require.Equal(t, before, f.gitFiles())
			f.sound()
		})
	}
}

func (f *fixture) link(target, name string) {
	f.t.Helper()
	require.NoError(f.t, os.Symlink(target, f.path(name)))
}

// A person's own lines in the same files count more than ours.
func TestOwnAttributesWin(t *testing.T) {
	t.Parallel()
	f := newFixture(t)
	f.write(".git/info/attributes", "*.yaml diff=other\n")
	_, err := f.open().Link(links)
	require.NoError(t, err)
	require.Contains(t, f.git("check-attr", "diff", "engines/2023/SK-07/spec.yaml"), "diff: other")
}

// A person's own hook runs before ours, and where it refuses, ours never runs.
func TestOwnHookRunsFirst(t *testing.T) {
	t.Parallel()
	f := newFixture(t)
	f.place(".git/hooks/pre-commit", "#!/bin/sh\necho own >>ran\ntest ! -e refuse\n")
	done, err := f.open().Link(links)
	require.NoError(t, err)
	require.Equal(t, []string{".git/hooks/pre-commit.before-stackbook"}, done.Kept)
	f.git("commit", "-q", "--allow-empty", "-m", "both")
	require.Equal(t, "own\nours\n", f.read("ran"))
	f.write("refuse", "")
	_, err = f.run("commit", "-q", "--allow-empty", "-m", "refused")
	require.Error(t, err)
	require.Equal(t, "own\nours\nown\n", f.read("ran"))
}

// Hooks go where git looks for them.
func TestLinkGoesWhereHooksAre(t *testing.T) {
	t.Parallel()
	outside := filepath.Join(t.TempDir(), "hooks")
	for name, c := range map[string]struct{ path, folder, shared string }{
		"in the work tree":       {".githooks", ".githooks", ""},
		"outside the repository": {outside, outside, outside},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			f := newFixture(t)
			f.git("config", "core.hooksPath", c.path)
			b := f.open()
			done, err := b.Link(links)
			require.NoError(t, err)
			require.Equal(t, c.shared, done.Shared)
			require.Contains(t, done.Written, c.folder+"/pre-commit")
			f.git("commit", "-q", "--allow-empty", "-m", "hooked")
			require.Equal(t, "ours\n", f.read("ran"))
			_, err = b.Unlink()
			require.NoError(t, err)
			f.git("commit", "-q", "--allow-empty", "-m", "free")
			require.Equal(t, "ours\n", f.read("ran"))
		})
	}
}

// What somebody changed in a hook of ours, or put in its place, is never lost.
func TestChangedHooksAreLeft(t *testing.T) {
	t.Parallel()
	f := newFixture(t)
	f.place(".git/hooks/pre-commit", "#!/bin/sh\n# own\n")
	b := f.open()
	_, err := b.Link(links)
	require.NoError(t, err)
	changed := f.read(".git/hooks/pre-commit") + "echo added\n"
	f.place(".git/hooks/pre-commit", changed)
	_, err = b.Link(links)
	require.ErrorContains(t, err, "was changed since")
	done, err := b.Unlink()
	require.NoError(t, err)
	require.Equal(t, []string{".git/hooks/pre-commit"}, done.Left)
	require.Equal(t, changed, f.read(".git/hooks/pre-commit"))
	require.Equal(t, "#!/bin/sh\n# own\n", f.read(".git/hooks/pre-commit.before-stackbook"))

	f.place(".git/hooks/pre-commit", "#!/bin/sh\n# another\n")
	before := f.gitFiles()
	_, err = b.Link(links)
	require.ErrorContains(t, err, "keep one of them")
	require.Equal(t, before, f.gitFiles(), "nothing is written where one part cannot be")
}

// A block that has lost its end is never guessed at.
func TestBrokenBlockIsRefused(t *testing.T) {
	t.Parallel()
	f := newFixture(t)
	b := f.open()
	_, err := b.Link(links)
	require.NoError(t, err)
	broken := strings.Replace(f.read(".git/config"), blockEnd, "", 1)
	f.write(".git/config", broken)
	for _, do := range []func() (Linked, error){b.Unlink, func() (Linked, error) { return b.Link(links) }} {
		_, err = do()
		require.ErrorContains(t, err, "lost its last line")
		require.Equal(t, broken, f.read(".git/config"))
	}
}

// Our own commit does what our hook would do, and so goes its own way beside it;
// any hook of the person's own sends it to the git program.
func TestOwnCommitNeedsNoHookOfOurs(t *testing.T) {
	t.Parallel()
	f := newFixture(t)
	b := f.open()
	_, err := b.Link(links)
	require.NoError(t, err)
	f.write("engines/2023/SK-07/spec.yaml", "engine: SK-07\nbuild: 2\n")
	_, err = f.commit(b, "engines/2023/SK-07/spec.yaml")
	require.NoError(t, err)
	require.NoFileExists(t, f.path("ran"))
	_, err = b.Unlink()
	require.NoError(t, err)
	f.place(".git/hooks/pre-commit", "#!/bin/sh\necho own >>ran\n")
	_, err = b.Link(links)
	require.NoError(t, err)
	f.write("engines/2023/SK-07/spec.yaml", "engine: SK-07\nbuild: 3\n")
	_, err = f.commit(b, "engines/2023/SK-07/spec.yaml")
	require.NoError(t, err)
	require.Equal(t, "own\nours\n", f.read("ran"))
	require.Equal(t, "?? ran", f.status())
	f.sound()
}

// In a linked work tree the hooks and settings are those of the repository.
func TestLinkFromALinkedWorkTree(t *testing.T) {
	t.Parallel()
	f := newFixture(t)
	tree := filepath.Join(t.TempDir(), "bench")
	f.git("worktree", "add", "-q", tree)
	b, err := Open(tree)
	require.NoError(t, err)
	defer b.Close()
	_, err = b.Link(links)
	require.NoError(t, err)
	f.git("commit", "-q", "--allow-empty", "-m", "hooked")
	require.Equal(t, "ours\n", f.read("ran"))
	_, err = f.open().Unlink()
	require.NoError(t, err)
	require.NotContains(t, f.read(".git/config"), "stackbook")
}

// Of two books in one repository, the second never takes the first one's place.
func TestOneBookOfARepositoryIsLinked(t *testing.T) {
	t.Parallel()
	f := newFixture(t)
	f.write("shop/book.yaml", "format: book/1\n")
	second := (&fixture{t, f.path("shop")}).open()
	_, err := f.open().Link(links)
	require.NoError(t, err)
	linked := f.gitFiles()
	_, err = second.Link(links)
	require.ErrorContains(t, err, "another book of this repository, in /,")
	require.Equal(t, linked, f.gitFiles())
	_, err = second.Unlink()
	require.NoError(t, err)
	_, err = second.Link(links)
	require.NoError(t, err)
	_, err = f.open().Link(links)
	require.ErrorContains(t, err, "in /shop/,")
}

func TestLinkNeedsAFolder(t *testing.T) {
	t.Parallel()
	f := newFixture(t)
	bare := filepath.Join(t.TempDir(), "bare.git")
	f.git("clone", "-q", "--bare", ".", bare)
	b, err := Open(bare)
	require.NoError(t, err)
	defer b.Close()
	_, err = b.Link(links)
	require.ErrorContains(t, err, "bare repository")
	_, err = b.Unlink()
	require.ErrorContains(t, err, "bare repository")
}
