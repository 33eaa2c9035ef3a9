package objects

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"os"
	"sort"
)

// idx is a pack's index, version 2, read where it lies: a fan-out table of
// 256 counts by first byte, the sorted names, their checksums, and their
// places in the pack as 32-bit numbers, of which those with the top bit set
// point into a table of 64-bit ones.
// (git's documentation, gitformat-pack, "Version 2 pack-*.idx files")
type idx struct {
	name   string
	file   io.ReaderAt
	close  func() error
	held   []byte // the whole of it, or nil
	size   int    // bytes of a hash
	fanout [256]uint32
}

const idxHeader = 8 + 256*4

// openIdx reads the fan-out table and nothing else.
func openIdx(name string, format Format) (*idx, error) {
	f, err := os.Open(name)
	if err != nil {
		return nil, err
	}
	x := &idx{name: name, file: f, close: f.Close, size: format.size}
	if err := x.readFanout(); err != nil {
		f.Close()
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	return x, nil
}

// holdIn has the whole index in memory, for one who is going to ask for most
// objects.
func (x *idx) holdIn(data []byte) { x.file, x.held = bytes.NewReader(data), data }

func (x *idx) readFanout() error {
	head := make([]byte, idxHeader)
	if _, err := x.file.ReadAt(head, 0); err != nil {
		return fmt.Errorf("pack index cut short: %w", err)
	}
	if !bytes.Equal(head[:8], []byte{0xff, 't', 'O', 'c', 0, 0, 0, 2}) {
		return errors.New("pack index is not of version 2; git repack -ad writes it anew")
	}
	for i := range x.fanout {
		x.fanout[i] = binary.BigEndian.Uint32(head[8+4*i:])
		if i > 0 && x.fanout[i] < x.fanout[i-1] {
			return errors.New("pack index is damaged: its counts fall")
		}
	}
	return nil
}

func (x *idx) count() int { return int(x.fanout[255]) }

// span gives the rows whose names begin with the byte b.
func (x *idx) span(b byte) (from, to int) {
	if b > 0 {
		from = int(x.fanout[b-1])
	}
	return from, int(x.fanout[b])
}

// nameAt reads the hash in row i.
func (x *idx) nameAt(i int) ([]byte, error) {
	b := make([]byte, x.size)
	_, err := x.file.ReadAt(b, idxHeader+int64(i)*int64(x.size))
	return b, err
}

// search gives the first row whose name is not below key, which may be the
// beginning of a name.
func (x *idx) search(key []byte) (int, error) {
	from, to := x.span(key[0])
	var failed error
	n := sort.Search(to-from, func(i int) bool {
		name, err := x.nameAt(from + i)
		if err != nil {
			failed = err
		}
		return bytes.Compare(name, key) >= 0
	})
	return from + n, failed
}

// find gives the place of an object in the pack.
func (x *idx) find(key []byte) (offset int64, ok bool, err error) {
	row, ok, err := x.near(key)
	if err != nil {
		return 0, false, err
	}
	if !ok {
		if row, err = x.search(key); err != nil || row == x.count() {
			return 0, false, err
		}
		name, err := x.nameAt(row)
		if err != nil || !bytes.Equal(name, key) {
			return 0, false, err
		}
	}
	offset, err = x.offset(row)
	return offset, err == nil, err
}

// near looks for a name where it would stand if names were spread evenly, as
// hashes nearly are, among as many around as one reading brings. ok is false where
// it would stand beyond them.
func (x *idx) near(key []byte) (row int, ok bool, err error) {
	from, to := x.span(key[0])
	const around = 64
	guess := from + int(int64(to-from)*int64(binary.BigEndian.Uint16(key[1:]))>>16)
	from, to = max(from, guess-around), min(to, guess+around)
	names, err := x.bytes(idxHeader+from*x.size, (to-from)*x.size)
	if err != nil {
		return 0, false, err
	}
	at := func(i int) []byte { return names[i*x.size:][:x.size] }
	n := sort.Search(to-from, func(i int) bool { return bytes.Compare(at(i), key) >= 0 })
	return from + n, n < to-from && bytes.Equal(at(n), key), nil
}

// bytes gives n bytes of the index from a place on.
func (x *idx) bytes(at, n int) ([]byte, error) {
	if at+n <= len(x.held) {
		return x.held[at : at+n], nil
	}
	b := make([]byte, n)
	_, err := x.file.ReadAt(b, int64(at))
	return b, err
}

// offset reads the place in the pack that row i tells.
func (x *idx) offset(i int) (int64, error) {
	n := int64(x.count())
	places := idxHeader + n*int64(x.size+4)
	b, err := x.bytes(int(places)+4*i, 4)
	if err != nil {
		return 0, err
	}
	small := binary.BigEndian.Uint32(b)
	if small&(1<<31) == 0 {
		return int64(small), nil
	}
	if b, err = x.bytes(int(places+4*n+8*int64(small&^(1<<31))), 8); err != nil {
		return 0, err
	}
	return int64(binary.BigEndian.Uint64(b)), nil
}
