package objects

import (
	"bufio"
	"compress/zlib"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"
	"sync"

	"github.com/go-git/go-git/v5/plumbing/format/packfile"
)

// pack is one pack and its index, both held open: a gc that removes them
// takes nothing from a reader that has begun.
type pack struct {
	idx  *idx
	file *os.File
}

func openPack(idxName string, format Format) (*pack, error) {
	x, err := openIdx(idxName, format)
	if err != nil {
		return nil, err
	}
	f, err := os.Open(strings.TrimSuffix(idxName, ".idx") + ".pack")
	if err != nil {
		x.close()
		return nil, err
	}
	return &pack{x, f}, nil
}

func (p *pack) close() error { return errors.Join(p.file.Close(), p.idx.close()) }

// prefix gives the names in the pack that begin with the given digits.
func (p *pack) prefix(digits string) ([]ID, error) {
	even := digits
	if len(even)%2 == 1 {
		even += "0"
	}
	key, err := hex.DecodeString(even)
	if err != nil {
		return nil, err
	}
	row, err := p.idx.search(key)
	if err != nil {
		return nil, err
	}
	var ids []ID
	for ; row < p.idx.count(); row++ {
		name, err := p.idx.nameAt(row)
		if err != nil {
			return nil, err
		}
		id := FromRaw(name)
		if !strings.HasPrefix(string(id), digits) {
			break
		}
		ids = append(ids, id)
	}
	return ids, nil
}

// readPacked reads an object from the packs opened so far, the one that
// served last first.
func (s *Store) readPacked(id ID) (Kind, []byte, error) {
	key := id.Raw()
	for i, p := range s.packs {
		offset, ok, err := p.idx.find(key)
		if err != nil {
			return "", nil, err
		}
		if !ok {
			continue
		}
		copy(s.packs[1:i+1], s.packs[:i])
		s.packs[0] = p
		kind, data, err := s.readAt(p, offset)
		if err == nil && !s.format.is(kind, data, id) {
			err = errors.New("its content does not match its name") // one bit of the kind is enough
		}
		if err != nil {
			err = fmt.Errorf("object %s in %s is damaged: %w; git fsck tells more", id, p.file.Name(), err)
		}
		return kind, data, err
	}
	return "", nil, ErrMissing
}

// entry is an object as it lies in a pack: whole, or as a delta against a
// base named by its place or its hash.
type entry struct {
	kind   Kind // empty for a delta
	data   []byte
	baseAt int64 // 0 when the base is named by hash
	base   ID
}

// readAt gives the object that begins at offset. It walks from delta to base
// until one is whole or remembered, then applies the deltas on the way back.
func (s *Store) readAt(p *pack, offset int64) (Kind, []byte, error) {
	const longest = 4096 // git's own bound on a chain of deltas is 4095
	type step struct {
		at    int64
		delta []byte
	}
	var steps []step
	var kind Kind
	var data []byte
	for at := offset; kind == ""; {
		if kind, data = s.bases.get(p, at); kind != "" {
			break
		}
		e, err := p.entry(at, s.format)
		switch {
		case err != nil:
			return "", nil, err
		case e.kind != "":
			kind, data = e.kind, e.data
			s.bases.put(p, at, kind, data)
		case len(steps) == longest:
			return "", nil, errors.New("its chain of deltas has no end")
		case e.baseAt != 0:
			steps = append(steps, step{at, e.data})
			at = e.baseAt
		default:
			steps = append(steps, step{at, e.data})
			if kind, data, err = s.base(p, e.base, &at); err != nil {
				return "", nil, err
			}
		}
	}
	for i := len(steps) - 1; i >= 0; i-- {
		next, err := packfile.PatchDelta(data, steps[i].delta)
		if err != nil {
			return "", nil, err
		}
		if len(next) > MaxSize {
			return "", nil, fmt.Errorf("it is larger than %d MiB", MaxSize>>20)
		}
		data = next
		s.bases.put(p, steps[i].at, kind, data)
	}
	return kind, data, nil
}

// base finds the base of a delta that names it by hash: in the same pack, of
// which at is then the place, or (in a pack completed from elsewhere) whole.
func (s *Store) base(p *pack, id ID, at *int64) (Kind, []byte, error) {
	offset, ok, err := p.idx.find(id.Raw())
	if err != nil {
		return "", nil, err
	}
	if ok {
		*at = offset
		return "", nil, nil
	}
	return s.readLoose(id)
}

