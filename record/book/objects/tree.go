package objects

import (
	"bytes"
	"errors"
	"sort"
	"strconv"
)

// Mode is the mode of a tree entry, as git writes it.
type Mode uint32

// The modes git uses.
const (
	ModeDir     Mode = 0o040000
	ModeFile    Mode = 0o100644
	ModeExec    Mode = 0o100755
	ModeSymlink Mode = 0o120000
	ModeGitlink Mode = 0o160000 // another repository's commit
)

// IsFile says whether m is that of a regular file, executable or not; old
// repositories also hold 100664.
func (m Mode) IsFile() bool { return m&0o170000 == 0o100000 }

// Entry is one line of a tree.
type Entry struct {
	Name string
	Mode Mode
	ID   ID
}

// errTree is what every damaged tree gives.
var errTree = errors.New("tree object is damaged; git fsck tells more")

// nextEntry reads the entry at the head of data and gives what follows it.
func nextEntry(data []byte, size int) (mode, name, hash, rest []byte, err error) {
	space := bytes.IndexByte(data, ' ')
	if space < 1 {
		return nil, nil, nil, nil, errTree
	}
	end := bytes.IndexByte(data[space:], 0)
	if end < 2 || len(data) < space+end+1+size {
		return nil, nil, nil, nil, errTree
	}
	at := space + end + 1
	return data[:space], data[space+1 : space+end], data[at : at+size], data[at+size:], nil
}

// DecodeTree gives the entries of a tree in the order they stand.
func (f Format) DecodeTree(data []byte) ([]Entry, error) {
	var entries []Entry
	for len(data) > 0 {
		mode, name, hash, rest, err := nextEntry(data, f.size)
		if err != nil {
			return nil, err
		}
		m, err := strconv.ParseUint(string(mode), 8, 32)
		if err != nil {
			return nil, errTree
		}
		entries = append(entries, Entry{string(name), Mode(m), FromRaw(hash)})
		data = rest
	}
	return entries, nil
}

// FindEntry gives one entry of a tree without decoding the others; ok is
// false when there is none of that name.
func (f Format) FindEntry(data []byte, name string) (e Entry, ok bool, err error) {
	for len(data) > 0 {
		mode, n, hash, rest, err := nextEntry(data, f.size)
		if err != nil {
			return Entry{}, false, err
		}
		if string(n) == name {
			m, err := strconv.ParseUint(string(mode), 8, 32)
			if err != nil {
				return Entry{}, false, errTree
			}
			return Entry{name, Mode(m), FromRaw(hash)}, true, nil
		}
		data = rest
	}
	return Entry{}, false, nil
}

// EncodeTree writes entries as a tree, in git's order: bytewise, with a
// folder's name taken as if it ended in a slash.
func EncodeTree(entries []Entry) []byte {
	sort.Slice(entries, func(i, j int) bool { return entries[i].key() < entries[j].key() })
	var b []byte
	for _, e := range entries {
		b = AppendEntry(b, e.Mode, e.Name, e.ID.Raw())
	}
	return b
}

// AppendEntry adds one entry to the bytes of a tree, to which they come in git's
// order.
func AppendEntry(tree []byte, mode Mode, name string, hash []byte) []byte {
	tree = append(strconv.AppendUint(tree, uint64(mode), 8), ' ')
	tree = append(append(tree, name...), 0)
	return append(tree, hash...)
}

func (e Entry) key() string {
	if e.Mode == ModeDir {
		return e.Name + "/"
	}
	return e.Name
}

// String gives the mode as it stands in a tree: "100644".
func (m Mode) String() string { return strconv.FormatUint(uint64(m), 8) }

// RawEntry is one line of a tree as it lies there, and what follows it. Without a
// Name it is the end.
type RawEntry struct {
	Name, ID []byte
	Mode     Mode
	Rest     []byte
}

// NextEntry reads the entry at the head of a tree's bytes, copying none of them.
func (f Format) NextEntry(data []byte) (RawEntry, error) {
	if len(data) == 0 {
		return RawEntry{}, nil
	}
	mode, name, hash, rest, err := nextEntry(data, f.size)
	if err != nil {
		return RawEntry{}, err
	}
	m := Mode(0)
	for _, c := range mode {
		if c < '0' || c > '7' || m > 1<<24 {
			return RawEntry{}, errTree
		}
		m = m<<3 | Mode(c-'0')
	}
	return RawEntry{name, hash, m, rest}, nil
}

// SkipSame leaves out the entries in which the bytes of two trees begin alike.
func (f Format) SkipSame(a, b []byte) (restA, restB []byte) {
	if bytes.Equal(a, b) {
		return nil, nil
	}
	for {
		n := bytes.IndexByte(a, 0) + 1 + f.size
		if n == f.size || n > len(a) || n > len(b) || !bytes.Equal(a[:n], b[:n]) {
			return a, b
		}
		a, b = a[n:], b[n:]
	}
}

// Compare orders two entries as they stand in a tree; the end comes behind every
// entry. Two of one name of which only one is a folder are not the same.
func (e RawEntry) Compare(o RawEntry) int {
	switch {
	case e.Name == nil && o.Name == nil:
		return 0
	case e.Name == nil:
		return 1
	case o.Name == nil:
		return -1
	}
	n := min(len(e.Name), len(o.Name))
	if order := bytes.Compare(e.Name[:n], o.Name[:n]); order != 0 {
		return order
	}
	return int(e.sign(n)) - int(o.sign(n))
}

// sign is the byte of an entry's name at a place; a folder's name ends in a slash.
func (e RawEntry) sign(i int) byte {
	switch {
	case i < len(e.Name):
		return e.Name[i]
	case e.Mode == ModeDir:
		return '/'
	}
	return 0
}
