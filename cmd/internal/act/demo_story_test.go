package act

import (
	"io/fs"
	"path"
	"testing"

	"github.com/stretchr/testify/require"
)

// A book's days are told apart by the order of its commits, so the story runs
// forward, and so does its short form (R16).
func TestTheDemoRunsForward(t *testing.T) {
	for _, story := range [][]demoStep{demoStory, shortStory()} {
		for i := 1; i < len(story); i++ {
			before, after := demoSignature(story[i-1]).When, demoSignature(story[i]).When
			require.True(t, after.After(before), "%s comes after %s", story[i].message, story[i-1].message)
		}
	}
}

// Every folder that is embedded is laid once, and no step names one that is
// not there.
func TestTheDemoLaysEachFolderOnce(t *testing.T) {
	laid := map[string]int{}
	for _, d := range demoStory {
		files, err := demoFolder(d)
		require.NoError(t, err, d.message)
		require.True(t, len(files) > 0 || len(d.edits) > 0, "%s lays and edits nothing", d.message)
		for name := range files {
			laid[path.Join("demo", d.of(), d.folder, name)]++
		}
	}
	require.NoError(t, fs.WalkDir(demoFiles, "demo", func(p string, entry fs.DirEntry, err error) error {
		if err == nil && !entry.IsDir() {
			require.Equal(t, 1, laid[p], p)
		}
		return err
	}))
}

// The story holds what it is told to hold, and only its end lies open.
func TestWhatTheDemoHolds(t *testing.T) {
	require.Equal(t, DemoMade{Engines: 5, Commits: 68, Delivered: 6, OnBench: "SK-11"}, demoMade(demoStory[1:]))
	require.Equal(t, DemoMade{Engines: 1, Commits: 17, Delivered: 2}, demoMade(shortStory()[1:]))
	for i, d := range demoStory {
		require.Equal(t, i == len(demoStory)-1, d.bench, d.message)
	}
}

// An engine lies under the year it was enrolled in, the book's files at its
// root.
func TestWhereTheDemoLaysItsFiles(t *testing.T) {
	for _, row := range []struct{ engine, base string }{
		{"SK-04", "engines/2015/SK-04"}, {"SK-01", "engines/2017/SK-01"}, {"SK-11", "engines/2025/SK-11"}, {"", ""},
	} {
		require.Equal(t, row.base, demoStep{engine: row.engine}.base())
	}
}
