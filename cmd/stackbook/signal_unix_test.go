//go:build unix

package main

import (
	"errors"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// bench is a folder in which the program is started and interrupted.
type bench struct {
	t   *testing.T
	dir string
	env []string
	rng *rand.Rand
}

func newBench(t *testing.T) *bench {
	t.Helper()
	home := t.TempDir()
	config := "[user]\n\tname = KM\n\temail = km@skarvik.example\n[gc]\n\tauto = 0\n"
	require.NoError(t, os.WriteFile(filepath.Join(home, ".gitconfig"), []byte(config), 0o666))
	env := append(os.Environ(), "HOME="+home, "XDG_CONFIG_HOME="+home, "GIT_CONFIG_NOSYSTEM=1")
	return &bench{t, t.TempDir(), env, rand.New(rand.NewPCG(1, 2))}
}

// command is the program as it is, with its own main, in a folder of the bench.
func (b *bench) command(in, name string, args ...string) *exec.Cmd {
	cmd := exec.Command(name, args...)
	cmd.Dir, cmd.Env = filepath.Join(b.dir, in), b.env
	return cmd
}

func (b *bench) git(in string, args ...string) string {
	b.t.Helper()
	out, err := b.command(in, "git", args...).CombinedOutput()
	require.NoError(b.t, err, "git %s: %s", args, out)
	return string(out)
}

// run runs the program to its end and tells how long it took.
func (b *bench) run(in string, args ...string) time.Duration {
	b.t.Helper()
	begun := time.Now()
	out, err := b.command(in, "interruptible", args...).CombinedOutput()
	require.NoError(b.t, err, string(out))
	return time.Since(begun)
}

var ends = []syscall.Signal{syscall.SIGINT, syscall.SIGTERM, syscall.SIGHUP}

// interrupt runs the program and sends it a signal within the time it may take.
// It ends with 130, or is done before; or the signal comes before it is heeded.
func (b *bench) interrupt(round int, within time.Duration, in string, args ...string) {
	b.t.Helper()
	cmd := b.command(in, "interruptible", args...)
	var out strings.Builder
	cmd.Stdout, cmd.Stderr = &out, &out
	require.NoError(b.t, cmd.Start())
	time.Sleep(time.Duration(b.rng.Int64N(int64(within))))
	sent := ends[round%len(ends)]
	if err := cmd.Process.Signal(sent); !errors.Is(err, os.ErrProcessDone) {
		require.NoError(b.t, err)
	}
	_ = cmd.Wait()
	state := cmd.ProcessState.Sys().(syscall.WaitStatus)
	early := state.Signaled() && state.Signal() == sent
	require.True(b.t, early || state.ExitStatus() == 0 || state.ExitStatus() == 130, "%v: %s", cmd.ProcessState, out.String())
}

// ours are the beginnings of the names of what the tool makes in passing.
var ours = []string{"stackbook-lock-", ".stackbook-", "tmp_obj_"}

// tidy is what holds after every interruption: no lock, nothing half written,
// and a sound repository.
func (b *bench) tidy(in string, passing ...string) {
	b.t.Helper()
	err := filepath.WalkDir(filepath.Join(b.dir, in), func(name string, d fs.DirEntry, err error) error {
		base := filepath.Base(name)
		for _, bad := range passing {
			require.False(b.t, strings.HasPrefix(base, bad), "left behind: %s", name)
		}
		require.False(b.t, strings.HasSuffix(base, ".lock"), "left behind: %s", name)
		return err
	})
	require.NoError(b.t, err)
	b.git(in, "fsck", "--strict", "--no-dangling")
}

// A commit that a signal meets at any moment is whole or absent, by the tool's
// own hand and by git's (R23).
func TestCommitInterrupted(t *testing.T) {
	t.Parallel()
	for name, hook := range map[string]string{"itself": "", "by git": "#!/bin/sh\nsleep 0.1\n"} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			b := newBench(t)
			b.run(".", "demo", "--short", "book")
			b.git("book", "tag", "-d", "build/SK-01/2") // a delivered build takes no new reading (R18)
			b.git("book", "reset", "-q", "--hard", "HEAD~1")
			require.NoError(t, os.Remove(filepath.Join(b.dir, "book", "SK-01-rebuild.html")))
			if hook != "" {
				require.NoError(t, os.WriteFile(filepath.Join(b.dir, "book", ".git", "hooks", "pre-commit"), []byte(hook), 0o777))
			}
			session := "engines/2017/SK-01/measurements/2019-08-19-mock-up-KM.yaml"
			file := filepath.Join(b.dir, "book", filepath.FromSlash(session))
			text, err := os.ReadFile(file)
			require.NoError(t, err)
			write := func(round int) {
				next := strings.Replace(string(text), "housing/2/at/C: 78.008", fmt.Sprintf("housing/2/at/C: 78.%03d", round), 1)
				require.NotEqual(t, string(text), next)
				require.NoError(t, os.WriteFile(file, []byte(next), 0o666))
			}
			write(100)
			within := b.run("book", "commit", "SK-01", "-m", "undisturbed")
			for round := range 16 {
				write(round + 10)
				before := b.git("book", "rev-parse", "HEAD")
				b.interrupt(round, within*5/4, "book", "commit", "SK-01", "-m", "measured")
				if hook == "" {
					b.tidy("book", ours...)
				} else {
					b.tidy("book", ours[:2]...) // an object half written is git's own, for git to prune
				}
				status := b.git("book", "status", "--porcelain")
				if b.git("book", "rev-parse", "HEAD") == before {
					require.Equal(t, " M "+session+"\n", status)
				} else {
					require.Empty(t, status)
					require.Equal(t, before, b.git("book", "rev-parse", "HEAD~"))
					require.Contains(t, b.git("book", "reflog", "-1"), "measured")
				}
			}
		})
	}
}

