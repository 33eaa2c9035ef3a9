package book

import (
	"io/fs"
	"syscall"

	"stackbook/record/book/index"
)

// statOf gives what git keeps of a file's stat.
func statOf(info fs.FileInfo) index.Stat {
	st, ok := info.Sys().(*syscall.Stat_t)
	if !ok {
		return index.Stat{}
	}
	return index.Stat{
		CtimeSec: uint32(st.Ctimespec.Sec), CtimeNsec: uint32(st.Ctimespec.Nsec),
		MtimeSec: uint32(st.Mtimespec.Sec), MtimeNsec: uint32(st.Mtimespec.Nsec),
		Dev: uint32(st.Dev), Ino: uint32(st.Ino), UID: st.Uid, GID: st.Gid, Size: uint32(st.Size),
	}
}
