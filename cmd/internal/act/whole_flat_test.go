package act_test

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"runtime"
	"testing"

	"github.com/stretchr/testify/require"

	"stackbook/cmd/internal/act"
)

var buildLine = regexp.MustCompile(`(?m)^build: \d+`)

// mostHeld is how many bytes a walk through a whole book holds, of one commit an
// engine: at the end of each of its parts, and when all is told.
func mostHeld(t *testing.T, engines int) int64 {
	s := manyEngines(t, engines, true)
	b := &bench{s, t, s.Book.Root()}
	for i := range engines { // as first committed: there are no builds before it to look for
		folder := filepath.Join(b.dir, "engines", "2017", fmt.Sprintf("SM-%d", i))
		for _, records := range []string{"changes", "measurements"} {
			require.NoError(t, os.RemoveAll(filepath.Join(folder, records)))
		}
		spec := string(must(os.ReadFile(filepath.Join(folder, "spec.yaml"))))
		require.NoError(t, os.WriteFile(filepath.Join(folder, "spec.yaml"), []byte(buildLine.ReplaceAllString(spec, "build: 1")), 0o666))
	}
	b.git("add", "-A")
	b.git("-c", "user.name=KM", "-c", "user.email=km@skarvik.example", "commit", "-q", "-m", "copies")
	var before runtime.MemStats
	runtime.GC()
	runtime.ReadMemStats(&before)
	var most int64
	look := func(string, int, int) {
		var m runtime.MemStats
		runtime.GC()
		runtime.ReadMemStats(&m)
		most = max(most, int64(m.HeapAlloc)-int64(before.HeapAlloc))
	}
	told := 0
	w, err := s.Whole(func(what string, done, of int) {
		if done == of {
			look(what, done, of)
		}
	}, scratchIn(t), func(*act.WholeEngine) error { return nil })
	require.NoError(t, err)
	look("", 0, 0)
	for _, line := range w.Engines {
		if line.Read {
			told++
		}
	}
	require.Equal(t, engines, told)
	require.Greater(t, len(w.Names()), engines)
	require.NoError(t, w.Close())
	return most
}

// Of an engine that was told some kilobytes stay in memory: its line, and where its
// parts were laid aside. Its outline with its uses would be some tens of
// kilobytes, and all its records a megabyte.
func TestWholeInFlatMemory(t *testing.T) {
	const few, many = 10, 40
	each := (mostHeld(t, many) - mostHeld(t, few)) / (many - few)
	t.Logf("%d bytes an engine", each)
	require.Less(t, each, int64(16<<10))
}
