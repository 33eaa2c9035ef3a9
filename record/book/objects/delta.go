package objects

import (
	"encoding/binary"
	"errors"
	"fmt"
)

// errDelta is what every damaged delta gives.
var errDelta = errors.New("its delta is damaged")

// patch gives what a delta makes of its base: the sizes of both, then orders to
// copy from the base or to take bytes of the delta itself. The result lies in
// memory of just its size; all of it and all of the delta must come out even.
// (git's documentation, gitformat-pack, "Deltified representation")
func patch(base, delta []byte) ([]byte, error) {
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
		order := delta[0]
		delta = delta[1:]
		piece := delta
		if order&0x80 != 0 {
			at, count, rest, ok := copyOrder(order, delta)
			if !ok || at > len(base) || count > len(base)-at {
				return nil, errDelta
			}
			piece, delta = base[at:at+count], rest
		} else {
			count := int(order)
			if count == 0 || count > len(delta) {
				return nil, errDelta
			}
			piece, delta = delta[:count], delta[count:]
		}
		if len(piece) > cap(out)-len(out) {
			return nil, errDelta
		}
		out = append(out, piece...)
	}
	if uint64(len(out)) != size {
		return nil, errDelta
	}
	return out, nil
}

// copyOrder reads which bytes of the base are copied: of place (four bytes) and
// count (three), lowest first, those that are not zero follow, as the bits of the
// order tell. A count of zero stands for 64 KiB.
func copyOrder(order byte, delta []byte) (at, count int, rest []byte, ok bool) {
	var n [7]byte
	for i := range n {
		if order>>i&1 == 0 {
			continue
		}
		if len(delta) == 0 {
			return 0, 0, nil, false
		}
		n[i], delta = delta[0], delta[1:]
	}
	at = int(binary.LittleEndian.Uint32(n[:4]))
	count = int(n[4]) | int(n[5])<<8 | int(n[6])<<16
	if count == 0 {
		count = 1 << 16
	}
	return at, count, delta, true
}
