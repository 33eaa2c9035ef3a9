package act

import (
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"stackbook/record"
	"stackbook/record/book"
	"stackbook/schema"
	"stackbook/schema/problem"
)

// small is a book with one engine of one rotor, for tests of closing a build.
type small struct {
	*Shop
	t   *testing.T
	dir string
}

const smallSpec = "format: spec/1\nengine: SK-07\nid: 7f3a-91c0-55de\ntitle: one rotor\ncustomer: C-03\nbuild: 1\ngeometry:\n  rotors: 1\nparts:\n  rotor/1: {serial: R-1, origin: new}\n  shaft: {serial: E-1}\n"

const smallFolder = "engines/2026/SK-07/"

func march() time.Time { return time.Date(2026, 3, 2, 10, 0, 0, 0, time.FixedZone("", 3600)) }

// kari is the environment of a person known to git.
func kari(name string) string {
	return map[string]string{"GIT_AUTHOR_NAME": "Kari Moe", "GIT_AUTHOR_EMAIL": "km@skarvik.example", "GIT_COMMITTER_NAME": "Kari Moe", "GIT_COMMITTER_EMAIL": "km@skarvik.example"}[name]
}

func smallBook(t *testing.T) *small {
	t.Helper()
	dir := t.TempDir()
	s, err := Begin(dir, BeginOptions{Shop: "Skarvik Rotary", Book: []book.Option{book.WithEnv(kari)}, Now: march})
	require.NoError(t, err)
	b := &small{s, t, dir}
	b.write("spec.yaml", smallSpec)
	b.write("measurements/2026-02-01-dyno-KM.yaml", "format: measurements/1\nengine: SK-07\nbuild: 1\nstage: dyno\ndate: 2026-02-01\nhours: 4 h\nby: KM\n")
	return b
}

// copy is the same book once more, for one test to alter.
func (b *small) copy(t *testing.T) *small {
	t.Helper()
	dir := t.TempDir()
	require.NoError(t, os.CopyFS(dir, os.DirFS(b.dir)))
	s, err := Open(dir, march, book.WithEnv(kari))
	require.NoError(t, err)
	return &small{s, t, dir}
}

// write puts a file into the engine's folder.
func (b *small) write(name, text string) {
	b.t.Helper()
	file := filepath.Join(b.dir, filepath.FromSlash(smallFolder+name))
	require.NoError(b.t, os.MkdirAll(filepath.Dir(file), 0o777))
	require.NoError(b.t, os.WriteFile(file, []byte(text), 0o666))
}

func (b *small) remove(name string) {
	b.t.Helper()
	require.NoError(b.t, os.Remove(filepath.Join(b.dir, filepath.FromSlash(smallFolder+name))))
}

func (b *small) git(args ...string) string {
	b.t.Helper()
	out, err := exec.Command("git", append([]string{"-C", b.dir, "-c", "user.name=KM", "-c", "user.email=km@skarvik.example"}, args...)...).CombinedOutput()
	require.NoError(b.t, err, "git %v: %s", args, out)
	return strings.TrimSpace(string(out))
}

func (b *small) deliver() *Delivered {
	b.t.Helper()
	c, err := b.Closing("SK-07", DeliverOptions{})
	require.NoError(b.t, err)
	d, err := b.Deliver(c)
	require.NoError(b.t, err)
	b.git("fsck", "--strict")
	return d
}

// found are the problems check finds, as "file: rule".
func (b *small) found() []string {
	b.t.Helper()
	checked, err := b.Check([]string{"SK-07"}, func(string, int, int) {})
	require.NoError(b.t, err)
	var list []string
	for _, p := range checked[0].Problems {
		list = append(list, strings.TrimPrefix(p.File, smallFolder)+": "+p.Rule)
	}
	return list
}

func changeOf(build int, date, kind string) string {
	return fmt.Sprintf("format: change/1\nengine: SK-07\nbuild: %d\ndate: %s\nkind: %s\nby: KM\nwhat: something\ntouches: [rotor/1]\n", build, date, kind)
}

func sessionOf(build int, stage string) string {
	return fmt.Sprintf("format: measurements/1\nengine: SK-07\nbuild: %d\nstage: %s\ndate: 2026-04-01\nby: KM\n", build, stage)
}

