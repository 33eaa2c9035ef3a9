package objects

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// The orders of a delta, and what is wrong with some (git's documentation,
// gitformat-pack, "Deltified representation").
func TestPatch(t *testing.T) {
	base := []byte("abcdefgh")
	got, err := patch(base, []byte{8, 7, 0x91, 2, 4, 2, 'x', 'y', 0x90, 1})
	require.NoError(t, err)
	require.Equal(t, "cdefxya", string(got))
	got, err = patch(base, []byte{8, 0})
	require.NoError(t, err)
	require.Empty(t, got)
	long := make([]byte, 1<<16)
	got, err = patch(long, []byte{0x80, 0x80, 4, 0x80, 0x80, 4, 0x80})
	require.NoError(t, err)
	require.Equal(t, long, got, "a count of zero is 64 KiB")
	for what, delta := range map[string][]byte{
		"nothing":              {},
		"a size without end":   {0x88},
		"another base":         {7, 1, 0x90, 1},
		"too little":           {8, 2, 0x90, 1},
		"too much":             {8, 1, 0x90, 2},
		"beyond the base":      {8, 2, 0x91, 7, 2},
		"behind the base":      {8, 1, 0x91, 9, 1},
		"an order cut short":   {8, 1, 0x91, 1},
		"bytes cut short":      {8, 2, 2, 'x'},
		"the order of nothing": {8, 1, 0, 0x90, 1},
		"larger than the most": {8, 0x81, 0x80, 0x80, 0x80, 1, 1, 'x'},
	} {
		_, err := patch(base, delta)
		require.Error(t, err, what)
	}
}
