package book

import (
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// handed are the cases that only the git program can commit: what brings each
// about, and a look at the commit that shows git was at work.
var handed = map[string]struct {
	arrange func(f *fixture)
	look    func(t *testing.T, f *fixture)
}{
	"hooks": {func(f *fixture) {
		f.hook("pre-commit", "git diff --cached --name-only >"+f.path(".git/seen"))
		f.hook("commit-msg", "echo 'checked by hook' >>\"$1\"")
	}, func(t *testing.T, f *fixture) {
		assert.Contains(t, f.git("log", "-1", "--format=%B"), "checked by hook")
		assert.Equal(t, "engines/2023/SK-07/new file.yaml\nengines/2023/SK-07/spec.yaml\nengines/2024/SK-16/spec.yaml\n", f.read(".git/seen"))
	}},
	"hooks elsewhere": {func(f *fixture) {
		f.hook("post-commit", "echo ran >"+f.path(".git/seen"))
		require.NoError(f.t, os.Rename(f.path(".git/hooks"), f.path(".git/ours")))
		f.git("config", "core.hooksPath", ".git/ours")
	}, func(t *testing.T, f *fixture) { assert.Equal(t, "ran\n", f.read(".git/seen")) }},
	"signature": {func(f *fixture) {
		f.write(".git/sign", "#!/bin/sh\ncat >/dev/null\necho '[GNUPG:] SIG_CREATED ' >&2\necho 'a signature'\n")
		require.NoError(f.t, os.Chmod(f.path(".git/sign"), 0o755))
		f.git("config", "gpg.program", f.path(".git/sign"))
		f.git("config", "commit.gpgSign", "true")
	}, func(t *testing.T, f *fixture) {
		assert.Contains(t, f.git("cat-file", "-p", "HEAD"), "gpgsig a signature")
	}},
	"line ends by attribute": {func(f *fixture) { f.write(".git/info/attributes", "*.yaml text\n") }, asLF},
	"line ends by setting":   {func(f *fixture) { f.git("config", "core.autocrlf", "input") }, asLF},
	"filter": {func(f *fixture) {
		f.write(".git/info/attributes", "spec.yaml filter=lower\n")
		f.git("config", "filter.lower.clean", "tr A-Z a-z")
	}, func(t *testing.T, f *fixture) {
		assert.Equal(t, "engine: sk-07\r\nbuild: 2\r", f.git("cat-file", "-p", "HEAD:engines/2023/SK-07/spec.yaml"))
	}},
	"split index": {func(f *fixture) { f.git("update-index", "--split-index") }, nil},
	"encoding": {func(f *fixture) { f.git("config", "i18n.commitEncoding", "ISO-8859-1") }, func(t *testing.T, f *fixture) {
		assert.Contains(t, f.git("cat-file", "-p", "HEAD"), "encoding ISO-8859-1")
	}},
	"shared repository": {func(f *fixture) { f.git("config", "core.sharedRepository", "group") }, nil},
}

func asLF(t *testing.T, f *fixture) {
	assert.Equal(t, "engine: SK-07\nbuild: 2", f.git("cat-file", "-p", "HEAD:engines/2023/SK-07/spec.yaml"))
}

// hook writes an executable hook.
func (f *fixture) hook(name, line string) {
	f.t.Helper()
	f.write(".git/hooks/"+name, "#!/bin/sh\n"+line+"\n")
	require.NoError(f.t, os.Chmod(f.path(".git/hooks/"+name), 0o755))
}

// threeEdits are a changed file, a new one that the tool writes, and one gone.
func (f *fixture) threeEdits() []Edit {
	f.write("engines/2023/SK-07/spec.yaml", "engine: SK-07\r\nbuild: 2\r\n")
	f.remove("engines/2024/SK-16/spec.yaml")
	edits := f.edits("engines/2023/SK-07/spec.yaml", "engines/2024/SK-16/spec.yaml")
	return append(edits, Edit{Path: "engines/2023/SK-07/new file.yaml", Data: []byte("figures\n"), Write: true})
}

// Where only git can do it right, git makes the commit, with the author and
// the dates given, and other staged work stays as it was.
func TestHandedOver(t *testing.T) {
	t.Parallel()
	for name, c := range handed {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			f := newFixture(t)
			c.arrange(f)
			f.write("engines/other.yaml", "staged by hand\n")
			f.git("add", "engines/other.yaml")
			b := f.open()
			edits := f.threeEdits()
			opts := f.options(b)
			opts.Author.Name = "N B"
			opts.Author.When = km.When.AddDate(0, 0, -1)
			opts.Committer = km
			got, err := b.Commit(edits, opts)
			require.NoError(t, err)
			assert.Equal(t, got.Hash, f.git("rev-parse", "HEAD"))
			assert.Equal(t, "N B 2024-03-01T09:30:00+01:00 K M 2024-03-02T09:30:00+01:00", f.git("log", "-1", "--format=%an %aI %cn %cI"))
			assert.Equal(t, "D\tengines/2024/SK-16/spec.yaml", f.git("diff", "--name-status", "--diff-filter=D", "HEAD~", "HEAD"))
			assert.Contains(t, f.git("diff", "--name-only", "HEAD~", "HEAD"), "new file.yaml")
			assert.Equal(t, "A  engines/other.yaml", f.status())
			if c.look != nil {
				c.look(t, f)
			}
			_, err = b.Commit([]Edit{{Path: "book.yaml", Data: []byte("format: book/1\n")}}, f.options(b))
			assert.ErrorIs(t, err, ErrNothing)
			f.sound()
		})
	}
}