func TestDeliverSealsWhatItCommitted(t *testing.T) {
	b := smallBook(t)
	d := b.deliver()
	assert.Equal(t, "4 h", d.Hours, "the most the records tell")
	assert.Equal(t, smallFolder+"changes/2026-03-02-delivery.yaml", d.File)
	assert.Empty(t, b.git("status", "--porcelain"))
	assert.Empty(t, b.found())
	text := b.git("show", "build/SK-07/1:"+d.File)
	assert.Contains(t, text, "\nby: KM\n", "the initials of git's user name")
	assert.Contains(t, text, "\nwhat: delivered to C-03")

	// Closed, it is not closed again.
	_, err := b.Closing("SK-07", DeliverOptions{})
	var typed *UsageError
	require.ErrorAs(t, err, &typed)
	assert.Equal(t, "build 1 of SK-07 was delivered on 2026-03-02", typed.Message)
}

// The sum takes in every file of the engine's folder, book.yaml and the limit
// set, and nothing else of the book (R17).
func TestDeliverySumTakesTheEnginesFiles(t *testing.T) {
	b := smallBook(t)
	d := b.deliver()
	c, _, err := b.Book.Head()
	require.NoError(t, err)
	files := map[string]record.Sum{}
	for _, name := range strings.Split(b.git("ls-tree", "-r", "--name-only", "HEAD"), "\n") {
		data, err := b.Book.At(c).Read(name)
		require.NoError(t, err)
		if strings.HasPrefix(name, smallFolder) || name == "book.yaml" || name == "limits/shop.yaml" {
			files[name] = record.SumOf(data)
		}
	}
	require.Len(t, files, 6)
	require.Contains(t, files, smallFolder+"figures.yaml")
	assert.Equal(t, record.DeliverySum("SK-07", 1, files), d.Sum)
	assert.Equal(t, d.Sum.String(), sealedLine(b.git("tag", "-l", "--format=%(contents)", "build/SK-07/1"), sealSum))
}

// Ended between commit and tag, a delivery is completed and not made again (R2).
func TestDeliverCompletesTheSeal(t *testing.T) {
	b := smallBook(t)
	before := b.deliver()
	b.git("tag", "-d", "build/SK-07/1")
	b.write("changes/2026-04-01-event.yaml", changeOf(1, "2026-04-01", "event"))
	_, err := b.Commit("SK-07", CommitOptions{Message: "a call"})
	require.NoError(t, err)
	head := b.git("rev-parse", "HEAD")
	after := b.deliver()
	assert.Nil(t, after.Committed)
	assert.Equal(t, before.Commit.Hash, after.Commit.Hash)
	assert.Equal(t, before.Sum, after.Sum)
	assert.Equal(t, head, b.git("rev-parse", "HEAD"))
}

