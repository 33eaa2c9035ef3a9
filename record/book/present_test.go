package book

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// holding lists the records in the folder that hold a value, by reading all.
func (w *world) holding(word string) []string {
	w.t.Helper()
	var list []string
	for _, name := range w.files() {
		p, err := filepath.Rel(w.root, name)
		require.NoError(w.t, err)
		if text, err := os.ReadFile(name); err == nil && inSide(p) && isRecord(p) && valuesOf(string(text))[word] {
			list = append(list, p)
		}
	}
	return list
}

// edit does what a person does to a folder: writes, takes away, stages some of it
// and hides some of it from git.
func (w *world) edit() {
	w.t.Helper()
	for range 1 + w.rng.IntN(5) {
		p := worldPaths[1+w.rng.IntN(len(worldPaths)-2)]
		switch w.rng.IntN(7) {
		case 0:
			w.remove(p)
		case 1:
			w.write("engines/2025/"+fmt.Sprint("SK-", w.rng.IntN(30))+"/spec.yaml", w.record())
		case 2:
			w.write(p, w.record())
			w.git("add", "-A")
		case 3:
			w.write(p, w.record())
			w.git("add", "-N", ".")
		case 4:
			if _, err := w.run("update-index", "--assume-unchanged", p); err == nil {
				w.write(p, w.record())
			}
		case 5: // as large as it was, and as old
			info, err := os.Stat(w.path(p))
			if text := w.record(); err == nil && info.Size() >= int64(len(text)) {
				w.write(p, text+strings.Repeat("\n", int(info.Size())-len(text)))
				require.NoError(w.t, os.Chtimes(w.path(p), info.ModTime(), info.ModTime()))
			}
		default:
			w.write(p, w.record())
		}
	}
}

// Of the folder, too, no file that holds a value is left out, whatever was done
// to it since the last commit.
func TestMayHoldOfTheFolder(t *testing.T) {
	t.Parallel()
	for seed := range uint64(4) {
		w := newWorld(t, 200+seed, 40)
		w.git("checkout", "-q", "-f", "main")
		held := 0
		for range 25 {
			w.edit()
			b := w.opened(w.root, 1)
			for _, word := range askedWords {
				paths, ok, err := MayHold(b.Folder(), []string{word})
				require.NoError(t, err)
				require.True(t, ok)
				want := w.holding(word)
				held += len(want)
				for _, p := range want {
					require.Contains(t, paths, p, word)
				}
			}
			require.NoError(t, b.Close())
			if w.rng.IntN(5) == 0 {
				w.git("add", "-A")
				w.git("commit", "-q", "--allow-empty", "-m", "kept")
			}
		}
		require.Greater(t, held, 100)
		w.sound()
	}
}

// Where all is committed and git's index is older than that, only the files are
// named that a commit names; where git keeps other bytes than the folder holds,
// or a merge is under way, nothing is known.
func TestMayHoldOfACleanFolder(t *testing.T) {
	t.Parallel()
	w := newWorld(t, 300, 40)
	w.git("checkout", "-q", "-f", "main")
	for i := range 30 {
		w.write(fmt.Sprintf("engines/2025/SK-%d/spec.yaml", 100+i), fmt.Sprintf("engine: SK-%d\nlot: L-%d\n", 100+i, 9000+i))
	}
	w.git("add", "-A")
	w.git("commit", "-q", "-m", "thirty")
	old := time.Now().Add(-time.Hour)
	require.NoError(t, filepath.WalkDir(w.root, func(name string, d os.DirEntry, err error) error {
		if err == nil && !strings.Contains(name, ".git") {
			err = os.Chtimes(name, old, old)
		}
		return err
	}))
	w.git("update-index", "-q", "--refresh")
	ask := func() ([]string, bool) {
		b := w.opened(w.root, 1)
		defer b.Close()
		paths, ok, err := MayHold(b.Folder(), []string{"L-9007"})
		require.NoError(t, err)
		return slices.DeleteFunc(paths, func(p string) bool { return !strings.HasPrefix(p, "engines/2025/") }), ok
	}
	paths, ok := ask()
	require.True(t, ok)
	require.Equal(t, []string{"engines/2025/SK-107/spec.yaml"}, paths)

	w.write("engines/2025/SK-111/spec.yaml", "lot: other\n")
	w.write("engines/2025/SK-112/changes/new.yaml", "what: new\n")
	paths, ok = ask()
	require.True(t, ok)
	require.Equal(t, []string{"engines/2025/SK-107/spec.yaml", "engines/2025/SK-111/spec.yaml", "engines/2025/SK-112/changes/new.yaml"}, paths)

	for file, text := range map[string]string{".git/info/attributes": "*.yaml filter=other\n", "engines/2025/.gitattributes": "*.yaml ident\n"} {
		w.write(file, text)
		_, ok = ask()
		require.False(t, ok, file)
		w.remove(file)
	}
	w.git("update-index", "--add", "--cacheinfo", "160000,"+w.commits[3].hash+",engines/2025/sub")
	_, ok = ask()
	require.True(t, ok)
}
