package book

import (
	"fmt"
	"maps"
	"math/rand/v2"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"gopkg.in/yaml.v3"
)

// world is a random history with merges, deletions, folders that move, clocks
// that are wrong, and records that hold words in every spelling YAML has.
type world struct {
	*fixture
	rng     *rand.Rand
	commits []worldCommit
	live    []int // those that a new one may come from
}

type worldCommit struct {
	hash  string
	files map[string]string // content by path
	when  int64
}

// askedWords are looked for; further ones only lie around.
var askedWords = []string{"R-1177", "L-2304", "R-1177 #2", "B,7", "O'Neil", "slow curing", "00123", "0.05", "12", "S-02", "måler", "C-03", "SK-16", "nowhere", "a:b"}

// spelled writes a value as YAML in one of the ways that need no more than one
// scalar; "" where it cannot be written so.
func spelled(value string, way int) string {
	plain := !strings.ContainsAny(value, ",'#: ")
	switch {
	case way == 0 && plain:
		return value
	case way == 1:
		return "'" + strings.ReplaceAll(value, "'", "''") + "'"
	case way == 2:
		return fmt.Sprintf(`"\x%02x%s"`, value[0], value[1:])
	case way == 3 && plain:
		return "&it " + value + " # so"
	case way == 4:
		return ">-\n    " + strings.ReplaceAll(value, " ", "\n    ")
	}
	return `"` + value + `"`
}

func (w *world) record() string {
	text := "format: spec/1\n"
	for range w.rng.IntN(4) {
		value := askedWords[w.rng.IntN(len(askedWords)-2)]
		text += fmt.Sprintf("lot%d: %s\n", w.rng.IntN(3), spelled(value, w.rng.IntN(6)))
	}
	return text + fmt.Sprintf("number: %d\n", w.rng.IntN(5))
}

var worldPaths = []string{
	"book.yaml", "engines/2023/SK-07/spec.yaml", "engines/2023/SK-07/changes/a.yaml", "engines/2023/SK-07/figures.yaml", "engines/2023/SK-07/photos/p.jpg",
	"engines/2024/SK-07/spec.yaml", "engines/2024/SK-07/changes/a.yaml", "engines/2024/SK-16/spec.yaml", "engines/2024/SK-16/measurements/m.yaml",
	"engines/2024/SK-16-b/spec.yaml", "engines/2024/SK-16/changes/b.yaml", "parts/L-2304.yaml", "parts/R-1177.yaml", "engines/x",
}

// alter makes a few changes to the files of a commit.
func (w *world) alter(files map[string]string) {
	for range w.rng.IntN(4) {
		p := worldPaths[1+w.rng.IntN(len(worldPaths)-1)]
		switch w.rng.IntN(6) {
		case 0:
			delete(files, p)
		case 1: // the folder moves
			from, to := "engines/2023/SK-07/", "engines/2024/SK-07/"
			if w.rng.IntN(2) == 0 {
				from, to = to, from
			}
			for name, text := range maps.Clone(files) {
				if strings.HasPrefix(name, from) {
					delete(files, name)
					files[to+strings.TrimPrefix(name, from)] = text
				}
			}
		default:
			files[p] = w.record()
		}
	}
}

// grow makes n commits on top of some, by git fast-import, and gives the last.
func (w *world) grow(n int) {
	w.t.Helper()
	var in strings.Builder
	first := len(w.commits)
	for i := first; i < first+n; i++ {
		var parents []int
		switch k := w.rng.IntN(12); {
		case i == 0 || k == 0 && i < 5:
		case k < 8:
			parents = []int{w.live[len(w.live)-1]}
		case k == 8:
			parents = []int{w.live[w.rng.IntN(len(w.live))]}
		default:
			for _, k := range w.rng.Perm(len(w.live))[:min(len(w.live), 2+w.rng.IntN(2))] {
				parents = append(parents, w.live[k])
			}
		}
		w.live = append(w.live, i)
		c := worldCommit{files: map[string]string{"book.yaml": "format: book/1\n"}, when: 1709368200 + int64(i)*40000}
		for k, p := range parents {
			for name, text := range w.commits[p].files {
				if _, both := c.files[name]; k == 0 || !both || w.rng.IntN(3) > 0 {
					c.files[name] = text
				}
			}
		}
		w.alter(c.files)
		if w.rng.IntN(6) == 0 {
			c.when += int64(w.rng.IntN(9)-6) * 86400
		}
		w.commits = append(w.commits, c)
		w.tell(&in, i, parents)
	}
	marks := filepath.Join(w.t.TempDir(), "marks")
	cmd := w.command("fast-import", "--quiet", "--force", "--export-marks="+marks)
	cmd.Stdin = strings.NewReader(in.String())
	out, err := cmd.CombinedOutput()
	require.NoError(w.t, err, string(out))
	text, err := os.ReadFile(marks)
	require.NoError(w.t, err)
	for line := range strings.Lines(string(text)) {
		var mark int
		var hash string
		_, err := fmt.Sscanf(line, ":%d %s", &mark, &hash)
		require.NoError(w.t, err)
		w.commits[mark-1].hash = hash
	}
	w.onto(len(w.commits) - 1)
}

