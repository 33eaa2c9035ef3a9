package term

import (
	"bytes"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
)

// clock is a terminal with a clock that a test moves on.
func clock(width int) (t *Terminal, out *bytes.Buffer, pass func(time.Duration)) {
	out = &bytes.Buffer{}
	now := time.Date(2024, 3, 2, 9, 0, 0, 0, time.UTC)
	t = New(out, out, noEnv)
	t.ErrWidth = width
	t.Now = func() time.Time { return now }
	return t, out, func(d time.Duration) { now = now.Add(d) }
}

func TestProgress(t *testing.T) {
	term, out, pass := clock(80)
	p := term.Progress("checking", 3)

	pass(299 * time.Millisecond)
	p.Step()
	assert.Empty(t, out.String(), "too soon")

	pass(time.Millisecond)
	p.Step()
	assert.Equal(t, "\r\x1b[Kchecking 2 of 3", out.String())

	out.Reset()
	pass(99 * time.Millisecond)
	p.Step()
	assert.Empty(t, out.String(), "ten times a second at most")

	pass(time.Millisecond)
	p.At(3, 4)
	assert.Equal(t, "\r\x1b[Kchecking 3 of 4", out.String())

	out.Reset()
	p.Done()
	assert.Equal(t, "\r\x1b[K", out.String())

	out.Reset()
	pass(time.Second)
	p.Step()
	p.Done()
	assert.Empty(t, out.String(), "after the end")
}

func TestProgressMakesRoomForLines(t *testing.T) {
	term, out, pass := clock(80)
	p := term.Progress("checking", 0)
	pass(time.Second)
	p.Step()
	term.Line("SK-07: records in order")
	term.Say("a remark")
	pass(time.Second)
	p.Step()
	assert.Equal(t, "\r\x1b[Kchecking 1\r\x1b[KSK-07: records in order\na remark\n\r\x1b[Kchecking 2", out.String())
}

func TestProgressKeepsToItsLine(t *testing.T) {
	term, out, pass := clock(11)
	p := term.Progress("reading\x1b[2J 水温", 0)
	pass(time.Second)
	p.Step()
	assert.Equal(t, "\r\x1b[K"+`reading\x1`, out.String(), "cleaned, and one column free")
}

func TestProgressIsSilentInAPipe(t *testing.T) {
	term, out, pass := clock(0)
	p := term.Progress("checking", 2)
	for range 2 {
		pass(time.Minute)
		p.Step()
	}
	p.Done()
	assert.Empty(t, out.String())
}
