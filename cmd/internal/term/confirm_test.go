package term

import (
	"bytes"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// In a pipe nobody is asked, whatever lies in it.
func TestConfirmInAPipe(t *testing.T) {
	var out, errs bytes.Buffer
	term := New(&out, &errs, func(string) string { return "" })
	yes, asked, err := term.Confirm(strings.NewReader("y\n"), "Go on?")
	require.NoError(t, err)
	assert.False(t, yes)
	assert.False(t, asked)
	assert.Empty(t, out.String()+errs.String())
}
