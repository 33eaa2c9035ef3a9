// Package term is what a person sees: the two output streams, how wide and
// how colourful they are, tables and progress. It knows no record.
//
// Its promises:
//
//   - Text from records is data. Whatever is printed through a Terminal has
//     been through Clean, and of colours only those this Terminal itself gave
//     out reach the screen.
//   - In a pipe or a file there is no colour, no progress and no wrapping: the
//     text is whole, one line a row.
//   - Colour repeats what the words say and never says anything alone.
package term

import (
	"fmt"
	"io"
	"os"
	"runtime"
	"strconv"
	"sync"
	"time"

	"golang.org/x/term"
)

// usualWidth is taken for a terminal that doesn't tell its width.
const usualWidth = 100

// Terminal is the pair of output streams of one run. It may be used from
// several goroutines; its exported fields are set before the first use.
type Terminal struct {
	Out, Err io.Writer

	Width     int  // columns of Out; 0 is no limit
	Colour    bool // Out may be coloured
	ErrWidth  int  // columns of Err; 0 where no progress can be drawn
	ErrColour bool // Err may be coloured

	Now func() time.Time // the clock of progress

	mu     sync.Mutex
	made   map[string]bool // the pieces of text styled here
	drawn  bool            // a progress line stands on Err
	failed error           // the first error of writing to Out
}

// New finds out what the two streams can do. Only an *os.File can be a
// terminal; its width is what it says itself, else COLUMNS, else 100. NO_COLOR
// with any text in it turns colour off, and TERM=dumb colour and progress.
func New(out, errw io.Writer, env func(string) string) *Terminal {
	t := &Terminal{Out: out, Err: errw, Now: time.Now}
	control := takesControl(runtime.GOOS, env)
	colour := control && env("NO_COLOR") == ""
	t.Width = columns(out, env)
	t.Colour = colour && t.Width > 0
	if width := columns(errw, env); width > 0 {
		t.ErrColour = colour
		if control {
			t.ErrWidth = width
		}
	}
	return t
}

// takesControl tells whether control sequences are obeyed rather than shown.
// An old Windows console shows them; newer ones set one of these variables.
func takesControl(system string, env func(string) string) bool {
	if system == "windows" && env("TERM") == "" && env("WT_SESSION") == "" {
		return false
	}
	return env("TERM") != "dumb"
}

// columns gives the width of a terminal, and 0 for anything else.
func columns(w io.Writer, env func(string) string) int {
	f, ok := w.(*os.File)
	if !ok || !term.IsTerminal(int(f.Fd())) {
		return 0
	}
	if width, _, err := term.GetSize(int(f.Fd())); err == nil && width > 0 {
		return width
	}
	if width, err := strconv.Atoi(env("COLUMNS")); err == nil && width > 0 {
		return width
	}
	return usualWidth
}

// Line prints one line to Out. A line break within it becomes a space. It is
// never wrapped, so that a path or a command can be copied whole.
func (t *Terminal) Line(format string, args ...any) {
	t.print(t.Out, t.clean(fmt.Sprintf(format, args...))+"\n", t.Colour)
}

// Prose prints text for reading to Out: on a terminal that is too narrow for it
// it is broken at its words, and what is broken off is indented by hang columns.
// In a pipe it is one line, like Line.
func (t *Terminal) Prose(hang int, format string, args ...any) {
	text := t.clean(fmt.Sprintf(format, args...))
	t.print(t.Out, hanging(text, t.Width, hang)+"\n", t.Colour)
}

// Say prints one line to Err: remarks and advice, which are not the answer.
func (t *Terminal) Say(format string, args ...any) {
	t.print(t.Err, t.clean(fmt.Sprintf(format, args...))+"\n", t.ErrColour)
}

// Heading prints one line to Out that stands out.
func (t *Terminal) Heading(s string) {
	t.Line("%s", t.Strong(s))
}

// Write passes on text of the program's own, such as its help, as it is.
func (t *Terminal) Write(p []byte) (int, error) {
	t.mu.Lock()
	defer t.mu.Unlock()
	t.wipe()
	n, err := t.Out.Write(p)
	if t.failed == nil {
		t.failed = err
	}
	return n, err
}

// WriteError gives the first error met while writing to Out, such as a full
// disk, or nil. Without asking, half an answer would pass for a whole one.
func (t *Terminal) WriteError() error {
	t.mu.Lock()
	defer t.mu.Unlock()
	return t.failed
}

// print writes text that is clean already, in the place of a progress line if
// one stands there. A piece styled for one stream is plain on the other, unless
// that has colour too.
func (t *Terminal) print(w io.Writer, text string, colour bool) {
	if !colour {
		text = unstyled(text)
	}
	t.mu.Lock()
	defer t.mu.Unlock()
	t.wipe()
	_, err := io.WriteString(w, text)
	if w == t.Out && t.failed == nil {
		t.failed = err
	}
}
