package book

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// Whatever happened to the past, the index answers as a walk of all commits does
// (R2, R16): of a random history, of one that goes on, of one that was rewritten
// or taken back, after gc and prune, loose and packed, in both of git's formats.
func TestIndexTellsWhatAWalkTells(t *testing.T) {
	t.Parallel()
	for seed := range uint64(4) {
		t.Run(fmt.Sprint(seed), func(t *testing.T) {
			t.Parallel()
			w := newWorld(t, seed, 50, "--object-format="+[]string{"sha1", "sha256"}[seed%2])
			same := func(what string) {
				t.Helper()
				b := w.opened(w.root, 1)
				defer b.Close()
				got := askAll(t, b, false, true)
				require.Equal(t, askAll(t, b, true, true), got, what)
				ours, theirs := w.logSets(b)
				require.Equal(t, theirs, ours, what)
			}
			same("at first")
			same("from the file")
			w.grow(3)
			same("three more, not kept")
			w.grow(30)
			same("thirty more, kept apart")
			w.onto(20)
			same("reset")
			w.git("tag", "build/SK-07/1", w.commits[10].hash)
			w.grow(20)
			same("another past")
			w.git("tag", "-f", "build/SK-07/1", w.commits[30].hash)
			w.prune()
			same("what was left behind pruned")
			w.git("checkout", "-q", "-f", "--detach", "main~1")
			same("detached")
			w.git("checkout", "-q", "-f", "main")
			w.git("commit", "-q", "--amend", "--allow-empty", "-m", "amended")
			same("amended")
			w.git("commit", "-q", "--allow-empty", "-m", "nothing")
			same("nothing altered")
			w.grow(300)
			same("mostly new")
			require.FileExists(t, w.path(".git/stackbook/history"))
			w.sound()
		})
	}
}

// logSets gives which commits altered each path, with day, author and subject, as
// LogLines tells and as git does, merges apart, since git also lists those that
// took one side's.
func (w *world) logSets(b *Book) (ours, theirs []string) {
	w.t.Helper()
	tip, err := b.Tip()
	require.NoError(w.t, err)
	for _, p := range []string{"engines/2023/SK-07", "engines/2024/SK-16/spec.yaml", "parts"} {
		log, err := b.Log(p)
		require.NoError(w.t, err)
		lines, err := b.LogLines(tip, p)
		require.NoError(w.t, err)
		require.Len(w.t, lines, len(log))
		var mine []string
		for i, l := range lines {
			require.Equal(w.t, log[i].Hash, l.Hash)
			if len(log[i].Parents) < 2 {
				mine = append(mine, fmt.Sprintf("%s %s %s\t%s", l.Hash, l.Day, l.Author, l.Subject))
			}
		}
		slices.Sort(mine)
		text := w.git("log", "-z", "--full-history", "--no-merges", "--format=%H %cs %an%x09%s", "HEAD", "--", p)
		asked := strings.FieldsFunc(text, func(r rune) bool { return r == 0 })
		slices.Sort(asked)
		ours, theirs = append(append(ours, p), mine...), append(append(theirs, p), asked...)
	}
	return ours, theirs
}

// A shallow clone that is deepened, a bare one, a linked work tree, and a folder
// in which nothing can be written.
func TestIndexOfEveryKindOfClone(t *testing.T) {
	t.Parallel()
	w := newWorld(t, 101, 120)
	check := func(dir string, has bool) {
		t.Helper()
		b := w.opened(dir, 1)
		defer b.Close()
		got := askAll(t, b, false, has)
		require.Equal(t, askAll(t, b, true, has), got)
	}
	dir := filepath.Dir(w.root)
	cut := filepath.Join(dir, "cut")
	w.git("clone", "-q", "--depth", "4", "file://"+w.root, cut)
	check(cut, true)
	w.git("-C", cut, "fetch", "-q", "--depth", "9")
	check(cut, true)
	w.git("-C", cut, "fetch", "-q", "--unshallow")
	check(cut, true)
	bare := filepath.Join(dir, "bare.git")
	w.git("clone", "-q", "--bare", w.root, bare)
	check(bare, true)
	linked := filepath.Join(dir, "linked")
	w.git("worktree", "add", "-q", linked, w.commits[60].hash)
	check(linked, true)
	require.FileExists(t, w.path(".git/stackbook/history"))

	barred := filepath.Join(dir, "barred")
	w.git("clone", "-q", w.root, barred)
	require.NoError(t, os.WriteFile(filepath.Join(barred, ".git", "stackbook"), nil, 0o644)) // no folder can be made here
	check(barred, false)
}

// A book of few commits makes no index, nor does one that is told not to.
func TestIndexOnlyWhereItIsWorthIt(t *testing.T) {
	t.Parallel()
	w := newWorld(t, 102, 30)
	for _, from := range []int{0, 31} {
		b := w.opened(w.root, from)
		require.Equal(t, askAll(t, b, true, false), askAll(t, b, false, false))
		require.NoError(t, b.Close())
		require.NoDirExists(t, w.path(".git/stackbook"))
	}
	b := w.opened(w.root, len(strings.Fields(w.git("rev-list", "HEAD"))))
	defer b.Close()
	ended := 0
	b.indexing = func(done, of int) {
		if done == of {
			ended++
			require.Equal(t, b.side.from, of)
		}
	}
	b.repo.partial = true
	require.Equal(t, askAll(t, b, true, false), askAll(t, b, false, false), "what was left out of a clone is not fetched for an index")
	b.repo.partial = false
	require.Equal(t, askAll(t, b, true, true), askAll(t, b, false, true))
	require.Equal(t, 1, ended)
}

// A commit of ours is found by the next look, and costs no more for an index.
func TestIndexAfterOurOwnCommit(t *testing.T) {
	t.Parallel()
	w := newWorld(t, 103, 40)
	w.git("checkout", "-q", "-f", "main")
	b := w.opened(w.root, 1)
	defer b.Close()
	askAll(t, b, false, true)
	before, err := os.ReadFile(w.path(".git/stackbook/history"))
	require.NoError(t, err)
	for i := range 20 {
		w.write("engines/2024/SK-16/spec.yaml", fmt.Sprintf("lot: R-1177\nnumber: %d\n", 100+i))
		_, err := w.commit(b, "engines/2024/SK-16/spec.yaml")
		require.NoError(t, err)
		after, err := os.ReadFile(w.path(".git/stackbook/history"))
		require.NoError(t, err)
		require.Equal(t, before, after)
		_, err = b.Log("engines/2024/SK-16")
		require.NoError(t, err)
	}
	require.Equal(t, askAll(t, b, true, true), askAll(t, b, false, true))
	require.FileExists(t, w.path(".git/stackbook/history-since"))
	w.sound()
}
