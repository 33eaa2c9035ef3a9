package merge

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// The changes of a text make the other text of it, whatever the two are, and
// what is the same in both is not among them.
func TestChanges(t *testing.T) {
	rng := rand.New(rand.NewPCG(2, 6))
	lines := func() []string {
		list := make([]string, rng.IntN(12))
		for i := range list {
			list[i] = string(rune('a' + rng.IntN(4)))
		}
		return list
	}
	for range 3000 {
		a, b := lines(), lines()
		var out []string
		at := 0
		for _, c := range changes(a, b) {
			require.LessOrEqual(t, at, c.from, "%q %q", a, b)
			out = append(append(out, a[at:c.from]...), c.lines...)
			at = c.to
		}
		require.Equal(t, strings.Join(b, ""), strings.Join(append(out, a[at:]...), ""), "%q", a)
		require.Empty(t, changes(a, a))
	}
}

// Lines of both sides come together; of lines that both altered ours stay; what
// both put in alike is in once.
func TestMergeLines(t *testing.T) {
	for _, c := range []struct{ base, ours, theirs, want string }{
		{"a b c", "A b c", "a b C", "A b C"},
		{"a b c", "A b c", "a B c", "A B c"},
		{"a b c", "a X c", "a Y c", "a X c"},
		{"a b c", "a c", "a Y c", "a c"},
		{"a b c", "a b X c", "a b Y c", "a b X Y c"},
		{"a b c", "a b X c", "a b X c", "a b X c"},
		{"a b c", "a c", "a b X c", "a X c"},
		{"a b c d", "a X d", "a b Y c d", "a X d"},
		{"", "a", "b", "a b"},
	} {
		text := func(words string) string {
			if words == "" {
				return ""
			}
			return strings.ReplaceAll(words, " ", "\n") + "\n"
		}
		require.Equal(t, text(c.want), mergeLines(text(c.base), text(c.ours), text(c.theirs)), "%+v", c)
	}
}

// Texts that differ throughout cost a moment and no more, and are then one
// change.
func TestMostDifferent(t *testing.T) {
	var a, b []string
	for i := range 20_000 {
		a, b = append(a, fmt.Sprint("a", i)), append(b, fmt.Sprint("b", i))
	}
	require.Equal(t, []change{{0, len(a), b}}, changes(a, b))
}
