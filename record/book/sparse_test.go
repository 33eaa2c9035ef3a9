package book

import (
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// coneFixture is a sparse checkout of engines/2024 and parts, of which the index
// has one entry for each other folder.
func coneFixture(t *testing.T) *fixture {
	f := newFixture(t)
	f.write("far/away/deep.yaml", "x\n")
	f.write("parts/HS-1.yaml", "part: HS-1\n")
	f.git("add", ".")
	f.git("commit", "-qm", "far")
	f.git("sparse-checkout", "set", "--cone", "--sparse-index", "engines/2024", "parts")
	require.Contains(t, f.git("ls-files", "--sparse"), "engines/2023/\n")
	return f
}

// An engine in the cone of a sparse checkout is committed here, and not by the
// git program: the folders outside stay one entry each, and what is staged besides
// stays staged.
func TestCommitInCone(t *testing.T) {
	t.Parallel()
	f := coneFixture(t)
	f.write("parts/HS-2.yaml", "staged by hand\n")
	f.git("add", "parts/HS-2.yaml")
	sparse := f.git("ls-files", "--sparse", "--stage", "engines/2023", "far")
	b := f.open()
	f.write("engines/2024/SK-16/spec.yaml", "engine: SK-16\nbuild: 2\n")
	edits := append(f.edits("engines/2024/SK-16/spec.yaml"), Edit{Path: "engines/2024/SK-16/new file.yaml", Data: []byte("figures\n"), Write: true})
	p, err := b.plan(edits, f.options(b))
	require.NoError(t, err)
	reason, err := p.needsGit()
	require.NoError(t, err)
	require.Empty(t, reason)
	got, err := b.Commit(edits, f.options(b))
	require.NoError(t, err)
	assert.Equal(t, got.Hash, f.git("rev-parse", "HEAD"))
	assert.Equal(t, "A\tengines/2024/SK-16/new file.yaml\nM\tengines/2024/SK-16/spec.yaml", f.git("diff", "--name-status", "HEAD~", "HEAD"))
	assert.Equal(t, "A  parts/HS-2.yaml", f.status())
	assert.Equal(t, sparse, f.git("ls-files", "--sparse", "--stage", "engines/2023", "far"))
	assert.Equal(t, "x", f.git("show", "HEAD:far/away/deep.yaml"))
	f.git("commit", "-qm", "the rest") // or git fsck misses the trees of what is staged, with a sparse index
	assert.Equal(t, "x", f.git("show", "HEAD:far/away/deep.yaml"))
	assert.Empty(t, f.status())
	f.sound()
	f.git("sparse-checkout", "disable")
	assert.Empty(t, f.status())
}

// A file outside of the cone is left to the git program, which refuses it, and
// nothing is changed.
func TestCommitOutsideCone(t *testing.T) {
	t.Parallel()
	f := coneFixture(t)
	b := f.open()
	head := f.git("rev-parse", "HEAD")
	f.write("engines/2023/SK-07/spec.yaml", "engine: SK-07\nbuild: 2\n")
	edits := f.edits("engines/2023/SK-07/spec.yaml")
	p, err := b.plan(edits, f.options(b))
	require.NoError(t, err)
	reason, err := p.needsGit()
	require.NoError(t, err)
	assert.Equal(t, "engines/2023/SK-07/spec.yaml lies in a folder that is not checked out", reason)
	_, err = b.Commit(edits, f.options(b))
	if err == nil { // some gits take it
		assert.Equal(t, "M\tengines/2023/SK-07/spec.yaml", f.git("diff", "--name-status", "HEAD~", "HEAD"))
	} else {
		assert.Equal(t, head, f.git("rev-parse", "HEAD"))
	}
	f.sound()
}

// What the index proves of a folder, it proves with entries for folders too: only
// what was edited is unproven.
func TestPresenceInCone(t *testing.T) {
	t.Parallel()
	f := coneFixture(t)
	f.git("update-index", "--refresh", "--really-refresh")
	head := func() Commit {
		c, ok, err := f.open().Head()
		require.NoError(t, err)
		require.True(t, ok)
		return c
	}
	look := func() *presence {
		p, err := f.open().readPresence(head())
		require.NoError(t, err)
		require.NotNil(t, p)
		return p
	}
	p := look()
	assert.Empty(t, p.staged)
	for _, dir := range []string{"engines", "parts", "engines/2023"} {
		assert.Equal(t, f.git("rev-parse", "HEAD:"+dir), string(p.ids[dir]), dir)
	}
	f.git("sparse-checkout", "set", "--cone", "--sparse-index", "parts") // no engine at all
	p = look()
	assert.Empty(t, p.staged)
	for _, dir := range []string{"engines", "parts"} {
		assert.Equal(t, f.git("rev-parse", "HEAD:"+dir), string(p.ids[dir]), dir)
	}
	f.git("sparse-checkout", "set", "--cone", "--sparse-index", "engines/2024", "parts")
	f.git("reset", "-q", "--soft", "HEAD~") // and so a folder outside is another than in HEAD
	f.git("sparse-checkout", "reapply")
	assert.True(t, look().staged["parts/HS-1.yaml"])
	f.git("commit", "-qm", "far again")
	f.write("engines/2023/SK-07/spec.yaml", "put there by hand\n")
	list, err := f.open().unproven()
	require.NoError(t, err)
	assert.Contains(t, list, "engines/2023/SK-07/spec.yaml")
}

// A folder that is not there to be read is told by its name, and nothing is
// committed over it.
func TestConeDamaged(t *testing.T) {
	t.Parallel()
	f := coneFixture(t)
	tree := f.git("rev-parse", "HEAD:engines/2023")
	f.remove(filepath.Join(".git/objects", tree[:2], tree[2:]))
	_, err := f.open().Folder().Skipped("engines")
	assert.ErrorContains(t, err, "the folder engines/2023, which is not checked out: ")
	assert.True(t, strings.Contains(err.Error(), tree), err)
}