// entry reads what lies at one place of the pack: a header of kind and size,
// for a delta the name of its base, and compressed data.
func (p *pack) entry(at int64, format Format) (entry, error) {
	in := inflaters.Get().(*inflater)
	defer inflaters.Put(in)
	in.from = readerAt{p.file, at}
	r := in.buffer
	r.Reset(&in.from)
	code, size, err := entryHeader(r)
	if err != nil {
		return entry{}, err
	}
	var e entry
	switch code {
	case 1, 2, 3, 4:
		e.kind = [...]Kind{"", Commit, Tree, Blob, Tag}[code]
	case 6:
		back, err := backOffset(r)
		if err != nil {
			return e, err
		}
		if back <= 0 || back >= at {
			return e, errors.New("its base lies outside the pack")
		}
		e.baseAt = at - back
	case 7:
		name := make([]byte, format.size)
		if _, err := io.ReadFull(r, name); err != nil {
			return e, err
		}
		e.base = FromRaw(name)
	default:
		return e, fmt.Errorf("it is of the unknown kind %d", code)
	}
	e.data, err = in.inflate(size)
	return e, err
}

// entryHeader reads kind and size: three bits of kind and four of size, then
// seven bits of size a byte, lowest first, while the top bit is set.
func entryHeader(r io.ByteReader) (code byte, size uint64, err error) {
	b, err := r.ReadByte()
	if err != nil {
		return 0, 0, err
	}
	code, size = b>>4&7, uint64(b&15)
	for shift := 4; b&0x80 != 0; shift += 7 {
		if b, err = r.ReadByte(); err != nil {
			return 0, 0, err
		}
		if shift > 56 {
			return 0, 0, errors.New("its size has no end")
		}
		size |= uint64(b&0x7f) << shift
	}
	if size > MaxSize {
		return 0, 0, fmt.Errorf("it is larger than %d MiB", MaxSize>>20)
	}
	return code, size, nil
}

// backOffset reads how far before the delta its base lies: seven bits a byte,
// highest first, each further byte adding one to what came before.
func backOffset(r io.ByteReader) (int64, error) {
	b, err := r.ReadByte()
	if err != nil {
		return 0, err
	}
	n := int64(b & 0x7f)
	for b&0x80 != 0 {
		if b, err = r.ReadByte(); err != nil {
			return 0, err
		}
		if n > 1<<54 {
			return 0, errors.New("the distance to its base has no end")
		}
		n = (n+1)<<7 | int64(b&0x7f)
	}
	return n, nil
}

// inflater undoes compression. It is used again and again: to make one takes
// longer than most objects do.
type inflater struct {
	from   readerAt
	buffer *bufio.Reader
	zlib   io.ReadCloser // nil until the first use
}

var inflaters = sync.Pool{New: func() any { return &inflater{buffer: bufio.NewReaderSize(nil, 4096)} }}

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

// inflate undoes the compression of exactly size bytes of what is buffered.
func (in *inflater) inflate(size uint64) ([]byte, error) {
	var err error
	if in.zlib == nil {
		in.zlib, err = zlib.NewReader(in.buffer)
	} else {
		err = in.zlib.(zlib.Resetter).Reset(in.buffer, nil)
	}
	if err != nil {
		in.zlib = nil
		return nil, err
	}
	data := make([]byte, size)
	if _, err := io.ReadFull(in.zlib, data); err != nil {
		return nil, err
	}
	var more [1]byte
	if n, err := in.zlib.Read(more[:]); n != 0 || err != io.EOF {
		return nil, errors.New("its content is longer than its header says or ends badly")
	}
	return data, nil
}

// baseCache remembers what was read from packs lately, since the objects of
// one walk through history are mostly deltas against each other. When full it
// forgets everything, which keeps it simple and bounded.
type baseCache struct {
	held  map[place]object
	bytes int
	most  int // bytes it may hold; 0: mostHeld
}

// mostHeld is how many bytes a store keeps of what it read.
const mostHeld = 8 << 20

type place struct {
	pack *pack
	at   int64
}

type object struct {
	kind Kind
	data []byte
}

func (c *baseCache) get(p *pack, at int64) (Kind, []byte) {
	o := c.held[place{p, at}]
	return o.kind, o.data
}

func (c *baseCache) put(p *pack, at int64, kind Kind, data []byte) {
	limit := c.most
	if limit == 0 {
		limit = mostHeld
	}
	if len(data) > limit/8 {
		return
	}
	if c.held == nil || c.bytes+len(data) > limit {
		c.held, c.bytes = map[place]object{}, 0
	}
	c.held[place{p, at}] = object{kind, data}
	c.bytes += len(data)
}
