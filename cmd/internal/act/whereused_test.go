package act_test

import (
	"fmt"
	"maps"
	"math/rand"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"sort"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"stackbook/cmd/internal/act"
	"stackbook/record/book"
)

func quietly(string, int, int) {}

// Where a lot, a serial, a part number or a supplier was, by the program and by
// asking git for every file of every commit: the same answers.
func TestWhereUsedIsWhatGitShows(t *testing.T) {
	demo := filepath.Join(t.TempDir(), "book")
	s, _, err := act.Demo(demo, act.DemoOptions{Book: []book.Option{book.WithEnv(env)}, Now: now}, func(int, int) {})
	require.NoError(t, err)
	books := map[string]*bench{"the demo": {s, t, demo}}
	if !testing.Short() {
		books["sixty engines"] = sixtyEngines(t)
	}
	for name, b := range books {
		specs := b.allSpecs()
		for _, asked := range []string{"L-2198", "L-2304", "R-1420", "RT-80", "S-02", "H-0304", "none"} {
			for _, state := range []string{"", "@HEAD~20"} {
				w, err := b.WhereUsed(asked, state, quietly)
				require.NoError(t, err)
				names := map[string]bool{asked: true}
				for _, f := range w.Also {
					names[f.Bears()] = true
				}
				rev := "HEAD"
				if state == "@HEAD~20" {
					rev = "HEAD~20"
				}
				require.Equal(t, b.usedByGit(specs, names, rev), usedBy(w), "%s: %s %s", name, asked, state)
			}
		}
	}
}

// usedBy is what the specs told, a line each.
func usedBy(w *act.WhereUsed) []string {
	var lines []string
	for _, use := range w.Uses {
		if use.Since == nil {
			continue // of a change or session alone
		}
		until := ""
		if use.Until != nil {
			until = use.Until.Commit
		}
		lines = append(lines, fmt.Sprintf("%s %s %s/%s/%s %v %v since %s until %s", use.Engine, use.Position, use.Number, use.Serial, use.Lot, use.Builds, use.Now, use.Since.Commit, until))
	}
	sort.Strings(lines)
	return lines
}

// gitSpec is what one version of a spec says, read by a few patterns.
type gitSpec struct {
	build    int
	customer string
	parts    map[string]map[string]string // by position
}

var (
	partLine  = regexp.MustCompile(`^  ([a-z][a-z0-9/-]*): \{(.*)\}`)
	partField = regexp.MustCompile(`(part|serial|lot|supplier): ([^,}]+)`)
)

func readGitSpec(text string) gitSpec {
	s := gitSpec{parts: map[string]map[string]string{}}
	_, below, _ := strings.Cut(text, "\nparts:\n")
	if i := strings.Index(text, "\nbuild: "); i >= 0 {
		fmt.Sscanf(text[i:], "\nbuild: %d", &s.build)
	}
	if _, after, ok := strings.Cut(text, "\ncustomer: "); ok {
		s.customer, _, _ = strings.Cut(after, "\n")
	}
	for _, line := range strings.Split(below, "\n") {
		if !strings.HasPrefix(line, "  ") {
			break
		}
		if m := partLine.FindStringSubmatch(line); m != nil {
			s.parts[m[1]] = map[string]string{}
			for _, f := range partField.FindAllStringSubmatch(m[2], -1) {
				s.parts[m[1]][f[1]] = f[2]
			}
		}
	}
	return s
}

// allSpecs reads every version of every spec, by commit and path, with the git
// program.
func (b *bench) allSpecs() map[string]map[string]gitSpec {
	hashes := map[string]map[string]string{}
	blobs := map[string]bool{}
	for _, c := range strings.Fields(b.git("rev-list", "HEAD")) {
		hashes[c] = map[string]string{}
		for _, line := range strings.Split(b.git("ls-tree", "-r", c, "--", "engines"), "\n") {
			if fields := strings.Fields(line); len(fields) == 4 && strings.HasSuffix(fields[3], "/spec.yaml") {
				hashes[c][fields[3]], blobs[fields[2]] = fields[2], true
			}
		}
	}
	read := b.readSpecs(slices.Collect(maps.Keys(blobs)))
	all := map[string]map[string]gitSpec{}
	for c, files := range hashes {
		all[c] = map[string]gitSpec{}
		for path, hash := range files {
			all[c][path] = read[hash]
		}
	}
	return all
}

// readSpecs reads specs by their hashes; that of a file that is gone has nothing.
func (b *bench) readSpecs(hashes []string) map[string]gitSpec {
	read := map[string]gitSpec{}
	cmd := exec.Command("git", "cat-file", "--batch")
	cmd.Dir, cmd.Stdin = b.dir, strings.NewReader(strings.Join(hashes, "\n")+"\n")
	out, err := cmd.Output()
	require.NoError(b.t, err)
	for rest := string(out); rest != ""; {
		var hash, kind string
		var size int
		head, after, _ := strings.Cut(rest, "\n")
		_, err := fmt.Sscan(head, &hash, &kind, &size)
		require.NoError(b.t, err)
		read[hash], rest = readGitSpec(after[:size]), after[size+1:]
	}
	return read
}

