package book

import (
	"path"
	"path/filepath"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"
	"time"

	"stackbook/record/book/objects"
)

// Altered is one file that a commit altered: its content before and after, by
// git's name for it; empty where there was or is none.
type Altered struct{ Path, Was, Is string }

// Step is a commit with what it altered against each of its parents, in their
// order. The first commit, and one at which history is cut off, is held against
// an empty folder.
type Step struct {
	Hash    string
	Day     string // of the committer, in his own zone: 2024-06-01
	Cut     bool   // history is cut off before it
	Against [][]Altered
}

// Steps gives the history of a commit, itself included, oldest first and a
// commit always behind its parents: of each what it altered among the files
// below engines/ that are wanted, by their path in the book, and of which any
// version may hold one of some words as a value. A commit that altered none of
// them against any parent is left out. Files that hold none of the words may be
// among them, and are where no index tells. wanted is called from several
// goroutines at once. progress, which may be nil, is told how many commits are
// done, of how many.
func (b *Book) Steps(from Commit, wanted func(path string) bool, words []string, progress func(done, of int)) ([]Step, error) {
	if steps, answered, err := b.stepsByIndex(from, wanted, words); err != nil || answered {
		return steps, err
	}
	return b.stepsByWalk(from, wanted, progress)
}

// stepsDir is the folder whose files Steps tells of.
const stepsDir = "engines"

// stepsByWalk is Steps by comparing the trees of all commits: folders of equal
// hash are not opened, no file is read, and the work is shared by all cores.
func (b *Book) stepsByWalk(from Commit, wanted func(path string) bool, progress func(done, of int)) ([]Step, error) {
	all, err := b.historyOf(from)
	if err != nil {
		return nil, err
	}
	line := all.newestFirst()
	slices.Reverse(line)
	steps := make([]Step, len(line))
	err = b.onAllCores(len(line), progress, func(store *objects.Store) func(i int) error {
		d := &differ{book: b, store: store, dir: stepsDir, wanted: wanted, trees: map[objects.ID][]objects.Entry{}}
		return func(i int) error {
			var err error
			steps[i], err = d.step(line[i], all)
			return err
		}
	})
	if err != nil {
		return nil, err
	}
	return slices.DeleteFunc(steps, func(s Step) bool { return s.Against == nil }), nil
}

// Blobs reads files by git's names for their content. take is called with each
// and its place in the list, from several goroutines at once; with nil for one
// larger than MaxFile. progress, which may be nil, is told how many are done, of
// how many.
func (b *Book) Blobs(hashes []string, progress func(done, of int), take func(i int, data []byte) error) error {
	return b.onAllCores(len(hashes), progress, func(store *objects.Store) func(i int) error {
		return func(i int) error {
			data, err := store.ReadKind(objects.ID(hashes[i]), objects.Blob)
			if err != nil {
				return err
			}
			if len(data) > MaxFile {
				data = nil
			}
			return take(i, data)
		}
	})
}

// onAllCores does n jobs, a stretch of them each core, since what stands side by
// side in history is stored as differences from each other. Each core reads
// through a store of its own: one alone would have the others wait. The first
// error, by the order of the jobs, is given.
func (b *Book) onAllCores(n int, progress func(done, of int), worker func(*objects.Store) func(i int) error) error {
	cores := min(runtime.GOMAXPROCS(0), n)
	errs := make([]error, cores)
	var done atomic.Int64
	var all sync.WaitGroup
	for core := range cores {
		store, err := b.anotherStore()
		if err != nil {
			errs[core] = err
			continue
		}
		all.Go(func() {
			defer store.Close()
			do := worker(store)
			for i := core * n / cores; i < (core+1)*n/cores && errs[core] == nil; i++ {
				errs[core] = do(i)
				if count := done.Add(1); progress != nil {
					progress(int(count), n)
				}
			}
		})
	}
	all.Wait()
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}

// anotherStore opens the book's objects once more.
func (b *Book) anotherStore() (*objects.Store, error) {
	store, err := objects.Open(filepath.Join(b.repo.common, "objects"), b.repo.format)
	if err == nil && b.repo.partial {
		store.FetchWith(b.fetchObject)
	}
	return store, err
}

