package term

import (
	"bytes"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestAsk(t *testing.T) {
	for answer, want := range map[string]bool{"y\n": true, "Yes \n": true, "y": true, "n\n": false, "\n": false, "": false, "yet\n": false, "yes please\n": false} {
		var out, errs bytes.Buffer
		term := New(&out, &errs, noEnv)
		assert.Equal(t, want, term.Ask(strings.NewReader(answer), "Deliver build 2 of SK-07?\x1b[2J"), "%q", answer)
		assert.Empty(t, out.String(), "the answer to the command is not the question")
		assert.True(t, strings.HasPrefix(errs.String(), `Deliver build 2 of SK-07?\x1b[2J [y/N] `), errs.String())
	}
}

// The line of a question that was not answered, as by Ctrl-D, is ended.
func TestAskEndsItsLine(t *testing.T) {
	var errs bytes.Buffer
	New(&errs, &errs, noEnv).Ask(strings.NewReader(""), "Go on?")
	assert.Equal(t, "Go on? [y/N] \n", errs.String())
}

func TestCanAskNobodyInAPipe(t *testing.T) {
	var out bytes.Buffer
	assert.False(t, New(&out, &out, noEnv).CanAsk(strings.NewReader("y\n")))
}