// usedByGit works out, commit by commit, what came in and went out.
func (b *bench) usedByGit(all map[string]map[string]gitSpec, names map[string]bool, rev string) []string {
	type use struct {
		builds       []int
		since, until string
	}
	in := map[string]map[string]bool{} // by commit
	uses := map[string]*use{}
	var last string
	for _, line := range strings.Split(b.git("rev-list", "--date-order", "--reverse", "--parents", rev), "\n") {
		commits := strings.Fields(line)
		here := commits[0]
		last = here
		in[here] = map[string]bool{}
		for path, spec := range all[here] {
			for position, p := range spec.parts {
				if !names[p["part"]] && !names[p["serial"]] && !names[p["lot"]] && !names[p["supplier"]] {
					continue
				}
				key := fmt.Sprintf("%s %s %s/%s/%s", strings.Split(path, "/")[2], position, p["part"], p["serial"], p["lot"])
				in[here][key] = true
				if uses[key] == nil {
					uses[key] = &use{}
				}
				if !slices.Contains(uses[key].builds, spec.build) {
					uses[key].builds = append(uses[key].builds, spec.build)
					slices.Sort(uses[key].builds)
				}
			}
		}
		for key, u := range uses {
			before := 0
			for _, parent := range commits[1:] {
				if in[parent][key] {
					before++
				}
			}
			if in[here][key] && before == 0 && u.since == "" {
				u.since = here
			}
			if !in[here][key] && before == len(commits)-1 && before > 0 {
				u.until = here
			}
		}
	}
	var lines []string
	for key, u := range uses {
		if in[last][key] {
			u.until = ""
		}
		lines = append(lines, fmt.Sprintf("%s %v %v since %s until %s", key, u.builds, in[last][key], u.since, u.until))
	}
	sort.Strings(lines)
	return lines
}

// sixtyEngines is a book of sixty engines with a past of a hundred and fifty commits:
// parts exchanged, taken out and brought back, builds opened, engines deleted and
// moved, side branches merged.
func sixtyEngines(t *testing.T) *bench {
	t.Helper()
	dir := t.TempDir()
	b := &bench{t: t, dir: dir}
	b.git("init", "-q", "-b", "main")
	cmd := exec.Command("git", "fast-import", "--quiet")
	cmd.Dir, cmd.Stdin = dir, strings.NewReader(sixtyStream(rand.New(rand.NewSource(60))))
	out, err := cmd.CombinedOutput()
	require.NoError(t, err, string(out))
	b.git("reset", "-q", "--hard")
	b.Shop, err = act.Open(dir, now, book.WithEnv(env))
	require.NoError(t, err)
	return b
}

// pastBook writes a history for git fast-import.
type pastBook struct {
	strings.Builder
	random *rand.Rand
	mark   int
}

func sixtyStream(random *rand.Rand) string {
	p := &pastBook{random: random}
	p.commit("main", "")
	p.file("book.yaml", "format: book/1\ndictionary: 1\nshop: Skarvik Rotary\n")
	for n := range 60 {
		p.file(engineAt(n), p.spec(n))
	}
	for p.mark < 150 {
		switch n := p.random.Intn(60); p.random.Intn(12) {
		case 0:
			p.commit("main", "")
			fmt.Fprintf(p, "D %s\n", filepath.Dir(engineAt(n)))
		case 1:
			p.commit("main", "")
			fmt.Fprintf(p, "D %s\n", filepath.Dir(engineAt(n)))
			p.file(strings.Replace(engineAt(n), "/20", "/moved-20", 1), p.spec(n))
		case 2:
			p.merge(n)
		default:
			p.commit("main", "")
			fmt.Fprintf(p, "D %s\n", strings.Replace(filepath.Dir(engineAt(n)), "/20", "/moved-20", 1))
			p.file(engineAt(n), p.spec(n))
		}
	}
	return p.String()
}

// merge puts work of a side branch together with work on the main one.
func (p *pastBook) merge(n int) {
	base := p.mark
	p.commit("side", fmt.Sprintf("from :%d\n", base))
	p.file(engineAt(n), p.spec(n))
	side, spec := p.mark, p.spec((n+1)%60)
	p.commit("main", fmt.Sprintf("from :%d\n", base))
	p.file(engineAt((n+1)%60), spec)
	p.commit("main", fmt.Sprintf("merge :%d\n", side))
	p.file(engineAt(n), p.spec(n))
}

func (p *pastBook) commit(branch, parents string) {
	p.mark++
	fmt.Fprintf(p, "commit refs/heads/%s\nmark :%d\ncommitter KM <km@skarvik.example> %d +0100\ndata 1\n.\n%s", branch, p.mark, 1400000000+p.mark*86400, parents)
}

func (p *pastBook) file(path, text string) {
	fmt.Fprintf(p, "M 100644 inline %s\ndata %d\n%s\n", path, len(text), text)
}

func engineAt(n int) string {
	return fmt.Sprintf("engines/20%d/SK-%02d/spec.yaml", 10+n%12, n+1)
}

