package book

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Any byte turned over, any end cut off, anything else in its place changes
// nothing but time.
func TestIndexDamagedAnywhere(t *testing.T) {
	t.Parallel()
	w := newWorld(t, 104, 80)
	var want string
	for i := 0; !isFile(w.path(".git/stackbook/" + tailFile)); i++ {
		require.Less(t, i, 20)
		b := w.opened(w.root, 1)
		want = askAll(t, b, true, true)
		require.Equal(t, want, askAll(t, b, false, true))
		require.NoError(t, b.Close())
		if isFile(w.path(".git/stackbook/" + tailFile)) {
			break
		}
		w.grow(17)
	}

	sound := map[string][]byte{}
	for _, name := range []string{baseFile, tailFile} {
		data, err := os.ReadFile(w.path(".git/stackbook/" + name))
		require.NoError(t, err)
		sound[name] = data
	}
	for i := range 64 {
		bad := map[string][]byte{baseFile: slices.Clone(sound[baseFile]), tailFile: slices.Clone(sound[tailFile])}
		name := []string{baseFile, tailFile}[i%2]
		switch data := bad[name]; i % 8 {
		case 0, 1:
			bad[name] = data[:w.rng.IntN(len(data))]
		case 2:
			clear(data[w.rng.IntN(len(data)):])
		case 3:
			bad[baseFile], bad[tailFile] = bad[tailFile], bad[baseFile]
		default:
			data[w.rng.IntN(len(data))] ^= byte(1 + w.rng.IntN(255))
		}
		for name, data := range bad {
			require.NoError(t, os.WriteFile(w.path(".git/stackbook/"+name), data, 0o644))
		}
		b := w.opened(w.root, 1)
		require.Equal(t, want, askAll(t, b, false, true), "damage %d", i)
		require.NoError(t, b.Close())
	}
	w.sound()
}

// An index of another clone, of another format, or a folder in its place is none.
func TestForeignIndex(t *testing.T) {
	t.Parallel()
	w, other := newWorld(t, 105, 40), newWorld(t, 106, 40, "--object-format=sha256")
	for _, one := range []*world{w, other} {
		b := one.opened(one.root, 1)
		askAll(t, b, false, true)
		require.NoError(t, b.Close())
	}
	data, err := os.ReadFile(other.path(".git/stackbook/history"))
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(w.path(".git/stackbook/history"), data, 0o644))
	b := w.opened(w.root, 1)
	require.Equal(t, askAll(t, b, true, true), askAll(t, b, false, true))
	require.NoError(t, b.Close())
	w.remove(".git/stackbook/history")
	require.NoError(t, os.MkdirAll(w.path(".git/stackbook/history/x"), 0o755))
	b = w.opened(w.root, 1)
	require.Equal(t, askAll(t, b, true, true), askAll(t, b, false, true))
	require.NoError(t, b.Close())
}

// Several processes that make the index at once, while the history goes on, all
// tell the truth, and leave an index that does.
func TestIndexMadeByManyAtOnce(t *testing.T) {
	t.Parallel()
	w := newWorld(t, 107, 80)
	for range 4 {
		b := w.opened(w.root, 0)
		want := askAll(t, b, true, false)
		require.NoError(t, b.Close())
		var running []*exec.Cmd
		outs := make([]strings.Builder, 4)
		for i := range outs {
			cmd := exec.Command(os.Args[0])
			cmd.Dir, cmd.Stdout, cmd.Stderr = w.root, &outs[i], os.Stderr
			cmd.Env = append(os.Environ(), "BOOK_TEST_JOB=ask")
			require.NoError(t, cmd.Start())
			running = append(running, cmd)
		}
		for i, cmd := range running {
			assert.NoError(t, cmd.Wait())
			assert.Equal(t, want, outs[i].String())
		}
		b = w.opened(w.root, 1)
		require.Equal(t, want, askAll(t, b, false, true))
		require.NoError(t, b.Close())
		left, err := filepath.Glob(w.path(".git/stackbook/" + sideTemp + "*"))
		require.NoError(t, err)
		require.Empty(t, left)
		w.grow(20)
	}
	w.sound()
}

// askAsProcess is what another process does in that test.
func askAsProcess() int {
	b, err := Open(".", WithEnv(os.Getenv), WithIndexFrom(1))
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	fmt.Print(askAll(failing{}, b, false, true))
	return 0
}

type failing struct{}

func (failing) Errorf(format string, args ...any) { fmt.Fprintf(os.Stderr, format, args...) }
func (failing) FailNow()                          { os.Exit(1) }

