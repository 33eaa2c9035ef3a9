package book

import (
	"fmt"
	"path"
	"slices"
	"strings"

	"stackbook/record/book/objects"
)

// newTree writes the folder old with changes made below it, which are named
// by their paths from the repository's root; nil takes a file out. Only
// folders on the way to a change are read and written. The empty ID comes
// back for a folder that is left empty.
func (p *plan) newTree(old objects.ID, dir string, changes map[string]*objects.Entry) (objects.ID, error) {
	entries, err := p.book.readTree(old)
	if err != nil {
		return "", err
	}
	here, below := split(dir, changes)
	for _, name := range sortedKeys(below) {
		i := slices.IndexFunc(entries, func(e objects.Entry) bool { return e.Name == name })
		var sub objects.ID
		if i >= 0 && entries[i].Mode == objects.ModeDir {
			sub = entries[i].ID
		}
		id, err := p.newTree(sub, path.Join(dir, name), below[name])
		if err != nil {
			return "", err
		}
		if sub == "" && id == "" {
			continue // nothing was there, nothing comes
		}
		file, named := here[name]
		gone := named && file == nil // the file of this name is taken out
		if i >= 0 && sub == "" && !gone || id != "" && file != nil {
			return "", inTheWay(path.Join(dir, name))
		}
		entries = put(entries, name, &objects.Entry{Name: name, Mode: objects.ModeDir, ID: id})
		if id != "" {
			delete(here, name)
		}
	}
	for name, change := range here {
		i := slices.IndexFunc(entries, func(e objects.Entry) bool { return e.Name == name })
		if i >= 0 && entries[i].Mode == objects.ModeDir {
			if change == nil {
				continue // the file was staged at most; HEAD has a folder there
			}
			return "", inTheWay(path.Join(dir, name))
		}
		entries = put(entries, name, change)
	}
	if len(entries) == 0 && dir != "" {
		return "", nil
	}
	return p.batch.Add(objects.Tree, objects.EncodeTree(entries))
}

func inTheWay(p string) error {
	return fmt.Errorf("%s is in the way: git cannot hold a file and a folder of one name; commit its removal as well", p)
}

// split parts the changes below a folder into those of its own files and
// those inside each of its folders.
func split(dir string, changes map[string]*objects.Entry) (here map[string]*objects.Entry, below map[string]map[string]*objects.Entry) {
	here, below = map[string]*objects.Entry{}, map[string]map[string]*objects.Entry{}
	for p, change := range changes {
		rel := p
		if dir != "" {
			rel = p[len(dir)+1:]
		}
		name, _, inside := strings.Cut(rel, "/")
		if !inside {
			here[name] = change
			continue
		}
		if below[name] == nil {
			below[name] = map[string]*objects.Entry{}
		}
		below[name][p] = change
	}
	return here, below
}

// put replaces, adds or (for nil or an empty folder) removes one entry.
func put(entries []objects.Entry, name string, e *objects.Entry) []objects.Entry {
	entries = slices.DeleteFunc(entries, func(o objects.Entry) bool { return o.Name == name })
	if e == nil || e.ID == "" {
		return entries
	}
	return append(entries, *e)
}

func sortedKeys[V any](m map[string]V) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	return keys
}
