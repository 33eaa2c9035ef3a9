package term

import (
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// Neither a text in memory nor a pipe is a person; what a terminal is, the
// scripts of the editor try on a real one.
func TestIsInteractive(t *testing.T) {
	require.False(t, IsInteractive(strings.NewReader("y\n")))
	r, w, err := os.Pipe()
	require.NoError(t, err)
	defer r.Close()
	defer w.Close()
	require.False(t, IsInteractive(r))
}
