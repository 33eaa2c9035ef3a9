package passing

import (
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Of a run that is broken off, what was put in place stays and all else goes.
func TestClear(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	at := func(name string) string { return filepath.Join(dir, name) }
	f := New()
	create := func(name string) {
		file, err := f.Create(at(name), 0o666)
		require.NoError(t, err)
		require.NoError(t, file.Close())
	}
	create("placed")
	require.NoError(t, f.Rename(at("placed"), at("record")))
	create("removed")
	require.NoError(t, f.Remove(at("removed")))
	require.NoError(t, os.WriteFile(at("removed"), nil, 0o666)) // by now another's
	create("half")
	require.NoError(t, f.Link(at("half"), at("second name")))
	require.NoError(t, f.Mkdir(at("empty")))
	require.NoError(t, f.Mkdir(at("used")))
	require.NoError(t, os.WriteFile(at("used/theirs"), nil, 0o666))
	require.NoError(t, f.Mkdir(at("kept")))
	f.Keep(at("kept"))
	require.NoError(t, f.Tree(at("tree"), func() error { return nil }))
	require.NoError(t, f.MkdirAll(at("tree/with/more")))
	temp, err := f.CreateTemp(at("empty"), "half-")
	require.NoError(t, err)
	require.NoError(t, temp.Close())

	_, err = f.Create(at("record"), 0o666)
	require.ErrorIs(t, err, os.ErrExist)
	f.Clear()
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	var left []string
	for _, e := range entries {
		left = append(left, e.Name())
	}
	assert.Equal(t, []string{"kept", "record", "removed", "used"}, left)
}

// What must be whole is waited for; then nothing more is made, and whoever did
// it does not come back to tell.
func TestWhole(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	f := New()
	begun, done := make(chan bool), make(chan bool)
	cameBack := make(chan bool, 2)
	go func() {
		_ = f.Whole(func() error {
			close(begun)
			<-f.Broken().Done() // as a long piece of work would
			time.Sleep(20 * time.Millisecond)
			file, err := f.Create(filepath.Join(dir, "half"), 0o666)
			if assert.NoError(t, err) {
				assert.NoError(t, file.Close())
				assert.NoError(t, f.Rename(file.Name(), filepath.Join(dir, "whole")))
			}
			close(done)
			return err
		})
		cameBack <- true
	}()
	<-begun
	f.Clear()
	select {
	case <-done:
	default:
		t.Fatal("Clear did not wait")
	}
	assert.FileExists(t, filepath.Join(dir, "whole"))
	go func() {
		if file, err := f.Create(filepath.Join(dir, "late"), 0o666); err == nil {
			_ = file.Close()
		}
		cameBack <- true
	}()
	time.Sleep(30 * time.Millisecond)
	assert.Empty(t, cameBack)
	assert.NoFileExists(t, filepath.Join(dir, "late"))
}
