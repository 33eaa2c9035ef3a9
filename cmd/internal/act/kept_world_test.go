package act_test

import (
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"stackbook/cmd/internal/act"
	"stackbook/record/book"
)

// keptWorld is a small book that is written into at random, with whatever a
// person or git can do to it.
type keptWorld struct {
	*bench
	rng   *rand.Rand
	days  int    // by which the clock is ahead
	other string // the program that asks, where it is another than this one
}

func newKeptWorld(t *testing.T, seed uint64) *keptWorld {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "book")
	_, err := act.Begin(dir, act.BeginOptions{Shop: "Skarvik Rotary", Limits: []string{"side-port-654-late", "side-port-654-race"}, Book: []book.Option{book.WithEnv(env)}, Now: now})
	require.NoError(t, err)
	w := &keptWorld{bench: &bench{nil, t, dir}, rng: rand.New(rand.NewPCG(seed, 5))}
	for i := range keptEngines {
		w.spec(i)
		w.session(i)
	}
	w.part()
	w.git("add", "-A")
	w.git("commit", "-qm", "begin")
	return w
}

const keptEngines = 5

func (w *keptWorld) pick(words ...string) string { return words[w.rng.IntN(len(words))] }

func (w *keptWorld) serial() string { return w.pick("R-1", "R-2", "R-3", "G-1", "00123", "'a b'") }

func (w *keptWorld) day() string {
	return fmt.Sprintf("20%02d-%02d-1%d", 18+w.rng.IntN(6), 1+w.rng.IntN(9), w.rng.IntN(9))
}

func keptFolder(i int) string { return fmt.Sprintf("engines/20%d/SK-0%d", 18+i%2, i) }

func (w *keptWorld) spec(i int) {
	text := fmt.Sprintf("format: spec/1\nengine: SK-0%d\nid: 7f3a-91c0-000%d\ntitle: %s\ncustomer: C-0%d\nbuild: %d\n", i, i, w.pick("an engine", "one more", "'=1'"), w.rng.IntN(3), 1+w.rng.IntN(2))
	text += w.pick("", "limits: side-port-654-race\n", "limits: side-port-654-late\n", "limits: nowhere\n")
	text += "geometry: {rotors: 1, generating_radius: 98 mm, seal_tip_radius: 2 mm, eccentricity: 14 mm, chamber_width: 78 mm}\nparts:\n"
	text += fmt.Sprintf("  rotor/1: {part: RT-80, serial: %s, lot: %s%s}\n", w.serial(), w.pick("L-1", "L-2"), w.pick("", ", test_every: 20 h", ", origin: used", ", hours_at_fitting: 7 h"))
	text += w.pick("  rotor/1/gear: {part: RG-1}\n", "  rotor/1/gear: {part: RG-1, serial: "+w.serial()+"}\n", "")
	text += w.pick("operating: {sent: 2021-03-04}\n", "operating: {sent: }\n", "")
	w.write(keptFolder(i)+"/spec.yaml", text)
}

func (w *keptWorld) session(i int) {
	day := w.day()
	text := fmt.Sprintf("format: measurements/1\nengine: SK-0%d\nbuild: 1\nstage: %%s\ndate: %s\nby: KM\nhours: %d h\nparts: {rotor/1: %s}\nreadings:\n", i, day, w.rng.IntN(60), w.serial())
	if w.rng.IntN(2) == 0 {
		w.write(keptFolder(i)+"/measurements/"+day+"-mock-up-KM.yaml", fmt.Sprintf(text, "mock-up")+fmt.Sprintf("  housing_width:\n    unit: mm\n    housing/1/at/A: 78.0%d\n", w.rng.IntN(9)))
		return
	}
	w.write(keptFolder(i)+"/measurements/"+day+"-crack-test-KM.yaml", fmt.Sprintf(text, "crack-test")+"  crack_test: {rotor/1: "+w.pick("clear", "mark", "cracked")+", rotor/1/gear: clear}\n")
}

func (w *keptWorld) change(i int) {
	day, kind := w.day(), w.pick("claim", "event", "delivery", "concession", "replacement", "storage")
	text := fmt.Sprintf("format: change/1\nengine: SK-0%d\nbuild: 1\ndate: %s\nkind: %s\nby: KM\nhours: %d h\nwhat: %s\n", i, day, kind, w.rng.IntN(60), w.pick("a change", "another"))
	switch kind {
	case "event":
		text += "source: " + w.pick("telephone", "letter") + "\n"
	case "concession":
		text += "why: it holds\ntouches: [rotor/1]\nconcession: {reading: none, accepted_by: KM, look_again: on " + w.pick("2026-02-28", "2026-03-02", "2026-03-05", "2029-01-01", "10 h of this build") + "}\n"
	case "replacement":
		text += "touches: [rotor/1]\nremoved:\n  - {from: rotor/1, serial: " + w.serial() + ", hours: 30 h, to: shelf}\n"
	}
	w.write(keptFolder(i)+"/changes/"+day+"-"+kind+".yaml", text)
}

