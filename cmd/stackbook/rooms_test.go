package main

import (
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"sort"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// room is one package: what it may import of the project, and why each.
type room struct {
	path string
	may  []use
}

type use struct{ path, why string }

// rooms is the house: four floors, stairs go down only, and every stair has
// its reason. A room that is not listed may not exist, a stair that is not
// listed may not be taken, and one that is listed and not taken is stale.
var rooms = []room{
	{"schema/problem", nil},
	{"schema/quantity", nil},
	{"schema/source", []use{{"schema/problem", "what cannot be read is a finding with its place"}}},
	{"schema", []use{
		{"schema/problem", "checking gives findings"},
		{"schema/quantity", "fields and points have dimensions and units"},
		{"schema/source", "a record is checked as text with positions"}}},

	{"record/rotary", nil},
	{"record", []use{
		{"schema", "the dictionary says what a record may hold"},
		{"schema/problem", "loading gives findings"},
		{"schema/quantity", "readings are quantities"},
		{"schema/source", "every value knows its line"}}},
	{"record/figure", []use{
		{"record", "figures follow from records"},
		{"record/rotary", "and from formulas"},
		{"schema", "a figure exists at positions and reads points"},
		{"schema/problem", "what cannot be computed says why"},
		{"schema/quantity", "values have units"},
		{"schema/source", "figures.yaml is read back as text"}}},
	{"record/travel", []use{
		{"record", "a part is followed through records"},
		{"schema", "positions of one kind can hold one part"},
		{"schema/problem", "two stories of one part are a finding"},
		{"schema/quantity", "intervals are hours"}}},
	{"record/book/passing", nil},
	{"record/book/objects", []use{{"record/book/passing", "objects half written do not outlive the run"}}},
	{"record/book/index", []use{{"record/book/objects", "an index entry names an object"}}},
	{"record/book/keep", nil},
	{"record/book/lookup", nil},
	{"record/book", []use{
		{"record/book/index", "a commit patches git's index"},
		{"record/book/keep", "what was worked out of a state is looked up"},
		{"record/book/lookup", "history is asked of a side index"},
		{"record/book/objects", "trees of bytes are git objects"},
		{"record/book/passing", "locks and half-written files do not outlive the run"}}},

	{"diff", []use{
		{"record", "states are records"},
		{"record/figure", "and what follows from them"},
		{"schema", "fields say how values are paired"},
		{"schema/quantity", "equal quantities are no difference"},
		{"schema/source", "specs are walked side by side"}}},
	{"diff/merge", []use{
		{"record", "engines are followed by id, and a delivered build is closed"},
		{"schema", "fields say how two sides of a value are paired"},
		{"schema/problem", "what was merged is checked again"},
		{"schema/quantity", "equal quantities are one value"},
		{"schema/source", "their changes are written into our text"}}},
	{"diff/history", []use{
		{"diff", "what each build altered"},
		{"record", "a life is told from records"},
		{"record/figure", "and from what failed"},
		{"record/rotary", "wear is a line fitted to readings"},
		{"record/travel", "over the hours a part ran in every engine"},
		{"schema", "a position holds others, a point has a unit"},
		{"schema/quantity", "sizes are fitted in the dictionary's unit"}}},

	{"cmd/internal/term", nil},
	{"cmd/internal/page/plot", []use{
		{"cmd/internal/term", "text in a picture is made harmless in the same place"},
		{"schema/quantity", "numbers are printed in one way"}}},
	{"cmd/internal/page", []use{
		{"cmd/internal/page/plot", "a section may hold drawings"},
		{"cmd/internal/term", "text from records is made harmless in one place"}}},
	{"cmd/internal/photo", nil},
	{"cmd/internal/act", []use{
		{"cmd/internal/photo", "a picture enters a record clean"},
		{"diff", "comparing states is an act"},
		{"diff/history", "so is telling a life"},
		{"diff/merge", "and bringing two together"},
		{"record", "acts load records"},
		{"record/book", "from the book, and commit to it"},
		{"record/book/passing", "a demo broken off is cleared away"},
		{"record/figure", "with figures computed anew"},
		{"record/travel", "parts are followed through all engines"},
		{"schema", "enrol writes from the dictionary"},
		{"schema/problem", "problems stop a commit"},
		{"schema/quantity", "the person's units at the edge"},
		{"schema/source", "edits keep all other bytes"}}},
	{"cmd/internal/app", []use{
		{"cmd/internal/act", "a command is an act with words around it"},
		{"cmd/internal/page", "export hands out pages"},
		{"cmd/internal/page/plot", "and says what is drawn on them"},
		{"cmd/internal/term", "everything else goes to the terminal"},
		{"diff", "shown as text and JSON"},
		{"diff/history", "shown as text and JSON"},
		{"diff/merge", "what a merge leaves to a person is shown"},
		{"record", "origins and sessions are named in what is shown"},
		{"record/book", "nothing to commit is no failure"},
		{"record/book/passing", "an interrupted run is cleared away"},
		{"record/figure", "verdicts are shown"},
		{"record/rotary", "reckon works one formula by hand"},
		{"record/travel", "hours and crack tests are shown"},
		{"schema", "the nearest known word is named"},
		{"schema/problem", "problems are shown with their mend"},
		{"schema/quantity", "typed inputs come in any unit"},
		{"schema/source", "a sheet shows a spec as it was written"}}},
	{"cmd/internal/bigbook", []use{
		{"cmd/internal/act", "a large book begins with the files of any other"},
		{"record", "its records are read, and its builds sealed"},
		{"record/figure", "and their figures worked out by the program's own formulas"}}},
	{"cmd/internal/bigbook/measure", []use{
		{"cmd/internal/act", "figures of past states are told as the program tells them"},
		{"cmd/internal/bigbook", "what is measured is measured on large books"},
		{"record/book", "commits are read from a book"}}},
	{"cmd/stackbook", []use{{"cmd/internal/app", "main runs it"}}},
}

// only names the libraries that one room alone may name, with why.
var only = map[string]struct{ room, why string }{
	"gopkg.in/yaml.v3":        {"schema/source", "YAML is read in one place, as text"},
	"github.com/go-git/":      {"record/book", "git is the book's own affair"},
	"github.com/urfave/cli":   {"cmd/internal/app", "the words a person types"},
	"golang.org/x/term":       {"cmd/internal/term", "what a terminal can do"},
	"github.com/mattn/go-run": {"cmd/internal/term", "how wide a character is"},
	"html/template":           {"cmd/internal/page", "markup is made in one place"},
	"gonum.org/":              {"record/rotary", "numerics serve the formulas"},
}

// imports lists the imports of each package outside its tests.
func imports(t *testing.T) map[string][]string {
	t.Helper()
	root := filepath.Join("..", "..")
	found := map[string]map[string]bool{}
	err := filepath.WalkDir(root, func(p string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() && (strings.HasPrefix(d.Name(), ".") && len(d.Name()) > 2 || d.Name() == "testdata") {
			return filepath.SkipDir
		}
		if !strings.HasSuffix(p, ".go") || strings.HasSuffix(p, "_test.go") {
			return nil
		}
		f, err := parser.ParseFile(token.NewFileSet(), p, nil, parser.ImportsOnly)
		require.NoError(t, err)
		rel, err := filepath.Rel(root, filepath.Dir(p))
		require.NoError(t, err)
		dir := filepath.ToSlash(rel)
		if found[dir] == nil {
			found[dir] = map[string]bool{}
		}
		for _, i := range f.Imports {
			path, err := strconv.Unquote(i.Path.Value)
			require.NoError(t, err)
			found[dir][path] = true
		}
		return nil
	})
	require.NoError(t, err)
	lists := map[string][]string{}
	for dir, set := range found {
		for path := range set {
			lists[dir] = append(lists[dir], path)
		}
		sort.Strings(lists[dir])
	}
	return lists
}

func TestRoomsImportOnlyWhatTheyMay(t *testing.T) {
	found := imports(t)
	listed := map[string]bool{}
	for _, r := range rooms {
		listed[r.path] = true
		require.Contains(t, found, r.path, "%s is listed and not there", r.path)
		may, taken := map[string]bool{}, map[string]bool{}
		for _, u := range r.may {
			require.NotEmpty(t, u.why)
			may[u.path] = true
		}
		for _, i := range found[r.path] {
			inside, ok := strings.CutPrefix(i, "stackbook/")
			if !ok {
				continue
			}
			taken[inside] = true
			require.True(t, may[inside], "%s imports %s, for which the table gives no reason", r.path, inside)
			require.LessOrEqual(t, floor(inside), floor(r.path), "%s imports %s: stairs go down only", r.path, inside)
		}
		for _, u := range r.may {
			require.True(t, taken[u.path], "%s no longer imports %s: take the line out", r.path, u.path)
		}
	}
	for dir := range found {
		require.True(t, listed[dir], "%s is in no table", dir)
	}
}

func floor(path string) int {
	head, _, _ := strings.Cut(path, "/")
	return map[string]int{"schema": 1, "record": 2, "diff": 3, "cmd": 4}[head]
}

func TestLibrariesAreNamedInOneRoom(t *testing.T) {
	for dir, list := range imports(t) {
		for _, i := range list {
			for prefix, o := range only {
				if strings.HasPrefix(i, prefix) {
					require.True(t, dir == o.room || strings.HasPrefix(dir, o.room+"/"), "%s names %s: %s", dir, i, o.why)
				}
			}
		}
	}
}

// Only cmd prints, reads the environment, exits or reads the clock; only cmd
// and the book touch files.
func TestOnlyCmdTouchesTheWorld(t *testing.T) {
	for dir, list := range imports(t) {
		if floor(dir) == 4 {
			continue
		}
		for _, i := range list {
			if i == "os" || i == "os/exec" || i == "log" {
				require.True(t, strings.HasPrefix(dir, "record/book"), "%s imports %s", dir, i)
			}
			require.NotContains(t, []string{"net", "net/http", "log", "flag"}, i, dir)
		}
	}
}

// main is short: what it does, it hands on.
func TestMainIsShort(t *testing.T) {
	text, err := os.ReadFile("main.go")
	require.NoError(t, err)
	require.Less(t, strings.Count(string(text), "\n"), 40)
}

// The top level of the project holds these and nothing else.
func TestTopLevel(t *testing.T) {
	entries, err := os.ReadDir(filepath.Join("..", ".."))
	require.NoError(t, err)
	allowed := map[string]bool{"cmd": true, "record": true, "diff": true, "schema": true, "testdata": true, "README.md": true, "DEVELOPERS.md": true, "go.mod": true, "go.sum": true, "LICENSE": true}
	for _, e := range entries {
		require.True(t, allowed[e.Name()] || strings.HasPrefix(e.Name(), "."), "%s does not belong here", e.Name())
	}
}
