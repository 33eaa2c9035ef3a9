package term

import (
	"bytes"
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
)

// coloured is a terminal without a width limit of which the output can be read.
func coloured() (*Terminal, *bytes.Buffer) {
	var out bytes.Buffer
	t := New(&out, &out, noEnv)
	t.Colour, t.ErrColour = true, true
	return t, &out
}

func noEnv(string) string { return "" }

func TestStyles(t *testing.T) {
	term, _ := coloured()
	plain := New(nil, nil, noEnv)
	for _, c := range []struct {
		name  string
		style func(*Terminal, string) string
		want  string
	}{
		{"strong", (*Terminal).Strong, "\x1b[1mx\x1b[0m"},
		{"faint", (*Terminal).Faint, "\x1b[2mx\x1b[0m"},
		{"good", (*Terminal).Good, "\x1b[32mx\x1b[0m"},
		{"bad", (*Terminal).Bad, "\x1b[1;31mx\x1b[0m"},
		{"warn", (*Terminal).Warn, "\x1b[33mx\x1b[0m"},
		{"strong, standard error", (*Terminal).ErrStrong, "\x1b[1mx\x1b[0m"},
		{"bad, standard error", (*Terminal).ErrBad, "\x1b[1;31mx\x1b[0m"},
	} {
		t.Run(c.name, func(t *testing.T) {
			assert.Equal(t, c.want, c.style(term, "x"))
			assert.Equal(t, "", c.style(term, ""))
			assert.Equal(t, "x", c.style(plain, "x"), "without colour")
			assert.Equal(t, `\x1b[5m`, c.style(plain, "\x1b[5m"), "cleaned without colour")
			assert.Contains(t, c.style(term, "\x1b[5m"), `\x1b[5m`, "cleaned with colour")
		})
	}
}

func TestStyledPiecesPassAndOthersDoNot(t *testing.T) {
	for _, c := range []struct {
		name string
		line func(*Terminal) string
		want string
	}{
		{"composed before", func(t *Terminal) string {
			return fmt.Sprintf("ratio %s, %s", t.Strong("9.3"), t.Bad("fails"))
		}, "ratio \x1b[1m9.3\x1b[0m, \x1b[1;31mfails\x1b[0m"},
		{"from a record", func(*Terminal) string { return "\x1b[1mbold\x1b[0m" }, `\x1b[1mbold\x1b[0m`},
		{"beside a piece", func(t *Terminal) string {
			return t.Good("fine") + "\x1b[32mnot\x1b[0m"
		}, "\x1b[32mfine\x1b[0m" + `\x1b[32mnot\x1b[0m`},
		{"a piece not closed", func(t *Terminal) string {
			return t.Good("fine")[:len("\x1b[32mfine")]
		}, `\x1b[32mfine`},
		{"a piece in a piece", func(t *Terminal) string {
			return t.Strong("ratio " + t.Bad("fails") + " here")
		}, "\x1b[1mratio fails here\x1b[0m"},
		{"a reset alone", func(*Terminal) string { return "\x1b[0m" }, `\x1b[0m`},
	} {
		t.Run(c.name, func(t *testing.T) {
			term, out := coloured()
			term.Line("%s", c.line(term))
			assert.Equal(t, c.want+"\n", out.String())
		})
	}
}

func TestPieceOfTheOtherStreamIsPlain(t *testing.T) {
	var out, errw bytes.Buffer
	term := New(&out, &errw, noEnv)
	term.ErrColour = true
	term.Line("%s", term.ErrBad("fails"))
	assert.Equal(t, "fails\n", out.String())

	term.Colour, term.ErrColour = true, false
	term.Say("%s", term.Bad("fails"))
	assert.Equal(t, "fails\n", errw.String())
}
