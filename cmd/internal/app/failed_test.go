package app

import (
	"bytes"
	"os"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A mistake in the program itself is told in a sentence, with the status of what
// could not be done; where it lies, only to one who asks.
func TestFailed(t *testing.T) {
	for _, trace := range []string{"", "1"} {
		var out, said bytes.Buffer
		status := Run([]string{"begin", t.TempDir() + "/book", "--shop", "Skarvik Rotary"}, Surroundings{Out: &out, Err: &said, In: bytes.NewReader(nil), Dir: t.TempDir(), Program: "stackbook",
			Env: func(name string) string {
				return map[string]string{"STACKBOOK_TRACE": trace, "PATH": os.Getenv("PATH")}[name]
			},
			Now: func() time.Time { panic("no clock\x1b[31m") }})
		require.Equal(t, statusCouldNot, status)
		assert.Regexp(t, `^stackbook: this is a mistake in stackbook, and none of yours: no clock[^\x1b]*\n  please report it with what you typed, `, said.String())
		assert.Equal(t, trace != "", bytes.Contains(said.Bytes(), []byte("goroutine ")), said.String())
	}
}
