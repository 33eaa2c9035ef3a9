package objects

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// What git has packed as differences is read as git reads it: long copies, small
// inserts, chains, empty ends.
func TestDeltasAsGitPacksThem(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	git := func(in []byte, args ...string) []byte {
		cmd := exec.Command("git", args...)
		cmd.Dir, cmd.Stdin = dir, bytes.NewReader(in)
		out, err := cmd.Output()
		require.NoError(t, err, "%q", args)
		return out
	}
	git(nil, "init", "-q")
	rng := rand.New(rand.NewPCG(3, 9))
	text := make([]byte, 200_000)
	for i := range text {
		text[i] = byte(rng.IntN(256))
	}
	var ids []string
	var want [][]byte
	for i := range 40 {
		switch i % 4 {
		case 0:
			text = append(text, fmt.Sprint("end ", i)...)
		case 1:
			at := rng.IntN(len(text) - 5000)
			text = append(text[:at:at], text[at+rng.IntN(5000):]...)
		case 2:
			at := rng.IntN(len(text))
			text = append(append(text[:at:at], strings.Repeat(fmt.Sprint(i), rng.IntN(300))...), text[at:]...)
		case 3:
			at := rng.IntN(len(text) / 2)
			text = append(append(text[at:len(text):len(text)], text[:at]...), text[:70_000]...)
		}
		ids = append(ids, strings.TrimSpace(string(git(text, "hash-object", "-w", "--stdin"))))
		want = append(want, bytes.Clone(text))
	}
	git([]byte(strings.Join(ids, "\n")), "pack-objects", "-q", "--window=50", "--depth=20", filepath.Join(dir, ".git/objects/pack/pack"))
	git(nil, "prune-packed")
	names, err := filepath.Glob(filepath.Join(dir, ".git/objects/pack/*.pack"))
	require.NoError(t, err)
	require.Len(t, names, 1)
	info, err := os.Stat(names[0])
	require.NoError(t, err)
	require.Less(t, info.Size(), int64(2_000_000), "git packed no differences")
	s, err := Open(filepath.Join(dir, ".git", "objects"), SHA1)
	require.NoError(t, err)
	defer s.Close()
	for i, id := range ids {
		data, err := s.ReadKind(ID(id), Blob)
		require.NoError(t, err)
		require.True(t, bytes.Equal(want[i], data), "object %d", i)
	}
}

// A difference that was damaged is refused, and reads nothing beside its base.
func TestDamagedDeltas(t *testing.T) {
	t.Parallel()
	base := []byte("0123456789")
	sound := []byte{10, 7, 0x91, 2, 4, 3, 'a', 'b', 'c'} // 4 from 2 on, then abc
	got, err := patched(base, sound)
	require.NoError(t, err)
	require.Equal(t, "2345abc", string(got))
	for name, bad := range map[string][]byte{
		"empty": {}, "no size": {10}, "another base": {9, 7, 0x91, 2, 4, 3, 'a', 'b', 'c'}, "too short": {10, 8, 0x91, 2, 4, 3, 'a', 'b', 'c'},
		"too long": {10, 6, 0x91, 2, 4, 3, 'a', 'b', 'c'}, "behind the base": {10, 7, 0x91, 7, 4, 3, 'a', 'b', 'c'}, "far behind": {10, 7, 0x9f, 255, 255, 255, 255, 4},
		"no count": {10, 7, 0x91, 2}, "cut insert": {10, 3, 3, 'a', 'b'}, "reserved": {10, 1, 0, 'a'}, "64 KiB": {10, 7, 0x80},
		"huge": {10, 255, 255, 255, 255, 255, 255, 255, 127, 1, 'a'}, "endless number": bytes.Repeat([]byte{255}, 20),
	} {
		_, err := patched(base, bad)
		require.Error(t, err, name)
	}
	rng := rand.New(rand.NewPCG(8, 8))
	for range 20_000 { // never a panic, never another length than said
		bad := bytes.Clone(sound)
		for range 1 + rng.IntN(3) {
			bad[rng.IntN(len(bad))] = byte(rng.IntN(256))
		}
		if out, err := patched(base, bad[:rng.IntN(len(bad)+1)]); err == nil {
			require.Len(t, out, int(bad[1]))
		}
	}
}
