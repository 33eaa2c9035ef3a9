package act_test

import (
	"fmt"
	"maps"
	"path/filepath"
	"regexp"
	"slices"
	"sort"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"stackbook/cmd/internal/act"
	"stackbook/cmd/internal/bigbook"
	"stackbook/diff/history"
	"stackbook/record/book"
	"stackbook/record/figure"
)

// fifteenYears is a shop's book of three hundred engines over fifteen years, in
// six thousand commits, made once for all tests that ask it something.
var fifteenYears = sync.OnceValues(func() (*bigbook.Made, error) {
	return bigbook.Make(filepath.Join(filepath.Dir(made), "years"), bigbook.Years, 15)
})

// years opens the book of fifteen years; it is only to be read.
func years(t *testing.T) (*bench, *bigbook.Made) {
	t.Helper()
	if testing.Short() {
		t.Skip("-short is for the race detector; without it all is asked")
	}
	m, err := fifteenYears()
	require.NoError(t, err)
	s, err := act.Open(m.Dir, now, book.WithEnv(env))
	require.NoError(t, err)
	return &bench{s, t, m.Dir}, m
}

// on is the commit a day stands for (R16), by the git program.
func (b *bench) on(day string) string {
	return strings.TrimSpace(b.git("rev-list", "-1", "--first-parent", "--before", day+"T23:59:59+01:00", "HEAD"))
}

// pastCommit is one commit and what it made of the specs it altered.
type pastCommit struct {
	hash  string
	specs map[string]gitSpec // by path; without parts where the file is gone
}

// walk reads every version of every spec from the first commit on, with the git
// program alone. The book has one line of history.
func (b *bench) walk(rev string) []pastCommit {
	var past []pastCommit
	blobs := map[string]bool{}
	type altered struct{ path, blob string }
	var list [][]altered
	for _, line := range strings.Split(b.git("log", "--reverse", "--root", "--raw", "--no-abbrev", "--no-renames", "--format=commit %H %p", rev), "\n") {
		fields := strings.Fields(line)
		switch {
		case len(fields) > 1 && fields[0] == "commit":
			require.LessOrEqual(b.t, len(fields), 3, "no merges")
			past, list = append(past, pastCommit{hash: fields[1], specs: map[string]gitSpec{}}), append(list, nil)
		case len(fields) == 6 && strings.HasSuffix(fields[5], "/spec.yaml"):
			blobs[fields[3]] = true
			list[len(list)-1] = append(list[len(list)-1], altered{fields[5], fields[3]})
		}
	}
	delete(blobs, strings.Repeat("0", 40)) // of a file that is gone
	read := b.readSpecs(slices.Collect(maps.Keys(blobs)))
	for i, files := range list {
		for _, f := range files {
			past[i].specs[f.path] = read[f.blob]
		}
	}
	return past
}

// usedInWalk works out, commit by commit, what came in and went out.
func usedInWalk(past []pastCommit, names map[string]bool) []string {
	type use struct {
		builds       []int
		since, until string
		in           bool
	}
	uses := map[string]*use{}
	for _, c := range past {
		for path, spec := range c.specs {
			engine := strings.Split(path, "/")[2]
			here := map[string]bool{}
			for position, p := range spec.parts {
				if !names[p["part"]] && !names[p["serial"]] && !names[p["lot"]] && !names[p["supplier"]] {
					continue
				}
				key := fmt.Sprintf("%s %s %s/%s/%s", engine, position, p["part"], p["serial"], p["lot"])
				here[key] = true
				u := uses[key]
				if u == nil {
					u = &use{since: c.hash}
					uses[key] = u
				}
				if u.in, u.until = true, ""; !slices.Contains(u.builds, spec.build) {
					u.builds = append(u.builds, spec.build)
				}
			}
			for key, u := range uses {
				if strings.HasPrefix(key, engine+" ") && u.in && !here[key] {
					u.in, u.until = false, c.hash
				}
			}
		}
	}
	var lines []string
	for key, u := range uses {
		slices.Sort(u.builds)
		lines = append(lines, fmt.Sprintf("%s %v %v since %s until %s", key, u.builds, u.in, u.since, u.until))
	}
	sort.Strings(lines)
	return lines
}

