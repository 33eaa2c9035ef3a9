package act_test

import (
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"

	"stackbook/cmd/internal/act"
	"stackbook/diff/history"
	"stackbook/record/book"
)

// wholeOf walks a book, and keeps what is told of each engine.
func wholeOf(t *testing.T, b *bench) (*act.WholeBook, map[string]*act.WholeEngine) {
	t.Helper()
	var lock sync.Mutex
	engines := map[string]*act.WholeEngine{}
	w, err := b.Whole(quietly, scratchIn(t), func(e *act.WholeEngine) error {
		lock.Lock()
		defer lock.Unlock()
		engines[e.Number] = e
		return nil
	})
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, w.Close()) })
	return w, engines
}

// scratchIn makes the files that a walk lays things aside in.
func scratchIn(t *testing.T) func(name string) (act.Scratch, error) {
	dir := t.TempDir()
	return func(name string) (act.Scratch, error) { return os.Create(filepath.Join(dir, name)) }
}

// theDemo is the whole worked example.
func theDemo(t *testing.T) *bench {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "book")
	s, _, err := act.Demo(dir, act.DemoOptions{Book: []book.Option{book.WithEnv(env)}, Now: now}, func(int, int) {})
	require.NoError(t, err)
	return &bench{s, t, dir}
}

// useLines tells uses, a line each.
func useLines(uses []*history.Use) []string {
	var lines []string
	for _, use := range uses {
		line := fmt.Sprintf("%v %v %v now %v of %s", use.Spot, use.Customers, use.Builds, use.Now, use.Owner)
		for _, m := range []*history.Moment{use.Since, use.Until} {
			if m != nil {
				line += fmt.Sprintf(" %v", *m)
			}
		}
		for _, r := range use.Removed {
			line += fmt.Sprintf("; removed %s at %s, %s, to %s %s, there %v", r.Change.Date, r.FoundAt, r.Ref, r.To, r.Where, r.Now)
		}
		lines = append(lines, line)
	}
	return lines
}

// One walk for every name at once tells of each serial and lot what where-used
// tells of it alone; of the latter it is shown elsewhere that git says the same.
func TestWholeTellsWhatWhereUsedTells(t *testing.T) {
	books := map[string]*bench{"the demo": theDemo(t)}
	if !testing.Short() {
		books["sixty engines"] = sixtyEngines(t)
	}
	for name, b := range books {
		w, _ := wholeOf(t, b)
		require.Greater(t, len(w.Names()), 6, name)
		require.NotEmpty(t, w.Numbers(), name)
		names := append(append(w.Names(), "none"), w.Numbers()...)
		for i, asked := range names {
			if len(names) > 40 && i%9 > 0 && asked != "L-2198" && asked != "R-1420" {
				continue
			}
			one, err := b.WhereUsed(asked, "", quietly)
			require.NoError(t, err)
			uses, err := w.Used(asked)
			require.NoError(t, err)
			require.Equal(t, useLines(one.Uses), useLines(uses), "%s: %s", name, asked)
			for _, life := range one.Lives {
				if life.Name == asked {
					now, err := w.Now(asked)
					require.NoError(t, err)
					require.Equal(t, life.Place.String(), now.Place.String(), asked)
					require.Equal(t, []any{life.Lot, life.Number, life.What, life.Place.Since, life.Place.Hours}, []any{now.Lot, now.Number, now.What, now.Place.Since, now.Place.Hours}, asked)
				}
			}
		}
	}
}

// Of each engine the same is told as by asking for it: its states, life, crack
// tests and wear, parts that came from other engines included.
func TestWholeTellsWhatIsToldOfOne(t *testing.T) {
	b := theDemo(t)
	_, engines := wholeOf(t, b)
	require.Len(t, engines, 5)
	for number, e := range engines {
		life, last, err := b.History(number)
		require.NoError(t, err)
		require.Len(t, e.Life.Builds, len(life.Builds))
		for i := range life.Builds {
			want, got := &life.Builds[i], &e.Life.Builds[i]
			require.Equal(t, [4]string{want.Opened, want.Delivered, want.Hours, want.Commit}, [4]string{got.Opened, got.Delivered, got.Hours, got.Commit})
			require.Equal(t, want.Figures.Digest(), got.Figures.Digest())
			if want.Altered != nil {
				require.Equal(t, [3]int{len(want.Altered.Changes), len(want.Altered.Readings), len(want.Altered.Figures)}, [3]int{len(got.Altered.Changes), len(got.Altered.Readings), len(got.Altered.Figures)})
			}
			if got.Delivered == "" {
				continue
			}
			l, err := b.State(act.BuildName(number, got.Number))
			require.NoError(t, err)
			delivered := e.Delivered[got.Number]
			require.NotNil(t, delivered)
			require.Equal(t, []any{l.Name, l.Commit, l.Figures.Digest(), l.Engine.Build, l.Told}, []any{delivered.Name, delivered.Commit, delivered.Figures.Digest(), delivered.Engine.Build, delivered.Told})
			require.Equal(t, guardLines(l), guardLines(delivered))
		}
		require.Equal(t, last.Problems, e.Problems)
		wear, err := b.Wear(number)
		require.NoError(t, err)
		require.Equal(t, wearLines(wear), wearLines(e.Wear), number)
		parts, err := b.PartsOf(number)
		require.NoError(t, err)
		require.Equal(t, guardLines(parts.Loaded), guardLines(e.Now))
	}
}

