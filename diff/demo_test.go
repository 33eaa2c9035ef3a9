package diff_test

import (
	"io/fs"
	"maps"
	"os"
	"path"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"stackbook/diff"
	"stackbook/record"
	"stackbook/record/figure"
)

// The records the tests work on are those of the demo: the invented engine
// SK-01 of the shop at Skarvik, over two builds.
const (
	folder    = "engines/2017/SK-01"
	demoFiles = "../cmd/internal/act/demo/SK-01"
)

// files are the records of one engine: texts by their path in its folder.
type files map[string]string

// demo lays the folders of the demo one over the other, from enrolment to the
// one whose name begins with last.
func demo(t testing.TB, last string) files {
	t.Helper()
	steps, err := fs.Glob(os.DirFS(demoFiles), "*-*")
	require.NoError(t, err)
	f := files{}
	for _, step := range steps {
		if number := step[:2]; number < "02" || number > last {
			continue
		}
		f.lay(t, step)
		if strings.HasPrefix(step, "09") { // the second build is opened on arrival
			f["spec.yaml"] = strings.Replace(f["spec.yaml"], "build: 1\n", "build: 2\n", 1)
		}
	}
	return f
}

func (f files) lay(t testing.TB, step string) {
	t.Helper()
	dir := os.DirFS(path.Join(demoFiles, step))
	require.NoError(t, fs.WalkDir(dir, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		text, err := fs.ReadFile(dir, name)
		f[name] = string(text)
		return err
	}))
}

// with is a copy in which one file holds another text; an empty one takes the
// file out.
func (f files) with(name, text string) files {
	c := maps.Clone(f)
	if c[name] = text; text == "" {
		delete(c, name)
	}
	return c
}

// replaced is a copy in which old stands once in a file and is replaced.
func (f files) replaced(t testing.TB, name, old, by string) files {
	t.Helper()
	require.Equal(t, 1, strings.Count(f[name], old), "%q in %s", old, name)
	return f.with(name, strings.Replace(f[name], old, by, 1))
}

// read loads the records, with or without problems; nil when the spec cannot
// be read.
func (f files) read() (*record.Engine, error) {
	var list []record.File
	for _, name := range slices.Sorted(maps.Keys(f)) {
		list = append(list, record.File{Path: path.Join(folder, name), Data: []byte(f[name])})
	}
	e, problems := record.Load(folder, list)
	if len(problems) > 0 {
		return e, problems
	}
	return e, nil
}

// state is the engine with its figures, judged by the demo's limits.
func (f files) state(t testing.TB, name string) diff.State {
	t.Helper()
	e, err := f.read()
	require.NoError(t, err)
	return diff.State{Name: name, Engine: e, Figures: figure.Compute(e, limits(t))}
}

// written is the engine without figures, where only records are compared.
func (f files) written(t testing.TB) diff.State {
	t.Helper()
	e, _ := f.read()
	require.NotNil(t, e)
	return diff.State{Engine: e, Figures: &figure.Set{}}
}

func limits(t testing.TB) *record.LimitSet {
	t.Helper()
	const name = "limits/skarvik-race.yaml"
	text, err := os.ReadFile(path.Join(demoFiles, "../book/01-begin", name))
	require.NoError(t, err)
	set, problems := record.ReadLimits(record.File{Path: name, Data: text})
	require.Empty(t, problems)
	return set
}

// builds are the two builds of the demo, as delivered.
func builds(t testing.TB) (first, second diff.State) {
	return demo(t, "07").state(t, "SK-01/1"), demo(t, "15").state(t, "SK-01/2")
}
