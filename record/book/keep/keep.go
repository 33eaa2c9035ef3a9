// Package keep is a list of results by hash, in one file: what was worked out
// before, and is to be looked up instead of being worked out again.
//
// A key is the hash of everything a result follows from, so that an entry can
// grow old and never wrong: nobody asks for it any more. The file is read as a
// whole, ends in a checksum, and is as none where anything in it is not as it
// was written. It is not written into, but made anew with what came to it.
//
// What the results are is for other rooms to say; here they are bytes.
package keep

import (
	"bytes"
	"encoding/binary"
	"hash/crc32"
	"slices"
)

// Format is the number of the layout, to be raised with any change of it.
const Format = 1

// Key names a result: a cryptographic hash of all it follows from.
type Key [32]byte

// The layout, numbers with their lowest byte first:
//
//	magic      8 bytes
//	format     4
//	run        4   counts how often the file was made anew
//	entries    4
//	fan      256*4 how many keys begin with a byte up to this one
//	keys       n*32, sorted
//	asked      n*4 the run in which each was last asked for
//	ends       n*4 where each result ends, from the first result on
//	results
//	checksum   4   CRC-32C of all that stands before it
const (
	magic     = "sbresult"
	headSize  = 20
	fanSize   = 256 * 4
	keySize   = 32
	entrySize = keySize + 4 + 4
)

// MostBytes is the largest file that is read or made.
const MostBytes = 1 << 30

var castagnoli = crc32.MakeTable(crc32.Castagnoli)

// List is the content of one file.
type List struct {
	run     uint32
	fan     string
	keys    string
	asked   string
	ends    string
	results string
}

// Parse reads a file; ok is false where it is not wholly as it was written. The
// empty list has no bytes.
func Parse(data string) (l *List, ok bool) {
	if len(data) == 0 {
		return &List{}, true
	}
	if len(data) < headSize+fanSize+4 || len(data) > MostBytes || data[:8] != magic || number(data, 8) != Format {
		return nil, false
	}
	body := data[:len(data)-4]
	if checksum(body) != number(data, len(body)) {
		return nil, false
	}
	n := int(number(data, 16))
	if n > (len(body)-headSize-fanSize)/entrySize {
		return nil, false
	}
	rest := body[headSize:]
	take := func(size int) (part string) {
		part, rest = rest[:size], rest[size:]
		return part
	}
	l = &List{run: number(data, 12), fan: take(fanSize), keys: take(n * keySize), asked: take(n * 4), ends: take(n * 4)}
	l.results = rest
	return l, rises(l.fan, n) && rises(l.ends, len(l.results))
}

// rises tells whether numbers never fall and end at the last that there may be, 0
// where there are none: no other can be looked up without a fall out of the list.
func rises(numbers string, last int) bool {
	before := uint32(0)
	for i := 0; i < len(numbers); i += 4 {
		n := number(numbers, i)
		if n < before {
			return false
		}
		before = n
	}
	return int(before) == last
}

func number(data string, at int) uint32 {
	b := data[at : at+4]
	return uint32(b[0]) | uint32(b[1])<<8 | uint32(b[2])<<16 | uint32(b[3])<<24
}

// checksum is that of a file, without a second copy of it.
func checksum(data string) (sum uint32) {
	var part [8 << 10]byte
	for len(data) > 0 {
		n := copy(part[:], data)
		sum, data = crc32.Update(sum, castagnoli, part[:n]), data[n:]
	}
	return sum
}

// Len gives how many results there are.
func (l *List) Len() int { return len(l.keys) / keySize }

// Find gives the place of a result in the list; ok is false where it is not there.
func (l *List) Find(key *Key) (i int, ok bool) {
	if len(l.keys) == 0 {
		return 0, false
	}
	low, high := 0, int(number(l.fan, 4*int(key[0])))
	if key[0] > 0 {
		low = int(number(l.fan, 4*int(key[0])-4))
	}
	for low < high {
		middle := int(uint(low+high) / 2)
		switch here := l.keys[middle*keySize:][:keySize]; {
		case here == string(key[:]):
			return middle, true
		case here < string(key[:]):
			low = middle + 1
		default:
			high = middle
		}
	}
	return 0, false
}

// Key gives the key of one result.
func (l *List) Key(i int) Key { return Key([]byte(l.keys[i*keySize:][:keySize])) }

// Result gives the bytes of one result.
func (l *List) Result(i int) string {
	begin := 0
	if i > 0 {
		begin = int(number(l.ends, i*4-4))
	}
	return l.results[begin:number(l.ends, i*4)]
}

// entry is one result on its way into a file.
type entry struct {
	key    Key
	asked  uint32
	result string
}

// size is what an entry takes in a file, in bytes.
func (e *entry) size() int { return entrySize + len(e.result) }

// Join gives the bytes of a file that holds new results, and those of a list of
// which asked tells that they were asked for. Of the others it holds those that
// were asked for last, as long as together they take no more than these and
// spare bytes.
func Join(l *List, fresh map[Key]string, asked func(i int) bool, spare int) []byte {
	run := l.run + 1
	var list, others []entry
	size := 0
	for key, result := range fresh {
		e := entry{key, run, result}
		list, size = append(list, e), size+e.size()
	}
	for i := range l.Len() {
		e := entry{l.Key(i), number(l.asked, i*4), l.Result(i)}
		if _, again := fresh[e.key]; again {
			continue
		}
		if !asked(i) {
			others = append(others, e)
			continue
		}
		e.asked = run
		list, size = append(list, e), size+e.size()
	}
	slices.SortFunc(others, func(a, b entry) int {
		if a.asked != b.asked {
			return int(int64(b.asked) - int64(a.asked))
		}
		return bytes.Compare(a.key[:], b.key[:])
	})
	room := size + spare
	for _, e := range others {
		if room -= e.size(); room < 0 {
			break
		}
		list = append(list, e)
	}
	return encode(run, list)
}

// encode gives the bytes of a file; nil where it would be too large.
func encode(run uint32, list []entry) []byte {
	slices.SortFunc(list, func(a, b entry) int { return bytes.Compare(a.key[:], b.key[:]) })
	size := headSize + fanSize + 4
	for i := range list {
		size += list[i].size()
	}
	if size > MostBytes {
		return nil
	}
	le := binary.LittleEndian
	out := append(make([]byte, 0, size), magic...)
	out = le.AppendUint32(out, Format)
	out = le.AppendUint32(out, run)
	out = le.AppendUint32(out, uint32(len(list)))
	n := 0
	for first := range 256 {
		for n < len(list) && int(list[n].key[0]) == first {
			n++
		}
		out = le.AppendUint32(out, uint32(n))
	}
	for i := range list {
		out = append(out, list[i].key[:]...)
	}
	for i := range list {
		out = le.AppendUint32(out, list[i].asked)
	}
	end := 0
	for i := range list {
		end += len(list[i].result)
		out = le.AppendUint32(out, uint32(end))
	}
	for i := range list {
		out = append(out, list[i].result...)
	}
	return le.AppendUint32(out, crc32.Checksum(out, castagnoli))
}
