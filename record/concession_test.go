package record_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"
)

// concession adds one that touches some positions and says when it was closed,
// "" where it was not.
func (s *shelf) concession(build int, date, touches, closed string) *shelf {
	text := fmt.Sprintf("format: change/1\nengine: SK-07\nbuild: %d\ndate: %s\nkind: concession\nby: KM\nwhat: accepted\ntouches: [%s]\nconcession: {accepted_by: KM", build, date, touches)
	if closed != "" {
		text += ", closed: " + closed
	}
	return s.add("changes/"+date+".yaml", text+"}\n")
}

// A concession stays open until it is closed itself, or by a later one of the
// same positions: the files of a delivered build are not written again (R18).
func TestOpenConcessions(t *testing.T) {
	for name, c := range map[string]struct {
		shelf *shelf
		open  []string
	}{
		"none":                     {new(shelf), nil},
		"open":                     {new(shelf).concession(1, "2019-08-05", "plate/1/rear", ""), []string{"2019-08-05"}},
		"closed itself":            {new(shelf).concession(1, "2019-08-05", "plate/1/rear", "2019-09-01"), nil},
		"by a later one":           {new(shelf).concession(1, "2019-08-05", "plate/1/rear", "").concession(2, "2025-11-12", "plate/1/rear", "2025-11-12"), nil},
		"by one of the whole part": {new(shelf).concession(1, "2019-08-05", "plate/1/rear", "").concession(2, "2025-11-12", "plate/1", "2025-11-12"), nil},
		"of another face":          {new(shelf).concession(1, "2019-08-05", "plate/1/rear", "").concession(2, "2025-11-12", "plate/2/front", "2025-11-12"), []string{"2019-08-05"}},
		"of half of it":            {new(shelf).concession(1, "2019-08-05", "plate/1/rear, housing/1", "").concession(2, "2025-11-12", "housing/1", "2025-11-12"), []string{"2019-08-05"}},
		"by a later open one":      {new(shelf).concession(1, "2019-08-05", "plate/1/rear", "").concession(2, "2025-11-12", "plate/1/rear", ""), []string{"2019-08-05", "2025-11-12"}},
		"by an earlier one":        {new(shelf).concession(1, "2019-08-05", "plate/1/rear", "2019-08-06").concession(2, "2025-11-12", "plate/1/rear", ""), []string{"2025-11-12"}},
		"that touched nothing":     {new(shelf).concession(1, "2019-08-05", "", "").concession(2, "2025-11-12", "engine", "2025-11-12"), []string{"2019-08-05"}},
		"not by a change":          {new(shelf).concession(1, "2019-08-05", "plate/1/rear", "").change(2, "2025-11-10", "machining", "plate/1/rear"), []string{"2019-08-05"}},
	} {
		t.Run(name, func(t *testing.T) {
			var open []string
			for _, o := range c.shelf.spec(2, "").load(t).OpenConcessions() {
				open = append(open, o.Date.Day())
			}
			require.Equal(t, c.open, open)
		})
	}
}
