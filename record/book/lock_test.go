package book

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"stackbook/record/book/passing"
)

// A lock keeps others out until it is dropped or installed.
func TestLock(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	target := filepath.Join(dir, "refs", "main")
	held, err := takeLock(passing.New(), dir, target)
	require.NoError(t, err)
	_, err = takeLock(passing.New(), dir, target)
	require.ErrorIs(t, err, ErrBusy)
	assert.ErrorContains(t, err, "main.lock is there")
	require.NoError(t, held.write([]byte("first, and longer\n")))
	require.NoError(t, held.write([]byte("second\n")))
	require.NoError(t, held.install())
	held.drop() // does nothing more

	text, err := os.ReadFile(target)
	require.NoError(t, err)
	assert.Equal(t, "second\n", string(text))
	next, err := takeLock(passing.New(), dir, target)
	require.NoError(t, err)
	next.drop()
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	assert.Len(t, entries, 1, "only the folder refs is left")
}

// Of two locks that a killed process left behind, each is removed for its own
// target; the markers of one do not cost the other its proof.
func TestDeadLocks(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	targets := []string{filepath.Join(dir, "index"), filepath.Join(dir, "refs", "main")}
	for _, target := range targets {
		l, err := takeLock(passing.New(), dir, target)
		require.NoError(t, err)
		require.NoError(t, l.file.Close()) // as the system does when a process dies
	}
	for _, target := range targets {
		require.FileExists(t, target+".lock")
		l, err := takeLock(passing.New(), dir, target)
		require.NoError(t, err)
		l.drop()
	}
}

// A lock that is not ours is never removed, whoever made it.
func TestForeignLock(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	target := filepath.Join(dir, "index")
	require.NoError(t, os.WriteFile(target+".lock", nil, 0o644))
	_, err := takeLock(passing.New(), dir, target)
	require.ErrorIs(t, err, ErrBusy)
	assert.FileExists(t, target+".lock")
}
