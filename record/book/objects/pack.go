package objects

import (
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"os"
	"slices"
	"strings"

	"github.com/go-git/go-git/v5/plumbing/format/packfile"
)

// pack is one pack and its index, both held open: a gc that removes them
// takes nothing from a reader that has begun.
type pack struct {
	idx  *idx
	file *os.File
	held []byte // the whole of it, or nil
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
	return &pack{idx: x, file: f}, nil
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
		if err == nil && !s.sum.fits(s.format, kind, data, key) {
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
	kind   Kind   // empty for a delta
	data   []byte // of a whole object
	delta  span   // where the delta lies in the store's scratch memory
	baseAt int64  // 0 when the base is named by hash
	base   ID
}

// span is a part of the scratch memory.
type span struct{ from, to int }

// mostScratch is how many bytes of scratch memory a store keeps for its next
// object.
const mostScratch = 1 << 20

// readAt gives the object that begins at offset. It walks from delta to base
// until one is whole or remembered, then applies the deltas on the way back.
func (s *Store) readAt(p *pack, offset int64) (Kind, []byte, error) {
	const longest = 4096 // git's own bound on a chain of deltas is 4095
	if cap(s.scratch) > mostScratch {
		s.scratch = nil
	}
	s.scratch, s.steps = s.scratch[:0], s.steps[:0]
	var kind Kind
	var data []byte
	for at := offset; kind == ""; {
		if kind, data = s.bases.get(p, at); kind != "" {
			break
		}
		e, err := s.entry(p, at)
		switch {
		case err != nil:
			return "", nil, err
		case e.kind != "":
			kind, data = e.kind, e.data
			s.bases.put(p, at, kind, data)
		case len(s.steps) == longest:
			return "", nil, errors.New("its chain of deltas has no end")
		case e.baseAt != 0:
			s.steps = append(s.steps, deltaStep{at, e.delta})
			at = e.baseAt
		default:
			s.steps = append(s.steps, deltaStep{at, e.delta})
			if kind, data, err = s.base(p, e.base, &at); err != nil {
				return "", nil, err
			}
		}
	}
	for i := len(s.steps) - 1; i >= 0; i-- {
		step := s.steps[i]
		next, err := packfile.PatchDelta(data, s.scratch[step.delta.from:step.delta.to])
		if err != nil {
			return "", nil, err
		}
		if len(next) > MaxSize {
			return "", nil, fmt.Errorf("it is larger than %d MiB", MaxSize>>20)
		}
		data = next
		s.bases.put(p, step.at, kind, data)
	}
	return kind, data, nil
}

// deltaStep is a delta on the way from an object to its base.
type deltaStep struct {
	at    int64
	delta span
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
func (s *Store) entry(p *pack, at int64) (entry, error) {
	in := &s.in
	r := in.begin(p, at)
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
		name := make([]byte, s.format.size)
		if _, err := io.ReadFull(r, name); err != nil {
			return e, err
		}
		e.base = FromRaw(name)
	default:
		return e, fmt.Errorf("it is of the unknown kind %d", code)
	}
	if e.kind != "" {
		e.data = make([]byte, size)
		return e, in.inflate(e.data)
	}
	e.delta.from = len(s.scratch)
	e.delta.to = e.delta.from + int(size)
	s.scratch = slices.Grow(s.scratch, int(size))[:e.delta.to]
	return e, in.inflate(s.scratch[e.delta.from:])
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