func (w *keptWorld) part() {
	bears := w.pick("serial: R-1", "serial: R-2", "lot: L-1", "serial: G-1")
	name := w.pick(strings.Fields(bears)[1], "R-3", "odd")
	w.write("parts/"+name+".yaml", fmt.Sprintf("format: part/1\n%s\npart: RT-80\nwhat: a part\ntest_every: %d h\nwhereabouts:\n  - {since: 2017-03-04, is: shelf, where: here, hours: %d h}\n", bears, 5+w.rng.IntN(40), w.rng.IntN(30)))
}

// someFile is a file of the folder that git has.
func (w *keptWorld) someFile() string {
	list := strings.Split(w.git("ls-files", "engines", "parts", "limits", "book.yaml"), "\n")
	return list[w.rng.IntN(len(list))]
}

// sly writes other bytes of one length into a file, and gives it the time it had.
func (w *keptWorld) sly(name string) {
	info, err := os.Lstat(w.path(name))
	if err != nil || !info.Mode().IsRegular() || info.Size() == 0 {
		return
	}
	text := []byte(w.read(name))
	for i := range text {
		if at := (i + w.rng.IntN(len(text))) % len(text); '0' <= text[at] && text[at] <= '9' {
			text[at] = '0' + (text[at]-'0'+1)%10
			break
		}
	}
	require.NoError(w.t, os.WriteFile(w.path(name), text, 0o644))
	require.NoError(w.t, os.Chtimes(w.path(name), info.ModTime(), info.ModTime()))
}

// quietGit runs git where it may have nothing to do.
func (w *keptWorld) quietGit(args ...string) {
	c := exec.Command("git", args...)
	c.Dir = w.dir
	c.Env = []string{"PATH=" + env("PATH"), "GIT_CONFIG_NOSYSTEM=1", "GIT_AUTHOR_NAME=KM", "GIT_AUTHOR_EMAIL=km@skarvik.example", "GIT_COMMITTER_NAME=KM", "GIT_COMMITTER_EMAIL=km@skarvik.example", "GIT_EDITOR=true", "HOME=" + w.t.TempDir()}
	_ = c.Run()
}

// step does one thing, and says which.
func (w *keptWorld) step() string {
	i := w.rng.IntN(keptEngines)
	folder := keptFolder(i)
	steps := []struct {
		name string
		do   func()
	}{
		{"a spec", func() { w.spec(i) }}, {"a session", func() { w.session(i) }}, {"a change", func() { w.change(i) }}, {"a change", func() { w.change(i) }}, {"a part", w.part},
		{"an interval", func() {
			w.write("book.yaml", w.read("book.yaml")+"# more\n")
			if text := w.read("book.yaml"); !strings.Contains(text, "\nintervals:") {
				w.write("book.yaml", text+"intervals: {opening: 30 h, crack_test: 9 h}\n")
			}
		}},
		{"limits", func() {
			name := "limits/" + w.pick("side-port-654-race", "side-port-654-late", "nowhere") + ".yaml"
			if os.Remove(w.path(name)) != nil {
				w.write(name, "format: limits/1\nname: nowhere\nlimits: {}\n")
			}
		}},
		{"sly", func() { w.sly(w.someFile()) }}, {"sly", func() { w.sly(w.someFile()) }},
		{"sly behind add", func() { name := w.someFile(); w.git("add", "-A"); w.sly(name) }},
		{"sly behind commit", func() { name := w.someFile(); w.git("add", "-A"); w.quietGit("commit", "-qam", "more"); w.sly(name) }},
		{"commit", func() { w.git("add", "-A"); w.quietGit("commit", "-qm", "more") }},
		{"amend", func() { w.git("add", "-A"); w.quietGit("commit", "-q", "--amend", "-m", "other") }},
		{"back", func() { w.quietGit("reset", "-q", w.pick("--hard", "--soft", "--mixed"), "HEAD~1") }},
		{"older", func() {
			w.git("add", "-A")
			w.quietGit("commit", "-qm", "more")
			w.quietGit("checkout", "-q", "HEAD~1", "--", "engines")
		}},
		{"rebase", func() {
			w.git("add", "-A")
			w.quietGit("commit", "-qm", "more")
			w.quietGit("rebase", "-q", "--onto", "HEAD~2", "HEAD~1")
			w.quietGit("rebase", "--abort")
		}},
		{"gone", func() { require.NoError(w.t, os.RemoveAll(w.path(w.someFile()))) }},
		{"no engine", func() { require.NoError(w.t, os.RemoveAll(w.path(folder))) }},
		{"moved", func() {
			if os.Rename(w.path(folder), w.path("engines/2018/SK-99")) != nil {
				_ = os.Rename(w.path("engines/2018/SK-99"), w.path(folder))
			}
		}},
		{"broken", func() { w.write(folder+"/spec.yaml", "format: [\n") }},
		{"stray", func() {
			w.write(folder+w.pick("/measurements/x.yml", "/deep/er/spec.yaml", "/notes.txt", "/changes/a.txt", "/photos/a.jpg"), w.pick("one", "two"))
		}},
		{"empty", func() { require.NoError(w.t, os.MkdirAll(w.path(folder+"/changes/nothing"), 0o777)) }},
		{"link", func() {
			_ = os.Remove(w.path(folder + "/figures.yaml"))
			_ = os.Symlink("spec.yaml", w.path(folder+"/figures.yaml"))
		}},
		{"converted", func() {
			w.write(w.pick(".gitattributes", "engines/2018/.gitattributes", folder+"/.gitattributes"), "*.yaml text eol=crlf\n")
		}},
		{"unconverted", func() {
			for _, name := range []string{"engines/2018/.gitattributes", folder + "/.gitattributes"} {
				_ = os.Remove(w.path(name))
			}
			w.write(".gitattributes", "*.yaml -text\n")
		}},
		{"assumed", func() { name := w.someFile(); w.quietGit("update-index", "--assume-unchanged", name); w.sly(name) }},
		{"intended", func() { w.change(i); w.quietGit("add", "-N", folder) }},
		{"another day", func() { w.days += w.rng.IntN(5) }},
		{"another program", func() { w.other = w.pick("", "", "an older one", "a newer one") }},
		{"damage", func() { w.damage() }}, {"damage", func() { w.damage() }},
	}
	one := steps[w.rng.IntN(len(steps))]
	one.do()
	return one.name
}