// Where a lot, a serial, a part number or a supplier ever was, among six thousand
// commits and as known on a day in their midst, is what a walk of all of them with
// git shows; with the customers to call, as the specs name them.
func TestWhereUsedOverFifteenYears(t *testing.T) {
	b, m := years(t)
	for state, names := range map[string][]string{"": {m.Lot, m.Serial, "ES-3", "S-04", "none"}, "@" + m.Date: {m.Lot, "S-02"}} {
		rev := "HEAD"
		if state != "" {
			rev = b.on(m.Date)
		}
		past := b.walk(rev)
		customers := map[string]string{}
		for _, c := range past {
			for path, spec := range c.specs {
				customers[strings.Split(path, "/")[2]] = spec.customer
			}
		}
		for _, asked := range names {
			w, err := b.WhereUsed(asked, state, quietly)
			require.NoError(t, err)
			require.Empty(t, w.Unread)
			names := map[string]bool{asked: true}
			for _, f := range w.Also {
				names[f.Bears()] = true
			}
			require.Equal(t, usedInWalk(past, names), usedBy(w), "%s %s", asked, state)
			require.False(t, len(w.Uses) > 0 && asked == "none", state)
			require.False(t, len(w.Uses) == 0 && asked != "none" && state == "", asked)
			for _, u := range w.Uses {
				require.Equal(t, []string{customers[u.Engine]}, u.Customers, "%s %s", asked, u.Engine)
			}
		}
	}
}

// sealedBuilds are the builds of an engine whose tags a commit has, by the git
// program.
func (b *bench) sealedBuilds(number, rev string) []string {
	return strings.Fields(b.git("tag", "-l", "build/"+number+"/*", "--merged", rev, "--sort=version:refname"))
}

// filesOf counts the records of an engine at a commit.
func (b *bench) filesOf(folder, rev, below string) int {
	return len(strings.Fields(b.git("ls-tree", "--name-only", rev, folder+"/"+below+"/")))
}

// The life of an engine, now and as known on a day in its midst: the builds are
// those that tags seal, delivered on the day of their change, with every session
// and change that git has.
func TestHistoryOverFifteenYears(t *testing.T) {
	b, m := years(t)
	folder := m.Folder(m.Rebuilt)
	for _, state := range []string{m.Rebuilt, m.Rebuilt + "@" + m.Date} {
		rev := "HEAD"
		if strings.Contains(state, "@") {
			rev = b.on(m.Date)
		}
		sealed := b.sealedBuilds(m.Rebuilt, rev)
		require.NotEmpty(t, sealed)
		life, last, err := b.History(state)
		require.NoError(t, err)
		require.Empty(t, last.Problems)
		var delivered []string
		sessions, changes := 0, 0
		for _, build := range life.Builds {
			sessions, changes = sessions+len(build.Sessions), changes+len(build.Changes)
			if build.Delivered != "" {
				delivered = append(delivered, fmt.Sprintf("build/%s/%d", m.Rebuilt, build.Number))
				require.Equal(t, build.Delivered, strings.TrimSpace(b.git("log", "-1", "--format=%cs", delivered[len(delivered)-1])))
				require.NotEmpty(t, build.Hours)
			}
			require.Equal(t, build.Number > 1, build.Altered != nil)
		}
		require.Equal(t, sealed, delivered, state)
		require.Equal(t, b.filesOf(folder, rev, "measurements"), sessions, state)
		require.Equal(t, b.filesOf(folder, rev, "changes"), changes, state)
	}
}

// One position through the builds: at each the serial that the spec of its tag
// has, and the removal of the one before.
func TestPositionOverFifteenYears(t *testing.T) {
	b, m := years(t)
	folder := m.Folder(m.Rebuilt)
	for _, state := range []string{m.Rebuilt, m.Rebuilt + "@" + m.Date} {
		p, _, err := b.PositionLife(state, "rotor/2")
		require.NoError(t, err)
		require.NotEmpty(t, p.Builds)
		serials := map[string]bool{}
		for _, build := range p.Builds[:len(p.Builds)-1] {
			spec := readGitSpec(b.git("show", fmt.Sprintf("build/%s/%d:%s/spec.yaml", m.Rebuilt, build.Number, folder)))
			require.Equal(t, spec.parts["rotor/2"]["serial"], build.Fitted[0].Serial)
			serials[build.Fitted[0].Serial] = true
		}
		removed := 0
		for _, build := range p.Builds {
			for _, e := range build.Events {
				for _, r := range e.Removed {
					if r.Serial != "" {
						require.True(t, serials[r.Serial], "%s was fitted before it was taken out", r.Serial)
						removed++
					}
				}
			}
		}
		require.Equal(t, strings.Contains(state, "@"), removed == 0, "on that day it was just opened")
	}
}

