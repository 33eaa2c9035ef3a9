package objects

import (
	"bytes"
	"errors"
	"fmt"
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
	var b bytes.Buffer
	for _, e := range entries {
		fmt.Fprintf(&b, "%s %s\x00", e.Mode, e.Name)
		b.Write(e.ID.Raw())
	}
	return b.Bytes()
}

func (e Entry) key() string {
	if e.Mode == ModeDir {
		return e.Name + "/"
	}
	return e.Name
}

// String gives the mode as it stands in a tree: "100644".
func (m Mode) String() string { return strconv.FormatUint(uint64(m), 8) }
