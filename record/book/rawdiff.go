package book

import (
	"bytes"

	"stackbook/record/book/objects"
)

// rawDiffer finds where two trees differ, on the bytes of the trees: nearly all
// of two folders that a commit lies between is the same.
type rawDiffer struct {
	store *objects.Store
	trees map[string][]byte // by the bytes of their hash
	bytes int               // of the trees
	most  int               // bytes of trees that are kept
}

func newRawDiffer(store *objects.Store) *rawDiffer {
	return &rawDiffer{store: store, trees: map[string][]byte{}, most: 4 << 20}
}

// rawEntry is what one tree holds under a name; mode 0 is nothing.
type rawEntry struct {
	mode objects.Mode
	id   []byte
}

// between tells every file, link or other repository in which two trees differ at
// a folder, by its path from their roots.
func (d *rawDiffer) between(old, new objects.ID, dir string, tell func(path string, was, is rawEntry)) error {
	was, err := d.at(old, dir)
	if err != nil {
		return err
	}
	is, err := d.at(new, dir)
	if err != nil {
		return err
	}
	return d.entry(dir, was, is, tell)
}

// at gives what a tree holds at a path.
func (d *rawDiffer) at(tree objects.ID, path string) (rawEntry, error) {
	if tree == "" {
		return rawEntry{}, nil
	}
	e := rawEntry{objects.ModeDir, tree.Raw()}
	for _, name := range splitPath(path) {
		if e.mode != objects.ModeDir {
			return rawEntry{}, nil
		}
		data, err := d.tree(e)
		if err != nil {
			return rawEntry{}, err
		}
		found, err := d.store.Format().NextEntry(data)
		for err == nil && found.Name != nil && string(found.Name) != name {
			found, err = d.store.Format().NextEntry(found.Rest)
		}
		if err != nil || found.Name == nil {
			return rawEntry{}, err
		}
		e = rawEntry{found.Mode, found.ID}
	}
	return e, nil
}

// entry compares what stands under one path.
func (d *rawDiffer) entry(path string, was, is rawEntry, tell func(path string, was, is rawEntry)) error {
	if was.mode == is.mode && bytes.Equal(was.id, is.id) {
		return nil
	}
	var oldTree, newTree, oldLeaf, newLeaf rawEntry
	if was.mode == objects.ModeDir {
		oldTree = was
	} else {
		oldLeaf = was
	}
	if is.mode == objects.ModeDir {
		newTree = is
	} else {
		newLeaf = is
	}
	told := false
	if oldLeaf.mode != newLeaf.mode || !bytes.Equal(oldLeaf.id, newLeaf.id) {
		told = true
		tell(path, oldLeaf, newLeaf)
	}
	err := d.folders(path, oldTree, newTree, func(p string, was, is rawEntry) {
		told = true
		tell(p, was, is)
	})
	if err == nil && !told {
		tell(path, rawEntry{}, rawEntry{}) // an empty folder came or went
	}
	return err
}

// folders compares two folders; either may be none.
func (d *rawDiffer) folders(path string, old, new rawEntry, tell func(path string, was, is rawEntry)) error {
	if old.mode == new.mode && bytes.Equal(old.id, new.id) {
		return nil
	}
	was, err := d.tree(old)
	if err != nil {
		return err
	}
	is, err := d.tree(new)
	if err != nil {
		return err
	}
	format := d.store.Format()
	was, is = format.SkipSame(was, is)
	a, err := format.NextEntry(was)
	if err != nil {
		return err
	}
	b, err := format.NextEntry(is)
	for err == nil && (a.Name != nil || b.Name != nil) {
		order := a.Compare(b)
		var left, right rawEntry
		name := a.Name
		if order <= 0 {
			left = rawEntry{a.Mode, a.ID}
		}
		if order >= 0 {
			name, right = b.Name, rawEntry{b.Mode, b.ID}
		}
		if left.mode != right.mode || !bytes.Equal(left.id, right.id) {
			if err := d.entry(path+"/"+string(name), left, right, tell); err != nil {
				return err
			}
		}
		restA, restB := a.Rest, b.Rest
		if order == 0 {
			restA, restB = format.SkipSame(restA, restB)
		}
		if order <= 0 {
			a, err = format.NextEntry(restA)
		}
		if order >= 0 && err == nil {
			b, err = format.NextEntry(restB)
		}
	}
	return err
}

// tree gives the bytes of a folder, none of none.
func (d *rawDiffer) tree(e rawEntry) ([]byte, error) {
	if e.mode != objects.ModeDir {
		return nil, nil
	}
	if data, ok := d.trees[string(e.id)]; ok {
		return data, nil
	}
	data, err := d.store.ReadKind(objects.FromRaw(e.id), objects.Tree)
	if err != nil {
		return nil, err
	}
	if d.bytes += len(data); d.bytes > d.most {
		clear(d.trees)
		d.bytes = len(data)
	}
	d.trees[string(e.id)] = data
	return data, nil
}
