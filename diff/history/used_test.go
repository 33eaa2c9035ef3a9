package history_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"stackbook/diff/history"
	"stackbook/record"
)

// spec is what one version of the spec of an engine tells, of one part a rotor.
func spec(t *testing.T, engine, customer string, build int, serials ...string) *history.Telling {
	t.Helper()
	text := fmt.Sprintf("format: spec/1\nengine: %s\ncustomer: %s\nbuild: %d\nparts:\n", engine, customer, build)
	for i, s := range serials {
		text += fmt.Sprintf("  rotor/%d: {part: RT-80, serial: %s, supplier: S-02}\n", i+1, s)
	}
	e := record.ReadSpec("engines/2017/"+engine, record.File{Path: "engines/2017/" + engine + "/spec.yaml", Data: []byte(text)})
	require.NotNil(t, e)
	return history.Names{"R-1": true}.OfSpec(e)
}

func list(tellings ...*history.Telling) []*history.Telling { return tellings }

// When a part came and went, over commits in a row and over merges.
func TestUsedSinceAndUntil(t *testing.T) {
	with, other := spec(t, "SK-01", "C-01", 1, "R-1"), spec(t, "SK-01", "C-01", 2, "R-2")
	turn := func(gone, come []*history.Telling) []history.Turn { return []history.Turn{{Gone: gone, Come: come}} }
	for _, row := range []struct {
		name         string
		steps        [][]history.Turn
		since, until string
	}{
		{"came and stayed", [][]history.Turn{turn(nil, list(with))}, "1", ""},
		{"came and went", [][]history.Turn{turn(nil, list(with)), turn(list(with), list(other))}, "1", "2"},
		{"its folder moved", [][]history.Turn{turn(nil, list(with)), turn(list(with), list(with))}, "1", ""},
		{"its engine was deleted", [][]history.Turn{turn(nil, list(with)), turn(list(with), nil)}, "1", "2"},
		{"came back and went again", [][]history.Turn{turn(nil, list(with)), turn(list(with), nil), turn(nil, list(with)), turn(list(with), nil)}, "1", "4"},
		{"a merge of a side that had taken it out", [][]history.Turn{turn(nil, list(with)), turn(list(with), list(other)), {{Gone: list(with), Come: list(other)}, {}}}, "1", "2"},
		{"a merge that brings it itself", [][]history.Turn{{{Come: list(with)}, {Come: list(with)}}}, "1", ""},
		{"a merge that takes it itself", [][]history.Turn{turn(nil, list(with)), {{Gone: list(with)}, {Gone: list(with)}}}, "1", "2"},
		{"never here", [][]history.Turn{turn(nil, list(other))}, "none", "none"},
	} {
		u := history.NewUsed(history.Names{"R-1": true})
		for i, s := range row.steps {
			u.Step(history.Moment{Commit: fmt.Sprint(i + 1), Day: "2020-01-01"}, s)
		}
		uses := u.Uses()
		if row.since == "none" {
			require.Empty(t, uses, row.name)
			continue
		}
		require.Len(t, uses, 1, row.name)
		require.Equal(t, row.since, uses[0].Since.Commit, row.name)
		until := ""
		if uses[0].Until != nil {
			until = uses[0].Until.Commit
		}
		require.Equal(t, row.until, until, row.name)
	}
}

// Builds and customers add up; the one to call is who has the engine now.
func TestCallers(t *testing.T) {
	u := history.NewUsed(history.Names{"R-1": true})
	at := func(day string) history.Moment { return history.Moment{Commit: day, Day: day} }
	first, sold := spec(t, "SK-01", "C-01", 1, "R-1"), spec(t, "SK-01", "C-05", 2, "R-1")
	gone := spec(t, "SK-02", "C-02", 1, "R-9", "R-1")
	u.Step(at("2020-01-01"), []history.Turn{{Come: list(first, gone)}})
	u.Step(at("2020-01-02"), []history.Turn{{Gone: list(first, gone), Come: list(sold)}})
	e, _ := record.Load("engines/2017/SK-01", []record.File{{Path: "engines/2017/SK-01/spec.yaml",
		Data: []byte("format: spec/1\nengine: SK-01\nid: 7f3a-91c0-55de\ncustomer: C-05\nbuild: 2\nparts:\n  rotor/1: {part: RT-80, serial: R-1, supplier: S-02}\n")}})
	u.Present(e)
	uses := u.Uses()
	require.Len(t, uses, 2)
	require.Equal(t, []int{1, 2}, uses[0].Builds)
	require.Equal(t, []string{"C-01", "C-05"}, uses[0].Customers)
	var told []string
	for _, c := range history.Callers(uses) {
		told = append(told, fmt.Sprintf("%s: %s, now %s", c.Customer, c.Engines, c.Now))
	}
	require.Equal(t, []string{"C-05: [SK-01], now [SK-01]", "C-01: [SK-01], now []", "C-02: [SK-02], now []"}, told)
}
