package term

import (
	"bufio"
	"fmt"
	"io"
	"os"
	"strings"

	"golang.org/x/term"
)

// CanAsk tells whether a person sits at both ends: what is typed comes from a
// terminal, and a question shows on one.
func (t *Terminal) CanAsk(in io.Reader) bool {
	f, ok := in.(*os.File)
	return ok && term.IsTerminal(int(f.Fd())) && t.ErrWidth > 0
}

// Ask puts a question to be answered yes or no on Err, and reads the answer.
// Only y and yes are yes.
func (t *Terminal) Ask(in io.Reader, question string) (yes bool) {
	t.print(t.Err, Clean(question)+" [y/N] ", t.ErrColour)
	answer, err := bufio.NewReader(in).ReadString('\n')
	if err != nil {
		fmt.Fprintln(t.Err) // the line the answer did not end
	}
	switch strings.ToLower(strings.TrimSpace(answer)) {
	case "y", "yes":
		return true
	}
	return false
}
