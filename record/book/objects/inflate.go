package objects

import (
	"bufio"
	"bytes"
	"errors"
	"io"

	"github.com/klauspost/compress/zlib"
)

// inflater undoes compression. It is used again and again: to make one takes
// longer than most objects do.
type inflater struct {
	memory bytes.Reader // over a pack that is held
	from   readerAt
	buffer *bufio.Reader // over one that is not
	source source        // one of the two
	zlib   io.ReadCloser // nil until the first use
	more   [1]byte
}

// source is read from byte by byte, so that of what lies behind an object in a
// pack nothing is lost or looked at.
type source interface {
	io.Reader
	io.ByteReader
}

// begin has the inflater read a pack on from a place.
func (in *inflater) begin(p *pack, at int64) source {
	if p.held != nil && at <= int64(len(p.held)) {
		in.memory.Reset(p.held[at:])
		in.source = &in.memory
		return in.source
	}
	if in.buffer == nil {
		in.buffer = bufio.NewReaderSize(nil, 4096)
	}
	in.from = readerAt{p.file, at}
	in.buffer.Reset(&in.from)
	in.source = in.buffer
	return in.source
}

// readerAt reads a file on from a place.
type readerAt struct {
	file io.ReaderAt
	at   int64
}

func (r *readerAt) Read(p []byte) (int, error) {
	n, err := r.file.ReadAt(p, r.at)
	r.at += int64(n)
	return n, err
}

// inflate undoes the compression of what comes next, which must fill data and
// then be at its end.
func (in *inflater) inflate(data []byte) error {
	var err error
	if in.zlib == nil {
		in.zlib, err = zlib.NewReader(in.source)
	} else {
		err = in.zlib.(zlib.Resetter).Reset(in.source, nil)
	}
	if err != nil {
		in.zlib = nil
		return err
	}
	if _, err := io.ReadFull(in.zlib, data); err != nil {
		return err
	}
	if n, err := in.zlib.Read(in.more[:]); n != 0 || err != io.EOF {
		return errors.New("its content is longer than its header says or ends badly")
	}
	return nil
}
