package objects

import (
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"stackbook/record/book/passing"
)

// repo is a repository with some hundred objects that git made, of which many
// are packed as deltas of deltas.
type repo struct {
	t   *testing.T
	dir string
}

func newRepo(t *testing.T, format string) repo {
	r := repo{t, t.TempDir()}
	r.git("", "init", "-q", "-b", "main", "--object-format="+format)
	rng := rand.New(rand.NewPCG(1, 2))
	lines := make([]string, 60)
	for i := range 60 {
		lines[rng.IntN(len(lines))] = fmt.Sprintf("reading %d: %d", i, rng.Uint64())
		require.NoError(t, os.WriteFile(filepath.Join(r.dir, "spec.yaml"), []byte(strings.Join(lines, "\n")), 0o644))
		r.git("", "add", ".")
		r.git("", "-c", "user.name=K M", "-c", "user.email=km@skarvik.example", "commit", "-qm", fmt.Sprint(i))
	}
	r.git("", "-c", "user.name=K M", "-c", "user.email=km@skarvik.example", "tag", "-a", "-m", "sealed", "t")
	return r
}

func (r repo) git(input string, args ...string) string {
	r.t.Helper()
	cmd := exec.Command("git", args...)
	cmd.Dir = r.dir
	cmd.Stdin = strings.NewReader(input)
	out, err := cmd.Output()
	require.NoError(r.t, err, "git %s", args)
	return string(out)
}

func (r repo) open(format Format) *Store {
	s, err := Open(filepath.Join(r.dir, ".git", "objects"), format)
	require.NoError(r.t, err)
	r.t.Cleanup(func() { s.Close() })
	return s
}

// names gives every object with its kind, as git lists them.
func (r repo) names() map[ID]Kind {
	all := map[ID]Kind{}
	for line := range strings.Lines(r.git("", "cat-file", "--batch-all-objects", "--batch-check=%(objectname) %(objecttype)")) {
		id, kind, _ := strings.Cut(strings.TrimSpace(line), " ")
		all[ID(id)] = Kind(kind)
	}
	return all
}

// check reads every object and has its name computed from what was read.
func (r repo) check(s *Store, all map[ID]Kind) {
	for id, kind := range all {
		got, data, err := s.Read(id)
		require.NoError(r.t, err)
		require.Equal(r.t, kind, got)
		require.Equal(r.t, id, s.Format().Sum(got, data))
	}
}

// Every object comes out as git put it in: loose, packed with either way of
// naming a delta's base, and packed anew while the store is open.
func TestRead(t *testing.T) {
	t.Parallel()
	for _, format := range []Format{SHA1, SHA256} {
		t.Run(format.String(), func(t *testing.T) {
			t.Parallel()
			r := newRepo(t, format.String())
			all := r.names()
			require.Len(t, all, 181)
			s := r.open(format)
			r.check(s, all)
			r.git("", "repack", "-adfq", "--depth=50")
			assert.Contains(t, r.git("", "verify-pack", "-v", r.idxFile()), "chain length = 4")
			r.check(s, all)
			r.git("", "-c", "repack.useDeltaBaseOffset=false", "repack", "-adfq", "--depth=5", "--window=50")
			r.check(r.open(format), all)
			r.check(s, all)
		})
	}
}

func (r repo) idxFile() string {
	names, err := filepath.Glob(filepath.Join(r.dir, ".git", "objects", "pack", "*.idx"))
	require.NoError(r.t, err)
	require.Len(r.t, names, 1)
	return names[0]
}

// The beginning of a name finds what git finds, of odd and even length, loose
// and packed.
func TestPrefix(t *testing.T) {
	t.Parallel()
	r := newRepo(t, "sha1")
	all := r.names()
	for range 2 {
		s := r.open(SHA1)
		for id := range all {
			for _, n := range []int{2, 3, 4, 7, 40} {
				got, err := s.Prefix(string(id[:n]))
				require.NoError(t, err)
				want := 0
				for other := range all {
					if strings.HasPrefix(string(other), string(id[:n])) {
						want++
					}
				}
				assert.Len(t, got, want)
				assert.Contains(t, got, id)
			}
		}
		r.git("", "repack", "-adq")
	}
}

