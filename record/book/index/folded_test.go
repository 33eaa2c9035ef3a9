package index

import (
	"os"
	"os/exec"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"stackbook/record/book/objects"
)

// cone gives a repository with a sparse index, engines/2024 alone in its cone, and
// a way to read its trees.
func cone(t *testing.T) (repo, func(objects.ID) ([]objects.Entry, error)) {
	r := newRepo(t)
	for _, name := range []string{"far/a.yaml", "far/away/b.yaml", "far/away/deeper/c.yaml", "far-off.yaml/d.yaml", "far.yaml/e.yaml"} {
		r.write(name)
	}
	r.git("add", ".")
	r.git("commit", "-qm", "far")
	r.git("sparse-checkout", "set", "--cone", "--sparse-index", "engines/2024")
	return r, func(id objects.ID) ([]objects.Entry, error) {
		data, err := exec.Command("git", "-C", r.dir, "cat-file", "tree", string(id)).Output()
		if err != nil {
			return nil, err
		}
		return objects.SHA1.DecodeTree(data)
	}
}

// An index with entries for folders is to the eye the one that git tells, file by
// file, and so is one that was patched.
func TestFolded(t *testing.T) {
	t.Parallel()
	r, read := cone(t)
	var folders []string
	for i := range 2 {
		x, err := Parse(r.index())
		require.NoError(t, err)
		x.ReadFolders(read)
		sparse := strings.Fields(r.git("ls-files", "--sparse"))
		require.Contains(t, sparse, "far/")
		rows := []string{}
		for e := range x.Rows("") {
			rows = append(rows, e.Name)
		}
		assert.Equal(t, sparse, rows)
		want, err := ReadListing(r.git("ls-files", "-v", "--stage", "-z"), objects.SHA1)
		require.NoError(t, err)
		same := func(w, g Entry) {
			assert.Equal(t, w.Name, g.Name)
			assert.Equal(t, w.Mode(), g.Mode(), w.Name)
			assert.Equal(t, w.ID(), g.ID(), w.Name)
			assert.Equal(t, w.SkipWorktree(), g.SkipWorktree(), w.Name)
			assert.Equal(t, w.Stage(), g.Stage(), w.Name)
		}
		list := slices.Collect(x.All())
		require.Len(t, list, len(want.at))
		for k, w := range slices.Collect(want.All()) {
			same(w, list[k])
			g, ok := x.Find(w.Name)
			assert.True(t, ok, w.Name)
			same(w, g)
			for _, beside := range []string{w.Name + "0", w.Name + "/x", path.Dir(w.Name), strings.TrimSuffix(w.Name, "l")} {
				_, ok := x.Find(beside)
				_, really := want.Find(beside)
				assert.Equal(t, really, ok, beside)
			}
			for dir := path.Dir(w.Name); dir != "."; dir = path.Dir(dir) {
				folders = append(folders, dir, dir+"x", strings.TrimSuffix(dir, "r"))
			}
		}
		for _, dir := range folders {
			assert.Equal(t, want.Holds(dir), x.Holds(dir), dir)
			theirs, ours := slices.Collect(want.Under(dir)), slices.Collect(x.Under(dir))
			require.Len(t, ours, len(theirs), dir)
			for k, w := range theirs {
				same(w, ours[k])
			}
		}
		require.NoError(t, x.Sound())
		if i > 0 {
			break
		}
		blob := objects.ID(strings.TrimSpace(r.git("rev-parse", "HEAD:book.yaml")))
		require.NoError(t, x.Apply([]Edit{
			{Name: "engines/2024/SK-16/another.yaml", Mode: objects.ModeFile, ID: blob},
			{Name: "engines/2024/SK-16/spec.yaml", Delete: true},
		}))
		require.NoError(t, os.WriteFile(filepath.Join(r.dir, ".git", "index"), x.Encode(), 0o666))
		assert.Equal(t, "A\tengines/2024/SK-16/another.yaml\nD\tengines/2024/SK-16/spec.yaml\n", r.git("diff", "--cached", "--name-status", "--no-renames"))
	}
}

// What lies in a folder for which one entry stands is not patched, and nothing
// beside it; a folder that cannot be read is told.
func TestFoldedRefused(t *testing.T) {
	t.Parallel()
	r, read := cone(t)
	x, err := Parse(r.index())
	require.NoError(t, err)
	blob := objects.ID(strings.TrimSpace(r.git("rev-parse", "HEAD:book.yaml")))
	for _, name := range []string{"far/a.yaml", "far/new.yaml", "engines/2023/SK-07/spec.yaml"} {
		assert.True(t, x.Folds(name), name)
		err := x.Apply([]Edit{{Name: "book.yaml", Delete: true}, {Name: name, Mode: objects.ModeFile, ID: blob}})
		assert.ErrorIs(t, err, ErrForeign, name)
	}
	for _, name := range []string{"far", "farther/a.yaml", "engines/2024/SK-16/spec.yaml", "book.yaml"} {
		assert.False(t, x.Folds(name), name)
	}
	assert.Equal(t, r.index(), x.Encode())
	x.ReadFolders(func(id objects.ID) ([]objects.Entry, error) {
		if list, err := read(id); err != nil || len(list) > 1 {
			return list, err
		}
		return nil, objects.ErrMissing
	})
	require.NoError(t, x.Sound())
	assert.Empty(t, slices.Collect(x.Under("far.yaml")))
	assert.ErrorIs(t, x.Sound(), objects.ErrMissing)
	assert.ErrorContains(t, x.Sound(), "the folder far.yaml, which is not checked out")
}
