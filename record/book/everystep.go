package book

import (
	"cmp"
	"slices"
	"strings"
	"time"

	"stackbook/record/book/objects"
)

// EveryStep is Steps for one who asks for all words: no index is of use then, and
// every commit is walked. A step is handed over as soon as it is known, from
// several goroutines at once: n tells which comes first, as they would stand in
// Steps, and the commits between that altered nothing have their numbers too. So
// however long a history is, none of what it altered is kept.
func (b *Book) EveryStep(from Commit, wanted func(path string) bool, progress func(done, of int), take func(n int, step Step) error) error {
	line, err := b.threads(from)
	if err != nil {
		return err
	}
	return b.onAllCores(len(line), progress, func(store *objects.Store) func(n int) error {
		store.KeepLess(walkHeld)
		w := &walker{book: b, differ: newRawDiffer(store), wanted: wanted}
		w.differ.most = walkHeld
		return func(n int) error {
			step, err := w.step(line[n])
			if err != nil || step.Against == nil {
				return err
			}
			return take(n, step)
		}
	})
}

// walkHeld is how many bytes of objects, and as many of folders, each core keeps
// on a walk: a commit shares nearly all of its own with its parent.
const walkHeld = 2 << 20

// thread is what a walk has to know of one commit. There is one for each in
// memory at one time, and so none of its text is.
type thread struct {
	hash, tree objects.ID
	parents    []*thread
	day        string // of the committer, in his own zone; "" where only a graph was asked
	time       int64  // of the committer; once ranked, the latest of it and all it comes from
	height     int    // the most commits on a way to it; -1: not ranked yet
	cut        bool
}

// threads gives the history of a commit, itself included, by committer time,
// oldest first, but never a parent behind its child, whatever the clocks said: a
// commit counts as made no earlier than those it comes from. Of equal times the one
// with more commits on a way to it is newer; then they go by hash. So the order of
// two does not depend on which others are looked at.
func (b *Book) threads(from Commit) ([]*thread, error) {
	all, err := b.readThreads(from)
	if err != nil {
		return nil, err
	}
	line := make([]*thread, 0, len(all))
	for _, t := range all {
		line = append(line, t)
	}
	for _, t := range line {
		t.rank()
	}
	slices.SortFunc(line, func(a, b *thread) int {
		return cmp.Or(cmp.Compare(a.time, b.time), cmp.Compare(a.height, b.height), cmp.Compare(a.hash, b.hash))
	})
	return line, nil
}

// readThreads finds every commit that one comes from, in git's graph of commits
// where there is one, else by reading it.
func (b *Book) readThreads(from Commit) (map[objects.ID]*thread, error) {
	store, err := b.anotherStore()
	if err != nil {
		return nil, err
	}
	defer store.Close()
	store.KeepLess(walkHeld)
	graph := b.readGraph()
	all := map[objects.ID]*thread{}
	days := map[string]string{}
	at := func(id objects.ID) (t *thread, isNew bool) {
		if t = all[id]; t != nil {
			return t, false
		}
		t = &thread{hash: objects.ID(strings.Clone(string(id))), height: -1}
		all[t.hash] = t
		return t, true
	}
	first, _ := at(objects.ID(from.Hash))
	for waiting := []*thread{first}; len(waiting) > 0; {
		t := waiting[len(waiting)-1]
		waiting = waiting[:len(waiting)-1]
		n, ok := graph.find(t.hash)
		if !ok {
			c, err := b.readCommit(store, t.hash)
			if err != nil {
				return nil, err
			}
			day := c.Committer.When.Format(time.DateOnly)
			if days[day] == "" {
				days[day] = day
			}
			n, t.day, t.cut = noted{tree: objects.ID(strings.Clone(string(c.tree))), time: c.Committer.When.Unix()}, days[day], c.Cut
			for _, p := range c.Parents {
				n.parents = append(n.parents, objects.ID(p))
			}
		}
		t.tree, t.time = n.tree, n.time
		for _, p := range n.parents {
			parent, isNew := at(p)
			if t.parents = append(t.parents, parent); isNew {
				waiting = append(waiting, parent)
			}
		}
	}
	return all, nil
}

// readCommit reads one commit through a store.
func (b *Book) readCommit(store *objects.Store, id objects.ID) (Commit, error) {
	data, err := store.ReadKind(id, objects.Commit)
	if err != nil {
		return Commit{}, err
	}
	return b.asCommit(id, data)
}

// rank works out where a commit stands among others, and before it all it comes
// from.
func (t *thread) rank() {
	for waiting := []*thread{t}; len(waiting) > 0; {
		t := waiting[len(waiting)-1]
		ready, height := true, 0
		for _, p := range t.parents {
			if p.height < 0 {
				waiting, ready = append(waiting, p), false
			}
			t.time, height = max(t.time, p.time), max(height, p.height+1)
		}
		if ready {
			t.height = height
			waiting = waiting[:len(waiting)-1]
		}
	}
}

// trees are those of its parents.
func (t *thread) trees() []objects.ID {
	var all []objects.ID
	for _, p := range t.parents {
		all = append(all, p.tree)
	}
	return all
}

// walker finds what commits altered.
type walker struct {
	book   *Book
	differ *rawDiffer
	wanted func(path string) bool
}

// step is what one commit altered; without Against where it altered nothing.
func (w *walker) step(t *thread) (Step, error) {
	parents := t.trees()
	if len(parents) == 0 {
		parents = []objects.ID{""}
	}
	step := Step{Hash: string(t.hash), Day: t.day, Cut: t.cut}
	altered := false
	for _, parent := range parents {
		var edits []Altered
		err := w.differ.between(parent, t.tree, w.book.inRepo(stepsDir), func(p string, was, is rawEntry) {
			a := Altered{strings.TrimPrefix(p, w.book.repo.prefix), fileID(was), fileID(is)}
			if a.Was != a.Is && w.wanted(a.Path) {
				edits = append(edits, a)
			}
		})
		if err != nil {
			return Step{}, err
		}
		altered = altered || len(edits) > 0
		step.Against = append(step.Against, edits)
	}
	if !altered {
		return Step{}, nil
	}
	if step.Day == "" {
		c, err := w.book.readCommit(w.differ.store, t.hash)
		if err != nil {
			return Step{}, err
		}
		step.Day = c.Committer.When.Format(time.DateOnly)
	}
	return step, nil
}

// fileID is git's name for the content of a plain file, "" of anything else.
func fileID(e rawEntry) string {
	if !e.mode.IsFile() {
		return ""
	}
	return string(objects.FromRaw(e.id))
}