// spec is an engine with parts picked at random.
func (p *pastBook) spec(n int) string {
	pick := func(words ...string) string { return words[p.random.Intn(len(words))] }
	text := fmt.Sprintf("format: spec/1\nengine: SK-%02d\nid: 0000-0000-%04d\ntitle: an engine\ncustomer: C-%02d\nbuild: %d\ngeometry: {rotors: 2}\n\nparts:\n", n+1, n+1, n%9+1, 1+p.random.Intn(3))
	for _, position := range []string{"rotor/1", "rotor/2"} {
		if p.random.Intn(4) > 0 {
			text += fmt.Sprintf("  %s: {part: RT-%s, serial: R-%s, lot: L-%s, supplier: S-0%d}\n", position, pick("80", "90"), pick("1177", "1420", "1181", "2033"), pick("2304", "2211"), 1+p.random.Intn(4))
		}
	}
	for _, position := range []string{"joint/housing-1/front/inner", "joint/housing-2/rear/inner"} {
		if p.random.Intn(3) > 0 {
			text += fmt.Sprintf("  %s: {part: CS-I, lot: L-%s}\n", position, pick("2198", "3120", "2977"))
		}
	}
	return text
}

// What is not committed yet counts, and what the spec never had is told by the
// change that took it out and by the sessions that read it.
func TestWhereUsedBeyondTheSpecs(t *testing.T) {
	b := demoBook(t)
	ask := func(name string) []string {
		w, err := b.WhereUsed(name, "", quietly)
		require.NoError(t, err)
		var lines []string
		for _, use := range w.Uses {
			lines = append(lines, fmt.Sprintf("%s %s %v now %v, committed %v, removed %d, read %d", use.Engine, use.Position, use.Builds, use.Now, use.Since != nil, len(use.Removed), len(use.Read)))
		}
		return lines
	}
	b.edit(engineFolder+"/spec.yaml", "RB-74, lot: L-2951", "RB-74, lot: L-9999")
	require.Equal(t, []string{"SK-01 bearing/rotor/2 [2] now true, committed false, removed 0, read 0"}, ask("L-9999"))
	require.Equal(t, []string{"SK-01 bearing/rotor/2 [2] now false, committed true, removed 0, read 0"}, ask("L-2951"), "no commit took it out yet")

	change := engineFolder + "/changes/2019-08-03-out.yaml"
	b.write(change, "format: change/1\nengine: SK-01\nbuild: 2\ndate: 2019-08-03\nkind: note\nby: KM\nwhat: out\nremoved: [{from: rotor/1/apex/2, found_at: rotor/1/apex/3, lot: B-77, to: scrap}]\n")
	require.Equal(t, []string{"SK-01 rotor/1/apex/2 [2] now false, committed false, removed 1, read 0"}, ask("B-77"))
	b.git("add", change)
	b.git("commit", "-qm", "out")
	require.NoError(t, os.Remove(b.path(change)))
	require.Equal(t, []string{"SK-01 rotor/1/apex/2 [2] now false, committed false, removed 1, read 0"}, ask("B-77"), "an old commit has it still")
	w, err := b.WhereUsed("B-77", "", quietly)
	require.NoError(t, err)
	require.False(t, w.Uses[0].Removed[0].Now)

	session := engineFolder + "/measurements/2019-08-19-mock-up-KM.yaml"
	text := b.read(session)
	b.write(session, text+"\n")
	require.Contains(t, text, "rotor/2: R-2033")
	require.Equal(t, []string{"SK-01 rotor/2 [2] now true, committed true, removed 0, read 2"}, ask("R-2033")[:1])
	b.write(session, strings.Replace(text, "rotor/2: R-2033", "rotor/2: R-9", 1))
	require.Equal(t, []string{"SK-01 rotor/2 [2] now false, committed false, removed 0, read 1"}, ask("R-9"))
}

// A version of a record that cannot be read is named, and the rest is told.
func TestWhereUsedNamesWhatItCannotRead(t *testing.T) {
	b := demoBook(t)
	spec := b.read(engineFolder + "/spec.yaml")
	b.write(engineFolder+"/spec.yaml", spec+"\t: [R-2033\n")
	b.git("commit", "-qam", "broken")
	b.write(engineFolder+"/spec.yaml", spec)
	b.git("commit", "-qam", "mended")
	w, err := b.WhereUsed("R-2033", "", quietly)
	require.NoError(t, err)
	require.Len(t, w.Unread, 1)
	require.Contains(t, w.Unread[0], engineFolder+"/spec.yaml, version ")
	require.Len(t, w.Uses, 1)
	require.True(t, w.Uses[0].Now)
}

// A name is found however YAML spells it.
func TestWhereUsedOfOddSpellings(t *testing.T) {
	b := demoBook(t)
	b.edit(engineFolder+"/spec.yaml", "RB-74, lot: L-2951", `RB-74, lot: "L-\x32951 'b'"`)
	b.git("commit", "-qam", "spelled")
	w, err := b.WhereUsed("L-2951 'b'", "", quietly)
	require.NoError(t, err)
	require.Len(t, w.Uses, 1)
	require.True(t, w.Uses[0].Now)
	require.NotNil(t, w.Uses[0].Since)
}
