package history_test

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
	"stackbook/diff/history"
	"stackbook/record"
	"stackbook/record/figure"
)

// The life told here is that of the demo: the invented engine SK-01 of the shop
// at Skarvik, built in 2017 and rebuilt in 2019.
const (
	folder    = "engines/2017/SK-01"
	demoFiles = "../../cmd/internal/act/demo/SK-01"
)

// files are the records of one engine: texts by their path in its folder.
type files map[string]string

// demo lays the folders of the demo one over the other, from enrolment to the
// one whose name begins with last.
func demo(t *testing.T, last string) files {
	t.Helper()
	steps, err := fs.Glob(os.DirFS(demoFiles), "*-*")
	require.NoError(t, err)
	f := files{}
	for _, step := range steps {
		if number := step[:2]; number < "02" || number > last {
			continue
		}
		dir := os.DirFS(path.Join(demoFiles, step))
		require.NoError(t, fs.WalkDir(dir, ".", func(name string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() {
				return err
			}
			text, err := fs.ReadFile(dir, name)
			f[name] = string(text)
			return err
		}))
		if strings.HasPrefix(step, "09") { // the second build is opened on arrival
			f["spec.yaml"] = strings.Replace(f["spec.yaml"], "build: 1\n", "build: 2\n", 1)
		}
	}
	return f
}

// state is one build as it stands in these records, read from a commit.
func (f files) state(t *testing.T, build int, commit string) history.State {
	t.Helper()
	var list []record.File
	for _, name := range slices.Sorted(maps.Keys(f)) {
		list = append(list, record.File{Path: path.Join(folder, name), Data: []byte(f[name])})
	}
	e, problems := record.Load(folder, list)
	require.Empty(t, problems)
	text, err := os.ReadFile(path.Join(demoFiles, "../book/01-begin/limits/skarvik-race.yaml"))
	require.NoError(t, err)
	limits, problems := record.ReadLimits(record.File{Path: "limits/skarvik-race.yaml", Data: text})
	require.Empty(t, problems)
	return history.State{State: diff.State{Engine: e, Figures: figure.Compute(e, limits)}, Build: build, Commit: commit}
}

// The whole life: two builds, both delivered.
func TestLifeOfTwoBuilds(t *testing.T) {
	life := history.Of([]history.State{demo(t, "07").state(t, 1, "aa11"), demo(t, "15").state(t, 2, "bb22")})
	require.Equal(t, "SK-01", life.Engine.Number)
	require.Len(t, life.Builds, 2)
	first, second := life.Builds[0], life.Builds[1]

	require.Equal(t, []any{1, "2017-02-27", "2017-05-20", "4 h", "aa11"}, []any{first.Number, first.Opened, first.Delivered, first.Hours, first.Commit})
	require.Nil(t, first.Altered, "there is no build before it")
	require.Equal(t, []string{"2017-02-27 mock-up", "2017-03-14 balance", "2017-04-03 assembly", "2017-05-04 dyno"}, sessions(first))
	require.Equal(t, []string{"2017-05-20 delivery", "2019-07-08 18:40 event"}, changes(first), "the telephone call still belongs to the build that was in use")
	require.Empty(t, first.Failed)

	require.Equal(t, []any{2, "2019-07-20", "2019-09-28", "65 ± 3 h", "bb22"}, []any{second.Number, second.Opened, second.Delivered, second.Hours, second.Commit})
	require.Len(t, second.Sessions, 7)
	require.Len(t, second.Changes, 10)
	require.Equal(t, "2019-07-22 teardown", changes(second)[0])
	require.Same(t, life.Engine, second.Figures.Engine)
}

// What a build altered against the one before: parts, readings and figures, but
// not which records were written, since the life tells those.
func TestAlteredAgainstTheBuildBefore(t *testing.T) {
	life := history.Of([]history.State{demo(t, "07").state(t, 1, ""), demo(t, "15").state(t, 2, "")})
	altered := life.Builds[1].Altered
	require.NotNil(t, altered)
	require.Contains(t, altered.Changes, diff.Change{Path: "parts.rotor/2.serial", What: diff.Changed, From: "R-1181", To: "R-2033"})
	require.Contains(t, altered.Changes, diff.Change{Path: "cooling.feed_after", What: diff.Added, To: "1"})
	for _, c := range altered.Changes {
		require.NotContains(t, c.Path, ".yaml")
	}
	require.True(t, slices.ContainsFunc(altered.Readings, func(r diff.Reading) bool { return r.Point == "spacer_thickness" && r.To == 8.005 }))
	require.True(t, slices.ContainsFunc(altered.Figures, func(f diff.FigureChange) bool { return f.Figure.ID == "apex_seal.end_gap" }))
}

