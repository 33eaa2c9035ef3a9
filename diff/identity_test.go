package diff_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"stackbook/diff"
)

// R11: an engine is who its id says. Two ids under one number are two engines,
// and never two states of one, however alike they are; a missing id tells
// nothing.
func TestTwoEnginesOfOneNumber(t *testing.T) {
	spec := func(number, id string) files {
		return files{"spec.yaml": "format: spec/1\nengine: " + number + "\nid: " + id + "\ntitle: two-rotor\nbuild: 1\n"}
	}
	for _, c := range []struct {
		name          string
		before, after files
		want          []string
	}{
		{"one engine in two states", spec("SK-01", "5c02-7be1-90aa"), spec("SK-01", "5c02-7be1-90aa"), nil},
		{"two engines of one number", spec("SK-01", "5c02-7be1-90aa"), spec("SK-01", "91d3-0c4e-18b7"), []string{"5c02-7be1-90aa", "91d3-0c4e-18b7"}},
		{"an id not written", spec("SK-01", "5c02-7be1-90aa"), spec("SK-01", ""), nil},
	} {
		r := diff.Compare(c.before.written(t), c.after.written(t))
		require.Equal(t, c.want, r.TwoIDs, c.name)
		if c.want != nil {
			require.False(t, r.Empty(), c.name)
		}
	}
}
