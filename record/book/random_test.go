package book

import (
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"sort"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// indexKinds are the states a person's index may be in, each with the git
// commands that bring it about (R9).
var indexKinds = map[string][][]string{
	"version 2":       {{"update-index", "--index-version", "2"}},
	"version 3":       {{"add", "-N", "intended.yaml"}, {"update-index", "--index-version", "3"}},
	"version 4":       {{"update-index", "--index-version", "4"}},
	"untracked cache": {{"config", "core.untrackedCache", "true"}, {"update-index", "--untracked-cache"}},
	"threads":         {{"config", "index.threads", "2"}, {"update-index", "--force-write-index"}},
	"skip hash":       {{"config", "index.skipHash", "true"}, {"update-index", "--force-write-index"}},
	"fsmonitor":       {{"config", "core.fsmonitor", ".git/watch"}, {"update-index", "--fsmonitor"}},
}

// A few hundred commits of random parts of random work, with other work
// staged beside them, in every kind of index: each tree is the one that git
// makes of the same paths, and to git nothing else has changed.
func TestRandomCommits(t *testing.T) {
	t.Parallel()
	seed := uint64(1)
	for name, setup := range indexKinds {
		seed++
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			w := newRandomWork(t, seed, setup)
			for range 30 {
				w.change()
				w.stageOther()
				w.commitSome()
			}
			w.sound()
		})
	}
}

// randomWork is a person at work in a book, without a plan.
type randomWork struct {
	*fixture
	book *Book
	rng  *rand.Rand
	made int
}

func newRandomWork(t *testing.T, seed uint64, setup [][]string) *randomWork {
	f := newFixture(t)
	f.write("intended.yaml", "later\n")
	f.write("engines/2023/SK-07/notes kept.txt", "kept\n")
	f.git("add", "engines/2023/SK-07/notes kept.txt")
	f.git("commit", "-qm", "notes")
	// A monitor that knows nothing and so names everything.
	require.NoError(t, os.WriteFile(f.path(".git/watch"), []byte("#!/bin/sh\nprintf 'now\\0/\\0'\n"), 0o755))
	for _, args := range setup {
		f.git(args...)
	}
	f.git("update-index", "--assume-unchanged", "engines/2023/SK-07/notes kept.txt")
	return &randomWork{f, f.open(), rand.New(rand.NewPCG(seed, 7)), 0}
}

// names that a file may have; some are folders of others.
var randomNames = []string{
	"book.yaml", "engines/2023/SK-07/spec.yaml", "engines/2023/SK-07/measurements/a.yaml",
	"engines/2023/SK-07/changes/2024-03-10 pocket recut.yaml", "engines/2023/SK-07/changes/målt på nytt.yaml",
	"engines/2024/SK-16/spec.yaml", "engines/2024/SK-16/a\nb.yaml", "engines/2024/SK-16/say \"so\".yaml",
	"engines/2024/SK-16/swap", "engines/2024/SK-16/swap/inside.yaml", "engines/2024/SK-16/swap-beside",
	"engines/2024/SK-17/spec.yaml", "parts/L-2304.yaml", "parts/L-2304.yaml.d/x",
}

// change writes, rewrites and removes a few files.
func (w *randomWork) change() {
	for range 1 + w.rng.IntN(5) {
		name := randomNames[w.rng.IntN(len(randomNames))]
		if w.rng.IntN(3) == 0 {
			w.remove(name)
			continue
		}
		if info, err := os.Stat(filepath.Dir(w.path(name))); err == nil && !info.IsDir() {
			w.remove(filepath.ToSlash(filepath.Dir(name)))
		}
		if info, err := os.Stat(w.path(name)); err == nil && info.IsDir() {
			w.remove(name)
		}
		w.made++
		w.write(name, fmt.Sprintf("number: %d\n", w.made%7))
	}
}

// stageOther stages some of it, so that folder, index and HEAD all differ.
func (w *randomWork) stageOther() {
	changes, err := w.book.Changes(".")
	require.NoError(w.t, err)
	for _, c := range changes {
		if w.rng.IntN(3) == 0 {
			w.git(stageArgs(w.path(c.Path), c.Path)...)
			if _, err := os.Stat(w.path(c.Path)); err == nil && w.rng.IntN(3) == 0 {
				w.write(c.Path, fmt.Sprintf("number: %d after staging\n", w.made))
			}
		}
	}
}

// stageArgs are the arguments with which git stages one file, or its removal.
func stageArgs(file, p string) []string {
	if info, err := os.Lstat(file); err != nil || info.IsDir() {
		return []string{"update-index", "--force-remove", "--", p}
	}
	return []string{"update-index", "--add", "--replace", "--", p}
}

