package figure

import (
	"errors"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"stackbook/record/rotary"
	"stackbook/schema/problem"
)

// A look that is used again must remember nothing of what it was used for: a
// field of it that again does not set, and is set here, is found.
func TestLookAgain(t *testing.T) {
	r := &reader{}
	b := &bench{}
	used := Look{from: &mixed{}, at: "rotor/1", inputs: []*Input{{}}, said: map[string]string{"a": "b"}, used: []what{{}}, trail: []step{{}},
		missing: []string{"a"}, asked: []asked{{}}, problems: problem.List{{}}, failed: errors.New("a"), refused: in{{"a", 1}}, silent: true,
		standIn: true, written: 3, step: math.Pi, intervals: []interval{{}}, atEnd: func(interval) int { return 1 }, bench: b, arranged: []rotary.Value{{}}}
	used.again(r, "engine", false)
	require.Empty(t, used.inputs)
	require.Empty(t, used.used)
	require.Empty(t, used.trail)
	require.Empty(t, used.missing)
	require.Empty(t, used.asked)
	require.Empty(t, used.problems)
	require.Empty(t, used.intervals)
	require.Nil(t, used.atEnd)
	used.inputs, used.used, used.trail, used.missing, used.asked, used.problems, used.intervals, used.arranged = nil, nil, nil, nil, nil, nil, nil, nil
	require.Equal(t, Look{from: r, at: "engine", bench: b}, used)
}
