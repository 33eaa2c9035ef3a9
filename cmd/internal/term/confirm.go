package term

import (
	"bufio"
	"errors"
	"io"
	"os"
	"strings"

	"golang.org/x/term"
)

// Confirm asks a question with the answers yes and no on Err and reads one line
// of in. Anything but y or yes is no. Where in is no terminal nobody is there to
// answer: none is asked, and asked is false.
func (t *Terminal) Confirm(in io.Reader, question string) (yes, asked bool, err error) {
	if !isTerminal(in) {
		return false, false, nil
	}
	t.print(t.Err, t.clean(question)+" [y/N] ", t.ErrColour)
	line, err := bufio.NewReader(in).ReadString('\n')
	if err != nil && !errors.Is(err, io.EOF) {
		return false, true, err
	}
	switch strings.ToLower(strings.TrimSpace(line)) {
	case "y", "yes":
		return true, true, nil
	}
	return false, true, nil
}

// isTerminal tells whether a stream is a terminal; only an *os.File can be one.
func isTerminal(stream any) bool {
	f, ok := stream.(*os.File)
	return ok && term.IsTerminal(int(f.Fd()))
}
