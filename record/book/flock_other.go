//go:build !(linux || darwin || freebsd || netbsd || openbsd || dragonfly)

package book

import "os"

// holdFile does nothing where the system's locks work otherwise.
func holdFile(*os.File) {}

// tryHoldFile never proves a lock dead: a person removes it, as with git's own.
func tryHoldFile(*os.File) bool { return false }
