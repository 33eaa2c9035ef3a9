package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"
)

// A start works out no table: units, dictionary, formulas, figures and their like
// are made when they are first asked for. What each package of ours takes up
// before main begins, the runtime tells.
func TestAStartMakesNoTables(t *testing.T) {
	self, err := os.Executable()
	require.NoError(t, err)
	program := filepath.Join(t.TempDir(), "stackbook")
	require.NoError(t, os.Symlink(self, program))
	cmd := exec.Command(program, "--version")
	cmd.Env = append(os.Environ(), "GODEBUG=inittrace=1")
	out, err := cmd.CombinedOutput()
	require.NoError(t, err, string(out))
	lines := regexp.MustCompile(`(?m)^init (stackbook/\S+) @.* (\d+) bytes, \d+ allocs$`).FindAllStringSubmatch(string(out), -1)
	require.Greater(t, len(lines), 5, string(out))
	sum := 0
	for _, l := range lines {
		if l[1] == "stackbook/cmd/stackbook" {
			continue // what these tests make
		}
		bytes, err := strconv.Atoi(l[2])
		require.NoError(t, err)
		require.Less(t, bytes, 10_000, "%s makes at every start what not every command needs: see sync.OnceValue", l[1])
		sum += bytes
	}
	require.Less(t, sum, 40_000, "bytes that packages of ours take up at every start")
}
