package act

import (
	"path"
	"slices"
	"sort"
	"strings"

	"stackbook/record/book"
)

// add takes the files a commit puts into the folder itself among those it will
// hold, and among the changes it takes.
func (o CommitOptions) add(place Place, changes []book.Change, files map[string][]byte) ([]book.Change, error) {
	if o.files == nil {
		return changes, nil
	}
	own, err := o.files(place)
	if err != nil {
		return nil, err
	}
	for name, data := range own {
		files[name] = data
		same := func(c book.Change) bool { return c.Path == name }
		if !slices.ContainsFunc(changes, same) {
			changes = append(changes, book.Change{Path: name, What: book.Added})
		}
	}
	sort.Slice(changes, func(i, k int) bool { return changes[i].Path < changes[k].Path })
	return changes, nil
}

// List lists a folder with the files the commit will put there.
func (o overlay) List(dir string) ([]book.Entry, error) {
	entries, err := list(o.Tree, dir)
	if err != nil {
		return nil, err
	}
	for name := range o.files {
		file, inside := strings.CutPrefix(name, dir+"/")
		if !inside {
			continue
		}
		entry := book.Entry{Name: file}
		if head, _, deeper := strings.Cut(file, "/"); deeper {
			entry = book.Entry{Name: head, Dir: true}
		}
		if !slices.ContainsFunc(entries, func(e book.Entry) bool { return e.Name == entry.Name }) {
			entries = append(entries, entry)
		}
	}
	sort.Slice(entries, func(i, k int) bool { return entries[i].Name < entries[k].Name })
	return entries, nil
}

// freeName is the first of NAME.yaml, NAME-2.yaml, NAME-3.yaml in a folder of
// the book that is not used there.
func freeName(tree book.Tree, dir string, nth func(n int) string) (string, error) {
	entries, err := list(tree, dir)
	if err != nil {
		return "", err
	}
	for n := 1; ; n++ {
		taken := func(e book.Entry) bool { return strings.EqualFold(e.Name, nth(n)) }
		if !slices.ContainsFunc(entries, taken) {
			return path.Join(dir, nth(n)), nil
		}
	}
}