// R18: what a delivered build takes, and what not, until the next is open.
func TestR18DeliveredBuildTakesLittle(t *testing.T) {
	const change, session = "changes/2026-04-01-x.yaml", "measurements/2026-04-01-"
	delivered := smallBook(t)
	delivered.deliver()
	for _, c := range []struct {
		name  string
		alter func(b *small)
		want  []string
	}{
		{"event", func(b *small) { b.write(change, changeOf(1, "2026-04-01", "event")) }, nil},
		{"claim", func(b *small) { b.write(change, changeOf(1, "2026-04-01", "claim")) }, nil},
		{"note", func(b *small) { b.write(change, changeOf(1, "2026-04-01", "note")) }, nil},
		{"running session", func(b *small) { b.write(session+"running-KM.yaml", sessionOf(1, "running")) }, nil},
		{"machining", func(b *small) { b.write(change, changeOf(1, "2026-04-01", "machining")) }, []string{change + ": R18"}},
		{"inspection", func(b *small) { b.write(change, changeOf(1, "2026-04-01", "inspection")) }, []string{change + ": R18"}},
		{"teardown", func(b *small) { b.write(change, changeOf(1, "2026-04-01", "teardown")) }, []string{change + ": R18"}},
		{"mock-up", func(b *small) { b.write(session+"mock-up-KM.yaml", sessionOf(1, "mock-up")) }, []string{session + "mock-up-KM.yaml: R18"}},
		{"a second delivery", func(b *small) { b.write(change, changeOf(1, "2026-04-01", "delivery")) }, []string{change + ": R18", change + ": delivered-twice"}},
		{"a kind there is none of is one problem", func(b *small) { b.write(change, changeOf(1, "2026-04-01", "evnt")) }, []string{change + ": word"}},
		{"spec altered", func(b *small) { b.write("spec.yaml", smallSpec+"direction: clockwise\n") }, []string{"spec.yaml: R18"}},
		{"spec altered in a comment", func(b *small) { b.write("spec.yaml", smallSpec+"# seen\n") }, []string{"spec.yaml: R18"}},
		{"session gone", func(b *small) { b.remove("measurements/2026-02-01-dyno-KM.yaml") }, []string{"measurements/2026-02-01-dyno-KM.yaml: R18"}},
		{"delivery gone", func(b *small) { b.remove("changes/2026-03-02-delivery.yaml") }, []string{"changes/2026-03-02-delivery.yaml: R18"}},
		{"figures gone", func(b *small) { b.remove("figures.yaml") }, nil},
		{"opened by hand", func(b *small) { b.write("spec.yaml", strings.Replace(smallSpec, "build: 1", "build: 2", 1)) }, nil},
		{"opened by hand, with its own", func(b *small) {
			b.write("spec.yaml", strings.Replace(smallSpec, "build: 1", "build: 2", 1))
			b.write(change, changeOf(2, "2026-04-01", "machining"))
		}, nil},
		{"opened by hand, with one of the build before", func(b *small) {
			b.write("spec.yaml", strings.Replace(smallSpec, "build: 1", "build: 2", 1))
			b.write(change, changeOf(1, "2026-04-01", "machining"))
		}, []string{change + ": R18"}},
		{"in another group", func(b *small) { b.git("mv", "engines/2026", "engines/2027") }, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			b := delivered.copy(t)
			c.alter(b)
			assert.Equal(t, c.want, b.found())
			head := b.git("rev-parse", "HEAD")
			_, err := b.Commit("SK-07", CommitOptions{Message: "x"})
			var list problem.List
			if c.want == nil {
				require.True(t, err == nil || errors.Is(err, book.ErrNothing), "%v", err)
				assert.Empty(t, b.found())
				return
			}
			require.ErrorAs(t, err, &list)
			assert.Len(t, list, len(c.want))
			assert.Equal(t, head, b.git("rev-parse", "HEAD"))
		})
	}
}

// Without its tag, a delivery that was committed closes the build all the same;
// what came after it may still be altered.
func TestR18WithoutATag(t *testing.T) {
	b := smallBook(t)
	b.deliver()
	b.write("changes/2026-04-01-event.yaml", changeOf(1, "2026-04-01", "event"))
	_, err := b.Commit("SK-07", CommitOptions{Message: "a call"})
	require.NoError(t, err)
	b.git("tag", "-d", "build/SK-07/1")
	b.write("changes/2026-04-01-event.yaml", changeOf(1, "2026-04-01", "note"))
	assert.Empty(t, b.found())
	b.write("measurements/2026-02-01-dyno-KM.yaml", sessionOf(1, "dyno"))
	assert.Contains(t, b.found(), "measurements/2026-02-01-dyno-KM.yaml: R18")
}

// A conversion on the way into git is no alteration.
func TestR18KnowsOfConversions(t *testing.T) {
	b := smallBook(t)
	require.NoError(t, os.WriteFile(filepath.Join(b.dir, ".gitattributes"), []byte("*.yaml text eol=crlf\n"), 0o666))
	b.git("commit", "-qam", "lines end as in Windows")
	b.write("spec.yaml", strings.ReplaceAll(smallSpec, "\n", "\r\n"))
	b.deliver()
	assert.Empty(t, b.found())
	b.write("spec.yaml", strings.ReplaceAll(smallSpec, "\n", "\r\n")+"# seen\r\n")
	assert.Equal(t, []string{"spec.yaml: R18"}, b.found())
}

