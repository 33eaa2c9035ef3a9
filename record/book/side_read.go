package book

import (
	"runtime"
	"runtime/debug"
	"strings"
	"sync"
	"sync/atomic"

	"stackbook/record/book/lookup"
	"stackbook/record/book/objects"
)

// slim is what an index needs of a commit.
type slim struct {
	lookup.New
	tree    objects.ID
	parents []objects.ID // their trees, known once they were read

	number int // the place in which it was read
	missed int // parents that were not read yet
	edits  []lookup.NewEdit
}

// sideReader reads the commits that an index does not know. While one core goes
// from commit to parent, the others find out what those altered of which every
// parent was read.
type sideReader struct {
	book  *Book
	index *lookup.Index // nil: every commit is new
	store *objects.Store
	held  *objects.Held // shared by all cores; nil where little is read

	all     []*slim
	of      map[objects.ID]*slim
	waiting map[objects.ID][]*slim // for a parent
	ready   []*slim                // not handed out yet
	texts   map[string]string      // each once

	work   chan []*slim // nil until it is known that an index is worth it
	cores  sync.WaitGroup
	words  []*lookup.Words
	done   atomic.Int64
	failed atomic.Pointer[error]
}

// handful is how many commits are handed out at once: what stands side by side
// in history is stored as differences from each other.
const handful = 256

// commitsHeld is how many bytes of commits are kept: hardly one is stored as a
// difference from another.
const commitsHeld = 2 << 20

// growth reads the commits that one comes from, itself included, as far as an
// index does not know them, with what they altered and the words of it.
func (b *Book) growth(x *lookup.Index, from objects.ID) (*lookup.Growth, error) {
	store, err := b.anotherStore()
	if err != nil {
		return nil, err
	}
	defer store.Close()
	r := &sideReader{book: b, index: x, store: store, of: map[objects.ID]*slim{}, waiting: map[objects.ID][]*slim{}, texts: map[string]string{}}
	if x == nil {
		debug.SetGCPercent(gcWhole) // growIndex puts it back
		r.held = objects.NewHeld()
		store.HoldIn(r.held)
		store.KeepLess(commitsHeld)
	}
	err = r.read(from)
	if r.work == nil && err == nil {
		err = r.begin()
	}
	if r.work != nil {
		r.hand()
		close(r.work)
		r.cores.Wait()
		if b.indexing != nil {
			b.indexing(len(r.all), len(r.all))
		}
	}
	if failed := r.failed.Load(); err == nil && failed != nil {
		err = *failed
	}
	if err != nil {
		return nil, err
	}
	return r.growth(), nil
}

// growth gives what was read, and keeps none of it.
func (r *sideReader) growth() *lookup.Growth {
	edits := 0
	for _, c := range r.all {
		edits += len(c.edits)
	}
	g := &lookup.Growth{
		Hash: r.book.repo.format.Size(), Words: r.words,
		Commits: make([]lookup.New, 0, len(r.all)), Edits: make([]lookup.NewEdit, 0, edits),
	}
	for i, c := range r.all {
		g.Commits = append(g.Commits, c.New)
		g.Edits = append(g.Edits, c.edits...)
		r.all[i] = nil
	}
	return g
}

// begin sets the cores to work, where an index is worth it.
func (r *sideReader) begin() error {
	s := &r.book.side
	switch {
	case r.index == nil && (len(r.all) < s.from || !r.book.canKeep()):
		return errFew
	case r.index != nil && len(r.all) > int(r.index.Len())/2+s.from:
		return errOther
	}
	r.work = make(chan []*slim, 64)
	for range min(runtime.GOMAXPROCS(0), 1+len(r.all)/handful) {
		store, err := r.book.anotherStore()
		if err != nil {
			return err
		}
		if r.held != nil {
			store.HoldIn(r.held)
		}
		w := &sideWorker{book: r.book, store: store, words: lookup.NewWords(), differ: newRawDiffer(store), paths: map[string]string{}}
		r.words = append(r.words, w.words)
		r.cores.Go(func() {
			defer store.Close()
			for some := range r.work {
				r.share(w, some)
			}
		})
	}
	return nil
}

