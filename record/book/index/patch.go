package index

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"slices"
	"sort"
	"strings"

	"stackbook/record/book/objects"
)

// Edit replaces, adds or removes the entry of one file.
type Edit struct {
	Name   string
	Delete bool
	Mode   objects.Mode
	ID     objects.ID
	Stat   Stat
}

// Apply makes the edits, of which no two may name the same file. Of an entry
// that is replaced, the assume-unchanged bit is kept: the person set it. The
// bits for "not in the folder" and "name only" go, being no longer true. An edit
// in a folder for which one entry stands gives ErrForeign, and none is made.
func (x *Index) Apply(edits []Edit) error {
	for _, ed := range edits {
		if x.Folds(ed.Name) {
			return fmt.Errorf("%w: %s lies in a folder that is not checked out", ErrForeign, ed.Name)
		}
	}
	edits = slices.Clone(edits)
	sort.Slice(edits, func(i, j int) bool { return edits[i].Name < edits[j].Name })
	for _, ed := range edits {
		from := x.search(ed.Name)
		to := from
		var flags uint16
		for ; to < len(x.at) && x.compareName(to, ed.Name) == 0; to++ {
			flags = x.get(to).flags() & flagValid
		}
		var at []uint32
		var names []string
		if !ed.Delete {
			at, names = []uint32{x.add(ed, flags)}, []string{ed.Name}
		}
		x.at = slices.Replace(x.at, from, to, at...)
		if x.version == 4 {
			x.names = slices.Replace(x.names, from, to, names...)
		}
	}
	return x.invalidate(edits)
}

// add puts an entry behind the others and tells where; it is in no order yet.
func (x *Index) add(ed Edit, flags uint16) uint32 {
	at := uint32(len(x.raw) + len(x.own))
	begin := len(x.own)
	x.own = append(x.own, ed.Stat.encode(uint32(ed.Mode))...)
	x.own = append(x.own, ed.ID.Raw()...)
	x.own = binary.BigEndian.AppendUint16(x.own, flags|uint16(min(len(ed.Name), flagName)))
	if flags&flagExtended != 0 {
		x.own = binary.BigEndian.AppendUint16(x.own, extSkip) // a listing tells of no other
	}
	x.own = append(x.own, ed.Name...)
	size := len(x.own) - begin
	x.own = append(x.own, make([]byte, padded(size)-size)...)
	return at
}

// Smudge makes git compare the content of the named files at its next look,
// by setting their size to 0, as git does with entries it cannot trust.
func (x *Index) Smudge(names map[string]bool) {
	for name := range names {
		i := x.search(name)
		if i == len(x.at) || x.compareName(i, name) != 0 || x.get(i).Stage() != 0 {
			continue
		}
		data := x.entry(i)
		fixed := x.fixedLength(data)
		at := uint32(len(x.raw) + len(x.own))
		begin := len(x.own)
		x.own = append(x.own, data[:fixed]...)
		clear(x.own[begin+36 : begin+40])
		x.own = append(x.own, name...)
		size := len(x.own) - begin
		x.own = append(x.own, make([]byte, padded(size)-size)...)
		x.at[i] = at
	}
}

// invalidate marks the folders above the edited files in the TREE extension,
// in which git remembers the tree objects of folders that are all staged as
// they were last written.
func (x *Index) invalidate(edits []Edit) error {
	var names []string
	for _, ed := range edits {
		names = append(names, ed.Name)
	}
	for i, ext := range x.extensions {
		if ext.name != "TREE" {
			continue
		}
		c := cached{rest: ext.data, out: make([]byte, 0, len(ext.data))}
		if err := c.folder(names); err != nil || len(c.rest) > 0 {
			return damaged("its TREE extension cannot be read")
		}
		x.extensions[i].data = c.out
	}
	return nil
}

// cached goes through the TREE extension, folder by folder: each has its name,
// the number of entries below it (-1: not valid, and without a hash), how many
// folders follow that lie in it, and its hash.
type cached struct{ rest, out []byte }

// head reads what stands before a folder's hash and skips both. There are as
// many as folders in the book.
func (c *cached) head() (name []byte, folders int, err error) {
	end := bytes.IndexByte(c.rest, 0)
	if end < 0 {
		return nil, 0, errDamaged
	}
	name, c.rest = c.rest[:end], c.rest[end+1:]
	valid := len(c.rest) == 0 || c.rest[0] != '-'
	if !valid {
		c.rest = c.rest[1:]
	}
	if _, err := c.number(' '); err != nil {
		return nil, 0, err
	}
	if folders, err = c.number('\n'); err != nil || !valid {
		return name, folders, err
	}
	if len(c.rest) < hashSize {
		return nil, 0, errDamaged
	}
	c.rest = c.rest[hashSize:]
	return name, folders, nil
}

// number reads digits up to the byte that ends them.
func (c *cached) number(end byte) (n int, err error) {
	for i, b := range c.rest {
		switch {
		case b == end && i > 0:
			c.rest = c.rest[i+1:]
			return n, nil
		case b < '0' || b > '9' || i > 9:
			return 0, errDamaged
		}
		n = 10*n + int(b-'0')
	}
	return 0, errDamaged
}

// skip goes past a folder and all that lies in it, and gives its bytes.
func (c *cached) skip() ([]byte, error) {
	all := c.rest
	for left := 1; left > 0; left-- {
		_, folders, err := c.head()
		if err != nil {
			return nil, err
		}
		left += folders
	}
	return all[:len(all)-len(c.rest)], nil
}

// folder writes a folder: as it is where none of the names lie in it, else as
// not valid. A folder of a file's own name is forgotten: one has taken the
// other's place.
func (c *cached) folder(names []string) error {
	if len(names) == 0 {
		data, err := c.skip()
		c.out = append(c.out, data...)
		return err
	}
	own, folders, err := c.head()
	if err != nil {
		return err
	}
	begin, left := len(c.out), 0
	for range folders {
		name, _, _ := bytes.Cut(c.rest, []byte{0})
		if slices.Contains(names, string(name)) {
			if _, err := c.skip(); err != nil {
				return err
			}
			continue
		}
		if err := c.folder(inside(string(name), names)); err != nil {
			return err
		}
		left++
	}
	c.out = slices.Insert(c.out, begin, fmt.Appendf(nil, "%s\x00-1 %d\n", own, left)...)
	return nil
}

// inside gives the names that lie in a folder, as seen from there.
func inside(folder string, names []string) []string {
	var list []string
	for _, n := range names {
		if rest, ok := strings.CutPrefix(n, folder+"/"); ok {
			list = append(list, rest)
		}
	}
	return list
}
