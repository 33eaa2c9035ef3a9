// Package index reads git's index, the list of what is staged, and patches
// it: entries that are not named stay byte for byte as they were, with their
// bits (assume-unchanged, skip-worktree, intent-to-add) and stat values.
//
// It knows versions 2, 3 and 4 of repositories named by SHA-1. Of the
// extensions (R9) it invalidates paths in TREE, copies REUC, and drops UNTR,
// FSMN, EOIE, IEOT and every unknown one with an upper-case name, all of
// which git makes anew. What it cannot patch gives ErrForeign; the git
// program can, and ReadListing makes of what that prints an index to look at.
//
// The format is described in git's documentation, gitformat-index.
package index

import (
	"bytes"
	"crypto/sha1"
	"encoding/binary"
	"errors"
	"fmt"
	"sort"
	"strings"

	"stackbook/record/book/objects"
)

// ErrForeign says that an index is sound but of a kind not patched here: split,
// sparse, or with a necessary extension that is unknown.
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

// Index is one state of the list.
type Index struct {
	version    uint32
	entries    []Entry // sorted by name, then stage
	extensions []extension
	unsigned   bool // its checksum is zero and stays so (index.skipHash)
}

type extension struct {
	name string
	data []byte
}

// Entry is one staged file.
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
func (e Entry) ID() objects.ID { return objects.FromRaw(e.fixed[statSize : statSize+e.hash]) }

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
func New() *Index { return &Index{version: 2} }

// Parse reads an index file.
func Parse(raw []byte) (*Index, error) {
	if len(raw) < 12+hashSize || string(raw[:4]) != "DIRC" {
		return nil, damaged("it does not begin as one")
	}
	x := &Index{version: binary.BigEndian.Uint32(raw[4:])}
	if x.version < 2 || x.version > 4 {
		return nil, fmt.Errorf("%w: version %d", ErrForeign, x.version)
	}
	body, sum := raw[:len(raw)-hashSize], raw[len(raw)-hashSize:]
	if x.unsigned = bytes.Equal(sum, make([]byte, hashSize)); !x.unsigned {
		if want := sha1.Sum(body); !bytes.Equal(sum, want[:]) {
			return nil, damaged("its checksum is wrong")
		}
	}
	rest, err := x.parseEntries(body[12:], binary.BigEndian.Uint32(raw[8:]))
	if err != nil {
		return nil, err
	}
	return x, x.parseExtensions(rest)
}

// parseEntries reads n entries and gives what follows them.
func (x *Index) parseEntries(data []byte, n uint32) ([]byte, error) {
	if int(n) > len(data)/fixedSize {
		return nil, damaged("it is too short for %d entries", n)
	}
	x.entries = make([]Entry, 0, n)
	previous := ""
	for range n {
		e, rest, err := x.parseEntry(data, previous)
		if err != nil {
			return nil, err
		}
		if k := len(x.entries); k > 0 && !less(x.entries[k-1], e) {
			return nil, damaged("its entries are not sorted at %q", e.Name)
		}
		x.entries = append(x.entries, e)
		previous, data = e.Name, rest
	}
	return data, nil
}

func less(a, b Entry) bool {
	if a.Name == b.Name {
		return a.Stage() < b.Stage()
	}
	return a.Name < b.Name
}

func (x *Index) parseEntry(data []byte, previous string) (e Entry, rest []byte, err error) {
	if len(data) < fixedSize+2 {
		return e, nil, damaged("it is cut short")
	}
	e.hash, e.fixed = hashSize, data[:fixedSize]
	if e.flags()&flagExtended != 0 {
		e.fixed = data[:fixedSize+2]
	}
	rest = data[len(e.fixed):]
	kept := ""
	if x.version == 4 {
		strip, n := varint(rest)
		if n == 0 || strip > uint64(len(previous)) {
			return e, nil, damaged("a name is shortened wrongly")
		}
		kept, rest = previous[:len(previous)-int(strip)], rest[n:]
	}
	end := bytes.IndexByte(rest, 0)
	if end < 0 {
		return e, nil, damaged("a name has no end")
	}
	if end == 0 && kept == "" {
		return e, nil, fmt.Errorf("%w: it is split", ErrForeign) // such an entry takes the place of one elsewhere
	}
	e.Name = kept + string(rest[:end])
	if x.version == 4 {
		return e, rest[end+1:], nil
	}
	size := padded(len(e.fixed) + end)
	if len(data) < size {
		return e, nil, damaged("it is cut short")
	}
	return e, data[size:], nil
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
		if name[0] < 'A' || name[0] > 'Z' {
			return fmt.Errorf("%w: extension %q", ErrForeign, name)
		}
		if name == "TREE" || name == "REUC" {
			x.extensions = append(x.extensions, extension{name, data[8 : 8+size]})
		}
		data = data[8+size:]
	}
	return nil
}

// search gives the first entry whose name is not below name.
func (x *Index) search(name string) int {
	return sort.Search(len(x.entries), func(i int) bool { return x.entries[i].Name >= name })
}

// Find gives the entry of a file that is staged and not unmerged.
func (x *Index) Find(name string) (Entry, bool) {
	if i := x.search(name); i < len(x.entries) && x.entries[i].Name == name && x.entries[i].Stage() == 0 {
		return x.entries[i], true
	}
	return Entry{}, false
}

// Under gives the entries inside a folder, all of them for "".
func (x *Index) Under(dir string) []Entry {
	if dir == "" {
		return x.entries
	}
	// "0" is the byte after "/", so the two names enclose all that lies inside.
	return x.entries[x.search(dir+"/"):x.search(dir+"0")]
}

// Unmerged gives the names that a merge has left unresolved.
func (x *Index) Unmerged() []string {
	var names []string
	for _, e := range x.entries {
		if e.Stage() != 0 && (len(names) == 0 || names[len(names)-1] != e.Name) {
			names = append(names, e.Name)
		}
	}
	return names
}

// Blocking gives the entries that cannot stand beside a file called name: a
// file where name needs a folder, or files inside a folder called name.
func (x *Index) Blocking(name string) []string {
	var names []string
	for i := range len(name) {
		if name[i] != '/' {
			continue
		}
		if at := x.search(name[:i]); at < len(x.entries) && x.entries[at].Name == name[:i] {
			names = append(names, name[:i])
		}
	}
	for _, e := range x.Under(name) {
		names = append(names, e.Name)
	}
	return names
}

// Encode writes the index file.
func (x *Index) Encode() []byte {
	var b bytes.Buffer
	b.WriteString("DIRC")
	put32(&b, x.version)
	put32(&b, uint32(len(x.entries)))
	previous := ""
	for _, e := range x.entries {
		b.Write(e.fixed)
		if x.version == 4 {
			common := commonPrefix(previous, e.Name)
			b.Write(appendVarint(nil, uint64(len(previous)-common)))
			b.WriteString(e.Name[common:])
			b.WriteByte(0)
		} else {
			b.WriteString(e.Name)
			size := len(e.fixed) + len(e.Name)
			b.WriteString(strings.Repeat("\x00", padded(size)-size))
		}
		previous = e.Name
	}
	for _, ext := range x.extensions {
		b.WriteString(ext.name)
		put32(&b, uint32(len(ext.data)))
		b.Write(ext.data)
	}
	sum := [hashSize]byte{}
	if !x.unsigned {
		sum = sha1.Sum(b.Bytes())
	}
	b.Write(sum[:])
	return b.Bytes()
}

func put32(b *bytes.Buffer, n uint32) { b.Write(binary.BigEndian.AppendUint32(nil, n)) }

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
