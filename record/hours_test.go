package record_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"stackbook/record"
)

// told adds a change that gives the engine's hours: "61 h, hours_error: 3 h".
func (s *shelf) told(build int, date, kind, hours string, more ...string) *shelf {
	text := fmt.Sprintf("format: change/1\nengine: SK-07\nbuild: %d\ndate: %s\nkind: %s\nby: KM\nwhat: a change\n", build, date, kind)
	if hours != "" {
		text += "hours: " + strings.Join(strings.Split(hours, ", "), "\n") + "\n"
	}
	return s.add(fmt.Sprintf("changes/%s-%d.yaml", date[:10], len(s.files)), text+strings.Join(more, "\n")+"\n")
}

// at adds a session that gives the engine's hours.
func (s *shelf) at(build int, stage, date, hours string) *shelf {
	return s.add(fmt.Sprintf("measurements/%s-%s-KM.yaml", date[:10], stage),
		fmt.Sprintf("format: measurements/1\nengine: SK-07\nbuild: %d\nstage: %s\ndate: %s\nby: KM\nhours: %s\n", build, stage, date, hours))
}

func text(h record.Hours, ok bool) string {
	if !ok {
		return ""
	}
	return h.String()
}

// A count of hours keeps its source, its error and its line.
func TestHoursNow(t *testing.T) {
	_, ok := new(shelf).spec(1, "").load(t).HoursNow()
	require.False(t, ok, "nobody counted, which is not none")
	e := new(shelf).spec(1, "").at(1, "mock-up", "2024-03-01", "0 h").
		told(1, "2024-07-01", "event", "61 h, hours_error: 3 h, hours_source: the customer's log book").
		told(1, "2024-05-01", "delivery", "240 min").load(t)
	now, ok := e.HoursNow()
	require.True(t, ok)
	require.Equal(t, []any{"61 ± 3 h", "the customer's log book", 8}, []any{now.String(), now.Source, now.Ref.Line})
	on := func(day string) string {
		c := new(shelf).spec(1, "").told(1, day, "note", "").load(t).Changes[0]
		return text(e.HoursOn(c.Date))
	}
	require.Equal(t, []string{"", "0 h", "4 h", "61 ± 3 h"}, []string{on("2024-02-01"), on("2024-04-01"), on("2024-05-01"), on("2025-01-01")})
}

// A build is opened at what the engine had run when it came back, not at what
// it had run when it was delivered before.
func TestHoursSinceBuild(t *testing.T) {
	for _, row := range []struct {
		name  string
		shelf *shelf
		want  string
	}{
		{"first build, as delivered", new(shelf).spec(1, "").told(1, "2024-05-01", "delivery", "4 h"), "4 h"},
		{"first build of a used engine", new(shelf).spec(1, "").told(1, "2024-01-01", "teardown", "200 h").told(1, "2024-05-01", "delivery", "204 h"), "4 h"},
		{"opened at its teardown", new(shelf).spec(2, "").told(1, "2024-05-01", "delivery", "4 h").told(2, "2025-05-01", "teardown", "61 h, hours_error: 3 h").at(2, "dyno", "2025-06-01", "65 h"), "4 ± 3 h"},
		{"opened at the last told before", new(shelf).spec(2, "").told(1, "2024-05-01", "delivery", "4 h").told(1, "2025-05-01", "event", "61 h").at(2, "dyno", "2025-06-01", "65 h"), "4 h"},
		{"not run since", new(shelf).spec(2, "").told(1, "2024-05-01", "delivery", "4 h").at(2, "as-found", "2025-05-01", "61 h\nhours_error: 3 h"), "0 h"},
		{"nobody counted before", new(shelf).spec(2, "").at(2, "dyno", "2025-06-01", "65 h"), ""},
		{"nobody counted", new(shelf).spec(2, ""), ""},
	} {
		require.Equal(t, row.want, text(row.shelf.load(t).HoursSinceBuild()), row.name)
	}
}

// Counts of one meter are not independent: the greater error stands for their
// difference, and one nobody stated is not taken for none.
func TestHoursErrors(t *testing.T) {
	off := func(x float64) *float64 { return &x }
	a, b, plain := record.Hours{Value: 65, Error: off(2)}, record.Hours{Value: 61, Error: off(3)}, record.Hours{Value: 0.1}
	require.Equal(t, "4 ± 3 h", a.Less(b).String())
	require.Equal(t, "126 ± 3 h", a.Plus(b).String())
	require.Equal(t, "64.9 ± 2 h", a.Less(plain).String())
	require.Nil(t, plain.Plus(plain).Error)
	require.Equal(t, "0.3 h", plain.Plus(plain).Plus(plain).String())
	require.Equal(t, "0 h", b.Less(b).String(), "two equal counts: nothing ran")
	require.False(t, a.Differs(b))
	require.True(t, a.Differs(plain))
	require.True(t, plain.Differs(a))
}

