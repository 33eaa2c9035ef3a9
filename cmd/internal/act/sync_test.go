package act_test

import (
	"os/exec"
	"testing"

	"github.com/stretchr/testify/require"

	"stackbook/cmd/internal/act"
)

// Without git on the machine all else works, and sync says what to install.
func TestSyncWithoutGit(t *testing.T) {
	s := demoBook(t)
	t.Setenv("PATH", t.TempDir())
	_, err := s.Sync(act.SyncOptions{Program: "/bin/stackbook"})
	require.ErrorIs(t, err, exec.ErrNotFound)
	require.ErrorContains(t, err, "install git")
	_, err = s.Check(nil, func(string, int, int) {})
	require.NoError(t, err)
}
