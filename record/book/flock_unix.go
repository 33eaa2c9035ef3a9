//go:build linux || darwin || freebsd || netbsd || openbsd || dragonfly

package book

import (
	"os"
	"syscall"
)

// holdFile takes the system's lock on a file nobody else knows of yet; the
// system lets go of it when the process ends, however it ends. Where the file
// system has no such locks, nothing is ever proven dead.
func holdFile(f *os.File) { _ = syscall.Flock(int(f.Fd()), syscall.LOCK_EX) }
