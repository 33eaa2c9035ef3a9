package index

import (
	"encoding/binary"
	"fmt"
	"iter"
	"strings"
	"sync/atomic"

	"stackbook/record/book/objects"
)

// trees reads the folders for which one entry stands. The nil pointer is that of
// an index without them.
type trees struct {
	read   func(objects.ID) ([]objects.Entry, error)
	failed atomic.Pointer[error]
}

func (t *trees) err() error {
	if t == nil {
		return nil
	}
	if err := t.failed.Load(); err != nil {
		return *err
	}
	return nil
}

// list gives what a folder holds. One that cannot be read holds nothing, and
// Sound tells of it.
func (t *trees) list(dir string, id objects.ID) []objects.Entry {
	if t.read == nil {
		panic("index: an entry for a folder is asked for before ReadFolders")
	}
	list, err := t.read(id)
	if err != nil {
		err = fmt.Errorf("the folder %s, which is not checked out: %w", strings.TrimSuffix(dir, "/"), err)
		t.failed.CompareAndSwap(nil, &err)
	}
	return list
}

// ReadFolders says how a folder's tree is read. It comes before the first look.
func (x *Index) ReadFolders(read func(objects.ID) ([]objects.Entry, error)) {
	if x.folded != nil {
		x.folded.read = read
	}
}

// Folder tells whether the entry stands for a folder and all in it; its name then
// ends in a slash.
func (e Entry) Folder() bool { return e.Mode() == objects.ModeDir }

// Folds tells whether one entry stands for a folder in which name lies.
func (x *Index) Folds(name string) bool {
	_, ok := x.fold(name)
	return ok
}

// fold gives the entry of the folder in which name lies, if it stands for all in
// it.
func (x *Index) fold(name string) (Entry, bool) {
	if x.folded == nil {
		return Entry{}, false
	}
	for i := range len(name) {
		if name[i] != '/' {
			continue
		}
		if at := x.search(name[:i+1]); at < len(x.at) && x.compareName(at, name[:i+1]) == 0 {
			return x.get(at), true
		}
	}
	return Entry{}, false
}

// inFold gives an entry for a file or folder that lies in one for which one entry
// stands.
func (x *Index) inFold(name string) (Entry, bool) {
	e, ok := x.fold(name)
	if !ok {
		return Entry{}, false
	}
	for e.Name != name {
		rest := name[len(e.Name):]
		head, _, _ := strings.Cut(rest, "/")
		below, found := Entry{}, false
		for _, one := range x.folded.list(e.Name, e.ID()) {
			if one.Name == head {
				below, found = e.below(one), true
			}
		}
		switch {
		case !found:
			return Entry{}, false
		case len(head) == len(rest) && !below.Folder():
			return below, true
		case !below.Folder() || len(below.Name) > len(name):
			return Entry{}, false
		}
		e = below
	}
	return e, true
}

// findFolded is Find of a file that has no entry of its own.
func (x *Index) findFolded(name string) (Entry, bool) {
	if x.folded == nil {
		return Entry{}, false
	}
	e, ok := x.inFold(name)
	return e, ok && !e.Folder()
}

// folder gives an entry for a folder that lies in one for which one entry stands.
func (x *Index) folder(dir string) (Entry, bool) {
	if x.folded == nil || dir == "" {
		return Entry{}, false
	}
	return x.inFold(dir + "/")
}

// below makes the entry of what lies in a folder: it is not in the working folder,
// and has no stat.
func (e Entry) below(one objects.Entry) Entry {
	name := e.Name + one.Name
	if one.Mode == objects.ModeDir {
		name += "/"
	}
	fixed := append(Stat{}.encode(uint32(one.Mode)), one.ID.Raw()...)
	fixed = binary.BigEndian.AppendUint16(fixed, flagExtended|uint16(min(len(name), flagName)))
	return Entry{Name: name, hash: e.hash, fixed: binary.BigEndian.AppendUint16(fixed, extSkip)}
}

// unfold puts in the place of each folder the files in it.
func (x *Index) unfold(list iter.Seq[Entry]) iter.Seq[Entry] {
	if x.folded == nil {
		return list
	}
	return func(yield func(Entry) bool) {
		for e := range list {
			if !x.files(e, yield) {
				return
			}
		}
	}
}

// files gives one after the other the files that an entry stands for.
func (x *Index) files(e Entry, yield func(Entry) bool) bool {
	if !e.Folder() {
		return yield(e)
	}
	for _, one := range x.folded.list(e.Name, e.ID()) {
		if !x.files(e.below(one), yield) {
			return false
		}
	}
	return true
}
