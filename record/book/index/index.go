// Package index reads git's index, the list of what is staged, and patches
// it: entries that are not named stay byte for byte as they were, with their
// bits (assume-unchanged, skip-worktree, intent-to-add) and stat values.
//
// It knows versions 2, 3 and 4 of repositories named by SHA-1. Of the
// extensions (R9) it invalidates paths in TREE, copies REUC and sdir, and drops
// UNTR, FSMN, EOIE, IEOT and every unknown one with an upper-case name, all of
// which git makes anew. What it cannot patch gives ErrForeign; the git
// program can, and ReadListing makes of what that prints an index to look at.
//
// In an index of a sparse checkout (git sparse-checkout set --sparse-index) one
// entry may stand for a folder and all in it. Whoever looks sees the files in it
// nevertheless, as if each had its own entry.
//
// The format is described in git's documentation, gitformat-index.
package index

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"slices"
	"sync"

	"stackbook/record/book/objects"
)

// ErrForeign says that an index is sound but of a kind not patched here: split, or
// with a necessary extension that is unknown; or that an edit lies in a folder
// for which one entry stands.
var ErrForeign = errors.New("index of a kind that only the git program changes")

// errDamaged begins every complaint about bytes that no git writes.
var errDamaged = errors.New("git's index is damaged")

func damaged(format string, args ...any) error {
	return fmt.Errorf("%w: %s", errDamaged, fmt.Sprintf(format, args...))
}

const (
	hashSize  = 20
	statSize  = 40
	fixedSize = statSize + hashSize + 2 // without extended flags

	flagValid    = 0x8000 // assume-unchanged
	flagExtended = 0x4000
	flagStage    = 0x3000
	flagName     = 0x0fff // length of the name, or this if longer

	extSkip  = 0x4000 // skip-worktree
	extToAdd = 0x2000 // intent-to-add
)

// Index is one state of the list. Entries stay in the bytes they were read
// from, and are made out one by one where they are asked for: a book of ten
// thousand engines has a hundred thousand of them, and a commit asks for ten.
type Index struct {
	version    uint32
	raw        []byte   // the file as it was read; nil where there was none
	own        []byte   // entries that are not in it, one behind the other
	at         []uint32 // where each begins: in raw, or behind it in own; sorted by name, then stage
	was        []uint32 // the same as it was read, and where the last ends
	names      []string // of version 4, where a name is written shortened: each in full
	unmerged   bool     // some stand at another stage than 0
	folded     *trees   // some stand for whole folders; nil: none does
	extensions []extension
	unsigned   bool         // its checksum is zero and stays so (index.skipHash)
	hash       int          // bytes of a hash
	sums       func() *sums // waits until the checksum is worked out; nil where there is none
}

type extension struct {
	name string
	data []byte
}

// Entry is one staged file; it stays what it is until the index is edited.
type Entry struct {
	Name  string
	hash  int    // bytes of a hash
	fixed []byte // stat, hash, flags and extended flags as they lie in the file
}

// Stat gives the stat values that git compares with the file's.
func (e Entry) Stat() Stat { return decodeStat(e.fixed) }

// Mode gives the kind of file and whether it is executable.
func (e Entry) Mode() objects.Mode {
	return objects.Mode(binary.BigEndian.Uint32(e.fixed[24:]))
}

// ID gives the name of the staged content.
func (e Entry) ID() objects.ID { return objects.FromRaw(e.Hash()) }

// Hash gives the bytes of that name, which are the index's own.
func (e Entry) Hash() []byte { return e.fixed[statSize : statSize+e.hash] }

func (e Entry) flags() uint16 { return binary.BigEndian.Uint16(e.fixed[statSize+e.hash:]) }

func (e Entry) extended() uint16 {
	if e.flags()&flagExtended == 0 {
		return 0
	}
	return binary.BigEndian.Uint16(e.fixed[statSize+e.hash+2:])
}

// Stage is 0 for a plain entry, 1 to 3 for the sides of an unmerged one.
func (e Entry) Stage() int { return int(e.flags()&flagStage) >> 12 }

// AssumeValid says that the person told git to take the file as unchanged.
func (e Entry) AssumeValid() bool { return e.flags()&flagValid != 0 }

// SkipWorktree says that the file is not meant to be in the folder.
func (e Entry) SkipWorktree() bool { return e.extended()&extSkip != 0 }

// IntentToAdd says that only the name is staged, no content.
func (e Entry) IntentToAdd() bool { return e.extended()&extToAdd != 0 }

// New gives the index of a repository in which nothing was ever staged.
func New() *Index { return &Index{version: 2, hash: hashSize} }

// Parse reads an index file. The bytes belong to the index from then on. Whether
// their checksum is right is known later, by Sound: it takes longer than all the
// rest.
func Parse(raw []byte) (*Index, error) {
	if len(raw) < 12+hashSize || string(raw[:4]) != "DIRC" {
		return nil, damaged("it does not begin as one")
	}
	x := &Index{version: binary.BigEndian.Uint32(raw[4:]), raw: raw, hash: hashSize}
	if x.version < 2 || x.version > 4 {
		return nil, fmt.Errorf("%w: version %d", ErrForeign, x.version)
	}
	body, sum := raw[:len(raw)-hashSize], raw[len(raw)-hashSize:]
	x.unsigned = bytes.Equal(sum, make([]byte, hashSize))
	if !x.unsigned {
		summed := make(chan *sums, 1)
		go func() { summed <- sumUp(body) }()
		x.sums = sync.OnceValue(func() *sums { return <-summed })
	}
	rest, err := x.parseEntries(body[12:], binary.BigEndian.Uint32(body[8:]))
	if err == nil {
		err = x.parseExtensions(rest)
	}
	if err != nil {
		return nil, errors.Join(x.Sound(), err)
	}
	return x, nil
}