// damage does something to the file of results.
func (w *keptWorld) damage() {
	name := w.path(".git/stackbook/kept-fleet")
	data, err := os.ReadFile(name)
	if err != nil || len(data) == 0 {
		require.NoError(w.t, os.RemoveAll(name))
		return
	}
	switch w.rng.IntN(6) {
	case 0:
		require.NoError(w.t, os.RemoveAll(filepath.Dir(name)))
	case 1:
		require.NoError(w.t, os.RemoveAll(name))
		require.NoError(w.t, os.MkdirAll(filepath.Join(name, "x"), 0o777))
	case 2:
		require.NoError(w.t, os.WriteFile(name, data[:w.rng.IntN(len(data))], 0o666))
	case 3:
		data[8]++ // another format
		require.NoError(w.t, os.WriteFile(name, data, 0o666))
	default:
		for range 1 + w.rng.IntN(4) {
			data[w.rng.IntN(len(data))] ^= byte(1 + w.rng.IntN(255))
		}
		require.NoError(w.t, os.WriteFile(name, data, 0o666))
	}
}

// open opens the book anew, as the program that asks does.
func (w *keptWorld) open() *act.Shop {
	w.t.Helper()
	ahead := w.days
	identity := act.Identity
	if other := w.other; other != "" {
		identity = func() (string, bool) { return other, true }
	}
	s, err := act.Open(w.dir, func() time.Time { return now().AddDate(0, 0, ahead) }, book.WithEnv(env), book.WithProgram(identity))
	require.NoError(w.t, err)
	return s
}

// fleet asks for the fleet, and tells how many engines were read for it.
func fleetOf(t require.TestingT, s *act.Shop, state string) (f *act.Fleet, read int) {
	var most atomic.Int64
	f, err := s.Fleet(state, func(_ string, _, of int) { most.Store(int64(of)) })
	require.NoError(t, err)
	require.NoError(t, s.Book.Close())
	return f, int(most.Load())
}

func (w *keptWorld) fleet(state string) (*act.Fleet, int) { return fleetOf(w.t, w.open(), state) }

// same wants what is kept to tell what is told without it, the first time and
// the second.
func (w *keptWorld) same(what string) {
	w.t.Helper()
	for _, state := range []string{"", "@HEAD", "@HEAD~1"} {
		s := w.open()
		want, err := s.FleetOfAll(state)
		require.NoError(w.t, err)
		require.NoError(w.t, s.Book.Close())
		for range 2 {
			got, _ := w.fleet(state)
			require.Equal(w.t, want, got, "%s: %q", what, state)
		}
	}
}

// sound sees that git finds nothing amiss, and nothing of ours in the folder.
func (w *keptWorld) sound() {
	w.t.Helper()
	w.git("fsck", "--strict", "--no-dangling")
	w.git("reset", "-q", "--hard")
	w.git("clean", "-qfdx")
	require.Empty(w.t, w.git("status", "--porcelain", "--ignored"))
}
