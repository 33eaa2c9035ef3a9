package figure_test

import (
	"os"
	"path/filepath"
	"sort"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"stackbook/record"
	"stackbook/record/figure"
	"stackbook/schema/problem"
	"stackbook/schema/source"
)

// The demo's records are the example here: an invented engine of an invented
// shop, laid down folder by folder as its story goes on.
const (
	demoRoot   = "../../cmd/internal/act/demo/SK-01"
	demoLimits = "../../cmd/internal/act/demo/book/01-begin/limits/skarvik-race.yaml"
	demoEngine = "engines/2017/SK-01"
)

// shelf is the files of an engine by their path inside its folder, and the
// text of its limit set.
type shelf struct {
	files  map[string]string
	limits string
}

// demoTo is the engine's folder after the steps up to and with the numbered
// one, as the demo commits them.
func demoTo(t testing.TB, step string) *shelf {
	t.Helper()
	s := &shelf{files: map[string]string{}, limits: readFile(t, demoLimits)}
	folders, err := os.ReadDir(demoRoot)
	require.NoError(t, err)
	for _, f := range folders {
		name := f.Name()
		if name[:2] > step {
			continue
		}
		s.lay(t, filepath.Join(demoRoot, name))
		if name[:2] == "09" {
			s.set(t, "spec.yaml", "2", "build") // the teardown opens build 2
		}
	}
	return s
}

func build1(t testing.TB) *shelf { return demoTo(t, "07") }
func build2(t testing.TB) *shelf { return demoTo(t, "15") }

func readFile(t testing.TB, name string) string {
	t.Helper()
	data, err := os.ReadFile(name)
	require.NoError(t, err)
	return string(data)
}

func (s *shelf) lay(t testing.TB, root string) {
	t.Helper()
	require.NoError(t, filepath.WalkDir(root, func(p string, d os.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		rel, err := filepath.Rel(root, p)
		if err == nil {
			s.files[filepath.ToSlash(rel)] = readFile(t, p)
		}
		return err
	}))
}

func (s *shelf) clone() *shelf {
	c := &shelf{files: map[string]string{}, limits: s.limits}
	for name, text := range s.files {
		c.files[name] = text
	}
	return c
}

// replace writes new for old, which must stand in the file exactly once.
func (s *shelf) replace(t testing.TB, file, old, new string) *shelf {
	t.Helper()
	require.Equal(t, 1, strings.Count(s.files[file], old), "%q in %s", old, file)
	s.files[file] = strings.Replace(s.files[file], old, new, 1)
	return s
}

// replaceLimit is replace in the limit set.
func (s *shelf) replaceLimit(t testing.TB, old, new string) *shelf {
	t.Helper()
	require.Equal(t, 1, strings.Count(s.limits, old), "%q in the limit set", old)
	s.limits = strings.Replace(s.limits, old, new, 1)
	return s
}

// set writes YAML for the value at a path, the way the program edits a file.
func (s *shelf) set(t testing.TB, file, raw string, path ...string) *shelf {
	t.Helper()
	doc, err := source.Parse(file, []byte(s.files[file]))
	require.NoError(t, err)
	doc, err = doc.SetRaw(path, raw)
	require.NoError(t, err, "%s %v", file, path)
	s.files[file] = string(doc.Text())
	return s
}

// cut takes the value at a path out.
func (s *shelf) cut(t testing.TB, file string, path ...string) *shelf {
	t.Helper()
	doc, err := source.Parse(file, []byte(s.files[file]))
	require.NoError(t, err)
	doc, err = doc.Remove(path)
	require.NoError(t, err, "%s %v", file, path)
	s.files[file] = string(doc.Text())
	return s
}

// load reads the engine and its limits; problems are the caller's to judge.
func (s *shelf) load() (*record.Engine, *record.LimitSet, problem.List) {
	names := make([]string, 0, len(s.files))
	for name := range s.files {
		names = append(names, name)
	}
	sort.Strings(names)
	var files []record.File
	for _, name := range names {
		files = append(files, record.File{Path: demoEngine + "/" + name, Data: []byte(s.files[name])})
	}
	e, problems := record.Load(demoEngine, files)
	if s.limits == "" {
		return e, nil, problems
	}
	limits, more := record.ReadLimits(record.File{Path: "limits/skarvik-race.yaml", Data: []byte(s.limits)})
	return e, limits, append(problems, more...)
}

// compute works the figures of records that must be in order.
func (s *shelf) compute(t testing.TB) *figure.Set {
	t.Helper()
	e, limits, problems := s.load()
	require.Empty(t, problems)
	return figure.Compute(e, limits)
}

// computeAnyway works the figures of records that may hold mistakes.
func (s *shelf) computeAnyway(t testing.TB) *figure.Set {
	t.Helper()
	e, limits, _ := s.load()
	require.NotNil(t, e)
	return figure.Compute(e, limits)
}

// result is the figure at a position, which must be there.
func result(t testing.TB, s *figure.Set, id, at string) *figure.Result {
	t.Helper()
	r := s.Find(id, at)
	require.NotNil(t, r, "%s at %s", id, at)
	return r
}

// missing is what is said of a figure that could not be worked, or nil.
func missing(s *figure.Set, id, at string) *figure.Missing {
	for _, m := range s.Missing {
		if m.Figure.ID == id && m.At == at {
			return m
		}
	}
	return nil
}

// needed is missing for a figure that must be missing.
func needed(t testing.TB, s *figure.Set, id, at string) *figure.Missing {
	t.Helper()
	m := missing(s, id, at)
	require.NotNil(t, m, "%s at %s", id, at)
	require.Nil(t, s.Find(id, at))
	return m
}