// An open build has no day of delivery; its hours are the last it was given,
// and what fails now is told.
func TestOpenBuild(t *testing.T) {
	life := history.Of([]history.State{demo(t, "07").state(t, 1, "aa11"), demo(t, "10").state(t, 2, "")})
	open := life.Builds[1]
	require.Equal(t, []any{"2019-07-20", "", "61 ± 3 h", ""}, []any{open.Opened, open.Delivered, open.Hours, open.Commit})
	var failed []string
	for _, r := range open.Failed {
		require.Equal(t, figure.Fails, r.Verdict)
		failed = append(failed, r.Figure.ID+" "+r.At+" "+r.Text())
	}
	// 78.010 - 77.941 mm between A and C of housing 2, against 0.06 mm for a used one.
	require.Contains(t, failed, "housing.width_difference housing/2 0.069")
	require.NotNil(t, open.Altered)
}

// A build that was given up before delivery has no state of its own: its
// records are told, and neither it nor the next is compared with anything.
func TestBuildThatWasNeverDelivered(t *testing.T) {
	f := demo(t, "06")
	f["spec.yaml"] = strings.Replace(f["spec.yaml"], "build: 1\n", "build: 2\n", 1)
	f["changes/2017-06-01-note.yaml"] = "format: change/1\nengine: SK-01\nbuild: 2\ndate: 2017-06-01\nkind: note\nby: TR\nhours: 4.5 h\nwhat: begun anew\n"
	life := history.Of([]history.State{f.state(t, 2, "")})
	require.Len(t, life.Builds, 2)
	given, now := life.Builds[0], life.Builds[1]
	require.Equal(t, []any{"2017-02-27", "", "4 h", ""}, []any{given.Opened, given.Delivered, given.Hours, given.Commit})
	require.Len(t, given.Sessions, 4)
	require.Nil(t, given.Figures)
	require.Nil(t, given.Altered)
	require.Nil(t, given.Failed)
	require.Equal(t, []any{"2017-06-01", "4.5 h"}, []any{now.Opened, now.Hours})
	require.NotNil(t, now.Figures)
	require.Nil(t, now.Altered)
}

// A build of which nothing was written yet has neither days nor hours.
func TestBuildWithoutRecords(t *testing.T) {
	life := history.Of([]history.State{demo(t, "02").state(t, 1, "")})
	require.Len(t, life.Builds, 1)
	b := life.Builds[0]
	require.Equal(t, []any{"", "", "", 0, 0}, []any{b.Opened, b.Delivered, b.Hours, len(b.Sessions), len(b.Changes)})
}

// The hours of a delivered build are those of its delivery; where that says
// none, the latest any record of the build gives.
func TestHoursOfABuild(t *testing.T) {
	f := demo(t, "08")
	const delivery = "changes/2017-05-20-delivery.yaml"
	require.Equal(t, "4 h", history.Of([]history.State{f.state(t, 1, "")}).Builds[0].Hours, "not the 61 h of the call two years later")
	f[delivery] = strings.Replace(f[delivery], "hours: 4 h\n", "", 1)
	require.Equal(t, "61 ± 3 h", history.Of([]history.State{f.state(t, 1, "")}).Builds[0].Hours)
	f[delivery] = strings.Replace(f[delivery], "kind: delivery\n", "kind: delivery\nhours: 4 h\nhours_error: 0.5 h\n", 1)
	require.Equal(t, "4 ± 0.5 h", history.Of([]history.State{f.state(t, 1, "")}).Builds[0].Hours)
	open := demo(t, "06")
	open["changes/2017-04-10-note.yaml"] = "format: change/1\nengine: SK-01\nbuild: 1\ndate: 2017-04-10\nkind: note\nby: TR\nhours: 0.5 h\nwhat: turned over on the bench\n"
	require.Equal(t, "4 h", history.Of([]history.State{open.state(t, 1, "")}).Builds[0].Hours, "the run in May is later")
}

func sessions(b history.Build) []string {
	var list []string
	for _, s := range b.Sessions {
		list = append(list, s.Date.String()+" "+s.Stage.Name)
	}
	return list
}

func changes(b history.Build) []string {
	var list []string
	for _, c := range b.Changes {
		list = append(list, c.Date.String()+" "+c.Kind.Name)
	}
	return list
}
