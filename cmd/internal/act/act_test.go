package act_test

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"stackbook/cmd/internal/act"
	"stackbook/record/book"
	"stackbook/schema/problem"
)

// made is the demo book the tests copy: making it anew for each would take
// longer than all of them together.
var made string

func TestMain(m *testing.M) {
	os.Exit(func() int {
		dir, err := os.MkdirTemp("", "act-")
		if err != nil {
			panic(err)
		}
		defer os.RemoveAll(dir)
		made = filepath.Join(dir, "book")
		if _, _, err := act.Demo(made, act.DemoOptions{Short: true, Book: []book.Option{book.WithEnv(env)}, Now: now}, func(int, int) {}); err != nil {
			panic(err)
		}
		// One pack is copied faster than all the objects it holds.
		if out, err := exec.Command("git", "-C", made, "gc", "-q").CombinedOutput(); err != nil {
			panic(string(out))
		}
		return m.Run()
	}())
}

func now() time.Time { return time.Date(2026, 3, 2, 10, 0, 0, 0, time.FixedZone("", 3600)) }

// env is the environment of a person who is known to git and has no settings.
func env(name string) string {
	return map[string]string{"GIT_AUTHOR_NAME": "KM", "GIT_AUTHOR_EMAIL": "km@skarvik.example", "GIT_COMMITTER_NAME": "KM",
		"GIT_COMMITTER_EMAIL": "km@skarvik.example", "GIT_CONFIG_NOSYSTEM": "1", "PATH": os.Getenv("PATH")}[name]
}

// bench is a copy of the demo book that a test may alter.
type bench struct {
	*act.Shop
	t   *testing.T
	dir string
}

const engineFolder = "engines/2017/SK-01"

func demoBook(t *testing.T) *bench {
	t.Helper()
	dir := t.TempDir()
	require.NoError(t, os.CopyFS(dir, os.DirFS(made)))
	s, err := act.Open(dir, now, book.WithEnv(env))
	require.NoError(t, err)
	return &bench{s, t, dir}
}

// openBook is the demo book before build 2 was delivered: its records may be
// altered (R18).
func openBook(t *testing.T) *bench {
	b := demoBook(t)
	b.git("tag", "-d", "build/SK-01/2")
	b.git("reset", "-q", "--hard", "HEAD~1")
	return b
}

func (b *bench) path(name string) string { return filepath.Join(b.dir, filepath.FromSlash(name)) }

func (b *bench) read(name string) string {
	b.t.Helper()
	text, err := os.ReadFile(b.path(name))
	require.NoError(b.t, err)
	return string(text)
}

func (b *bench) write(name, text string) {
	b.t.Helper()
	require.NoError(b.t, os.MkdirAll(filepath.Dir(b.path(name)), 0o777))
	require.NoError(b.t, os.WriteFile(b.path(name), []byte(text), 0o666))
}

// edit replaces a text that stands once in a file.
func (b *bench) edit(name, old, new string) {
	b.t.Helper()
	text := b.read(name)
	require.Equal(b.t, 1, strings.Count(text, old), "%q in %s", old, name)
	b.write(name, strings.Replace(text, old, new, 1))
}

func (b *bench) git(args ...string) string {
	b.t.Helper()
	c := exec.Command("git", args...)
	c.Dir = b.dir
	for _, name := range []string{"PATH", "GIT_AUTHOR_NAME", "GIT_AUTHOR_EMAIL", "GIT_COMMITTER_NAME", "GIT_COMMITTER_EMAIL", "GIT_CONFIG_NOSYSTEM"} {
		c.Env = append(c.Env, name+"="+env(name))
	}
	var stderr bytes.Buffer
	c.Stderr = &stderr
	out, err := c.Output()
	require.NoError(b.t, err, stderr.String())
	return strings.TrimSpace(string(out))
}

// check checks the engines named, or the whole book.
func (b *bench) check(numbers ...string) []*act.Checked {
	b.t.Helper()
	checked, err := b.Check(numbers, func(string, int, int) {})
	require.NoError(b.t, err)
	return checked
}

// problems are all that check finds, a line each.
func (b *bench) problems(numbers ...string) []string {
	b.t.Helper()
	var lines []string
	for _, c := range b.check(numbers...) {
		lines = append(lines, told(c.Problems)...)
	}
	return lines
}

func told(list problem.List) []string {
	var lines []string
	for _, p := range list {
		lines = append(lines, p.String())
	}
	return lines
}

// refused wants a commit to be refused with problems, and gives them.
func (b *bench) refused(message string) []string {
	b.t.Helper()
	head := b.git("rev-parse", "HEAD")
	_, err := b.Commit("SK-01", act.CommitOptions{Message: message})
	var list problem.List
	require.ErrorAs(b.t, err, &list)
	require.Equal(b.t, head, b.git("rev-parse", "HEAD"))
	return told(list)
}

func (b *bench) commit(message string) *act.Committed {
	b.t.Helper()
	done, err := b.Commit("SK-01", act.CommitOptions{Message: message})
	require.NoError(b.t, err)
	return done
}

// short is the commit a revision names, as it is shown.
func (b *bench) short(rev string) string { return fmt.Sprintf("%.10s", b.git("rev-parse", rev)) }
