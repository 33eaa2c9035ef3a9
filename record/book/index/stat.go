package index

import "encoding/binary"

// Stat is what git keeps of a file's stat to see at a glance that it is
// unchanged; each value is cut to 32 bits. The zero Stat is that of no file:
// git then compares contents.
type Stat struct {
	CtimeSec, CtimeNsec uint32
	MtimeSec, MtimeNsec uint32
	Dev, Ino            uint32
	UID, GID            uint32
	Size                uint32
}

// decodeStat reads the values around the mode, which stands at byte 24.
func decodeStat(b []byte) Stat {
	u := func(at int) uint32 { return binary.BigEndian.Uint32(b[at:]) }
	return Stat{u(0), u(4), u(8), u(12), u(16), u(20), u(28), u(32), u(36)}
}

// encode writes the values, and the mode among them.
func (s Stat) encode(mode uint32) []byte {
	var b []byte
	for _, n := range []uint32{s.CtimeSec, s.CtimeNsec, s.MtimeSec, s.MtimeNsec, s.Dev, s.Ino, mode, s.UID, s.GID, s.Size} {
		b = binary.BigEndian.AppendUint32(b, n)
	}
	return b
}

// Matches says whether the file with the stat s is the one that was staged
// with e, as far as stat can tell. The device is left out, as git does, since
// it changes when a network drive is mounted anew.
func (e Entry) Matches(s Stat) bool {
	own := e.Stat()
	own.Dev, s.Dev = 0, 0
	return own == s && own != Stat{}
}

// Racy says whether the file may have been changed in the same second in
// which an index with the modification time indexSec (seconds since 1970) was
// written, so that its stat proves nothing.
func (e Entry) Racy(indexSec int64) bool {
	return binary.BigEndian.Uint32(e.fixed[8:]) >= uint32(indexSec)
}