func (r *sideReader) share(w *sideWorker, some []*slim) {
	for _, c := range some {
		if r.failed.Load() != nil {
			return
		}
		var err error
		if c.edits, err = w.commit(c.number, c); err != nil {
			r.failed.CompareAndSwap(nil, &err)
			return
		}
		if done := int(r.done.Add(1)); r.book.indexing != nil && done%64 == 0 {
			r.book.indexing(done, 0)
		}
	}
}

// read goes from a commit to its parents until all that are new were read.
func (r *sideReader) read(from objects.ID) error {
	for next := []objects.ID{from}; len(next) > 0 && r.failed.Load() == nil; {
		id := next[len(next)-1]
		next = next[:len(next)-1]
		if r.of[id] != nil {
			continue
		}
		c, err := r.commit(id)
		if err != nil {
			return err
		}
		for _, p := range c.Parents {
			p := objects.ID(p)
			if r.of[p] == nil {
				isNew, err := r.isNew(p)
				if err != nil {
					return err
				}
				if isNew {
					next = append(next, p)
				}
			}
		}
		if r.work == nil && len(r.all) > 4*handful {
			if err := r.begin(); err != nil {
				return err
			}
		}
		if r.work != nil && len(r.ready) >= handful {
			r.hand()
		}
	}
	return nil
}

// isNew tells whether the index does not know a commit. Of one that it knows the
// tree is read.
func (r *sideReader) isNew(id objects.ID) (bool, error) {
	if r.index == nil {
		return true, nil
	}
	if _, known := r.index.Find(string(id)); !known {
		return true, r.index.Err()
	}
	c, err := r.slim(id)
	if err == nil {
		r.of[id] = c
		r.arrived(id, c)
	}
	return false, err
}

func (r *sideReader) slim(id objects.ID) (*slim, error) {
	data, err := r.store.ReadKind(id, objects.Commit)
	if err != nil {
		return nil, err
	}
	c, err := r.book.asCommit(id, data)
	if err != nil {
		return nil, err
	}
	// What is kept is copied out of the text it stood in.
	for k, p := range c.Parents {
		c.Parents[k] = strings.Clone(p)
	}
	return &slim{New: lookup.New{Hash: c.Hash, Parents: c.Parents, When: c.Committer.When, Cut: c.Cut, Author: r.once(c.Author.Name), Subject: r.once(c.Subject())}, tree: objects.ID(strings.Clone(string(c.tree)))}, nil
}

// once gives a text that many commits hold: an author's name, a subject that is
// used again. What it stood in need not be kept for it.
func (r *sideReader) once(text string) string {
	if known, ok := r.texts[text]; ok {
		return known
	}
	text = strings.Clone(text)
	r.texts[text] = text
	return text
}

// commit reads a new commit.
func (r *sideReader) commit(id objects.ID) (*slim, error) {
	c, err := r.slim(id)
	if err != nil {
		return nil, err
	}
	c.number = len(r.all)
	r.all = append(r.all, c)
	r.of[id] = c
	c.parents = make([]objects.ID, len(c.Parents))
	for k, p := range c.Parents {
		if parent := r.of[objects.ID(p)]; parent != nil {
			c.parents[k] = parent.tree
			continue
		}
		c.missed++
		r.waiting[objects.ID(p)] = append(r.waiting[objects.ID(p)], c)
	}
	if c.missed == 0 {
		r.ready = append(r.ready, c)
	}
	r.arrived(id, c)
	return c, nil
}

// arrived tells those that waited for a parent.
func (r *sideReader) arrived(id objects.ID, parent *slim) {
	for _, c := range r.waiting[id] {
		for k, p := range c.Parents {
			if p == string(id) && c.parents[k] == "" {
				c.parents[k] = parent.tree
				c.missed--
			}
		}
		if c.missed == 0 {
			r.ready = append(r.ready, c)
		}
	}
	delete(r.waiting, id)
}

// hand gives the ready ones to the cores.
func (r *sideReader) hand() {
	for len(r.ready) > 0 {
		n := min(handful, len(r.ready))
		r.work <- r.ready[:n:n]
		r.ready = r.ready[n:]
	}
}
