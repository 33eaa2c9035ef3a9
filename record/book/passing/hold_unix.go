//go:build linux || darwin || freebsd || netbsd || openbsd || dragonfly

package passing

import (
	"errors"
	"os"
	"syscall"
)

// Hold takes the system's lock on an open file or folder, if nobody has it. The
// system lets go of it when the file is closed or the process ends, however it
// ends. It is Unknown where the file system has no such locks.
func Hold(f *os.File) Holding {
	err := syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB)
	switch {
	case err == nil:
		return Held
	case errors.Is(err, syscall.EWOULDBLOCK):
		return HeldByOther
	}
	return Unknown
}
