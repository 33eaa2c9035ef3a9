package book

import (
	"maps"
	"path/filepath"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"

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
	var mu sync.Mutex
	found := map[int]Step{}
	err := b.EveryStep(from, wanted, progress, func(n int, step Step) error {
		mu.Lock()
		defer mu.Unlock()
		found[n] = step
		return nil
	})
	if err != nil {
		return nil, err
	}
	steps := make([]Step, 0, len(found))
	for _, n := range slices.Sorted(maps.Keys(found)) {
		steps = append(steps, found[n])
	}
	return steps, nil
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
