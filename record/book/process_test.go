package book

import (
	"bufio"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// otherProcess is what the test program does when it is started as a second
// process: it adds one file after the other to the book in the current
// folder, "NAME COUNT", and says after each that it is committed.
func otherProcess(job string) int {
	if job == "ask" {
		return askAsProcess()
	}
	name, text, _ := strings.Cut(job, " ")
	count, err := strconv.Atoi(text)
	if err != nil {
		return 2
	}
	b, err := Open(".", WithEnv(os.Getenv))
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	if limit := os.Getenv("BOOK_TEST_LIMIT"); limit != "" {
		limitFiles(limit)
	}
	for i := range count {
		p := fmt.Sprintf("engines/2024/%s/changes/%d.yaml", name, i)
		if err := insist(b, []Edit{{Path: p, Data: []byte(p + "\n"), Write: true}}); err != nil {
			fmt.Fprintln(os.Stderr, err)
			return 1
		}
		fmt.Println(p)
	}
	return 0
}

// insist commits, again and again while others are in the way.
func insist(b *Book, edits []Edit) error {
	for {
		head, _, err := b.Head()
		if err != nil {
			return err
		}
		_, err = b.Commit(edits, CommitOptions{Message: "added " + edits[0].Path, Author: km, Expect: head.Hash})
		if !errors.Is(err, ErrMoved) && !errors.Is(err, ErrBusy) {
			return err
		}
	}
}

// limitFiles lets no file of this process grow beyond so many bytes; set where
// the system can do that.
var limitFiles func(bytes string)

// start runs the test program as a second process on the book.
func (f *fixture) start(job string) *exec.Cmd {
	cmd := exec.Command(os.Args[0])
	cmd.Env = append(os.Environ(), "BOOK_TEST_JOB="+job)
	cmd.Dir = f.root
	return cmd
}

// Two benches commit through the tool and one through plain git, all at once:
// every commit that was reported is in the history, none undoes another.
func TestConcurrentWriters(t *testing.T) {
	t.Parallel()
	f := newFixture(t)
	const each = 8
	var group sync.WaitGroup
	for _, name := range []string{"SK-20", "SK-21"} {
		group.Go(func() {
			out, err := f.start(fmt.Sprintf("%s %d", name, each)).CombinedOutput()
			assert.NoError(t, err, string(out))
		})
	}
	group.Go(func() {
		for i := range each {
			p := fmt.Sprintf("engines/2024/SK-22/%d.yaml", i)
			if !assert.NoError(t, os.MkdirAll(filepath.Dir(f.path(p)), 0o755)) ||
				!assert.NoError(t, os.WriteFile(f.path(p), []byte("x\n"), 0o644)) {
				return
			}
			for { // git does not wait for a lock, so a person tries again
				_, err := f.run("add", p)
				if err == nil {
					_, err = f.run("commit", "-qm", p, "--", p)
				}
				if err == nil {
					break
				}
			}
		}
	})
	group.Wait()

	assert.Equal(t, strconv.Itoa(3*each+1), f.git("rev-list", "--count", "HEAD"))
	held := strings.Split(f.git("ls-tree", "-r", "--name-only", "HEAD"), "\n")
	assert.Len(t, held, 3*each+4)
	assert.Empty(t, f.status())
	f.sound()
}

// A process killed at any moment of a commit leaves the book as before or the
// commit whole; whatever it had reported is there, and the next commit goes
// through, past the locks that the dead one left.
func TestKilled(t *testing.T) {
	t.Parallel()
	f := newFixture(t)
	f.write("engines/2024/SK-16/staged.yaml", "staged by hand\n")
	f.git("add", "engines/2024/SK-16/staged.yaml")
	reported := map[string]bool{}
	for i := range 30 {
		cmd := f.start(fmt.Sprintf("SK-%02d 1000", 30+i))
		out, err := cmd.StdoutPipe()
		require.NoError(t, err)
		require.NoError(t, cmd.Start())
		lines := bufio.NewScanner(out)
		require.True(t, lines.Scan(), "the first commit is not reported")
		reported[lines.Text()] = true
		time.Sleep(time.Duration(i) * 1700 * time.Microsecond)
		require.NoError(t, cmd.Process.Kill())
		for lines.Scan() {
			reported[lines.Text()] = true
		}
		require.Error(t, cmd.Wait())
	}
	b := f.open()
	require.NoError(t, insist(b, []Edit{{Path: "engines/2024/SK-16/spec.yaml", Data: []byte("after\n"), Write: true}}))
	removePassing(t, f)

	require.NotEmpty(t, reported)
	held := f.git("ls-tree", "-r", "--name-only", "HEAD")
	for p := range reported {
		assert.Contains(t, held, p)
	}
	assert.Contains(t, f.status(), "A  engines/2024/SK-16/staged.yaml")
	f.sound()
}

// removePassing takes away what a killed process may leave without harm: git
// prunes objects half written, the tool sweeps files half written.
func removePassing(t *testing.T, f *fixture) {
	err := filepath.WalkDir(f.root, func(name string, d os.DirEntry, err error) error {
		base := filepath.Base(name)
		if strings.HasPrefix(base, "tmp_obj_") || strings.HasPrefix(base, tempPrefix) {
			return os.Remove(name)
		}
		return err
	})
	require.NoError(t, err)
}
