package book

import (
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// One file changed, one added, one gone: the commit is the one that git
// itself would have made, to the last byte.
func TestCommitIsGitsOwn(t *testing.T) {
	f := newFixture(t)
	b := f.open()
	f.write("engines/2023/SK-07/spec.yaml", "engine: SK-07\nbuild: 2\n")
	f.write("engines/2023/SK-07/changes/2024-03-10-recut.yaml", "kind: machining\n")
	f.remove("engines/2024/SK-16/spec.yaml")
	paths := []string{"engines/2023/SK-07/spec.yaml", "engines/2023/SK-07/changes/2024-03-10-recut.yaml", "engines/2024/SK-16/spec.yaml"}

	before := f.git("rev-parse", "HEAD")
	c, err := f.commit(b, paths...)
	require.NoError(t, err)
	assert.Equal(t, c.Hash, f.git("rev-parse", "HEAD"))
	assert.Equal(t, "main", f.git("branch", "--show-current"))
	assert.Empty(t, f.status())
	assert.Contains(t, f.git("reflog", "-1"), "commit: measured")
	f.sound()

	f.git("update-ref", "refs/heads/main", before)
	f.git("add", "-A")
	f.git("commit", "-qm", "measured")
	assert.Equal(t, f.git("rev-parse", "HEAD"), c.Hash)
}

// What the tool wrote itself goes into folder and commit in one stroke, and
// keeps the mode the file had.
func TestCommitWrites(t *testing.T) {
	f := newFixture(t)
	b := f.open()
	require.NoError(t, os.Chmod(f.path("engines/2024/SK-16/spec.yaml"), 0o600))
	edits := []Edit{
		{Path: "engines/2023/SK-07/figures.yaml", Data: []byte("formulas: 3\n"), Write: true},
		{Path: "engines/2023/SK-07/tool.sh", Data: []byte("#!/bin/sh\n"), Write: true, Exec: true},
		{Path: "engines/2024/SK-16/spec.yaml", Data: []byte("engine: SK-16\nbuild: 1\n"), Write: true},
		{Path: "engines/2023/SK-07/measurements/2024-03-02-mock-up-KM.yaml", Delete: true, Write: true},
	}
	_, err := b.Commit(edits, f.options(b))
	require.NoError(t, err)
	assert.Empty(t, f.status())
	assert.Equal(t, "formulas: 3\n", f.read("engines/2023/SK-07/figures.yaml"))
	assert.NoDirExists(t, f.path("engines/2023/SK-07/measurements"))
	assert.Contains(t, f.git("ls-files", "-s", "engines/2023/SK-07/tool.sh"), "100755")
	info, err := os.Stat(f.path("engines/2024/SK-16/spec.yaml"))
	require.NoError(t, err)
	assert.Equal(t, os.FileMode(0o600), info.Mode().Perm())
	f.sound()
}
