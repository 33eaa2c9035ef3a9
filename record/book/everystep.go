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
	day        string // of the committer, in his own zone
	time       int64  // of the committer; once ranked, the latest of it and all it comes from
	height     int    // the most commits on a way to it; -1: not ranked yet
	cut        bool
}

// threads gives the history of a commit, itself included, oldest first and a
// commit always behind its parents: as newestFirst orders them, the other way
// round.
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

// readThreads reads every commit that one comes from.
func (b *Book) readThreads(from Commit) (map[objects.ID]*thread, error) {
	store, err := b.anotherStore()
	if err != nil {
		return nil, err
	}
	defer store.Close()
	store.KeepLess(walkHeld)
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
		data, err := store.ReadKind(t.hash, objects.Commit)
		if err != nil {
			return nil, err
		}
		c, err := b.asCommit(t.hash, data)
		if err != nil {
			return nil, err
		}
		day := c.Committer.When.Format(time.DateOnly)
		if days[day] == "" {
			days[day] = day
		}
		t.tree, t.day, t.time, t.cut = objects.ID(strings.Clone(string(c.tree))), days[day], c.Committer.When.Unix(), c.Cut
		for _, p := range c.Parents {
			parent, isNew := at(objects.ID(p))
			if t.parents = append(t.parents, parent); isNew {
				waiting = append(waiting, parent)
			}
		}
	}
	return all, nil
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

// walker finds what commits altered.
type walker struct {
	book   *Book
	differ *rawDiffer
	wanted func(path string) bool
}

// step is what one commit altered; without Against where it altered nothing.
func (w *walker) step(t *thread) (Step, error) {
	parents := []objects.ID{""}
	if len(t.parents) > 0 {
		parents = nil
		for _, p := range t.parents {
			parents = append(parents, p.tree)
		}
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
	return step, nil
}

// fileID is git's name for the content of a plain file, "" of anything else.
func fileID(e rawEntry) string {
	if !e.mode.IsFile() {
		return ""
	}
	return string(objects.FromRaw(e.id))
}
