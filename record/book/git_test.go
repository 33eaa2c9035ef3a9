package book

import (
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// fixture is a repository made and judged by plain git.
type fixture struct {
	t    *testing.T
	root string
}

// km is who commits in these tests, at a fixed time in a fixed zone.
var km = Signature{"K M", "km@skarvik.example", time.Date(2024, 3, 2, 9, 30, 0, 0, time.FixedZone("", 3600))}

// TestMain keeps the settings of the machine's user away from git, and lets
// the test program serve as the other process that some tests need.
func TestMain(m *testing.M) {
	if job := os.Getenv("BOOK_TEST_JOB"); job != "" {
		os.Exit(otherProcess(job))
	}
	home, err := os.MkdirTemp("", "book-home-")
	if err != nil {
		panic(err)
	}
	for key, value := range map[string]string{
		"HOME": home, "XDG_CONFIG_HOME": filepath.Join(home, ".config"), "GIT_CONFIG_NOSYSTEM": "1",
		"GIT_AUTHOR_DATE": "@1709368200 +0100", "GIT_COMMITTER_DATE": "@1709368200 +0100",
		"GIT_AUTHOR_NAME": km.Name, "GIT_COMMITTER_NAME": km.Name,
		"GIT_AUTHOR_EMAIL": km.Email, "GIT_COMMITTER_EMAIL": km.Email,
	} {
		os.Setenv(key, value)
	}
	status := m.Run()
	os.RemoveAll(home)
	os.Exit(status)
}

// newFixture makes a repository with a book.yaml and two engines, committed.
func newFixture(t *testing.T, initArgs ...string) *fixture {
	t.Helper()
	f := &fixture{t, filepath.Join(t.TempDir(), "book")}
	require.NoError(t, os.Mkdir(f.root, 0o755))
	f.git(append([]string{"init", "-q", "-b", "main"}, initArgs...)...)
	f.write("book.yaml", "format: book/1\n")
	f.write("engines/2023/SK-07/spec.yaml", "engine: SK-07\n")
	f.write("engines/2023/SK-07/measurements/2024-03-02-mock-up-KM.yaml", "stage: mock-up\n")
	f.write("engines/2024/SK-16/spec.yaml", "engine: SK-16\n")
	f.git("add", ".")
	f.git("commit", "-qm", "begin")
	return f
}

// run runs git in the folder and gives output and error.
func (f *fixture) run(args ...string) (string, error) {
	out, err := f.command(args...).CombinedOutput()
	return string(out), err
}

func (f *fixture) command(args ...string) *exec.Cmd {
	cmd := exec.Command("git", args...)
	cmd.Dir = f.root
	return cmd
}

func (f *fixture) git(args ...string) string {
	f.t.Helper()
	out, err := f.run(args...)
	require.NoError(f.t, err, "git %s: %s", strings.Join(args, " "), out)
	return strings.TrimSuffix(out, "\n")
}

func (f *fixture) path(p string) string { return filepath.Join(f.root, filepath.FromSlash(p)) }

func (f *fixture) write(p, text string) {
	f.t.Helper()
	require.NoError(f.t, os.MkdirAll(filepath.Dir(f.path(p)), 0o755))
	require.NoError(f.t, os.WriteFile(f.path(p), []byte(text), 0o644))
}

func (f *fixture) read(p string) string {
	f.t.Helper()
	text, err := os.ReadFile(f.path(p))
	require.NoError(f.t, err)
	return string(text)
}

func (f *fixture) remove(p string) {
	f.t.Helper()
	if err := os.RemoveAll(f.path(p)); !errors.Is(err, syscall.ENOTDIR) {
		require.NoError(f.t, err)
	}
}

// files gives the paths of all files and folders, git's own left out.
func (f *fixture) files() []string {
	var paths []string
	err := filepath.WalkDir(f.root, func(name string, d os.DirEntry, err error) error {
		if d.Name() == ".git" {
			return filepath.SkipDir
		}
		paths = append(paths, name)
		return err
	})
	require.NoError(f.t, err)
	return paths
}

func (f *fixture) open() *Book {
	f.t.Helper()
	b, err := Open(f.root, WithEnv(os.Getenv))
	require.NoError(f.t, err)
	f.t.Cleanup(func() { b.Close() })
	return b
}

func (f *fixture) status() string {
	f.t.Helper()
	return f.git("status", "--porcelain=v1", "--untracked-files=all")
}

// sound is the integrity check that every writing test ends with: git finds
// nothing wrong, and no lock or passing file is left anywhere.
func (f *fixture) sound() {
	f.t.Helper()
	f.git("fsck", "--strict", "--no-dangling")
	err := filepath.WalkDir(f.root, func(name string, d os.DirEntry, err error) error {
		base := filepath.Base(name)
		for _, bad := range []string{markerPrefix, tempPrefix, "tmp_obj_"} {
			require.False(f.t, strings.HasPrefix(base, bad), "left behind: %s", name)
		}
		require.False(f.t, strings.HasSuffix(base, ".lock"), "left behind: %s", name)
		return err
	})
	require.NoError(f.t, err)
}

// commit commits what the folder holds at the paths, or no longer holds.
func (f *fixture) commit(b *Book, paths ...string) (Commit, error) {
	f.t.Helper()
	return b.Commit(f.edits(paths...), f.options(b))
}

func (f *fixture) edits(paths ...string) []Edit {
	var edits []Edit
	for _, p := range paths {
		data, err := os.ReadFile(f.path(p))
		edits = append(edits, Edit{Path: p, Data: data, Delete: err != nil})
	}
	return edits
}

func (f *fixture) options(b *Book) CommitOptions {
	head, _, err := b.Head()
	require.NoError(f.t, err)
	return CommitOptions{Message: "measured", Author: km, Expect: head.Hash}
}
