package act

import (
	"bufio"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"sync"
)

// Scratch is a file that lasts as long as the run it is for.
type Scratch interface {
	io.Writer
	io.ReaderAt
	io.Closer
}

// ScratchNames are the names of the files that Whole lays things aside in.
var ScratchNames = []string{"commits", "parts"}

// spill keeps values in a scratch file: of each no more than where it lies stays in
// memory. All are put first, from several goroutines at once; after done they are
// read.
type spill struct {
	file Scratch

	mu sync.Mutex
	w  *bufio.Writer
	at int64
}

// piece is where one value lies in a spill.
type piece struct {
	at   int64
	size int32
}

func newSpill(file Scratch) *spill { return &spill{file: file, w: bufio.NewWriterSize(file, 64<<10)} }

// put writes a value down.
func (s *spill) put(v any) (piece, error) {
	data, err := json.Marshal(v)
	if err == nil && len(data) > math.MaxInt32 {
		err = fmt.Errorf("%d bytes are more than one piece may have", len(data))
	}
	if err != nil {
		return piece{}, asSpill(err)
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	p := piece{s.at, int32(len(data))}
	s.at += int64(len(data))
	_, err = s.w.Write(data)
	return p, asSpill(err)
}

// done ends the writing.
func (s *spill) done() error {
	s.mu.Lock()
	defer s.mu.Unlock()
	return asSpill(s.w.Flush())
}

// get reads a value back.
func (s *spill) get(p piece, v any) error {
	data := make([]byte, p.size)
	if _, err := s.file.ReadAt(data, p.at); err != nil {
		return asSpill(err)
	}
	return asSpill(json.Unmarshal(data, v))
}

func asSpill(err error) error {
	if err != nil {
		return fmt.Errorf("what is gathered on the way cannot be laid aside: %w", err)
	}
	return nil
}