// A hook that does not end keeps nobody waiting for long, and leaves the book
// as it was.
func TestHookInterrupted(t *testing.T) {
	t.Parallel()
	b := newBench(t)
	b.run(".", "demo", "--short", "book")
	hook := filepath.Join(b.dir, "book", ".git", "hooks", "pre-commit")
	require.NoError(t, os.WriteFile(hook, []byte("#!/bin/sh\n: >began\nexec sleep 20\n"), 0o777))
	note := filepath.Join(b.dir, "book", "engines", "2017", "SK-01", "changes", "2020-01-02-note.yaml")
	text := "format: change/1\nengine: SK-01\nbuild: 2\ndate: 2020-01-02\nkind: note\nby: KM\nwhat: heard from\n"
	require.NoError(t, os.WriteFile(note, []byte(text), 0o666))
	before := b.git("book", "status", "--porcelain") + b.git("book", "rev-parse", "HEAD")
	cmd := b.command("book", "interruptible", "commit", "SK-01", "-m", "heard from")
	begun := time.Now()
	require.NoError(t, cmd.Start())
	require.Eventually(t, func() bool { return b.there("book/began") }, 10*time.Second, 5*time.Millisecond)
	require.NoError(t, cmd.Process.Signal(syscall.SIGTERM))
	_ = cmd.Wait()
	assert.Equal(t, 130, cmd.ProcessState.ExitCode())
	assert.Less(t, time.Since(begun), 15*time.Second)
	require.NoError(t, os.Remove(filepath.Join(b.dir, "book", "began")))
	b.tidy("book", ours...)
	assert.Equal(t, before, b.git("book", "status", "--porcelain")+b.git("book", "rev-parse", "HEAD"))
}

// A book that was being begun is there with its first commit, or not at all;
// of an example, as many commits as were done; of an engine, its spec or
// nothing.
func TestBeginInterrupted(t *testing.T) {
	t.Parallel()
	b := newBench(t)
	begin := b.run(".", "begin", "first", "--shop", "Skarvik Rotary")
	enrol := b.run("first", "enrol", "SK-01", "--rotors", "2", "--title", "x")
	demo := b.run(".", "demo", "--short", "whole")
	for round := range 6 {
		book := fmt.Sprint("book-", round)
		b.interrupt(round, begin, ".", "begin", book, "--shop", "Skarvik Rotary")
		if b.there(book) {
			b.tidy(book, ours...)
			assert.Empty(t, b.git(book, "status", "--porcelain"))
		}
		number := fmt.Sprintf("SK-%d", round+10)
		b.interrupt(round, enrol, "first", "enrol", number, "--rotors", "2", "--title", "x")
		b.tidy("first", ours...)
		folder := filepath.Join("first", "engines", time.Now().Format("2006"), number)
		assert.Equal(t, b.there(folder), b.there(filepath.Join(folder, "spec.yaml")))

		example := fmt.Sprint("demo-", round)
		b.interrupt(round, demo, ".", "demo", "--short", example)
		if b.there(example) {
			b.tidy(example, ours...)
			b.git(example, "rev-parse", "--verify", "HEAD")
			assert.NotContains(t, b.git(example, "diff", "--name-only", "--cached"), "yaml")
		}
	}
}

func (b *bench) there(name string) bool {
	_, err := os.Lstat(filepath.Join(b.dir, name))
	return err == nil
}

// A hangup that is ignored when the program starts stays ignored: nohup works.
func TestHangupStaysIgnored(t *testing.T) {
	t.Parallel()
	b := newBench(t)
	cmd := b.command(".", "sh", "-c", `trap "" HUP; interruptible demo book & sleep 0.2; kill -HUP $!; wait $!`)
	out, err := cmd.CombinedOutput()
	require.NoError(t, err, string(out))
	b.tidy("book", ours...)
}