func wearLines(w *act.WearOf) []string {
	var lines []string
	for _, size := range w.Sizes {
		lines = append(lines, fmt.Sprintf("%s %s %s %v %v %v", size.Point.ID, size.At, size.Serial, len(size.Readings), size.Trend, size.Line.B1))
	}
	return lines
}

func guardLines(l *act.Loaded) []string {
	var lines []string
	for _, g := range l.Guards {
		lines = append(lines, fmt.Sprintf("%s %v last %v", g.Position, g.Standing, g.Last != nil))
	}
	return lines
}

// An engine without a spec that can be read is told as far as it can be.
func TestWholeWithWhatCannotBeRead(t *testing.T) {
	b := demoBook(t)
	b.write("engines/2021/SK-02/spec.yaml", "format: spec/1\n\t: [\n")
	b.write("engines/2021/SK-03/spec.yaml", "format: spec/1\nengine: SK-03\nid: 7f3a-91c0-55de\ntitle: x\nbuild: 5000\ngeometry: {rotors: 1}\n")
	w, engines := wholeOf(t, b)
	require.Len(t, w.Engines, 3)
	require.Nil(t, engines["SK-02"].Now.Engine)
	require.NotEmpty(t, engines["SK-02"].Problems)
	require.Nil(t, engines["SK-03"].Life)
	require.NotNil(t, engines["SK-01"].Life)
}

// Engines that are gone are told as they last stood: by which commit they went, on
// a side branch or the main one, and their builds as the tags seal them. One that
// moved, came back or is only kept out of the folder is not gone.
func TestWholeTellsOfWhatIsGone(t *testing.T) {
	b := theDemo(t)
	_, before := wholeOf(t, b)
	numbers := slices.Sorted(maps.Keys(before))
	require.Len(t, numbers, 5)
	folder := func(i int) string { return before[numbers[i]].Folder }
	b.git("rm", "-rq", folder(0))
	b.git("commit", "-qm", "the first is gone")
	first := b.git("rev-parse", "HEAD")
	b.git("checkout", "-qb", "side")
	b.git("rm", "-rq", folder(1))
	b.git("commit", "-qm", "the second is gone")
	b.git("checkout", "-q", "-")
	b.git("rm", "-rq", folder(2))
	b.git("commit", "-qm", "the third goes")
	b.git("revert", "--no-edit", "HEAD")
	b.git("merge", "-q", "--no-edit", "side")
	b.git("rm", "-rq", folder(3))

	w, engines := wholeOf(t, b)
	require.Len(t, engines, 5)
	merged := b.git("rev-parse", "HEAD")
	for i, by := range []string{first, merged, "none", ""} {
		e := engines[numbers[i]]
		if by == "none" {
			require.Nil(t, e.Gone)
			continue
		}
		require.NotNil(t, e.Gone, numbers[i])
		require.Equal(t, by, e.Gone.By.Commit)
		was := before[numbers[i]]
		require.Equal(t, was.Now.Figures.Digest(), e.Now.Figures.Digest())
		require.Equal(t, slices.Sorted(maps.Keys(was.Delivered)), slices.Sorted(maps.Keys(e.Delivered)))
		for n, l := range was.Delivered {
			require.Equal(t, []string{l.Commit, l.Figures.Digest()}, []string{e.Delivered[n].Commit, e.Delivered[n].Figures.Digest()})
		}
		require.Len(t, e.Life.Builds, len(was.Life.Builds))
	}
	for _, line := range w.Engines {
		gone := engines[line.Number].Gone != nil
		require.Equal(t, gone, line.Standing == act.Removed, line.Number)
		require.Equal(t, gone, !line.Read, line.Number)
	}
	require.Len(t, w.Engines, 5)
	b.git("reset", "-q", "--hard")
	b.git("fsck", "--strict")
}