// Two books in one repository have an index each.
func TestIndexOfTwoBooksInOneRepository(t *testing.T) {
	t.Parallel()
	f := newFixture(t)
	for _, shop := range []string{"east", "west"} {
		for i := range 20 {
			f.write(shop+"/book.yaml", "format: book/1\n")
			f.write(shop+"/engines/2024/SK-16/spec.yaml", fmt.Sprintf("engine: %s-%04d\n", shop, i))
			f.dated(i, shop)
		}
	}
	for range 2 {
		for _, shop := range []string{"east", "west"} {
			b, err := Open(f.path(shop), WithIndexFrom(1))
			require.NoError(t, err)
			head, _, err := b.Head()
			require.NoError(t, err)
			for _, word := range []string{"east-0003", "west-0007"} {
				steps, answered, err := b.stepsByIndex(head, isRecord, []string{word})
				require.NoError(t, err)
				require.True(t, answered)
				require.Equal(t, strings.HasPrefix(word, shop), len(steps) == 20)
			}
			require.NoError(t, b.Close())
		}
	}
	names, err := filepath.Glob(f.path(".git/stackbook/history*"))
	require.NoError(t, err)
	require.Len(t, names, 2)
}

// MayHold never leaves out a file of a state that holds a value, and leaves out
// most that do not.
func TestMayHold(t *testing.T) {
	t.Parallel()
	w := newWorld(t, 108, 80)
	b := w.opened(w.root, 1)
	defer b.Close()
	held, fewer := 0, 0
	for _, c := range w.commits {
		at, err := b.Resolve(c.hash)
		require.NoError(t, err)
		for _, word := range askedWords {
			paths, ok, err := MayHold(b.At(at), []string{word})
			require.NoError(t, err)
			require.True(t, ok)
			for p, text := range c.files {
				switch {
				case !isRecord(p) || p == "book.yaml":
				case valuesOf(text)[word]:
					held++
					require.Contains(t, paths, p, "%s in %q", word, text)
				case !slices.Contains(paths, p):
					fewer++
				}
			}
		}
	}
	require.Greater(t, held, len(w.commits))
	require.Greater(t, fewer, len(w.commits))
	_, ok, err := MayHold(b.Folder(), []string{"R-1177"})
	require.NoError(t, err)
	require.False(t, ok)
}

// A merge of more than is kept is told all the same.
func TestIndexOfAWideMerge(t *testing.T) {
	t.Parallel()
	f := newFixture(t)
	f.git("checkout", "-qb", "side")
	for i := range mostEdits + 10 {
		f.write(fmt.Sprintf("engines/2024/SK-%d/spec.yaml", 100+i), fmt.Sprintf("lot: L-%d\n", i))
	}
	f.dated(1, "many")
	f.git("checkout", "-q", "main")
	f.write("engines/2024/SK-16/spec.yaml", "lot: L-7000\n")
	f.dated(2, "one")
	f.git("merge", "-q", "--no-commit", "side")
	f.write("engines/2024/SK-107/spec.yaml", "lot: L-7001\n")
	f.dated(3, "merged, and one more altered")
	b := f.open()
	b.side.from = 1
	head, _, err := b.Head()
	require.NoError(t, err)
	x, _, ok := b.indexTo(head.Hash)
	require.True(t, ok)
	require.Len(t, x.Wide(), 1)
	for _, p := range []string{"engines", "engines/2024/SK-107", "engines/2024/SK-108", "engines/2024/SK-16/spec.yaml"} {
		want, err := b.logByWalk(head, p)
		require.NoError(t, err)
		got, answered, err := b.logByIndex(head, p)
		require.NoError(t, err)
		require.True(t, answered)
		require.Equal(t, want, got, p)
	}
	for _, word := range []string{"L-7", "L-8", "L-7000", "L-7001"} {
		all, err := b.stepsByWalk(head, isRecord, nil)
		require.NoError(t, err)
		steps, answered, err := b.stepsByIndex(head, isRecord, []string{word})
		require.NoError(t, err)
		require.True(t, answered)
		var of []string
		for _, s := range steps {
			of = append(of, s.Hash)
			i := slices.IndexFunc(all, func(o Step) bool { return o.Hash == s.Hash })
			require.GreaterOrEqual(t, i, 0)
			for k, edits := range s.Against {
				for _, e := range edits {
					require.Contains(t, all[i].Against[k], e)
				}
			}
		}
		require.Contains(t, of, head.Hash, word)
		require.Greater(t, len(of), 1, word)
	}
}
