package objects

import (
	"encoding/binary"
	"errors"
	"fmt"
)

// errDelta says that a difference between two objects is not what git writes.
var errDelta = errors.New("the difference it is stored as is damaged")

// patched gives the object that a difference makes of another (gitformat-pack(5),
// "Deltified representation"). What is larger than MaxSize is refused.
func patched(base, delta []byte) ([]byte, error) {
	from, n := binary.Uvarint(delta)
	if n <= 0 || from != uint64(len(base)) {
		return nil, errDelta
	}
	delta = delta[n:]
	size, n := binary.Uvarint(delta)
	if n <= 0 {
		return nil, errDelta
	}
	if size > MaxSize {
		return nil, fmt.Errorf("it is larger than %d MiB", MaxSize>>20)
	}
	delta = delta[n:]
	out := make([]byte, 0, size)
	for len(delta) > 0 {
		command := delta[0]
		delta = delta[1:]
		piece := delta
		if command&0x80 != 0 {
			at, count, rest, ok := copied(command, delta)
			if !ok || at > len(base) || count > len(base)-at {
				return nil, errDelta
			}
			piece, delta = base[at:at+count], rest
		} else {
			if command == 0 || int(command) > len(delta) {
				return nil, errDelta
			}
			piece, delta = delta[:command], delta[command:]
		}
		if len(piece) > int(size)-len(out) {
			return nil, errDelta
		}
		out = append(out, piece...)
	}
	if len(out) != int(size) {
		return nil, errDelta
	}
	return out, nil
}

// copied reads from where, and how much, a command copies: the bytes that are not
// nought, as the command's bits tell.
func copied(command byte, delta []byte) (at, count int, rest []byte, ok bool) {
	for bit := range 7 {
		if command&(1<<bit) == 0 {
			continue
		}
		if len(delta) == 0 {
			return 0, 0, nil, false
		}
		if bit < 4 {
			at |= int(delta[0]) << (8 * bit)
		} else {
			count |= int(delta[0]) << (8 * (bit - 4))
		}
		delta = delta[1:]
	}
	if count == 0 {
		count = 0x10000
	}
	return at, count, delta, true
}