// onto moves the branch to a commit.
func (w *world) onto(i int) {
	w.git("update-ref", "refs/heads/main", w.commits[i].hash)
}

// prune has git throw away what no branch or tag leads to.
func (w *world) prune() {
	w.git("update-ref", "-d", "refs/heads/side")
	w.git("reflog", "expire", "--expire=now", "--all")
	w.git("gc", "-q", "--prune=now")
	left := w.git("rev-list", "--all")
	w.live = slices.DeleteFunc(w.live, func(i int) bool { return !strings.Contains(left, w.commits[i].hash) })
}

func (w *world) tell(in *strings.Builder, i int, parents []int) {
	zone := []string{"+0000", "+0100", "-0930", "+1400"}[w.rng.IntN(4)]
	c := w.commits[i]
	author, message := saidNames[i%len(saidNames)], strings.ReplaceAll(saidMessages[i%len(saidMessages)], "%d", fmt.Sprint(i))
	fmt.Fprintf(in, "reset refs/heads/side\n\ncommit refs/heads/side\nmark :%d\nauthor %s <km@skarvik.example> %d +0000\ncommitter K M <km@skarvik.example> %d %s\ndata %d\n%s\n",
		i+1, author, c.when-86400*int64(i%3), c.when, zone, len(message), message)
	for k, p := range parents {
		from := fmt.Sprintf(":%d", p+1)
		if h := w.commits[p].hash; h != "" {
			from = h
		}
		fmt.Fprintf(in, "%s %s\n", []string{"from", "merge", "merge"}[k], from)
	}
	fmt.Fprintln(in, "deleteall")
	for _, p := range slices.Sorted(maps.Keys(c.files)) {
		mode := "100644"
		if strings.HasSuffix(p, ".jpg") && w.rng.IntN(2) == 0 {
			mode = "100755"
		}
		fmt.Fprintf(in, "M %s inline %s\ndata %d\n%s\n", mode, p, len(c.files[p]), c.files[p])
	}
}

// Who wrote the commits of a world, and of what.
var (
	saidNames    = []string{"K M", "Åse Ø", "J. \x1b[31mR\a", "夕 子", "T", "a\tb", strings.Repeat("long ", 300) + "name"}
	saidMessages = []string{"read again", "bearings read %d\n", "two lines\nof one subject %d\n\nand a body\n", "\n\n  begins late %d  \t\n\nbody\n", "", "\n", "at \x1b]0;owned\a %d\n\n\n",
		"målt %d\r\nnext\r\n\r\nbody\r\n", strings.Repeat("much ", 250) + "%d\n", "\u202ereversed %d\n", "not UTF-8 \xff%d\n", "bearings, \"quoted\" %d; and =1+1\n"}
)

func newWorld(t *testing.T, seed uint64, commits int, initArgs ...string) *world {
	f := &fixture{t, filepath.Join(t.TempDir(), "book")}
	require.NoError(t, os.Mkdir(f.root, 0o755))
	f.git(append([]string{"init", "-q", "-b", "main"}, initArgs...)...)
	f.write("book.yaml", "format: book/1\n")
	w := &world{fixture: f, rng: rand.New(rand.NewPCG(seed, 11))}
	w.grow(commits)
	return w
}

func (w *world) opened(dir string, from int) *Book {
	w.t.Helper()
	b, err := Open(dir, WithEnv(os.Getenv), WithIndexFrom(from))
	require.NoError(w.t, err)
	return b
}