// Sound is an error where the checksum of the file is not that of what it
// holds, or a folder that was asked for could not be read. It waits until that is
// known.
func (x *Index) Sound() error {
	if err := x.folded.err(); err != nil {
		return err
	}
	if x.sums != nil && !bytes.Equal(x.raw[len(x.raw)-hashSize:], x.sums().total) {
		return damaged("its checksum is wrong")
	}
	return nil
}

// Ending is the last bytes of the file it was read from: their checksum, where
// git made one.
func (x *Index) Ending() []byte { return x.raw[max(0, len(x.raw)-hashSize):] }

// parseEntries reads n entries and gives what follows them.
func (x *Index) parseEntries(data []byte, n uint32) ([]byte, error) {
	if int(n) > len(data)/fixedSize {
		return nil, damaged("it is too short for %d entries", n)
	}
	x.at = make([]uint32, 0, n)
	var previous []byte
	stage := 0
	for range n {
		name, rest, err := x.parseEntry(data, previous)
		if err != nil {
			return nil, err
		}
		before := stage
		stage = Entry{hash: hashSize, fixed: data}.Stage()
		if len(x.at) > 0 && (bytes.Compare(previous, name) > 0 || bytes.Equal(previous, name) && before >= stage) {
			return nil, damaged("its entries are not sorted at %q", name)
		}
		x.unmerged = x.unmerged || stage != 0
		x.at = append(x.at, uint32(len(x.raw)-hashSize-len(data)))
		if x.version == 4 {
			x.names = append(x.names, string(name))
		}
		previous, data = name, rest
	}
	x.was = append(slices.Clone(x.at), uint32(len(x.raw)-hashSize-len(data)))
	return data, nil
}

// parseEntry reads the name of the entry at the head of data and gives what
// follows it.
func (x *Index) parseEntry(data, previous []byte) (name, rest []byte, err error) {
	if len(data) < fixedSize+2 {
		return nil, nil, damaged("it is cut short")
	}
	fixed := x.fixedLength(data)
	rest = data[fixed:]
	var kept []byte
	if x.version == 4 {
		strip, n := varint(rest)
		if n == 0 || strip > uint64(len(previous)) {
			return nil, nil, damaged("a name is shortened wrongly")
		}
		kept, rest = previous[:len(previous)-int(strip)], rest[n:]
	}
	end := bytes.IndexByte(rest, 0)
	if end < 0 {
		return nil, nil, damaged("a name has no end")
	}
	if end == 0 && len(kept) == 0 {
		return nil, nil, fmt.Errorf("%w: it is split", ErrForeign) // such an entry takes the place of one elsewhere
	}
	if x.version == 4 {
		return slices.Concat(kept, rest[:end]), rest[end+1:], nil
	}
	size := padded(fixed + end)
	if len(data) < size || min(end, flagName) != int((Entry{hash: x.hash, fixed: data}).flags()&flagName) {
		return nil, nil, damaged("it is cut short")
	}
	return rest[:end], data[size:], nil
}

// fixedLength is the length of what stands before the name of the entry that
// data begins with.
func (x *Index) fixedLength(data []byte) int {
	n := statSize + x.hash + 2
	if (Entry{hash: x.hash, fixed: data}).flags()&flagExtended != 0 {
		return n + 2
	}
	return n
}

// padded gives the length of an entry of n bytes with the one to eight zero
// bytes that follow it in versions 2 and 3.
func padded(n int) int { return (n + 8) &^ 7 }

// varint reads a number as version 4 writes it: seven bits a byte, highest
// first, each further byte adding one to what came before. n is the number of
// bytes read, 0 when it has no end.
func varint(data []byte) (value uint64, n int) {
	for i, b := range data[:min(len(data), 9)] {
		if i > 0 {
			value = (value + 1) << 7
		}
		value |= uint64(b & 0x7f)
		if b&0x80 == 0 {
			return value, i + 1
		}
	}
	return 0, 0
}

func (x *Index) parseExtensions(data []byte) error {
	for len(data) > 0 {
		if len(data) < 8 {
			return damaged("an extension is cut short")
		}
		name, size := string(data[:4]), binary.BigEndian.Uint32(data[4:])
		if int64(size) > int64(len(data)-8) {
			return damaged("the extension %q is cut short", name)
		}
		if name == "sdir" {
			x.folded = &trees{}
		} else if name[0] < 'A' || name[0] > 'Z' {
			return fmt.Errorf("%w: extension %q", ErrForeign, name)
		}
		if name == "TREE" || name == "REUC" || name == "sdir" {
			x.extensions = append(x.extensions, extension{name, data[8 : 8+size]})
		}
		data = data[8+size:]
	}
	return nil
}
