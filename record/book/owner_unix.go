//go:build unix

package book

import (
	"os"
	"syscall"
)

// ownedByUser says whether path belongs to the user who runs this program.
func ownedByUser(path string) bool {
	info, err := os.Stat(path)
	if err != nil {
		return false
	}
	st, ok := info.Sys().(*syscall.Stat_t)
	return ok && int(st.Uid) == os.Geteuid()
}