// commitSome commits a random part of what stands between folder and HEAD.
func (w *randomWork) commitSome() {
	changes, err := w.book.Changes(".")
	require.NoError(w.t, err)
	var paths []string
	for _, c := range changes {
		if w.rng.IntN(2) == 0 && c.Path != "intended.yaml" {
			paths = append(paths, c.Path)
		}
	}
	if len(paths) == 0 {
		return
	}
	want := w.gitsTree(paths)
	head, staged, state := w.git("rev-parse", "HEAD"), w.staged(nil), w.state(nil)
	c, err := w.commit(w.book, paths...)
	if err != nil { // a part that cannot stand alone: a file where a folder still is
		require.ErrorContains(w.t, err, "is in the way")
		assert.Equal(w.t, head, w.git("rev-parse", "HEAD"))
		assert.Equal(w.t, staged, w.staged(nil))
		return
	}
	named := map[string]bool{}
	for _, p := range paths {
		named[p] = true
	}
	require.Equal(w.t, want, c.Tree(), "tree for %q", paths)
	require.Equal(w.t, without(staged, named), w.staged(named))
	now := w.state(nil)
	for p := range named {
		require.NotContains(w.t, now, p, "not clean afterwards")
	}
	require.Equal(w.t, without(state, named), now)
}

// gitsTree gives the tree that git makes of HEAD and the folder's files at
// the paths, with an index of its own.
func (w *randomWork) gitsTree(paths []string) string {
	run := func(args ...string) string {
		cmd := exec.Command("git", append([]string{"-c", "core.fsmonitor=false"}, args...)...)
		cmd.Dir = w.root
		cmd.Env = append(os.Environ(), "GIT_INDEX_FILE="+w.path(".git/index.judge"))
		out, err := cmd.CombinedOutput()
		require.NoError(w.t, err, string(out))
		return strings.TrimSpace(string(out))
	}
	defer os.Remove(w.path(".git/index.judge"))
	run("read-tree", "HEAD")
	for _, p := range paths {
		run(stageArgs(w.path(p), p)...)
	}
	return run("write-tree")
}

// staged gives what git says of each entry of the index: its state and bits,
// its mode, its content.
func (w *randomWork) staged(except map[string]bool) map[string]string {
	entries := map[string]string{}
	for _, line := range strings.Split(w.git("ls-files", "-s", "-v", "-z"), "\x00") {
		if what, name, ok := strings.Cut(line, "\t"); ok && !except[name] {
			entries[name] = what
		}
	}
	return entries
}

// state gives what git status says of each file.
func (w *randomWork) state(except map[string]bool) map[string]string {
	files := map[string]string{}
	out := w.git("--no-optional-locks", "status", "--porcelain=v1", "--no-renames", "--untracked-files=all", "-z")
	for _, line := range strings.Split(out, "\x00") {
		if len(line) > 3 && !except[line[3:]] {
			files[line[3:]] = line[:2]
		}
	}
	return files
}

func without(m map[string]string, names map[string]bool) map[string]string {
	rest := map[string]string{}
	for k, v := range m {
		if !names[k] {
			rest[k] = v
		}
	}
	return rest
}

// The folder and git status say the same of what differs, ignored files and
// names with spaces included.
func TestChangesAsGitSays(t *testing.T) {
	t.Parallel()
	w := newRandomWork(t, 99, nil)
	w.write(".gitignore", "private/\n*.bak\n!kept.bak\n/engines/*/scratch\nbuild-*/**\n\\#odd\n")
	w.write(".git/info/exclude", "*.tmp\n")
	for _, p := range []string{"private/customers.yaml", "a.bak", "engines/2023/kept.bak", "engines/2023/scratch", "engines/2023/SK-07/scratch",
		"build-1/x", "engines/x.tmp", "parts/.gitignore", "#odd", "private2/x"} {
		w.write(p, "x\n")
	}
	w.write("parts/.gitignore", "*.draft\n")
	w.write("parts/x.draft", "x\n")
	for range 20 {
		w.change()
		w.stageOther()
		var got, want []string
		changes, err := w.book.Changes(".")
		require.NoError(t, err)
		for _, c := range changes {
			got = append(got, c.Path)
		}
		for p, xy := range w.state(nil) {
			if inFolderOnly := xy == "AD"; !inFolderOnly && !w.sameAsHead(p) {
				want = append(want, p)
			}
		}
		sort.Strings(want)
		require.Equal(t, want, got)
	}
}

// sameAsHead says whether the folder holds what HEAD does, whatever is staged.
func (w *randomWork) sameAsHead(p string) bool {
	old, err := w.run("rev-parse", "--verify", "-q", "HEAD:"+p)
	now, err2 := w.run("hash-object", "--", p)
	return err == nil && err2 == nil && old == now
}
