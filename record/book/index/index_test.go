package index

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"stackbook/record/book/objects"
)

// Encode gives the index file.
func (x *Index) Encode() []byte {
	var b bytes.Buffer
	if _, err := x.WriteTo(&b); err != nil {
		panic(err)
	}
	return b.Bytes()
}

// repo is a repository in which git writes and judges indexes.
type repo struct {
	t   *testing.T
	dir string
}

func newRepo(t *testing.T) repo {
	r := repo{t, t.TempDir()}
	r.git("init", "-q", "-b", "main")
	for _, name := range []string{"book.yaml", "engines/2023/SK-07/spec.yaml", "engines/2024/SK-16/spec.yaml", "engines/2024/" + strings.Repeat("n", 200) + "/spec.yaml"} {
		r.write(name)
	}
	r.git("add", ".")
	r.git("-c", "user.name=K M", "-c", "user.email=km@skarvik.example", "commit", "-qm", "begin")
	return r
}

func (r repo) git(args ...string) string {
	r.t.Helper()
	cmd := exec.Command("git", args...)
	cmd.Dir = r.dir
	out, err := cmd.CombinedOutput()
	require.NoError(r.t, err, "git %s: %s", args, out)
	return string(out)
}

func (r repo) write(name string) {
	file := filepath.Join(r.dir, name)
	require.NoError(r.t, os.MkdirAll(filepath.Dir(file), 0o755))
	require.NoError(r.t, os.WriteFile(file, []byte(name+"\n"), 0o644))
}

func (r repo) index() []byte {
	raw, err := os.ReadFile(filepath.Join(r.dir, ".git", "index"))
	require.NoError(r.t, err)
	return raw
}

// An index that git wrote is written again byte for byte, whatever its
// version, as long as it has no extension that is dropped (R9).
func TestUntouched(t *testing.T) {
	t.Parallel()
	for _, setup := range [][]string{
		{"update-index", "--index-version", "2"},
		{"update-index", "--index-version", "4"},
		{"add", "-N", "later.yaml"},
		{"update-index", "--skip-worktree", "book.yaml"},
		{"update-index", "--assume-unchanged", "book.yaml"},
		{"-c", "index.skipHash=true", "add", "--renormalize", "."},
		{"rm", "-q", "--cached", "-r", "."},
	} {
		r := newRepo(t)
		r.write("later.yaml")
		r.git(setup...)
		raw := r.index()
		x, err := Parse(raw)
		require.NoError(t, err, setup)
		assert.Equal(t, raw, x.Encode(), "%v", setup)
	}
}

// A zero checksum, which says that nobody computed one, stays zero (R9).
func TestZeroChecksum(t *testing.T) {
	t.Parallel()
	raw := newRepo(t).index()
	zero := make([]byte, hashSize)
	copy(raw[len(raw)-hashSize:], zero)
	x, err := Parse(raw)
	require.NoError(t, err)
	require.NoError(t, x.Apply([]Edit{{Name: "book.yaml", Delete: true}}))
	out := x.Encode()
	assert.Equal(t, zero, out[len(out)-hashSize:])
}

// After edits of every kind, git reads what was meant, agrees with what TREE
// still says of the untouched folders, and writes the same tree.
func TestApply(t *testing.T) {
	t.Parallel()
	for _, version := range []string{"2", "4"} {
		r := newRepo(t)
		r.git("update-index", "--assume-unchanged", "book.yaml")
		r.git("update-index", "--index-version", version)
		x, err := Parse(r.index())
		require.NoError(t, err)
		id := objects.SHA1.Sum(objects.Blob, []byte("book.yaml\n"))
		require.NoError(t, x.Apply([]Edit{
			{Name: "parts/L-2304.yaml", Mode: objects.ModeExec, ID: id},
			{Name: "engines/2024/SK-16/spec.yaml", Delete: true},
			{Name: "engines/2024/SK-16", Mode: objects.ModeFile, ID: id},
			{Name: "book.yaml", Mode: objects.ModeFile, ID: id, Stat: Stat{Size: 9}},
			{Name: "never/there", Delete: true},
		}))
		require.NoError(t, os.WriteFile(filepath.Join(r.dir, ".git", "index"), x.Encode(), 0o644))
		want := "h 100644 " + string(id) + " 0\tbook.yaml\n"
		staged := r.git("ls-files", "-s", "-v")
		assert.Contains(t, staged, want)
		assert.Contains(t, staged, "H 100755 "+string(id)+" 0\tparts/L-2304.yaml\n")
		assert.Contains(t, staged, "H 100644 "+string(id)+" 0\tengines/2024/SK-16\n")
		assert.NotContains(t, staged, "SK-16/spec.yaml")
		r.git("fsck", "--strict")
		byTREE := r.git("write-tree")
		raw := r.index()
		require.NoError(t, os.Remove(filepath.Join(r.dir, ".git", "index")))
		r.git("read-tree", strings.TrimSpace(byTREE))
		assert.Equal(t, byTREE, r.git("write-tree"))
		assert.True(t, bytes.Contains(raw, []byte("TREE")))
	}
}

