package index

import (
	"bytes"
	"encoding/binary"
	"slices"
	"sort"
	"strconv"
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
// bits for "not in the folder" and "name only" go, being no longer true.
func (x *Index) Apply(edits []Edit) error {
	edits = slices.Clone(edits)
	sort.Slice(edits, func(i, j int) bool { return edits[i].Name < edits[j].Name })
	out := make([]Entry, 0, len(x.entries)+len(edits))
	rest := x.entries
	for _, ed := range edits {
		n := sort.Search(len(rest), func(i int) bool { return rest[i].Name >= ed.Name })
		out, rest = append(out, rest[:n]...), rest[n:]
		var flags uint16
		for len(rest) > 0 && rest[0].Name == ed.Name {
			flags = rest[0].flags() & flagValid
			rest = rest[1:]
		}
		if !ed.Delete {
			out = append(out, newEntry(ed, flags))
		}
	}
	x.entries = append(out, rest...)
	return x.invalidate(edits)
}

func newEntry(ed Edit, flags uint16) Entry {
	fixed := ed.Stat.encode(uint32(ed.Mode))
	hash := ed.ID.Raw()
	fixed = append(fixed, hash...)
	flags |= uint16(min(len(ed.Name), flagName))
	return Entry{ed.Name, len(hash), binary.BigEndian.AppendUint16(fixed, flags)}
}

// Smudge makes git compare the content of the named files at its next look,
// by setting their size to 0, as git does with entries it cannot trust.
func (x *Index) Smudge(names map[string]bool) {
	for i, e := range x.entries {
		if names[e.Name] && e.Stage() == 0 {
			fixed := slices.Clone(e.fixed)
			clear(fixed[36:40])
			x.entries[i].fixed = fixed
		}
	}
}

// invalidate marks the folders above the edited files in the TREE extension,
// in which git remembers the tree objects of folders that are all staged as
// they were last written.
func (x *Index) invalidate(edits []Edit) error {
	for i, ext := range x.extensions {
		if ext.name != "TREE" {
			continue
		}
		root, rest, err := parseCached(ext.data)
		if err != nil || len(rest) > 0 {
			return damaged("its TREE extension cannot be read")
		}
		for _, ed := range edits {
			root.invalidate(strings.Split(ed.Name, "/"))
		}
		var b bytes.Buffer
		root.encode(&b)
		x.extensions[i].data = b.Bytes()
	}
	return nil
}

// cached is one folder in the TREE extension: its name, the number of entries
// below it (-1: not valid, and without a hash), its folders, its hash.
type cached struct {
	name  string
	count int
	hash  []byte
	down  []*cached
}

func parseCached(data []byte) (*cached, []byte, error) {
	name, data, ok := bytes.Cut(data, []byte{0})
	count, data, ok2 := bytes.Cut(data, []byte{' '})
	folders, data, ok3 := bytes.Cut(data, []byte{'\n'})
	c := &cached{name: string(name)}
	n, err := strconv.Atoi(string(folders))
	if !ok || !ok2 || !ok3 || err != nil {
		return nil, nil, errDamaged
	}
	if c.count, err = strconv.Atoi(string(count)); err != nil {
		return nil, nil, errDamaged
	}
	if c.count >= 0 {
		if len(data) < hashSize {
			return nil, nil, errDamaged
		}
		c.hash, data = data[:hashSize], data[hashSize:]
	}
	for range n {
		var d *cached
		if d, data, err = parseCached(data); err != nil {
			return nil, nil, err
		}
		c.down = append(c.down, d)
	}
	return c, data, nil
}

// invalidate marks c and the folders on the way to the file at path. A folder
// of the file's own name is forgotten: one has taken the other's place.
func (c *cached) invalidate(path []string) {
	c.count, c.hash = -1, nil
	i := slices.IndexFunc(c.down, func(d *cached) bool { return d.name == path[0] })
	switch {
	case i < 0:
	case len(path) == 1:
		c.down = slices.Delete(c.down, i, i+1)
	default:
		c.down[i].invalidate(path[1:])
	}
}

func (c *cached) encode(b *bytes.Buffer) {
	b.WriteString(c.name)
	b.WriteByte(0)
	b.WriteString(strconv.Itoa(c.count) + " " + strconv.Itoa(len(c.down)) + "\n")
	b.Write(c.hash)
	for _, d := range c.down {
		d.encode(b)
	}
}
