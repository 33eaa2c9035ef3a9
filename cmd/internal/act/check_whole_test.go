package act_test

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"runtime"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"stackbook/cmd/internal/act"
	"stackbook/record/book"
)

var serialWord = regexp.MustCompile(`serial: ([\w-]+)`)

// manyEngines is a book of copies of the demo's engine under other numbers, none
// of them sealed, each with serials of its own or all with the same.
func manyEngines(t testing.TB, n int, ownSerials bool) *act.Shop {
	t.Helper()
	dir := t.TempDir()
	require.NoError(t, os.CopyFS(dir, os.DirFS(made)))
	require.NoError(t, os.RemoveAll(filepath.Join(dir, engineFolder)))
	spec, err := os.ReadFile(filepath.Join(made, engineFolder, "spec.yaml"))
	require.NoError(t, err)
	for i := range n {
		number := fmt.Sprintf("SM-%d", i)
		words := []string{"SK-01", number}
		for _, m := range serialWord.FindAllStringSubmatch(string(spec), -1) {
			if ownSerials {
				words = append(words, m[1], fmt.Sprintf("%s-%d", m[1], i))
			}
		}
		copyBelow(t, filepath.Join(made, engineFolder), filepath.Join(dir, "engines", "2017", number), strings.NewReplacer(words...))
		own := filepath.Join(dir, "engines", "2017", number, "spec.yaml")
		text, err := os.ReadFile(own)
		require.NoError(t, err)
		id := fmt.Sprintf("id: %04x-0000-0000", i)
		require.NoError(t, os.WriteFile(own, regexp.MustCompile(`(?m)^id: .*`).ReplaceAll(text, []byte(id)), 0o666))
	}
	s, err := act.Open(dir, now, book.WithEnv(env))
	require.NoError(t, err)
	return s
}

// copyBelow copies a file, or the files below a folder, with other words.
func copyBelow(t testing.TB, from, to string, words *strings.Replacer) {
	t.Helper()
	require.NoError(t, filepath.WalkDir(from, func(name string, d os.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := os.ReadFile(name)
		if err != nil {
			return err
		}
		if filepath.Ext(name) == ".yaml" {
			data = []byte(words.Replace(string(data)))
		}
		target := to + strings.TrimPrefix(name, from)
		if err := os.MkdirAll(filepath.Dir(target), 0o777); err != nil {
			return err
		}
		return os.WriteFile(target, data, 0o666)
	}))
}

// heldAfter is how many bytes a check of the whole book holds when it has looked
// at its last engine.
func heldAfter(t *testing.T, engines int) uint64 {
	s := manyEngines(t, engines, true)
	var before, after runtime.MemStats
	runtime.GC()
	runtime.ReadMemStats(&before)
	checked, err := s.Check(nil, func(what string, done, of int) {
		if done == of {
			runtime.GC()
			runtime.ReadMemStats(&after)
		}
	})
	require.NoError(t, err)
	require.Len(t, checked, engines)
	for i := range checked {
		require.Empty(t, checked[i].Problems)
	}
	return after.HeapAlloc - min(before.HeapAlloc, after.HeapAlloc)
}

// A check keeps of an engine what is told of it and no more: of its records and
// figures, more than a megabyte in memory, some kilobytes are left.
func TestCheckInFlatMemory(t *testing.T) {
	const few, many = 10, 60
	each := (int64(heldAfter(t, many)) - int64(heldAfter(t, few))) / (many - few)
	t.Logf("%d bytes an engine", each)
	require.Less(t, each, int64(8<<10))
}

// The engines come in the order of their numbers, however many cores look at
// them; what one of them shares with the others is told.
func TestCheckInOrder(t *testing.T) {
	s := manyEngines(t, 12, false)
	for range 2 {
		checked, err := s.Check(nil, func(string, int, int) {})
		require.NoError(t, err)
		require.Len(t, checked, 13)
		for i := range 12 {
			if i > 0 {
				require.Less(t, checked[i-1].Number, checked[i].Number)
			}
			require.NotEmpty(t, checked[i].Guards)
		}
		require.Empty(t, checked[12].Number)
		twice := 0
		for _, p := range checked[12].Problems {
			if p.Rule == "fitted-twice" {
				require.NotContains(t, p.File, "SM-0/", "it is told at the later of two")
				twice++
			}
		}
		spec := string(must(os.ReadFile(filepath.Join(made, engineFolder, "spec.yaml"))))
		require.Equal(t, 11*len(serialWord.FindAllString(spec, -1)), twice)
	}
}

func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}

// BenchmarkCheck is a check of a book of 50 engines on all cores.
func BenchmarkCheck(b *testing.B) {
	const engines = 50
	s := manyEngines(b, engines, true)
	for b.Loop() {
		if _, err := s.Check(nil, func(string, int, int) {}); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(b.Elapsed().Milliseconds())/float64(b.N*engines), "ms/engine")
}
