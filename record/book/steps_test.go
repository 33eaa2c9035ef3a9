package book

import (
	"fmt"
	"maps"
	"path"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"
)

// byGit is what Steps should tell of the spec files, asked of git for each
// commit and parent.
func (f *fixture) byGit(from string) []string {
	f.t.Helper()
	var told []string
	lines := strings.Fields(f.git("rev-list", "--date-order", "--reverse", from))
	for _, c := range lines {
		parents := strings.Fields(f.git("log", "-1", "--format=%P", c))
		if len(parents) == 0 {
			parents = []string{"4b825dc642cb6eb9a060e54bf8d69288fbee4904"} // git's name of the empty folder
		}
		var against []string
		for _, p := range parents {
			raw := f.git("diff-tree", "-r", "--no-abbrev", "--no-renames", p, c, "--", "engines")
			var edits []string
			for _, line := range strings.Split(raw, "\n") {
				fields := strings.Fields(line) // :100644 100644 OLD NEW M PATH
				if len(fields) == 6 && path.Base(fields[5]) == "spec.yaml" {
					edits = append(edits, fields[5]+" "+strings.Trim(fields[2], "0")+" "+strings.Trim(fields[3], "0"))
				}
			}
			against = append(against, strings.Join(edits, ","))
		}
		if strings.Join(against, "") != "" {
			told = append(told, c+": "+strings.Join(against, " | "))
		}
	}
	return told
}

func (f *fixture) bySteps(b *Book, from Commit) []string {
	f.t.Helper()
	steps, err := b.Steps(from, specs, nil, nil)
	require.NoError(f.t, err)
	require.Equal(f.t, sortedSteps(steps), sortedSteps(everyStep(f.t, b, from, specs)))
	var told []string
	for _, s := range steps {
		var against []string
		for _, edits := range s.Against {
			var words []string
			for _, e := range edits {
				words = append(words, e.Path+" "+strings.Trim(e.Was, "0")+" "+strings.Trim(e.Is, "0"))
			}
			against = append(against, strings.Join(words, ","))
		}
		told = append(told, s.Hash+": "+strings.Join(against, " | "))
	}
	return told
}

func specs(p string) bool { return path.Base(p) == "spec.yaml" }

// everyStep is what EveryStep hands over, in order.
func everyStep(t require.TestingT, b *Book, from Commit, wanted func(path string) bool) []Step {
	var lock sync.Mutex
	byPlace := map[int]Step{}
	require.NoError(t, b.EveryStep(from, wanted, nil, func(n int, step Step) error {
		lock.Lock()
		defer lock.Unlock()
		require.NotContains(t, byPlace, n)
		byPlace[n] = step
		return nil
	}))
	var steps []Step
	for _, n := range slices.Sorted(maps.Keys(byPlace)) {
		steps = append(steps, byPlace[n])
	}
	return steps
}

// sortedSteps has the edits of each step in order.
func sortedSteps(steps []Step) []Step {
	list := slices.Clone(steps)
	for i := range list {
		list[i].Against = slices.Clone(list[i].Against)
		for k, edits := range list[i].Against {
			list[i].Against[k] = slices.SortedFunc(slices.Values(edits), func(a, b Altered) int { return strings.Compare(a.Path, b.Path) })
		}
	}
	return list
}

// dated commits everything on a day, so that the order of commits is known.
func (f *fixture) dated(day int, message string) {
	f.t.Helper()
	f.git("add", "-A")
	f.gitOn(day, "commit", "-qm", message)
}

func (f *fixture) gitOn(day int, args ...string) {
	f.t.Helper()
	at := fmt.Sprintf("@%d +0100", 1709368200+day*86400)
	cmd := f.command(args...)
	cmd.Env = append(cmd.Environ(), "GIT_AUTHOR_DATE="+at, "GIT_COMMITTER_DATE="+at)
	out, err := cmd.CombinedOutput()
	require.NoError(f.t, err, string(out))
}

// Steps tells what git tells: files added, altered, moved with their folder,
// deleted and brought back, on a side branch and in the merge, loose and packed.
func TestStepsTellWhatGitTells(t *testing.T) {
	f := newFixture(t)
	f.write("engines/2023/SK-07/spec.yaml", "engine: SK-07\nbuild: 2\n")
	f.dated(1, "altered")
	f.write("engines/2023/SK-07/measurements/2024-03-09-mock-up-KM.yaml", "stage: mock-up\n")
	f.dated(2, "no spec")
	f.git("checkout", "-qb", "side")
	f.write("engines/2024/SK-16/spec.yaml", "engine: SK-16\ntitle: side\n")
	f.dated(3, "on the side")
	f.git("checkout", "-q", "main")
	f.git("mv", "engines/2023", "engines/2022")
	f.dated(4, "moved")
	f.gitOn(5, "merge", "-q", "--no-edit", "side")
	f.git("rm", "-rq", "engines/2024")
	f.dated(6, "gone")
	f.write("engines/2024/SK-16/spec.yaml", "engine: SK-16\ntitle: again\n")
	f.dated(7, "back")
	for _, how := range []string{"loose", "packed"} {
		if how == "packed" {
			f.git("gc", "-q")
		}
		b, err := Open(f.root)
		require.NoError(t, err)
		head, _, err := b.Head()
		require.NoError(t, err)
		require.Equal(t, f.byGit("HEAD"), f.bySteps(b, head), how)
		require.Len(t, f.bySteps(b, head), 7, how)
		past, err := b.Resolve("HEAD~3")
		require.NoError(t, err)
		require.Equal(t, f.byGit("HEAD~3"), f.bySteps(b, past), how)
		require.NoError(t, b.Close())
	}
}

// A shallow clone's history begins at its cut, with all that is there.
func TestStepsOfAShallowClone(t *testing.T) {
	f := newFixture(t)
	f.write("engines/2023/SK-07/spec.yaml", "engine: SK-07\nbuild: 2\n")
	f.dated(1, "altered")
	cut := path.Join(t.TempDir(), "cut")
	f.git("clone", "-q", "--depth", "1", "file://"+f.root, cut)
	b, err := Open(cut)
	require.NoError(t, err)
	head, _, err := b.Head()
	require.NoError(t, err)
	steps, err := b.Steps(head, func(string) bool { return true }, nil, nil)
	require.NoError(t, err)
	require.Len(t, steps, 1)
	require.True(t, steps[0].Cut)
	require.Len(t, steps[0].Against[0], 3)
	require.Equal(t, sortedSteps(steps), sortedSteps(everyStep(t, b, head, func(string) bool { return true })))
}

// Blobs gives each file once, whatever core read it, and counts them.
func TestBlobs(t *testing.T) {
	f := newFixture(t)
	var hashes, want []string
	for i := range 50 {
		text := fmt.Sprintf("engine: SK-%d\n", i)
		f.write("a.yaml", text)
		hashes, want = append(hashes, f.git("hash-object", "-w", "a.yaml")), append(want, text)
	}
	b, err := Open(f.root)
	require.NoError(t, err)
	got := make([]string, len(hashes))
	var lock sync.Mutex
	most := 0
	count := func(done, of int) {
		lock.Lock()
		defer lock.Unlock()
		most = max(most, done)
		require.Equal(t, 50, of)
	}
	require.NoError(t, b.Blobs(hashes, count, func(i int, data []byte) error { got[i] = string(data); return nil }))
	require.Equal(t, want, got)
	require.Equal(t, 50, most)
	require.Error(t, b.Blobs([]string{strings.Repeat("1", 40)}, nil, func(int, []byte) error { return nil }))
}
