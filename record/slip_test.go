package record_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A reading is asked about when it is a power of ten from what is read at all other
// places of its point, in one session of the build (common practice, no source);
// what varies by its nature is not.
func TestSlips(t *testing.T) {
	session := func(build int, point string, values ...string) string {
		text := fmt.Sprintf("format: measurements/1\nengine: SK-07\nbuild: %d\nstage: mock-up\ndate: 2026-03-02\nby: KM\nreadings:\n  %s:\n    unit: mm\n", build, point)
		for i, v := range values {
			place := fmt.Sprintf("housing/%d/at/%c", 1+i/4, 'A'+i%4)
			if point != "housing_width" {
				place = fmt.Sprintf("plate/1/front/direction/%d", 1+i)
			}
			text += "    " + place + ": " + v + "\n"
		}
		return text
	}
	for _, c := range []struct {
		name, point string
		values      []string
		want        string
	}{
		{"a tenth", "housing_width", []string{"80.012", "80.010", "8.0010", "80.009"}, "housing/1/at/C 8.0010 mm 80.010 mm 0.1 :12"},
		{"ten times, with repeats", "housing_width", []string{"80.012", "[300.12, 300.10]", "30.010", "30.011", "30.009"}, ""},
		{"ten times", "housing_width", []string{"30.012", "[300.12, 300.10]", "30.010", "30.011", "30.009"}, "housing/1/at/B 300.11 mm 30.011 mm 10 :11"},
		{"half", "housing_width", []string{"80.012", "40.010", "80.010", "80.009"}, ""},
		{"too few others", "housing_width", []string{"80.012", "8.0010", "80.010"}, ""},
		{"the others are unlike too", "flatness", []string{"0.01", "0.02", "0.1", "0.03"}, ""},
		{"nothing at a place", "flatness", []string{"0.01", "0", "0.1", "0.01"}, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			files := new(shelf).add("spec.yaml", fourRotor).add("measurements/2026-03-02-mock-up-KM.yaml", session(3, c.point, c.values...))
			e, problems := files.problems()
			require.Empty(t, problems)
			require.Len(t, e.Sessions[0].Readings, len(c.values))
			var got []string
			for _, s := range e.Slips() {
				got = append(got, fmt.Sprintf("%s %s %s %g :%d", s.At, s.Text, s.Others, s.Times, s.Ref.Line))
			}
			assert.Equal(t, c.want, strings.Join(got, "; "))
			earlier := new(shelf).add("spec.yaml", fourRotor).add("measurements/2026-03-02-mock-up-KM.yaml", session(2, c.point, c.values...))
			e, _ = earlier.problems()
			assert.Empty(t, e.Slips(), "another build's")
		})
	}
}
