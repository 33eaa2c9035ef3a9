package book

import (
	"fmt"
	"maps"
	"math/rand/v2"
	"os"
	"os/exec"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gopkg.in/yaml.v3"
)

// past worlds: random histories with merges, deletions, folders that move, clocks
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
	fmt.Fprintf(in, "reset refs/heads/side\n\ncommit refs/heads/side\nmark :%d\ncommitter K M <km@skarvik.example> %d %s\ndata 2\nc\n", i+1, c.when, zone)
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
		list, answered, err := b.logByIndex(head, p)
		if walk {
			list, err = b.logByWalk(head, p)
		} else {
			require.Equal(t, has, answered)
			list, err = b.Log(p)
		}
		require.NoError(t, err)
		fmt.Fprintf(&out, "log %s:", p)
		for _, c := range list {
			fmt.Fprintf(&out, " %s %v %v", c.Short(), c.Parents, c.Cut)
		}
		fmt.Fprintln(&out)
	}
	for day := time.Date(2024, 2, 20, 0, 0, 0, 0, time.UTC); day.Year() == 2024 && day.YearDay() < 160; day = day.AddDate(0, 0, 1) {
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

// Whatever happened to the past, the index answers as a walk of all commits does
// (R2, R16): of a random history, of one that goes on, of one that was rewritten
// or taken back, after gc and prune, loose and packed, in both of git's formats.
func TestIndexTellsWhatAWalkTells(t *testing.T) {
	t.Parallel()
	for seed := range uint64(8) {
		t.Run(fmt.Sprint(seed), func(t *testing.T) {
			t.Parallel()
			w := newWorld(t, seed, 50, "--object-format="+[]string{"sha1", "sha256"}[seed%2])
			same := func(what string) {
				t.Helper()
				b := w.opened(w.root, 1)
				defer b.Close()
				got := askAll(t, b, false, true)
				require.Equal(t, askAll(t, b, true, true), got, what)
				if ours, theirs := w.logSets(b); ours != theirs {
					require.Equal(t, theirs, ours, what)
				}
			}
			same("at first")
			same("from the file")
			w.grow(3)
			same("three more, not kept")
			w.grow(30)
			same("thirty more, kept apart")
			w.onto(20)
			same("reset")
			w.git("tag", "build/SK-07/1", w.commits[10].hash)
			w.grow(20)
			same("another past")
			w.git("tag", "-f", "build/SK-07/1", w.commits[30].hash)
			w.prune()
			same("what was left behind pruned")
			w.git("checkout", "-q", "-f", "--detach", "main~1")
			same("detached")
			w.git("checkout", "-q", "-f", "main")
			w.git("commit", "-q", "--amend", "--allow-empty", "-m", "amended")
			same("amended")
			w.git("commit", "-q", "--allow-empty", "-m", "nothing")
			same("nothing altered")
			w.grow(300)
			same("mostly new")
			require.FileExists(t, w.path(".git/stackbook/history"))
			w.sound()
		})
	}
}

// logSets gives which commits altered each path, as Log tells and as git does,
// merges apart, since git also lists those that took one side's.
func (w *world) logSets(b *Book) (ours, theirs string) {
	w.t.Helper()
	for _, p := range []string{"engines/2023/SK-07", "engines/2024/SK-16/spec.yaml", "parts"} {
		log, err := b.Log(p)
		require.NoError(w.t, err)
		var mine []string
		for _, c := range log {
			if len(c.Parents) < 2 {
				mine = append(mine, c.Hash)
			}
		}
		slices.Sort(mine)
		asked := strings.Fields(w.git("log", "--full-history", "--no-merges", "--format=%H", "HEAD", "--", p))
		slices.Sort(asked)
		ours += p + " " + strings.Join(mine, " ") + "\n"
		theirs += p + " " + strings.Join(asked, " ") + "\n"
	}
	return ours, theirs
}

// A shallow clone that is deepened, a bare one, a linked work tree, and a folder
// in which nothing can be written.
func TestIndexOfEveryKindOfClone(t *testing.T) {
	t.Parallel()
	w := newWorld(t, 101, 120)
	check := func(dir string, has bool) {
		t.Helper()
		b := w.opened(dir, 1)
		defer b.Close()
		got := askAll(t, b, false, has)
		require.Equal(t, askAll(t, b, true, has), got)
	}
	dir := filepath.Dir(w.root)
	cut := filepath.Join(dir, "cut")
	w.git("clone", "-q", "--depth", "4", "file://"+w.root, cut)
	check(cut, true)
	w.git("-C", cut, "fetch", "-q", "--depth", "9")
	check(cut, true)
	w.git("-C", cut, "fetch", "-q", "--unshallow")
	check(cut, true)
	bare := filepath.Join(dir, "bare.git")
	w.git("clone", "-q", "--bare", w.root, bare)
	check(bare, true)
	linked := filepath.Join(dir, "linked")
	w.git("worktree", "add", "-q", linked, w.commits[60].hash)
	check(linked, true)
	require.FileExists(t, w.path(".git/stackbook/history"))

	barred := filepath.Join(dir, "barred")
	w.git("clone", "-q", w.root, barred)
	require.NoError(t, os.WriteFile(filepath.Join(barred, ".git", "stackbook"), nil, 0o644)) // no folder can be made here
	check(barred, false)
}

// A book of few commits makes no index, nor does one that is told not to.
func TestIndexOnlyWhereItIsWorthIt(t *testing.T) {
	t.Parallel()
	w := newWorld(t, 102, 30)
	for _, from := range []int{0, 31} {
		b := w.opened(w.root, from)
		require.Equal(t, askAll(t, b, true, false), askAll(t, b, false, false))
		require.NoError(t, b.Close())
		require.NoDirExists(t, w.path(".git/stackbook"))
	}
	b := w.opened(w.root, 30)
	told := 0
	b.indexing = func(done, of int) {
		told = max(told, done)
		require.Equal(t, 30, of)
	}
	b.repo.partial = true
	require.Equal(t, askAll(t, b, true, false), askAll(t, b, false, false), "what was left out of a clone is not fetched for an index")
	b.repo.partial = false
	reached := len(strings.Fields(w.git("rev-list", "HEAD")))
	if b.side.from = reached; reached < 30 {
		b.indexing = nil
	}
	require.Equal(t, askAll(t, b, true, true), askAll(t, b, false, true))
	require.True(t, told == 30 || reached < 30)
	require.NoError(t, b.Close())
}

// A commit of ours is found by the next look, and costs no more for an index.
func TestIndexAfterOurOwnCommit(t *testing.T) {
	t.Parallel()
	w := newWorld(t, 103, 40)
	w.git("checkout", "-q", "-f", "main")
	b := w.opened(w.root, 1)
	defer b.Close()
	askAll(t, b, false, true)
	before, err := os.ReadFile(w.path(".git/stackbook/history"))
	require.NoError(t, err)
	for i := range 20 {
		w.write("engines/2024/SK-16/spec.yaml", fmt.Sprintf("lot: R-1177\nnumber: %d\n", 100+i))
		_, err := w.commit(b, "engines/2024/SK-16/spec.yaml")
		require.NoError(t, err)
		after, err := os.ReadFile(w.path(".git/stackbook/history"))
		require.NoError(t, err)
		require.Equal(t, before, after)
		require.Equal(t, askAll(t, b, true, true), askAll(t, b, false, true))
	}
	require.FileExists(t, w.path(".git/stackbook/history-since"))
	w.sound()
}

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
	for i := range 160 {
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
