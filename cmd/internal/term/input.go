package term

import (
	"io"
	"os"

	"golang.org/x/term"
)

// IsInteractive tells whether a person sits at an input: it is a terminal, and
// no pipe or file.
func IsInteractive(in io.Reader) bool {
	f, ok := in.(*os.File)
	return ok && term.IsTerminal(int(f.Fd()))
}
