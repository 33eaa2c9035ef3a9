package act_test

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"stackbook/cmd/internal/act"
	"stackbook/record/book"
)

// Whatever is done to a book, to git's index or to the file of results, and on
// whatever day and by whatever program: what is kept tells the same as nothing.
func TestFleetKeptIsFleetWorked(t *testing.T) {
	t.Parallel()
	steps := 60
	if testing.Short() {
		steps = 8
	}
	for seed := range uint64(3) {
		t.Run(fmt.Sprint(seed), func(t *testing.T) {
			t.Parallel()
			w := newKeptWorld(t, seed)
			w.git("commit", "-q", "--allow-empty", "-m", "a second")
			w.same("at first")
			done := []string{}
			for range steps {
				for range 1 + w.rng.IntN(3) {
					done = append(done, w.step())
				}
				if w.quietGit("rev-parse", "HEAD~1"); !w.hasParent() {
					w.git("commit", "-q", "--allow-empty", "-m", "one more")
				}
				w.same(strings.Join(done[max(0, len(done)-6):], ", "))
			}
			w.sound()
		})
	}
}

func (w *keptWorld) hasParent() bool {
	return exec.Command("git", "-C", w.dir, "rev-parse", "--verify", "-q", "HEAD~1").Run() == nil
}

// What was worked out once is looked up, in the folder and of commits, after a
// commit and in another clone's folder; what was altered alone is worked again.
func TestFleetWorksNothingTwice(t *testing.T) {
	t.Parallel()
	w := newKeptWorld(t, 9)
	for i := range keptEngines {
		w.write(keptFolder(i)+"/spec.yaml", strings.Replace(w.read(keptFolder(i)+"/spec.yaml"), "limits: nowhere\n", "", 1))
	}
	w.git("add", "-A")
	w.git("commit", "-qm", "in order")
	reads := func(state string, want int) {
		t.Helper()
		got, read := w.fleet(state)
		require.Equal(t, want, read, state)
		all, err := w.open().FleetOfAll(state)
		require.NoError(t, err)
		require.Equal(t, all, got)
	}
	reads("", keptEngines)
	reads("", 0)
	reads("@HEAD", 0)
	w.write(keptFolder(2)+"/changes/2024-01-01-note.yaml", "format: change/1\nengine: SK-02\nbuild: 1\ndate: 2024-01-01\nkind: note\nby: KM\nwhat: a note\n")
	reads("", 1)
	reads("", 0)
	w.git("add", "-A")
	w.git("commit", "-qm", "a note")
	reads("@HEAD", 0)
	reads("@HEAD~1", 0)
	w.days++
	reads("", 0)
	w.write("book.yaml", w.read("book.yaml")+"# a word\n")
	reads("", keptEngines)
	w.git("checkout", "-q", "book.yaml")
	reads("", 0)
	w.other = "another program"
	reads("", keptEngines)
	reads("", 0)
	w.other = ""
	reads("", 0)
	w.sound()
}

// Where no file can be written, and for a program that cannot tell what it is,
// nothing is kept and all is told.
func TestFleetKeptNowhere(t *testing.T) {
	t.Parallel()
	w := newKeptWorld(t, 11)
	w.git("commit", "-q", "--allow-empty", "-m", "a second")
	w.write(".git/stackbook", "") // no folder can be made here
	for range 2 {
		_, read := w.fleet("")
		require.Equal(t, keptEngines, read)
	}
	w.same("no folder")
	require.NoError(t, os.Remove(w.path(".git/stackbook")))
	if os.Getuid() != 0 {
		require.NoError(t, os.Chmod(w.path(".git"), 0o555))
		w.same("a folder that is read-only")
		require.NoError(t, os.Chmod(w.path(".git"), 0o777))
	}
	for _, opts := range [][]book.Option{{book.WithEnv(env)}, {book.WithEnv(env), book.WithProgram(func() (string, bool) { return "", false })}} {
		s, err := act.Open(w.dir, now, opts...)
		require.NoError(t, err)
		_, read := fleetOf(t, s, "")
		require.Equal(t, keptEngines, read)
		require.NoDirExists(t, w.path(".git/stackbook"))
	}
	w.sound()
}

// Many who ask at once, while records are written, all tell the truth of one
// moment, and leave a file that does.
func TestFleetAskedByManyAtOnce(t *testing.T) {
	t.Parallel()
	w := newKeptWorld(t, 12)
	w.git("commit", "-q", "--allow-empty", "-m", "a second")
	file := keptFolder(1) + "/spec.yaml"
	sides := []string{w.read(file), strings.Replace(w.read(file), "title: ", "title: other ", 1)}
	stop, stopped := make(chan bool), make(chan bool)
	go func() {
		defer close(stopped)
		for i := 0; ; i++ {
			select {
			case <-stop:
				return
			default: // a whole file at a time, as an editor does
				_ = os.WriteFile(w.path("tmp"), []byte(sides[i%2]), 0o644)
				_ = os.Rename(w.path("tmp"), w.path(file))
			}
		}
	}()
	answers := make(chan string)
	const asked = 12
	for range asked {
		go func() {
			f, err := w.open().Fleet("", quietly)
			if err != nil {
				answers <- err.Error()
				return
			}
			answers <- f.Engines[1].Title
		}()
	}
	for range asked {
		require.Contains(t, []string{"an engine", "one more", "=1", "other an engine", "other one more", "other '=1'"}, <-answers)
	}
	close(stop)
	<-stopped
	for _, text := range append(sides, sides...) {
		w.write(file, text)
		w.same("after all")
	}
	left, err := os.ReadDir(w.path(".git/stackbook"))
	require.NoError(t, err)
	require.True(t, slices.ContainsFunc(left, func(e os.DirEntry) bool { return e.Name() == "kept-fleet" }))
	for _, e := range left {
		require.False(t, strings.HasPrefix(e.Name(), "tmp-"), e.Name())
	}
	w.sound()
}

// Every kind of clone: a bare one, a linked work tree, one with part of it kept
// away, a book below the top of its repository, and one named by SHA-256.
func TestFleetKeptInEveryKindOfClone(t *testing.T) {
	t.Parallel()
	w := newKeptWorld(t, 13)
	w.git("commit", "-q", "--allow-empty", "-m", "a second")
	up := filepath.Dir(w.dir)
	at := func(dir string) *keptWorld {
		return &keptWorld{bench: &bench{nil, t, filepath.Join(up, dir)}, rng: w.rng}
	}
	w.git("clone", "-q", "--bare", w.dir, filepath.Join(up, "bare.git"))
	at("bare.git").same("bare")
	w.git("worktree", "add", "-q", filepath.Join(up, "linked"), "HEAD")
	at("linked").same("linked")
	w.same("beside it")
	w.git("clone", "-q", w.dir, filepath.Join(up, "sparse"))
	at("sparse").git("sparse-checkout", "set", "engines/2018")
	at("sparse").same("sparse")
	w.git("clone", "-q", w.dir, filepath.Join(up, "converting"))
	at("converting").git("config", "core.autocrlf", "true")
	at("converting").same("converting")

	for dir, format := range map[string]string{"above": "sha1", "sha256": "sha256"} {
		w.git("checkout-index", "-a", "--prefix="+filepath.Join(up, dir, "book")+"/")
		a := at(dir)
		a.git("init", "-q", "--object-format="+format)
		a.git("add", "-A")
		a.git("commit", "-qm", "all")
		a.git("commit", "-q", "--allow-empty", "-m", "a second")
		a.dir = filepath.Join(a.dir, "book")
		a.same(dir)
		a.session(1)
		a.same(dir + ", altered")
	}
	w.sound()
}
