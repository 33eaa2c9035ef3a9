package book

import (
	"errors"
	"io/fs"
	"path"
	"sync"

	"stackbook/record/book/objects"
)

// Sums names the contents of one state of the book by git's hashes: two that are
// named alike are the same, byte for byte. What it names "" is not known for
// certain, or is no content of records. It may be asked from several goroutines.
type Sums interface {
	// Folder names all that lies in a folder of an engine.
	Folder(dir string) string
	// Parts names the files of parts/, by their names there, and all of that
	// folder together; ok is false where they are not known.
	Parts() (files map[string]string, all string, ok bool)
	// Witness gives the state once more, to read a folder of it and parts/. When
	// that is done, ok tells whether all that was read is what the names say: a
	// folder may be written into meanwhile.
	Witness(dir, named string) (tree Tree, ok func() bool)
}

// partsFolder is the only one asked for besides those of engines.
const partsFolder = "parts"

// SumsOf names the contents of a state, nil where that takes no less than to
// read it.
func SumsOf(tree Tree) (Sums, error) {
	switch t := tree.(type) {
	case past:
		return &pastSums{tree: t, groups: map[string]map[string]string{}}, nil
	case folder:
		if t.book.repo.bare {
			return nil, nil
		}
		if x, err := t.skipped(); err != nil || x != nil {
			return nil, err // part of it is kept out of the folder
		}
		return newFolderSums(t)
	}
	return nil, nil
}

// FolderSum names all that lies in one folder of a commit, by itself; "" of any
// other state, and where there is no such folder.
func FolderSum(tree Tree, dir string) (string, error) {
	t, ok := tree.(past)
	if !ok {
		return "", nil
	}
	e, err := t.find(dir)
	if errors.Is(err, fs.ErrNotExist) || err == nil && e.Mode != objects.ModeDir {
		return "", nil
	}
	return string(e.ID), err
}

// pastSums are those of a commit, which never changes.
type pastSums struct {
	tree   past
	mu     sync.Mutex
	groups map[string]map[string]string // what each group of engines holds
}

func (s *pastSums) Folder(dir string) string {
	group, name := path.Split(dir)
	s.mu.Lock()
	defer s.mu.Unlock()
	held := s.groups[group]
	if held == nil {
		held = map[string]string{}
		if e, err := s.tree.find(path.Clean(group)); err == nil && e.Mode == objects.ModeDir {
			list, err := s.tree.book.readTree(e.ID)
			for _, e := range list {
				if err == nil && e.Mode == objects.ModeDir {
					held[e.Name] = string(e.ID)
				}
			}
		}
		s.groups[group] = held
	}
	return held[name]
}

func (s *pastSums) Parts() (files map[string]string, all string, ok bool) {
	files = map[string]string{}
	e, err := s.tree.find(partsFolder)
	if errors.Is(err, fs.ErrNotExist) || err == nil && e.Mode != objects.ModeDir {
		return files, "none", true
	}
	if err != nil {
		return nil, "", false
	}
	list, err := s.tree.book.readTree(e.ID)
	for _, one := range list {
		if one.Mode.IsFile() {
			files[one.Name] = string(one.ID)
		}
	}
	return files, string(e.ID), err == nil
}

func (s *pastSums) Witness(string, string) (Tree, func() bool) {
	return s.tree, func() bool { return true }
}
