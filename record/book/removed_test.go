package book

import (
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What was ever removed from a folder is found in all of history (R11): in
// whatever group and capitals, on a branch merged since, by a merge itself,
// and where the book is not the repository's root.
func TestRemoved(t *testing.T) {
	t.Parallel()
	remove := func(f *fixture, p string) {
		f.git("rm", "-rq", p)
		f.git("commit", "-qm", "removed")
	}
	for name, c := range map[string]struct {
		arrange func(f *fixture)
		file    string
	}{
		"never":     {func(f *fixture) {}, ""},
		"another's": {func(f *fixture) { remove(f, "engines/2023/SK-07") }, ""},
		"below another": {func(f *fixture) {
			f.write("a/engines/1/SK-16/x", "")
			f.git("add", ".")
			f.git("commit", "-qm", "x")
			remove(f, "a")
		}, ""},
		"in a commit": {func(f *fixture) { remove(f, "engines/2024/SK-16") }, "engines/2024/SK-16/spec.yaml"},
		"renamed":     {func(f *fixture) { f.git("mv", "engines/2024/SK-16", "engines/2024/SK-17"); f.git("commit", "-qm", "x") }, "engines/2024/SK-16/spec.yaml"},
		"other capitals": {func(f *fixture) {
			f.git("mv", "engines/2024/SK-16", "engines/2023/sk-16")
			f.git("commit", "-qm", "x")
			remove(f, "engines/2023/sk-16")
		}, "engines/2023/sk-16/spec.yaml"},
		"on a branch": {func(f *fixture) {
			f.git("checkout", "-qb", "bench")
			remove(f, "engines/2024/SK-16")
			f.git("checkout", "-q", "main")
			f.write("book.yaml", "x")
			f.git("commit", "-qam", "meanwhile")
			f.git("merge", "-q", "-m", "merged", "bench")
		}, "engines/2024/SK-16/spec.yaml"},
		"by a merge": {func(f *fixture) {
			f.git("checkout", "-qb", "bench")
			f.write("engines/2024/SK-16/x.yaml", "x")
			f.git("add", ".")
			f.git("commit", "-qm", "bench")
			f.git("checkout", "-q", "main")
			f.git("merge", "-q", "--no-ff", "--no-commit", "bench")
			f.git("rm", "-rqf", "engines/2024/SK-16")
			f.git("commit", "-qm", "merged")
		}, "engines/2024/SK-16/spec.yaml"},
		"repository above": {func(f *fixture) {
			f.write("shop/book.yaml", "")
			f.write("shop/engines/Größe/SK-16/spec.yaml", "")
			f.git("add", ".")
			f.git("commit", "-qm", "x")
			remove(f, "shop/engines/Größe/SK-16")
			f.root = f.path("shop")
		}, "engines/Größe/SK-16/spec.yaml"},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			f := newFixture(t)
			c.arrange(f)
			commit, file, ok, err := f.open().Removed("engines/*/SK-16")
			require.NoError(t, err)
			assert.Equal(t, c.file, file)
			assert.Equal(t, c.file != "", ok)
			if ok {
				assert.Contains(t, strings.ToUpper(f.git("show", "-m", "--no-renames", "--diff-filter=D", "--name-only", "--format=", commit.Hash)), "SK-16")
			}
		})
	}
}

// A clone that is cut off says where.
func TestBookCutOff(t *testing.T) {
	t.Parallel()
	f := newFixture(t)
	_, ok, err := f.open().CutOff()
	require.NoError(t, err)
	assert.False(t, ok)
	f.commitAt("2024-03-05T12:00:00+0000", "second")
	clone := filepath.Join(filepath.Dir(f.root), "clone")
	f.git("clone", "-q", "--depth", "1", "file://"+f.root, clone)
	f.root = clone
	c, ok, err := f.open().CutOff()
	require.NoError(t, err)
	assert.True(t, ok)
	assert.Equal(t, f.git("rev-parse", "HEAD"), c.Hash)
}