// Attributes that forbid conversion keep the commit here, and the bytes as
// they are, under any setting (R14); so does a file that only seems one.
func TestBytesAreBytes(t *testing.T) {
	t.Parallel()
	f := newFixture(t)
	f.git("config", "core.autocrlf", "true")
	f.write(".gitattributes", "# text\n* -text\nfigures.yaml merge=union\n")
	b := f.open()
	p, err := b.plan(f.threeEdits(), f.options(b))
	require.NoError(t, err)
	reason, err := p.needsGit()
	require.NoError(t, err)
	assert.Empty(t, reason)
	_, err = b.Commit(f.threeEdits(), f.options(b))
	require.NoError(t, err)
	assert.Equal(t, "engine: SK-07\r\nbuild: 2\r", f.git("cat-file", "-p", "HEAD:engines/2023/SK-07/spec.yaml"))
	assert.Equal(t, "?? .gitattributes", f.status())
	f.sound()
}

// The attributes of a file that was removed from the folder still count, as
// they do for git.
func TestStagedAttributes(t *testing.T) {
	t.Parallel()
	f := newFixture(t)
	f.write(".gitattributes", "*.yaml text\n")
	f.git("add", ".gitattributes")
	f.remove(".gitattributes")
	b := f.open()
	_, err := b.Commit(f.threeEdits(), f.options(b))
	require.NoError(t, err)
	asLF(t, f)
	f.sound()
}

// A hook says no: nothing is committed, and folder and index are as before.
func TestHookRefuses(t *testing.T) {
	t.Parallel()
	f := newFixture(t)
	f.hook("pre-commit", "echo 'not on a Sunday' >&2; exit 1")
	b := f.open()
	edits := f.threeEdits()
	edits = append(edits, Edit{Path: "book.yaml", Data: []byte("format: book/2\n"), Write: true})
	head, status := f.git("rev-parse", "HEAD"), f.status()
	_, err := b.Commit(edits, f.options(b))
	require.ErrorContains(t, err, "not on a Sunday")
	assert.Equal(t, head, f.git("rev-parse", "HEAD"))
	assert.Equal(t, status, f.status())
	assert.Equal(t, "format: book/1\n", f.read("book.yaml"))
	f.sound()
}

// A file that changes between being read and being handed over is an error:
// git would commit something that was never checked.
func TestHandedOverChanged(t *testing.T) {
	t.Parallel()
	f := newFixture(t)
	f.hook("pre-commit", "exit 0")
	b := f.open()
	edits := f.threeEdits()
	f.write(edits[0].Path, "engine: SK-08\n")
	_, err := b.Commit(edits, f.options(b))
	assert.ErrorContains(t, err, "changed meanwhile")
	f.sound()
}

// Without the git program a book without special wishes is committed all the
// same; where git is needed, the error says so.
func TestWithoutGit(t *testing.T) {
	f := newFixture(t)
	edits := f.threeEdits()
	hooked := newFixture(t)
	hooked.hook("pre-commit", "exit 0")
	hookedEdits := hooked.threeEdits()
	path := os.Getenv("PATH")
	t.Setenv("PATH", t.TempDir())

	b := f.open()
	_, err := b.Commit(edits, f.options(b))
	require.NoError(t, err)
	other := hooked.open()
	_, err = other.Commit(hookedEdits, hooked.options(other))
	require.ErrorContains(t, err, "git program is needed")
	_, err = b.Resolve("HEAD~1")
	require.ErrorContains(t, err, "git program is needed")

	t.Setenv("PATH", path)
	assert.Empty(t, f.status())
	assert.False(t, strings.Contains(hooked.status(), "new file.yaml"))
	f.sound()
	hooked.sound()
}