// askAll asks a book everything an index answers. With walk, every commit is
// read; else the index has to answer, where has says so.
func askAll(t require.TestingT, b *Book, walk, has bool) string {
	var out strings.Builder
	head, ok, err := b.Head()
	require.NoError(t, err)
	require.True(t, ok)
	for _, p := range append([]string{"engines", "engines/2023", "engines/2023/SK-07", "engines/2024/SK-16", "parts"}, worldPaths[1:]...) {
		ask := b.Log
		if walk {
			ask = func(p string) ([]Commit, error) { return b.logByWalk(head, p) }
		} else {
			_, answered, err := b.logByIndex(head, p)
			require.NoError(t, err)
			require.Equal(t, has, answered)
		}
		list, err := ask(p)
		require.NoError(t, err)
		fmt.Fprintf(&out, "log %s:", p)
		for _, c := range list {
			fmt.Fprintf(&out, " %s %v %v", c.Short(), c.Parents, c.Cut)
		}
		fmt.Fprintln(&out)
	}
	fmt.Fprint(&out, linesAsked(t, b, head, walk, has))
	for day := time.Date(2024, 2, 20, 0, 0, 0, 0, time.UTC); day.Year() == 2024 && day.YearDay() < 160; day = day.AddDate(0, 0, 3) {
		text := day.Format(time.DateOnly)
		ask := b.OnOrBefore
		if walk {
			ask = b.onOrBeforeByWalk
		}
		c, remark, err := ask(text)
		fmt.Fprintf(&out, "%s: %s %s %v\n", text, c.Hash, remark, err)
	}
	fmt.Fprint(&out, usesOf(t, b, head, walk))
	return out.String()
}

// linesAsked gives the lists of commits, of the branch and of what lies behind it.
func linesAsked(t require.TestingT, b *Book, head Commit, walk, has bool) string {
	var out strings.Builder
	for _, hash := range append([]string{head.Hash}, head.Parents...) {
		for _, p := range []string{"engines/2023/SK-07", "engines/2024/SK-16", "parts"} {
			ask := b.LogLines
			if walk {
				ask = b.linesByWalk
			} else {
				_, answered, err := b.linesByIndex(hash, p)
				require.NoError(t, err)
				require.Equal(t, has, answered)
			}
			lines, err := ask(hash, p)
			require.NoError(t, err)
			for _, l := range lines {
				fmt.Fprintf(&out, "%s %s: %+q\n", hash[:6], p, fmt.Sprint(l))
			}
		}
	}
	return out.String()
}

func isRecord(p string) bool { return path.Ext(p) == ".yaml" && path.Base(p) != "figures.yaml" }

// usesOf tells, of each word, what commits altered in the files that may hold it:
// those that hold it in any version of the past, by looking into each.
func usesOf(t require.TestingT, b *Book, head Commit, walk bool) string {
	all, err := b.stepsByWalk(head, isRecord, nil)
	require.NoError(t, err)
	holds := map[string]map[string]bool{} // path by word
	values := map[string]map[string]bool{}
	for _, s := range all {
		for _, edits := range s.Against {
			for _, e := range edits {
				for _, hash := range []string{e.Was, e.Is} {
					if hash != "" && values[hash] == nil {
						require.NoError(t, b.Blobs([]string{hash}, nil, func(_ int, data []byte) error { values[hash] = valuesOf(string(data)); return nil }))
					}
					for _, w := range askedWords {
						if holds[w] == nil {
							holds[w] = map[string]bool{}
						}
						holds[w][e.Path] = holds[w][e.Path] || values[hash][w]
					}
				}
			}
		}
	}
	var out strings.Builder
	for _, word := range askedWords {
		steps := all
		if !walk {
			steps, err = b.Steps(head, isRecord, []string{word}, nil)
			require.NoError(t, err)
		}
		fmt.Fprintf(&out, "%s:\n", word)
		for _, s := range steps {
			line, any := fmt.Sprintf("%s %s %v", s.Hash, s.Day, s.Cut), false
			for _, edits := range s.Against {
				line += " |"
				sorted := slices.SortedFunc(slices.Values(edits), func(a, b Altered) int { return strings.Compare(a.Path, b.Path) })
				for _, e := range sorted {
					if holds[word][e.Path] {
						any = true
						line += fmt.Sprintf(" %s %.6s %.6s", e.Path, e.Was, e.Is)
					}
				}
			}
			if any {
				fmt.Fprintln(&out, line)
			}
		}
	}
	return out.String()
}

// valuesOf gives every scalar of a text, as yaml.v3 reads it; none of one that it
// cannot.
func valuesOf(text string) map[string]bool {
	values := map[string]bool{}
	var doc yaml.Node
	if yaml.Unmarshal([]byte(text), &doc) != nil {
		return values
	}
	var visit func(n *yaml.Node)
	visit = func(n *yaml.Node) {
		if n.Kind == yaml.ScalarNode {
			values[n.Value] = true
		}
		for _, c := range n.Content {
			visit(c)
		}
	}
	visit(&doc)
	return values
}
