package book

import (
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

// graphs are the files that git writes a graph of commits into.
func (f *fixture) graphs() []string {
	f.t.Helper()
	var all []string
	for _, pattern := range []string{"commit-graph", "commit-graphs/*"} {
		list, err := filepath.Glob(f.path(".git/objects/info/" + pattern))
		require.NoError(f.t, err)
		all = append(all, list...)
	}
	return all
}

// walked is what a walk of all commits tells, opened anew.
func (f *fixture) walked() []Step {
	f.t.Helper()
	b := f.open()
	head, _, err := b.Head()
	require.NoError(f.t, err)
	steps, err := b.stepsByWalk(head, isRecord, nil)
	require.NoError(f.t, err)
	return sortedSteps(steps)
}

// A walk by git's graph of commits tells what one tells that reads every commit:
// of one file and of a chain, with commits newer than it, with more parents than
// two, and whatever becomes of its bytes.
func TestWalkByCommitGraph(t *testing.T) {
	t.Parallel()
	w := newWorld(t, 5, 150)
	plain := w.walked()
	require.Greater(t, len(plain), 10)
	w.git("commit-graph", "write", "--reachable")
	require.NotNil(t, w.open().readGraph())
	require.Equal(t, plain, w.walked())

	for i, damage := range []func(data []byte, rng *rand.Rand) []byte{
		func(data []byte, rng *rand.Rand) []byte { data[rng.IntN(len(data))] ^= 1 << rng.IntN(8); return data },
		func(data []byte, rng *rand.Rand) []byte { return data[:rng.IntN(len(data))] },
		func(data []byte, _ *rand.Rand) []byte { return append(data, data...) },
	} {
		rng := rand.New(rand.NewPCG(uint64(i), 3))
		for range 8 {
			name := w.graphs()[0]
			sound, err := os.ReadFile(name)
			require.NoError(t, err)
			require.NoError(t, os.Chmod(name, 0o644))
			require.NoError(t, os.WriteFile(name, damage(append([]byte(nil), sound...), rng), 0o644))
			require.Nil(t, w.open().readGraph())
			require.Equal(t, plain, w.walked())
			require.NoError(t, os.WriteFile(name, sound, 0o644))
		}
	}

	for _, name := range w.graphs() {
		require.NoError(t, os.Remove(name))
	}
	for range 3 {
		w.git("commit-graph", "write", "--reachable", "--split=no-merge")
		w.grow(40)
	}
	require.Greater(t, len(w.graphs()), 3)
	require.NotNil(t, w.open().readGraph())
	chained := w.walked()
	w.git("config", "core.commitGraph", "false")
	require.Nil(t, w.open().readGraph())
	require.Equal(t, w.walked(), chained)
	w.git("config", "--unset", "core.commitGraph")
	require.NoError(t, os.Remove(w.graphs()[1])) // a chain with a link less
	require.Equal(t, w.walked(), chained)
}

// A commit that altered no record is not read where the graph has it: with it away,
// the walk goes on as before.
func TestCommitGraphSparesReading(t *testing.T) {
	t.Parallel()
	f := newFixture(t)
	f.write("README.md", "no record\n")
	f.dated(1, "a note")
	note := f.git("rev-parse", "HEAD")
	f.write("engines/2023/SK-07/spec.yaml", "engine: SK-07\nbuild: 2\n")
	f.dated(2, "altered")
	plain := f.walked()
	require.Len(t, plain, 2)
	f.git("commit-graph", "write", "--reachable")
	require.NoError(t, os.Remove(f.path(".git/objects/"+note[:2]+"/"+note[2:])))
	require.Equal(t, plain, f.walked())
	require.NoError(t, os.Remove(f.graphs()[0]))
	b := f.open()
	head, _, err := b.Head()
	require.NoError(t, err)
	_, err = b.stepsByWalk(head, isRecord, nil)
	require.Error(t, err)
}