// The bits of an entry, the names that stand in each other's way, the entries
// of a folder.
func TestLooks(t *testing.T) {
	t.Parallel()
	r := newRepo(t)
	r.write("later.yaml")
	r.git("add", "-N", "later.yaml")
	r.git("update-index", "--skip-worktree", "engines/2023/SK-07/spec.yaml")
	r.git("update-index", "--assume-unchanged", "book.yaml")
	x, err := Parse(r.index())
	require.NoError(t, err)
	bits := map[string][3]bool{}
	for e := range x.All() {
		bits[e.Name] = [3]bool{e.AssumeValid(), e.SkipWorktree(), e.IntentToAdd()}
	}
	assert.Equal(t, [3]bool{true, false, false}, bits["book.yaml"])
	assert.Equal(t, [3]bool{false, true, false}, bits["engines/2023/SK-07/spec.yaml"])
	assert.Equal(t, [3]bool{false, false, true}, bits["later.yaml"])
	assert.Len(t, slices.Collect(x.Under("engines/2024")), 2)
	assert.Empty(t, slices.Collect(x.Under("engines/202")))
	assert.True(t, x.Holds("engines/2024"))
	assert.False(t, x.Holds("engines/202"))
	assert.Equal(t, []string{"book.yaml"}, x.Blocking("book.yaml/inside"))
	assert.Equal(t, []string{"engines/2023/SK-07/spec.yaml"}, x.Blocking("engines/2023"))
	assert.Empty(t, x.Blocking("engines/2023/SK-07/spec.yaml"))
	_, ok := x.Find("engines")
	assert.False(t, ok)
}

// Indexes that only git changes, and bytes that are no index.
func TestRefused(t *testing.T) {
	t.Parallel()
	r := newRepo(t)
	raw := r.index()
	r.git("update-index", "--split-index")
	_, err := Parse(r.index())
	require.ErrorIs(t, err, ErrForeign)
	unknown := append(bytes.Clone(raw[:len(raw)-hashSize]), "need\x00\x00\x00\x00"...)
	_, err = Parse(append(unknown, make([]byte, hashSize)...))
	require.ErrorIs(t, err, ErrForeign)
	newer := bytes.Clone(raw)
	newer[7] = 9
	_, err = Parse(newer)
	require.ErrorIs(t, err, ErrForeign)

	flipped := bytes.Clone(raw)
	flipped[20] ^= 1
	for _, bad := range [][]byte{nil, []byte("x"), raw[:40], flipped, append([]byte("DIRD"), raw[4:]...)} {
		x, err := Parse(bad)
		if err == nil {
			err = x.Sound()
		}
		assert.ErrorIs(t, err, errDamaged)
	}
}

// The numbers of version 4 come back as they went, at the ends of each length.
func TestVarint(t *testing.T) {
	t.Parallel()
	for _, n := range []uint64{0, 1, 127, 128, 16511, 16512, 2113663, 2113664, 1 << 40} {
		b := appendVarint([]byte{7}, n)
		got, length := varint(b[1:])
		assert.Equal(t, n, got)
		assert.Equal(t, len(b)-1, length)
	}
	_, n := varint([]byte{0x80})
	assert.Zero(t, n)
}

// Whatever the bytes, Parse does not fail in any way but by its error, and
// what it takes it writes again to the same effect.
func FuzzParse(f *testing.F) {
	f.Add([]byte("DIRC\x00\x00\x00\x02\x00\x00\x00\x00"))
	f.Add([]byte("DIRC\x00\x00\x00\x04\x00\x00\x00\x01" + strings.Repeat("\x00", 62) + "\x00a\x00TREE\x00\x00\x00\x06\x00-1 0\n"))
	f.Fuzz(func(t *testing.T, body []byte) {
		x, err := Parse(append(body, make([]byte, hashSize)...))
		if err != nil {
			return
		}
		again, err := Parse(x.Encode())
		require.NoError(t, err)
		require.Equal(t, x.Encode(), again.Encode())
		_ = x.Apply([]Edit{{Name: "a/b", Delete: true}}) // a TREE that cannot be read is an error
	})
}

// What git prints of an index is that index, but for the stat values.
func TestReadListing(t *testing.T) {
	t.Parallel()
	r := newRepo(t)
	r.git("update-index", "--assume-unchanged", "book.yaml")
	r.git("update-index", "--skip-worktree", "engines/2023/SK-07/spec.yaml")
	blob := strings.TrimSpace(r.git("rev-parse", "HEAD:book.yaml"))
	cmd := exec.Command("git", "update-index", "--index-info")
	cmd.Dir, cmd.Stdin = r.dir, strings.NewReader("100755 "+blob+" 2\ttwo  sides\n100644 "+blob+" 3\ttwo  sides\n")
	require.NoError(t, cmd.Run())
	want, err := Parse(r.index())
	require.NoError(t, err)
	got, err := ReadListing(r.git("ls-files", "-v", "--stage", "-z"), objects.SHA1)
	require.NoError(t, err)
	list := slices.Collect(got.All())
	for w := range want.All() {
		g := list[0]
		list = list[1:]
		assert.Equal(t, w.Name, g.Name)
		assert.Equal(t, w.Mode(), g.Mode(), w.Name)
		assert.Equal(t, w.ID(), g.ID(), w.Name)
		assert.Equal(t, w.Stage(), g.Stage(), w.Name)
		assert.Equal(t, w.AssumeValid(), g.AssumeValid(), w.Name)
		assert.Equal(t, w.SkipWorktree(), g.SkipWorktree(), w.Name)
		assert.Equal(t, Stat{}, g.Stat())
	}
	assert.Empty(t, list)
	assert.Equal(t, []string{"two  sides"}, got.Unmerged())
	for _, bad := range []string{"H 100644 12 0\ta", "H 100644 " + blob + " 0 a", "H 9 " + blob + " 0\ta", "H 100644 " + blob + " 4\ta"} {
		_, err := ReadListing(bad+"\x00", objects.SHA1)
		assert.ErrorContains(t, err, "is no entry of an index", bad)
	}
}
