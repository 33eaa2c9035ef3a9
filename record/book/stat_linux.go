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
		CtimeSec: uint32(st.Ctim.Sec), CtimeNsec: uint32(st.Ctim.Nsec),
		MtimeSec: uint32(st.Mtim.Sec), MtimeNsec: uint32(st.Mtim.Nsec),
		Dev: uint32(st.Dev), Ino: uint32(st.Ino), UID: st.Uid, GID: st.Gid, Size: uint32(st.Size),
	}
}
