package index

import (
	"bytes"
	"crypto/sha1"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"stackbook/record/book/objects"
)

// largeIndex is an index that git wrote of a few thousand files, and a content
// they may hold.
func largeIndex(tb testing.TB, files int, version string) (dir string, raw []byte, id objects.ID) {
	dir = tb.TempDir()
	git := func(input string, args ...string) string {
		cmd := exec.Command("git", args...)
		cmd.Dir, cmd.Stdin = dir, strings.NewReader(input)
		out, err := cmd.CombinedOutput()
		require.NoError(tb, err, "git %s: %s", args, out)
		return strings.TrimSpace(string(out))
	}
	git("", "init", "-q")
	id = objects.ID(git("a\n", "hash-object", "-w", "--stdin"))
	var list strings.Builder
	for i := range files {
		fmt.Fprintf(&list, "100644 %s\t%s\n", id, numbered(i))
	}
	git("", "config", "index.version", version)
	git(list.String(), "update-index", "--add", "--index-info")
	git("", "write-tree") // fills the TREE extension
	raw, err := os.ReadFile(filepath.Join(dir, ".git", "index"))
	require.NoError(tb, err)
	return dir, raw, id
}

func numbered(i int) string { return fmt.Sprintf("engines/%d/SK-%05d/spec.yaml", 2011+i/800, i) }

// The checksum of an index of some size is taken up again behind what stays, and
// is that of the whole all the same: by crypto/sha1 over all of it, and by git,
// which checks it in fsck. Entries are replaced, added and taken out anywhere.
func TestChecksumTakenUpAgain(t *testing.T) {
	t.Parallel()
	const files = 9000
	rng := rand.New(rand.NewPCG(3, 3))
	for _, version := range []string{"2", "4"} {
		dir, raw, id := largeIndex(t, files, version)
		require.Contains(t, string(raw), "TREE")
		before := bytes.Clone(raw)
		for round := range 24 {
			x, err := Parse(raw)
			require.NoError(t, err)
			require.NoError(t, x.Sound())
			if version == "2" {
				require.Greater(t, len(x.sums().states), 2, "large enough to have states on the way")
			}
			clone := x.Clone()
			var edits []Edit
			for n := range 1 + rng.IntN(3) {
				at := rng.IntN(files-3) + n
				ed := Edit{Name: numbered(at), Mode: objects.ModeFile, ID: id, Stat: Stat{Size: 2}}
				switch rng.IntN(5) {
				case 0:
					ed.Name += ".more"
				case 1:
					ed.Delete = true
				}
				if len(edits) == 0 || edits[len(edits)-1].Name != ed.Name {
					edits = append(edits, ed)
				}
			}
			if len(edits) == 3 && edits[0].Name == edits[2].Name {
				edits = edits[:2]
			}
			require.NoError(t, clone.Apply(edits))
			out := clone.Encode()
			sum := sha1.Sum(out[:len(out)-hashSize])
			require.Equal(t, sum[:], out[len(out)-hashSize:], "round %d", round)
			require.Equal(t, before, x.Encode(), "what was read is as it was")
			again, err := Parse(out)
			require.NoError(t, err)
			for _, ed := range edits {
				e, ok := again.Find(ed.Name)
				require.Equal(t, !ed.Delete, ok, ed.Name)
				if ok {
					require.Equal(t, ed.Stat.Size, e.Stat().Size)
				}
			}
			if round%8 == 0 {
				require.NoError(t, os.WriteFile(filepath.Join(dir, ".git", "index"), out, 0o644))
				cmd := exec.Command("git", "fsck", "--strict", "--no-dangling")
				cmd.Dir = dir
				said, err := cmd.CombinedOutput()
				require.NoError(t, err, "%s", said)
				require.NotContains(t, string(said), "error")
			}
		}
	}
}

// A checksum that is wrong is told, only not by the reading itself.
func TestUnsound(t *testing.T) {
	t.Parallel()
	_, raw, _ := largeIndex(t, 9000, "2")
	raw[12+5] ^= 1 // a stat value, which parses all the same
	x, err := Parse(raw)
	require.NoError(t, err)
	require.ErrorIs(t, x.Sound(), errDamaged)
}

func BenchmarkParse(b *testing.B) {
	_, raw, _ := largeIndex(b, 90_000, "2")
	b.SetBytes(int64(len(raw)))
	for b.Loop() {
		x, err := Parse(raw)
		require.NoError(b, err)
		require.NoError(b, x.Sound())
	}
}

func BenchmarkPatch(b *testing.B) {
	_, raw, id := largeIndex(b, 90_000, "2")
	x, err := Parse(raw)
	require.NoError(b, err)
	for b.Loop() {
		clone := x.Clone()
		require.NoError(b, clone.Apply([]Edit{{Name: numbered(89_000), Mode: objects.ModeFile, ID: id}}))
		var out bytes.Buffer
		_, err := clone.WriteTo(&out)
		require.NoError(b, err)
	}
}
