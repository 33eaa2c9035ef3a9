package bigbook_test

import (
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"stackbook/cmd/internal/act"
	"stackbook/cmd/internal/bigbook"
)

func quiet(string, int, int) {}

func now() time.Time { return time.Date(2026, 3, 2, 10, 0, 0, 0, time.FixedZone("", 3600)) }

// A small book is as it should be to git and to the program itself: its figures
// are those of the program's formulas, and its seals hold.
func TestSmallBookIsInOrder(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "small")
	m, err := bigbook.Make(dir, bigbook.Small, 1)
	require.NoError(t, err)

	out, err := bigbook.Git(dir, "fsck", "--strict")
	require.NoError(t, err)
	require.Empty(t, out)
	out, err = bigbook.Git(dir, "status", "--porcelain")
	require.NoError(t, err)
	require.Empty(t, out)
	out, err = bigbook.Git(dir, "rev-list", "--count", "HEAD")
	require.NoError(t, err)
	require.Equal(t, "1000\n", out)
	require.Len(t, m.Numbers, 100)

	s, err := act.Open(dir, now)
	require.NoError(t, err)
	checked, err := s.Check(nil, quiet)
	require.NoError(t, err)
	require.Len(t, checked, 100)
	for _, c := range checked {
		require.Empty(t, c.Problems, c.Number)
		require.Empty(t, c.Stale, c.Number)
		require.Zero(t, c.Unsealed, c.Number)
	}
	v, err := s.Verify(m.Rebuilt+"/1", "")
	require.NoError(t, err)
	require.Empty(t, v.Altered)

	onBench, err := bigbook.Git(dir, "show", "HEAD:"+m.Session)
	require.NoError(t, err)
	require.Contains(t, onBench, m.Reading)
}

// The names a book is made with answer as they are meant to.
func TestNamesToAskFor(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "small")
	m, err := bigbook.Make(dir, bigbook.Small, 2)
	require.NoError(t, err)
	s, err := act.Open(dir, now)
	require.NoError(t, err)

	w, err := s.WhereUsed(m.Lot, "", quiet)
	require.NoError(t, err)
	out := map[string]bool{}
	for _, u := range w.Uses {
		out[u.Engine] = !u.Now
	}
	require.True(t, out[m.Rebuilt], "the lot is out of the engine that was rebuilt")
	require.Greater(t, len(out), 3, "and in others")

	w, err = s.WhereUsed(m.Serial, "", quiet)
	require.NoError(t, err)
	require.Len(t, w.Uses, 2)
	for _, u := range w.Uses {
		require.Equal(t, u.Engine == m.To, u.Now, u.Engine)
		require.Contains(t, []string{m.From, m.To}, u.Engine)
	}
	// git sees the lot in the commits of those engines as well.
	log, err := bigbook.Git(dir, "log", "--format=%s", "--name-only", "-S"+m.Lot)
	require.NoError(t, err)
	for number := range out {
		require.Contains(t, log, "/"+number+"/spec.yaml")
	}
	require.True(t, strings.HasPrefix(m.Folder(m.Rebuilt), "engines/20"))
}

// The same size and seed give the same book, and another seed another.
func TestSameSeedSameBook(t *testing.T) {
	size := bigbook.Size{Engines: 8, Commits: 100}
	heads := map[string]bool{}
	for i, seed := range []uint64{5, 5, 6} {
		m, err := bigbook.Make(filepath.Join(t.TempDir(), "book"), size, seed)
		require.NoError(t, err)
		heads[m.Head] = true
		require.Len(t, heads, []int{1, 1, 2}[i])
	}
	_, err := bigbook.Make(filepath.Join(t.TempDir(), "book"), bigbook.Size{Engines: 8, Commits: 20}, 1)
	require.ErrorContains(t, err, "need")
}

// In a sparse checkout, in which most engines are not in the folder, the same is
// told of where a lot and a serial are.
func TestWhereUsedInASparseCheckout(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "small")
	m, err := bigbook.Make(dir, bigbook.Small, 2)
	require.NoError(t, err)
	folder := filepath.Join(dir, m.Folder(m.Rebuilt))
	require.DirExists(t, filepath.Join(folder, "changes"))
	told := map[string]*act.WhereUsed{}
	for _, kind := range []string{"", "--no-sparse-index", "--sparse-index"} {
		if kind != "" {
			_, err := bigbook.Git(dir, "sparse-checkout", "set", "--cone", kind, "engines/2025", "parts", "limits")
			require.NoError(t, err)
			require.NoDirExists(t, folder)
		}
		s, err := act.Open(dir, now)
		require.NoError(t, err)
		for _, name := range []string{m.Lot, m.Serial} {
			w, err := s.WhereUsed(name, "", quiet)
			require.NoError(t, err)
			require.NotEmpty(t, w.Uses)
			if kind == "" {
				told[name] = w
				continue
			}
			require.Len(t, w.Uses, len(told[name].Uses), kind)
			for i, u := range w.Uses {
				want := told[name].Uses[i]
				require.Equal(t, []any{want.Engine, want.Position, want.Now, want.Builds}, []any{u.Engine, u.Position, u.Now, u.Builds}, kind)
			}
			require.Len(t, w.Lives, len(told[name].Lives), kind)
		}
	}
}
