package index

import (
	"bytes"
	"cmp"
	"iter"
	"slices"
	"sort"
)

// entry is the bytes of one entry, and what follows it.
func (x *Index) entry(i int) []byte {
	at := int(x.at[i])
	if at < len(x.raw) {
		return x.raw[at:]
	}
	return x.own[at-len(x.raw):]
}

// name is that of one entry; the bytes stay the index's own.
func (x *Index) name(i int) []byte {
	if x.version == 4 {
		return []byte(x.names[i])
	}
	data := x.entry(i)
	data = data[x.fixedLength(data):]
	return data[:bytes.IndexByte(data, 0)]
}

// compareName holds the name of an entry against another.
func (x *Index) compareName(i int, name string) int {
	if x.version == 4 {
		return cmp.Compare(x.names[i], name)
	}
	return cmp.Compare(string(x.name(i)), name)
}

// get makes out one entry.
func (x *Index) get(i int) Entry {
	data := x.entry(i)
	return Entry{Name: string(x.name(i)), hash: x.hash, fixed: data[:x.fixedLength(data)]}
}

// New tells whether there was no file to read.
func (x *Index) New() bool { return x.raw == nil }

// Clone gives the same list, to be edited by itself.
func (x *Index) Clone() *Index {
	c := *x
	c.own, c.at, c.names, c.extensions = slices.Clone(x.own), slices.Clone(x.at), slices.Clone(x.names), slices.Clone(x.extensions)
	return &c
}

// search gives the first entry whose name is not below name.
func (x *Index) search(name string) int {
	return sort.Search(len(x.at), func(i int) bool { return x.compareName(i, name) >= 0 })
}

// Find gives the entry of a file that is staged and not unmerged.
func (x *Index) Find(name string) (Entry, bool) {
	if i := x.search(name); i < len(x.at) && x.compareName(i, name) == 0 {
		e := x.get(i)
		return e, e.Stage() == 0
	}
	return x.findFolded(name)
}

// All gives every entry in order.
func (x *Index) All() iter.Seq[Entry] { return x.unfold(x.between(0, len(x.at))) }

// between gives entries as they lie in the file, those of whole folders too.
func (x *Index) between(from, to int) iter.Seq[Entry] {
	return func(yield func(Entry) bool) {
		for i := from; i < to; i++ {
			if !yield(x.get(i)) {
				return
			}
		}
	}
}

// Under gives the entries inside a folder, all of them for "".
func (x *Index) Under(dir string) iter.Seq[Entry] {
	if e, ok := x.folder(dir); ok {
		return x.unfold(slices.Values([]Entry{e}))
	}
	return x.unfold(x.Rows(dir))
}

// Rows is Under for one who knows of folders for which one entry stands, and has
// no need to see into them.
func (x *Index) Rows(dir string) iter.Seq[Entry] {
	if dir == "" {
		return x.between(0, len(x.at))
	}
	// "0" is the byte after "/", so the two names enclose all that lies inside.
	return x.between(x.search(dir+"/"), x.search(dir+"0"))
}

// Holds tells whether anything is staged inside a folder.
func (x *Index) Holds(dir string) bool {
	if x.search(dir+"/") < x.search(dir+"0") {
		return true
	}
	_, ok := x.folder(dir)
	return ok
}

// Stages gives the entries of one file: one, or the sides that a merge has left.
func (x *Index) Stages(name string) []Entry {
	var list []Entry
	for i := x.search(name); i < len(x.at) && x.compareName(i, name) == 0; i++ {
		list = append(list, x.get(i))
	}
	return list
}

// Unmerged gives the names that a merge has left unresolved.
func (x *Index) Unmerged() []string {
	if !x.unmerged {
		return nil
	}
	var names []string
	for e := range x.Rows("") { // what is in conflict has an entry of its own
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
		if at := x.search(name[:i]); at < len(x.at) && x.compareName(at, name[:i]) == 0 {
			names = append(names, name[:i])
		}
	}
	for e := range x.Under(name) {
		names = append(names, e.Name)
	}
	return names
}

// Racy gives the entries that an index written in the second then does not
// prove, their file being no older, but one written in the second now would.
func (x *Index) Racy(then, now int64) iter.Seq[Entry] {
	return func(yield func(Entry) bool) {
		for i := range x.at {
			e := Entry{hash: x.hash, fixed: x.entry(i)}
			if e.Racy(then) && !e.Racy(now) && !yield(x.get(i)) {
				return
			}
		}
	}
}
