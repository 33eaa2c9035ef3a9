package index

import (
	"crypto/sha1"
	"encoding"
	"encoding/binary"
	"hash"
	"io"
)

// sums is what a checksum was worked out through: states of it on the way, so
// that one of a file that begins alike need not be worked from the beginning.
type sums struct {
	states [][]byte // after every stride bytes
	total  []byte
}

const stride = 1 << 18

// sumUp works out the checksum of a file's body.
func sumUp(body []byte) *sums {
	s, h := &sums{}, sha1.New()
	for len(body) > stride {
		h.Write(body[:stride])
		body = body[stride:]
		state, err := h.(encoding.BinaryMarshaler).MarshalBinary()
		if err != nil {
			panic("index: " + err.Error()) // it promises none
		}
		s.states = append(s.states, state)
	}
	h.Write(body)
	s.total = h.Sum(nil)
	return s
}

// sumFrom gives a checksum that has taken in the first bytes of the file, as far
// as a state was kept of at most n of them.
func (x *Index) sumFrom(n int) (h hash.Hash, done int) {
	h = sha1.New()
	if x.sums == nil {
		return h, 0
	}
	states := x.sums().states
	k := min(n/stride, len(states))
	if k == 0 {
		return h, 0
	}
	if err := h.(encoding.BinaryUnmarshaler).UnmarshalBinary(states[k-1]); err != nil {
		panic("index: " + err.Error()) // it is sha1's own
	}
	return h, k * stride
}

// WriteTo writes the index file, to be buffered by who asks: what stays as it
// was is written in as long pieces as it lies together.
func (x *Index) WriteTo(w io.Writer) (int64, error) {
	o := &output{w: w}
	if !x.unsigned {
		o.sum, o.skip = x.sumFrom(x.alike())
	}
	head := binary.BigEndian.AppendUint32([]byte("DIRC"), x.version)
	o.write(binary.BigEndian.AppendUint32(head, uint32(len(x.at))))
	if x.version == 4 {
		x.writeShortened(o)
	} else {
		x.writeEntries(o)
	}
	for _, ext := range x.extensions {
		o.write(binary.BigEndian.AppendUint32([]byte(ext.name), uint32(len(ext.data))))
		o.write(ext.data)
	}
	sum := make([]byte, hashSize)
	if o.sum != nil {
		sum = o.sum.Sum(nil)
	}
	o.sum = nil
	o.write(sum)
	return o.n, o.err
}

// alike is how many bytes the index written will have in common with the file
// it was read from: up to the first entry that is not where it was.
func (x *Index) alike() int {
	if len(x.raw) == 0 || x.version == 4 || int(binary.BigEndian.Uint32(x.raw[8:])) != len(x.at) {
		return 0
	}
	for i, at := range x.at {
		if at != x.was[i] {
			return int(x.was[i])
		}
	}
	return int(x.was[len(x.at)])
}

// writeEntries writes the entries of versions 2 and 3: as many together as lie
// together in the file that was read.
func (x *Index) writeEntries(o *output) {
	was := 0 // the next entry of that file
	for i := 0; i < len(x.at); {
		if int(x.at[i]) >= len(x.raw) {
			o.write(x.entry(i)[:x.length(i)])
			i++
			continue
		}
		for x.was[was] != x.at[i] {
			was++
		}
		from := was
		for i < len(x.at) && x.at[i] == x.was[was] {
			i, was = i+1, was+1
		}
		o.write(x.raw[x.was[from]:x.was[was]])
	}
}

// length is that of an entry with what pads it, in versions 2 and 3.
func (x *Index) length(i int) int { return padded(x.fixedLength(x.entry(i)) + len(x.name(i))) }

// writeShortened writes the entries of version 4: of each name, how much of the
// one before falls away, and what takes its place.
func (x *Index) writeShortened(o *output) {
	previous := ""
	for i, name := range x.names {
		data := x.entry(i)
		o.write(data[:x.fixedLength(data)])
		common := commonPrefix(previous, name)
		o.write(append(append(appendVarint(nil, uint64(len(previous)-common)), name[common:]...), 0))
		previous = name
	}
}

// output writes, counts and sums what it is given; the first bytes may be in
// the sum already.
type output struct {
	w    io.Writer
	n    int64
	sum  hash.Hash // nil: not summed
	skip int       // bytes still to come that are in it
	err  error
}

func (o *output) write(data []byte) {
	if o.err != nil {
		return
	}
	if o.sum != nil {
		in := min(o.skip, len(data))
		o.skip -= in
		o.sum.Write(data[in:])
	}
	var n int
	n, o.err = o.w.Write(data)
	o.n += int64(n)
}

func commonPrefix(a, b string) int {
	n := min(len(a), len(b))
	for i := range n {
		if a[i] != b[i] {
			return i
		}
	}
	return n
}

// appendVarint writes what varint reads.
func appendVarint(b []byte, value uint64) []byte {
	at := len(b)
	b = append(b, byte(value&0x7f))
	for value >>= 7; value > 0; value >>= 7 {
		value--
		b = append(b, 0)
		copy(b[at+1:], b[at:])
		b[at] = byte(value&0x7f) | 0x80
	}
	return b
}