// A file that cannot be read where one was delivered is an alteration.
func TestR18LinkInPlaceOfAFile(t *testing.T) {
	b := smallBook(t)
	b.write("papers.txt", "x")
	b.git("add", smallFolder+"papers.txt")
	b.deliver()
	b.remove("papers.txt")
	require.NoError(t, os.Symlink("spec.yaml", filepath.Join(b.dir, filepath.FromSlash(smallFolder+"papers.txt"))))
	assert.Equal(t, []string{"papers.txt: R18"}, b.found())
}

func TestOpenPoints(t *testing.T) {
	b := smallBook(t)
	open := func() OpenPoints {
		c, err := b.Closing("SK-07", DeliverOptions{})
		require.NoError(t, err)
		return c.Open
	}
	cracks := func() (list []string) {
		for _, g := range open().CrackTests {
			list = append(list, g.Position+" "+string(g.Standing))
		}
		return list
	}
	o := open()
	assert.Equal(t, []string{"rotor/1 never tested", "shaft never tested"}, cracks())
	assert.Contains(t, o.Limits, "operating.sent is empty")

	test := "format: measurements/1\nengine: SK-07\nbuild: 1\nstage: crack-test\ndate: 2026-02-0%d\nby: S-04\nparts: {rotor/1: %s}\nreadings:\n  crack_test:\n    shaft: clear\n    rotor/1: %s\n"
	b.write("measurements/2026-02-02-crack-test-S-04.yaml", fmt.Sprintf(test, 2, "R-0", "clear"))
	assert.Equal(t, []string{"rotor/1 never tested"}, cracks(), "another rotor was tested")
	b.write("measurements/2026-02-03-crack-test-S-04.yaml", fmt.Sprintf(test, 3, "R-1", "mark"))
	assert.Equal(t, []string{"rotor/1 marked"}, cracks())
	b.write("measurements/2026-02-04-crack-test-S-04.yaml", fmt.Sprintf(test, 4, "R-1", "clear"))
	assert.Empty(t, cracks(), "the last test counts")
	b.write("spec.yaml", smallSpec+"operating: {sent: 2026-02-05}\n")
	assert.False(t, open().Any())

	b.write("changes/2026-02-06-seal.yaml", changeOf(1, "2026-02-06", "concession")+"concession: {look_again: at 10 h}\n")
	assert.Len(t, open().Concessions, 1)
	b.write("changes/2026-02-06-seal.yaml", changeOf(1, "2026-02-06", "concession")+"concession: {look_again: at 10 h, closed: 2026-02-20}\n")
	assert.False(t, open().Any())
}

// A blank session checks clean in whatever units a book shows.
func TestReopenWritesInTheBooksUnits(t *testing.T) {
	for _, units := range []string{
		"{length: mm, pressure: kPa, torque: N m, power: kW, volume: cm3, temperature: degC}",
		"{length: in, pressure: bar, torque: kgf.m, power: metric hp, volume: in3, temperature: degF}",
		"{pressure: psi, torque: lbf.ft, power: hp}",
	} {
		b := smallBook(t)
		require.NoError(t, os.WriteFile(filepath.Join(b.dir, "book.yaml"), fmt.Appendf(nil, "format: book/1\ndictionary: %d\nshop: x\nunits: %s\n", schema.Dictionary, units), 0o666))
		e, problems := record.Load("engines/2026/SK-07", []record.File{{Path: smallFolder + "spec.yaml", Data: []byte(smallSpec)}})
		require.Empty(t, problems)
		for _, stage := range schema.Stages {
			name, text, err := b.blankSession(e, 1, stage.Name, Moment{By: "KM", Date: "2026-04-01"}, nil)
			require.NoError(t, err)
			b.write(strings.TrimPrefix(name, smallFolder), string(text))
		}
		assert.Empty(t, b.found(), units)
	}
}

func TestInitials(t *testing.T) {
	for name, want := range map[string]string{"KM": "KM", "km": "KM", "Kari Moe": "KM", "kari-anne moe": "KAM", "Kari": "K", "Åse Øy": "ÅØ", "": ""} {
		assert.Equal(t, want, initials(name), name)
	}
}

func TestFreeNameKeepsClearOfOtherCapitals(t *testing.T) {
	b := smallBook(t)
	b.write("changes/2026-03-02-DELIVERY.yaml", changeOf(1, "2026-03-02", "note"))
	assert.Equal(t, smallFolder+"changes/2026-03-02-delivery-2.yaml", b.deliver().File)
}
