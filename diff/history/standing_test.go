package history_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"stackbook/diff/history"
	"stackbook/record"
	"stackbook/record/travel"
	"stackbook/schema"
)

// What an engine is doing, by its records.
func TestStandingOf(t *testing.T) {
	b := func(build int) *worn { return wornBook(t).engine("SK-01", build, "  plate/1: {serial: P-1}\n") }
	first := func() *worn { return b(2).change("SK-01", 1, "2020-01-01", "delivery", 5, "") }
	for _, row := range []struct {
		name  string
		w     *worn
		want  history.Standing
		since string
	}{
		{"just enrolled", b(1), history.OnBench, "0001-01-01"},
		{"being built", b(1).change("SK-01", 1, "2019-12-01", "machining", 0, "touches: [plate/1]\n"), history.OnBench, "2019-12-01"},
		{"delivered", b(1).change("SK-01", 1, "2020-01-01", "delivery", 5, ""), history.Delivered, "2020-01-01"},
		{"opened again", first().change("SK-01", 2, "2021-01-01", "teardown", 50, ""), history.InRebuild, "2021-01-01"},
		{"laid up", first().change("SK-01", 2, "2021-01-01", "teardown", 50, "").change("SK-01", 2, "2021-02-01", "storage", 50, "").change("SK-01", 2, "2021-03-01", "note", 50, ""), history.LaidUp, "2021-02-01"},
		{"laid up, then worked on", first().change("SK-01", 2, "2021-02-01", "storage", 50, "").change("SK-01", 2, "2021-03-01", "machining", 50, "touches: [plate/1]\n"), history.InRebuild, "2021-02-01"},
		{"laid up, then measured", first().change("SK-01", 2, "2021-02-01", "storage", 50, "").read("SK-01", 2, "2021-03-01", "mock-up", 50, "", "step_wear", "plate/1/rear/track/side", "0.01"), history.InRebuild, "2021-02-01"},
	} {
		standing, since := history.StandingOf(row.w.load("SK-01"))
		require.Equal(t, row.want, standing, row.name)
		require.Equal(t, row.since, since.Day(), row.name)
	}
}

// The last word from outside: claims, running sessions, and what names its source.
func TestLastWord(t *testing.T) {
	b := func() *worn {
		return wornBook(t).engine("SK-01", 1, "  plate/1: {serial: P-1}\n").change("SK-01", 1, "2020-01-01", "delivery", 5, "source: the shop\n")
	}
	for _, row := range []struct {
		name string
		w    *worn
		want string
	}{
		{"none", b(), ""},
		{"an event that names no source", b().change("SK-01", 1, "2020-02-01", "event", 6, ""), ""},
		{"an event", b().change("SK-01", 1, "2020-02-01", "event", 6, "source: telephone\n"), "2020-02-01 event telephone"},
		{"a claim later", b().change("SK-01", 1, "2020-02-01", "event", 6, "source: telephone\n").change("SK-01", 1, "2020-03-01", "claim", 6, ""), "2020-03-01 claim "},
		{"a running session later", b().change("SK-01", 1, "2020-03-01", "claim", 6, "").file("SK-01", "measurements/2020-04-01-running-KM.yaml", "format: measurements/1\nengine: SK-01\nbuild: 1\nstage: running\ndate: 2020-04-01\nby: KM\nhours: 9 h\nhours_source: logger\n"), "2020-04-01 running logger"},
	} {
		word, ok := history.LastWord(row.w.load("SK-01"))
		require.Equal(t, row.want != "", ok, row.name)
		if ok {
			require.Equal(t, row.want, fmt.Sprintf("%s %s %s", word.Date.Day(), word.Kind, word.Source), row.name)
		}
	}
}

// What is due of an engine, over or still to come.
func TestDueWork(t *testing.T) {
	eighty := 80.0
	today, err := schema.ParseDate("2026-03-02")
	require.NoError(t, err)
	concession := func(again string) string {
		return "touches: [plate/1/rear]\nconcession: {accepted_by: KM, look_again: " + again + "}\n"
	}
	delivered := func(hours float64, more string) *worn {
		return wornBook(t).engine("SK-01", 1, "  shaft: {serial: E-1}\n").change("SK-01", 1, "2019-12-01", "concession", 0, more).
			change("SK-01", 1, "2020-01-01", "delivery", 5, "").change("SK-01", 1, "2021-01-01", "event", hours, "")
	}
	for _, row := range []struct {
		name string
		w    *worn
		want []string
	}{
		{"opening to come", delivered(45, concession("soon")), []string{"opening 40 false", "look again none false"}},
		{"opening over", delivered(90, concession("soon")), []string{"opening -5 true", "look again none false"}},
		{"never delivered", wornBook(t).engine("SK-01", 1, "  shaft: {serial: E-1}\n"), nil},
		{"look again at hours", delivered(45, concession("at 40 h of this build")), []string{"opening 40 false", "look again -5 true"}},
		{"look again later", delivered(45, concession("at 50.5 h of this build")), []string{"opening 40 false", "look again 5.5 false"}},
		{"look again by a day that has come", delivered(45, concession("before 2026-03-02")), []string{"opening 40 false", "look again none true"}},
		{"look again by a day to come", delivered(45, concession("after 2026-03-03")), []string{"opening 40 false", "look again none false"}},
		{"closed", delivered(45, concession("at 40 h of this build, closed: 2021-02-01, closed_because: held")), []string{"opening 40 false"}},
	} {
		var told []string
		for _, d := range history.DueWork(row.w.load("SK-01"), nil, &eighty, today) {
			left := "none"
			if d.Left != nil {
				left = fmt.Sprint(*d.Left)
			}
			told = append(told, fmt.Sprintf("%s %s %v", d.What, left, d.Now))
		}
		require.Equal(t, row.want, told, row.name)
	}
}

// Crack tests of one standing and one time are told together.
func TestDueCrackTests(t *testing.T) {
	e := wornBook(t).engine("SK-01", 1, "  shaft: {serial: E-1}\n").
		file("SK-01", "measurements/2020-01-01-crack-test-TR.yaml", "format: measurements/1\nengine: SK-01\nbuild: 1\nstage: crack-test\ndate: 2020-01-01\nby: TR\nhours: 0 h\nparts: {shaft: E-1}\nreadings:\n  crack_test: {shaft: clear, counterweight/front: clear, counterweight/rear: clear}\n").
		change("SK-01", 1, "2020-06-01", "event", 44, "").load("SK-01")
	guards := travel.New([]*record.Engine{e}, nil, &travel.Interval{Hours: 40}).Guards(e)
	var told []string
	for _, d := range history.DueWork(e, guards, nil, schema.Date{}) {
		told = append(told, fmt.Sprintf("%s %v %v %v", d.Text, d.At, d.Left != nil && *d.Left == -4, d.Now))
	}
	require.Equal(t, []string{"test overdue [counterweight/front counterweight/rear] true true", "never tested [rotor/1] false true", "test overdue [shaft] true true"}, told)
}