// differ finds the files in which the trees of commits differ.
type differ struct {
	book   *Book
	store  *objects.Store
	dir    string
	wanted func(path string) bool
	trees  map[objects.ID][]objects.Entry
}

func (d *differ) step(c *Commit, all history) (Step, error) {
	parents := []objects.ID{""}
	if len(c.Parents) > 0 {
		parents = nil
		for _, p := range c.Parents {
			parents = append(parents, all[p].tree)
		}
	}
	step := Step{Hash: c.Hash, Day: c.Committer.When.Format(time.DateOnly), Cut: c.Cut}
	altered := false
	for _, parent := range parents {
		edits, err := d.between(parent, c.tree)
		if err != nil {
			return Step{}, err
		}
		altered = altered || len(edits) > 0
		step.Against = append(step.Against, edits)
	}
	if !altered {
		return Step{}, nil
	}
	return step, nil
}

// between gives the wanted edits from one tree of the repository to another.
func (d *differ) between(old, new objects.ID) ([]Altered, error) {
	was, err := d.folder(old)
	if err != nil {
		return nil, err
	}
	is, err := d.folder(new)
	if err != nil || was == is {
		return nil, err
	}
	var edits []Altered
	err = d.compare(was, is, d.dir, &edits)
	return edits, err
}

// folder gives the tree of the folder that is looked at, empty where a tree of
// the repository has none.
func (d *differ) folder(tree objects.ID) (objects.ID, error) {
	for _, name := range splitPath(d.book.inRepo(d.dir)) {
		entries, err := d.entries(tree)
		if err != nil {
			return "", err
		}
		at := slices.IndexFunc(entries, func(e objects.Entry) bool { return e.Name == name && e.Mode == objects.ModeDir })
		if at < 0 {
			return "", nil
		}
		tree = entries[at].ID
	}
	return tree, nil
}

// compare adds the edits from one folder to another, both at a path.
func (d *differ) compare(old, new objects.ID, at string, edits *[]Altered) error {
	was, err := d.entries(old)
	if err != nil {
		return err
	}
	is, err := d.entries(new)
	if err != nil {
		return err
	}
	before := make(map[string]objects.Entry, len(was))
	for _, e := range was {
		before[e.Name] = e
	}
	for _, e := range is {
		if err := d.entry(before[e.Name], e, path.Join(at, e.Name), edits); err != nil {
			return err
		}
		delete(before, e.Name)
	}
	for _, e := range was {
		if gone, left := before[e.Name]; left {
			if err := d.entry(gone, objects.Entry{}, path.Join(at, e.Name), edits); err != nil {
				return err
			}
		}
	}
	return nil
}

// entry compares what two folders hold under one name; either may be nothing.
func (d *differ) entry(was, is objects.Entry, at string, edits *[]Altered) error {
	if was.ID == is.ID && was.Mode == is.Mode {
		return nil
	}
	var oldTree, newTree, oldFile, newFile objects.ID
	switch {
	case was.Mode == objects.ModeDir:
		oldTree = was.ID
	case was.Mode.IsFile():
		oldFile = was.ID
	}
	switch {
	case is.Mode == objects.ModeDir:
		newTree = is.ID
	case is.Mode.IsFile():
		newFile = is.ID
	}
	if oldFile != newFile && d.wanted(at) {
		*edits = append(*edits, Altered{at, string(oldFile), string(newFile)})
	}
	if oldTree == newTree {
		return nil
	}
	return d.compare(oldTree, newTree, at, edits)
}

// mostTrees is how many folders are kept in mind: a commit shares nearly all of
// its own with its parent.
const mostTrees = 8192

// entries gives what a tree holds; the empty ID is an empty tree.
func (d *differ) entries(id objects.ID) ([]objects.Entry, error) {
	if id == "" {
		return nil, nil
	}
	if known, ok := d.trees[id]; ok {
		return known, nil
	}
	data, err := d.store.ReadKind(id, objects.Tree)
	if err != nil {
		return nil, err
	}
	list, err := d.book.repo.format.DecodeTree(data)
	if len(d.trees) >= mostTrees {
		clear(d.trees)
	}
	d.trees[id] = list
	return list, err
}