// A count that runs backwards is a problem at its line, unless what it may be
// off explains it.
func TestHoursBackwards(t *testing.T) {
	for later, wrong := range map[string]bool{"61 h": false, "62 h": false, "57 h": true, "57 h, hours_error: 1 h": false, "50 h, hours_error: 5 h": true} {
		_, list := new(shelf).spec(1, "").told(1, "2024-05-01", "event", "61 h, hours_error: 3 h").told(1, "2024-06-01", "event", later).problems()
		if !wrong {
			require.Empty(t, list, later)
			continue
		}
		p := only(t, list)
		require.Equal(t, "hours", p.Rule)
		require.Equal(t, 8, p.Line)
		require.Contains(t, p.Message, "had 61 ± 3 h on 2024-05-01 by "+folder+"/changes/2024-05-01-1.yaml:8")
	}
	_, list := new(shelf).spec(1, "").told(1, "2024-05-01", "event", "61 h").told(1, "2024-05-01", "event", "20 h").problems()
	require.Empty(t, list, "of one day the order is not known")
	_, list = new(shelf).spec(1, "  rotor/1: {engine_hours_at_fitting: 70 h}\n").told(1, "2024-05-01", "event", "61 h, hours_error: 3 h").problems()
	require.Contains(t, only(t, list).Message, "rotor/1 was fitted at 70 h of the engine, which has run 61 ± 3 h")
}

// When a part came to its place: by the spec, by the last change that put it
// there, else it is there since the first build.
func TestFitting(t *testing.T) {
	const took = "removed: [{from: rotor/1, serial: R-0, to: scrap}]"
	lived := func(spec string) *shelf {
		return new(shelf).spec(2, "  rotor/1: {serial: R-1"+spec+"}\n").told(1, "2024-05-01", "delivery", "4 h").told(2, "2025-05-01", "teardown", "61 h, hours_error: 3 h")
	}
	for _, row := range []struct {
		name  string
		shelf *shelf
		build int
		hours string
	}{
		{"nothing tells otherwise", lived(""), 1, "0 h"},
		{"a replacement", lived("").told(2, "2025-05-02", "replacement", "61.5 h", "touches: [rotor/1]"), 2, "61.5 h"},
		{"a replacement that gives no hours", lived("").told(2, "2025-05-02", "replacement", "", "touches: [rotor/1]"), 2, "61 ± 3 h"},
		{"the removal of another", lived("").told(2, "2025-05-02", "adjustment", "62 h", took), 2, "62 h"},
		{"its own removal is no fitting", lived("").told(2, "2025-05-02", "teardown", "62 h", "removed: [{from: rotor/1, serial: R-1, to: shelf}]"), 1, "0 h"},
		{"a replacement of what is in it", lived("").told(2, "2025-05-02", "replacement", "62 h", "touches: [rotor/1/apex/1]"), 1, "0 h"},
		{"the spec in build 2", lived(", engine_hours_at_fitting: 61 h"), 2, "61 h"},
		{"the spec in build 1", lived(", engine_hours_at_fitting: 2 h"), 1, "2 h"},
	} {
		e := row.shelf.load(t)
		p, _ := e.PartAt("rotor/1")
		f := e.Fitting(p)
		require.Equal(t, row.build, f.Build, row.name)
		require.Equal(t, row.hours, f.Hours.String(), row.name)
	}
	e := new(shelf).spec(2, "  rotor/1: {serial: R-1}\n").told(2, "2025-05-02", "replacement", "", "touches: [rotor/1]").load(t)
	p, _ := e.PartAt("rotor/1")
	require.Nil(t, e.Fitting(p).Hours, "no record tells the engine's hours by then")
}

// What a change took out is read as written, fitted at and found at apart.
func TestRemoved(t *testing.T) {
	e := new(shelf).spec(1, "").told(1, "2024-05-01", "teardown", "61 h",
		"removed:", "  - {from: rotor/1/apex/1, found_at: rotor/1/apex/3, lot: B-14, to: kept as evidence, where: shelf C, note: chipped}", "  - {from: rotor/2, serial: R-2, hours: 61 h}").load(t)
	list := e.Changes[0].Removed()
	require.Len(t, list, 2)
	require.Equal(t, []string{"rotor/1/apex/1", "rotor/1/apex/3", "", "B-14", "kept as evidence", "shelf C", "chipped"},
		[]string{list[0].From, list[0].FoundAt, list[0].Serial, list[0].Lot, list[0].To, list[0].Where, list[0].Note})
	require.Nil(t, list[0].Hours)
	require.Equal(t, []string{"R-2", "61 h"}, []string{list[1].Serial, list[1].Hours.String()})
	require.Equal(t, 11, list[1].Ref.Line)
}