// One rotor through two engines, and where it was known to be in between.
func TestSerialOverFifteenYears(t *testing.T) {
	b, m := years(t)
	life, err := b.PartLifeAt(m.Serial, "")
	require.NoError(t, err)
	require.Len(t, life.Seats, 1)
	require.Equal(t, m.To, life.Seats[0].Engine.Number)
	since := map[string]time.Time{} // by engine, the day it came in, as git has it
	for _, c := range b.walk("HEAD") {
		for path, spec := range c.specs {
			engine := strings.Split(path, "/")[2]
			if here := fmt.Sprint(spec.parts); since[engine].IsZero() && strings.Contains(here, "serial:"+m.Serial+" ") {
				day, err := time.Parse(time.DateOnly, strings.TrimSpace(b.git("log", "-1", "--format=%cs", c.hash)))
				require.NoError(t, err)
				since[engine] = day
			}
		}
	}
	require.Len(t, since, 2)
	on := func(day time.Time) []string {
		life, err := b.PartLifeAt(m.Serial, "@"+day.Format(time.DateOnly))
		require.NoError(t, err)
		var engines []string
		for _, seat := range life.Seats {
			engines = append(engines, seat.Engine.Number)
		}
		return engines
	}
	require.Equal(t, []string{m.From}, on(since[m.From]))
	require.Empty(t, on(since[m.To].AddDate(0, 0, -1)), "it lay on the shelf")
	require.Equal(t, []string{m.To}, on(since[m.To]))
}

var failsLine = regexp.MustCompile(`(?m)verdict: fails\}$`)

// Every engine in a line, now and on a day: those whose spec git has, each
// delivered where its build is sealed, failing as its figures.yaml says.
func TestFleetOverFifteenYears(t *testing.T) {
	b, m := years(t)
	for _, state := range []string{"", "@" + m.Date} {
		rev := "HEAD"
		if state != "" {
			rev = b.on(m.Date)
		}
		f, err := b.Fleet(state, quietly)
		require.NoError(t, err)
		var specs []string
		for _, name := range strings.Fields(b.git("ls-tree", "-r", "--name-only", rev, "engines/")) {
			if strings.HasSuffix(name, "/spec.yaml") {
				specs = append(specs, name)
			}
		}
		require.Len(t, f.Engines, len(specs))
		require.Equal(t, state == "", len(specs) == m.Size.Engines)
		sealed := strings.Fields(b.git("tag", "-l", "build/*", "--merged", rev))
		standings := map[history.Standing]int{}
		for i, one := range f.Engines {
			require.Zero(t, one.Problems, one.Number)
			standings[one.Standing]++
			build := fmt.Sprintf("build/%s/%d", one.Number, one.Build)
			require.Equal(t, slices.Contains(sealed, build), one.Standing == history.Delivered, "%s %s", state, build)
			if one.Standing == history.Delivered {
				require.NotNil(t, one.SinceDelivery, one.Number)
			}
			if i%25 == 0 {
				folder := strings.TrimSuffix(specs[slices.IndexFunc(specs, func(p string) bool { return strings.Contains(p, "/"+one.Number+"/") })], "/spec.yaml")
				stored := b.git("show", rev+":"+folder+"/figures.yaml")
				require.Len(t, failsLine.FindAllString(stored, -1), one.Verdicts[figure.Fails], one.Number)
			}
		}
		require.Greater(t, standings[history.Delivered], len(specs)/3)
		require.Less(t, standings[history.Delivered], len(specs))
	}
}

// The wear of an engine that came back: every size read again has its readings in
// the order of the hours, at those the sessions give, and with so few of them no
// forecast is made.
func TestWearOverFifteenYears(t *testing.T) {
	b, m := years(t)
	for _, state := range []string{m.Rebuilt, m.Rebuilt + "@" + m.Date} {
		w, err := b.Wear(state)
		require.NoError(t, err)
		if strings.Contains(state, "@") {
			require.Empty(t, w.Sizes, "on that day nothing had been read again")
			continue
		}
		require.NotEmpty(t, w.Sizes)
		for _, size := range w.Sizes {
			require.GreaterOrEqual(t, len(size.Readings), 2)
			for i, r := range size.Readings {
				require.True(t, i == 0 || r.Hours >= size.Readings[i-1].Hours)
				require.Contains(t, b.git("show", "HEAD:"+r.Session.Path), size.Point.ID+":")
			}
			if len(size.Readings) == 2 {
				require.Equal(t, history.TooFew, size.Trend)
				require.Nil(t, size.Reach)
			}
		}
	}
}
