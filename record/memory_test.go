package record_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"stackbook/record"
)

// With a memory the same is read, and said to be wrong, as without one, whichever
// state comes first; and what stands in both states is one record.
func TestMemoryReadsWhatLoadReads(t *testing.T) {
	root := filepath.Join("..", "cmd", "internal", "act", "demo", "SK-01")
	var states [][]record.File
	var files []record.File
	steps, err := os.ReadDir(root)
	require.NoError(t, err)
	for _, step := range steps {
		require.NoError(t, filepath.WalkDir(filepath.Join(root, step.Name()), func(file string, d os.DirEntry, err error) error {
			if err != nil || d.IsDir() {
				return err
			}
			rel, err := filepath.Rel(filepath.Join(root, step.Name()), file)
			require.NoError(t, err)
			data, err := os.ReadFile(file)
			name := "engines/2017/SK-01/" + filepath.ToSlash(rel)
			kept := files[:0:0]
			for _, f := range files {
				if f.Path != name {
					kept = append(kept, f)
				}
			}
			files = append(kept, record.File{Path: name, Data: data})
			return err
		}))
		states = append(states, files)
	}
	require.Greater(t, len(states), 10)
	last := states[len(states)-1]
	broken := append([]record.File{}, last...)
	for i, f := range broken {
		if strings.HasSuffix(f.Path, "mock-up-KM.yaml") {
			broken[i].Data = []byte(strings.Replace(string(f.Data), "unit: mm", "unit: mmm", 1))
		}
	}
	unread := append([]record.File{}, last...)
	unread[len(unread)-1].Data = []byte("a: [\n")
	states = append(states, broken, last, unread)

	m := record.NewMemory()
	for _, files := range states {
		want, problems := record.Load("engines/2017/SK-01", files)
		got, same := m.Load("engines/2017/SK-01", files)
		require.Equal(t, problems, same)
		require.Equal(t, want, got)
		again, _ := m.Load("engines/2017/SK-01", files)
		require.Same(t, got.Spec, again.Spec)
		for i := range got.Sessions {
			require.Same(t, got.Sessions[i], again.Sessions[i])
		}
		for i := range got.Changes {
			require.Same(t, got.Changes[i], again.Changes[i])
		}
	}
	spec := last[0]
	for _, f := range last {
		if strings.HasSuffix(f.Path, "/spec.yaml") {
			spec = f
		}
	}
	require.Equal(t, record.ReadSpec("engines/2017/SK-01", spec), m.ReadSpec("engines/2017/SK-01", spec))
	require.Nil(t, m.ReadSpec("engines/2017/SK-01", record.File{Path: spec.Path, Data: []byte("a: [\n")}))
}