// What nobody has, what is damaged, what is no name.
func TestReadErrors(t *testing.T) {
	t.Parallel()
	r := newRepo(t, "sha1")
	s := r.open(SHA1)
	_, _, err := s.Read(ID(strings.Repeat("0", 40)))
	require.ErrorIs(t, err, ErrMissing)
	_, _, err = s.Read("../../config")
	require.ErrorContains(t, err, "not the name of an object")
	head := ID(strings.TrimSpace(r.git("", "rev-parse", "HEAD")))
	_, err = s.ReadKind(head, Blob)
	require.ErrorContains(t, err, "is a commit, not a blob")

	other := ID(strings.TrimSpace(r.git("", "rev-parse", "HEAD:spec.yaml")))
	file := loosePath(filepath.Join(r.dir, ".git", "objects"), head)
	content, err := os.ReadFile(loosePath(filepath.Join(r.dir, ".git", "objects"), other))
	require.NoError(t, err)
	for name, bad := range map[string][]byte{"empty": nil, "cut": content[:20], "another's": content, "no zlib": []byte("commit")} {
		require.NoError(t, os.Remove(file))
		require.NoError(t, os.WriteFile(file, bad, 0o444))
		_, _, err = s.Read(head)
		assert.ErrorContains(t, err, "is damaged", name)
	}
}

// A byte turned over anywhere in a pack or its index is an error where it
// matters and never wrong bytes under a right name.
func TestDamagedPack(t *testing.T) {
	t.Parallel()
	r := newRepo(t, "sha1")
	r.git("", "repack", "-adq")
	all := r.names()
	rng := rand.New(rand.NewPCG(3, 4))
	for _, file := range []string{r.idxFile(), strings.TrimSuffix(r.idxFile(), ".idx") + ".pack"} {
		sound, err := os.ReadFile(file)
		require.NoError(t, err)
		require.NoError(t, os.Chmod(file, 0o644))
		for range 60 {
			bad := append([]byte(nil), sound...)
			bad[rng.IntN(len(bad))] ^= byte(1 + rng.IntN(255))
			require.NoError(t, os.WriteFile(file, bad, 0o644))
			s, err := Open(filepath.Join(r.dir, ".git", "objects"), SHA1)
			require.NoError(t, err)
			for id := range all {
				if kind, data, err := s.Read(id); err == nil {
					require.Equal(t, id, SHA1.Sum(kind, data))
				}
			}
			require.NoError(t, s.Close())
		}
		require.NoError(t, os.WriteFile(file, sound, 0o644))
	}
	r.check(r.open(SHA1), all)
}

// New objects are nowhere until they are kept; then git has them. What is
// there already, loose or packed, is not written again.
func TestBatch(t *testing.T) {
	t.Parallel()
	r := newRepo(t, "sha1")
	r.git("", "repack", "-adq")
	s := r.open(SHA1)
	w := s.NewBatch(passing.New())
	old, err := w.Add(Blob, []byte(r.git("", "cat-file", "-p", "HEAD:spec.yaml")))
	require.NoError(t, err)
	assert.Equal(t, string(old), strings.TrimSpace(r.git("", "rev-parse", "HEAD:spec.yaml")))
	assert.Empty(t, w.Temps())
	id, err := w.Add(Blob, []byte("new\n"))
	require.NoError(t, err)
	_, err = w.Add(Blob, []byte("new\n"))
	require.NoError(t, err)
	tree, err := w.Add(Tree, EncodeTree([]Entry{{"a", ModeDir, s.empty(w)}, {"a.b", ModeFile, id}, {"a-b", ModeExec, id}}))
	require.NoError(t, err)
	_, _, err = s.Read(id)
	require.ErrorIs(t, err, ErrMissing)
	require.Len(t, w.Temps(), 3)
	_, err = w.Keep()
	require.NoError(t, err)
	assert.Equal(t, "new\n", r.git("", "cat-file", "-p", string(id)))
	assert.Equal(t, "a-b\na.b\na\n", r.git("", "ls-tree", "--name-only", string(tree)))
	r.git("", "fsck", "--strict")

	w = s.NewBatch(passing.New())
	_, err = w.Add(Blob, []byte("dropped\n"))
	require.NoError(t, err)
	temps := w.Temps()
	w.Drop()
	assert.NoFileExists(t, temps[0])
}

// empty adds the empty tree.
func (s *Store) empty(w *Batch) ID {
	id, err := w.Add(Tree, nil)
	if err != nil {
		panic(err)
	}
	return id
}

// Trees that are cut short or senseless are errors.
func TestDamagedTree(t *testing.T) {
	t.Parallel()
	good := EncodeTree([]Entry{{"a", ModeFile, ID(strings.Repeat("1", 40))}})
	e, ok, err := SHA1.FindEntry(good, "a")
	require.NoError(t, err)
	assert.True(t, ok)
	assert.Equal(t, "100644", e.Mode.String())
	_, ok, err = SHA1.FindEntry(good, "b")
	require.NoError(t, err)
	assert.False(t, ok)
	for cut := 1; cut < len(good); cut++ {
		_, err := SHA1.DecodeTree(good[:cut])
		assert.ErrorIs(t, err, errTree)
	}
	_, err = SHA1.DecodeTree(append([]byte("9"), good...))
	assert.ErrorIs(t, err, errTree)
}
