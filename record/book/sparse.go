package book

import (
	"os"
	"path/filepath"
	"slices"
	"strings"

	"stackbook/record/book/index"
)

// sparseIndex gives the index where a sparse checkout keeps files out of the
// folder (git sparse-checkout), and nil where none does.
func (b *Book) sparseIndex() (*index.Index, error) {
	if b.repo.bare || !isFile(filepath.Join(b.repo.dir, "info", "sparse-checkout")) {
		return nil, nil
	}
	return b.lookIndex()
}

func (f folder) Skipped(p string) ([]string, error) {
	if err := checkPath(p); err != nil {
		return nil, err
	}
	x, err := f.skipped()
	if err != nil || x == nil {
		return nil, err
	}
	name := f.book.inRepo(p)
	entries := slices.Collect(x.Under(name))
	if e, ok := x.Find(name); ok {
		entries = append([]index.Entry{e}, entries...)
	}
	var names []string
	for _, e := range entries {
		if !e.SkipWorktree() {
			continue
		}
		if _, err := os.Lstat(f.book.workPath(e.Name)); err != nil && ignoreAbsent(e.Name, err) == nil {
			names = append(names, strings.TrimPrefix(e.Name, f.book.repo.prefix))
		}
	}
	return names, x.Sound()
}

// Behind gives the last commit's tree for the working folder, from which a sparse
// checkout keeps files out; ok is false where there is none, and for any other
// tree.
func Behind(tree Tree) (committed Tree, ok bool, err error) {
	f, isFolder := tree.(folder)
	if !isFolder {
		return nil, false, nil
	}
	head, ok, err := f.book.Head()
	if err != nil || !ok {
		return nil, false, err
	}
	return f.book.At(head), true, nil
}

func (past) Skipped(string) ([]string, error) { return nil, nil }
