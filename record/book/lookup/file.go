package lookup

import (
	"encoding/binary"
	"hash/crc32"
	"io"
	"sync"
)

// A segment lies in blocks. Each ends in a checksum of its content, its place
// and the segment it belongs to.
const (
	blockSize = 4096
	payload   = blockSize - 4

	// mostBlocks is how many blocks are kept in mind, 16 MiB.
	mostBlocks = 4096
)

var castagnoli = crc32.MakeTable(crc32.Castagnoli)

// file reads the bytes between the checksums.
type file struct {
	r  io.ReaderAt
	id uint64 // of the segment, in the checksum of every block but the first

	mu      sync.Mutex
	blocks  map[int64][]byte
	damaged bool
}

// doubted tells whether anything that was read was not as it was written.
func (f *file) doubted() bool {
	f.mu.Lock()
	defer f.mu.Unlock()
	return f.damaged
}

func (f *file) doubt() {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.damaged = true
}

// bytes gives n bytes from a place on, zeros where they cannot be believed.
func (f *file) bytes(at int64, n int) []byte {
	f.mu.Lock()
	defer f.mu.Unlock()
	if at < 0 || n < 0 {
		f.damaged = true
		return nil
	}
	first := f.block(at / payload)
	if begin := int(at % payload); begin+n <= payload {
		return first[begin : begin+n]
	}
	out := make([]byte, 0, n)
	for len(out) < n && !f.damaged {
		block := f.block(at / payload)
		take := min(payload-int(at%payload), n-len(out))
		out = append(out, block[at%payload:][:take]...)
		at += int64(take)
	}
	return append(out, make([]byte, n-len(out))...)
}

// block gives the content of one block; once one was damaged, zeros.
func (f *file) block(i int64) []byte {
	if b := f.blocks[i]; b != nil {
		return b
	}
	b := make([]byte, blockSize)
	n, _ := f.r.ReadAt(b, i*blockSize)
	if f.damaged || n != blockSize || binary.LittleEndian.Uint32(b[payload:]) != checksum(b[:payload], f.id, i) {
		f.damaged = true
		return make([]byte, payload)
	}
	if f.blocks == nil || len(f.blocks) >= mostBlocks {
		f.blocks = map[int64][]byte{}
	}
	f.blocks[i] = b[:payload]
	return b[:payload]
}

// checksum is that of one block. The first tells whose the others are.
func checksum(content []byte, id uint64, i int64) uint32 {
	var place [16]byte
	if i > 0 {
		binary.LittleEndian.PutUint64(place[:], id)
		binary.LittleEndian.PutUint64(place[8:], uint64(i))
	}
	return crc32.Update(crc32.Checksum(place[:], castagnoli), castagnoli, content)
}

// inBlocks gives content as it lies in a file.
func inBlocks(content []byte, id uint64) []byte {
	count := (len(content) + payload - 1) / payload
	out := make([]byte, 0, count*blockSize)
	for i := range count {
		begin := len(out)
		out = append(out, content[i*payload:min(len(content), (i+1)*payload)]...)
		out = append(out, make([]byte, begin+payload-len(out))...)
		out = binary.LittleEndian.AppendUint32(out, checksum(out[begin:], id, int64(i)))
	}
	return out
}
