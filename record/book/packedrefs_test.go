package book

import (
	"fmt"
	"maps"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"stackbook/record/book/objects"
)

// Of a sorted file only a few lines are looked at, and the answer is that of all
// lines; a file that does not say it is sorted is read as a whole.
func TestPackedRefs(t *testing.T) {
	t.Parallel()
	rng := rand.New(rand.NewPCG(4, 4))
	for round := range 300 {
		want := map[string]objects.ID{}
		engines, refs := 12, rng.IntN(12)
		if round%10 == 0 {
			engines, refs = 99, 900 // more than is read at once
			want["refs/heads/"+strings.Repeat("long", rng.IntN(3000))] = "0123456789012345678901234567890123456789"
		}
		for range refs {
			name := fmt.Sprintf("refs/tags/build/SK-%02d/%d", rng.IntN(engines), 1+rng.IntN(engines/4))
			want[name] = objects.ID(fmt.Sprintf("%040x", rng.Uint64()))
		}
		names := slices.Sorted(maps.Keys(want))
		head := "# pack-refs with: peeled fully-peeled sorted \n"
		if round%3 == 0 {
			head = ""
			rng.Shuffle(len(names), func(i, j int) { names[i], names[j] = names[j], names[i] })
		}
		var text strings.Builder
		text.WriteString(head)
		for _, n := range names {
			fmt.Fprintf(&text, "%s %s\n", want[n], n)
			for range rng.IntN(3) {
				fmt.Fprintf(&text, "^%040x\n", rng.Uint64())
			}
		}
		dir := t.TempDir()
		require.NoError(t, os.WriteFile(filepath.Join(dir, "packed-refs"), []byte(text.String()), 0o644))
		b := &Book{repo: repository{common: dir, format: objects.SHA1}}
		for n := range 12 {
			for _, prefix := range []string{fmt.Sprintf("refs/tags/build/SK-%02d/", n), fmt.Sprintf("refs/tags/build/SK-%02d/2", n), "refs/tags/", "refs/heads/", "refs/zzz", ""} {
				got, err := b.packedRefs(prefix)
				require.NoError(t, err)
				all := maps.Clone(want)
				maps.DeleteFunc(all, func(name string, _ objects.ID) bool { return !strings.HasPrefix(name, prefix) })
				require.Equal(t, all, got, "%s in\n%s", prefix, &text)
			}
		}
	}
}
