package book

import (
	"cmp"
	"slices"
	"strings"

	"stackbook/record/book/objects"
)

// Log gives the commits of HEAD's history that changed what is at prefix (a
// file or folder of the book, "." for all of it), newest first, a commit
// always before its parents. A commit counts when its entry there differs
// from its first parent's; a merge, when it differs from that of every
// parent. What the index does not tell is found by comparing the hashes of
// folders; no file is read.
func (b *Book) Log(prefix string) ([]Commit, error) {
	if err := checkPath(prefix); err != nil {
		return nil, err
	}
	head, ok, err := b.Head()
	if err != nil || !ok {
		return nil, err
	}
	if inSide(prefix) {
		if list, answered, err := b.logByIndex(head, prefix); err != nil || answered {
			return list, err
		}
	}
	return b.logByWalk(head, prefix)
}

// logByWalk is Log by reading every commit.
func (b *Book) logByWalk(head Commit, prefix string) ([]Commit, error) {
	all, err := b.historyOf(head)
	if err != nil {
		return nil, err
	}
	look := pathIn{b, splitPath(b.inRepo(prefix)), map[step]string{}}
	var out []Commit
	for _, c := range all.newestFirst() {
		changed, err := look.changedBy(c, all)
		if err != nil {
			return nil, err
		}
		if changed {
			out = append(out, *c)
		}
	}
	return out, nil
}

// history is every commit that one comes from, itself included.
type history map[string]*Commit

func (b *Book) historyOf(from Commit) (history, error) {
	all := history{from.Hash: &from}
	for waiting := []*Commit{&from}; len(waiting) > 0; {
		c := waiting[len(waiting)-1]
		waiting = waiting[:len(waiting)-1]
		for _, p := range c.Parents {
			if all[p] != nil {
				continue
			}
			parent, err := b.commit(objects.ID(p))
			if err != nil {
				return nil, err
			}
			all[p] = &parent
			waiting = append(waiting, &parent)
		}
	}
	return all, nil
}

// newestFirst orders the commits by committer time, but never a parent before
// its child, whatever the clocks said: a commit counts as made no earlier than
// those it comes from. Of equal times the one with more commits on a way to it is
// newer; then they go by hash. So the order of two does not depend on which
// others are looked at.
func (all history) newestFirst() []*Commit {
	rank := all.rank()
	out := make([]*Commit, 0, len(all))
	for _, c := range all {
		out = append(out, c)
	}
	slices.SortFunc(out, func(a, b *Commit) int {
		x, y := rank[a.Hash], rank[b.Hash]
		return cmp.Or(cmp.Compare(y.time, x.time), cmp.Compare(y.height, x.height), cmp.Compare(b.Hash, a.Hash))
	})
	return out
}

// rank is where a commit stands among others.
type rank struct {
	time   int64 // the latest of it and all it comes from
	height int   // the most commits on a way to it
}

// rank works it out for every commit, those first that others come from.
func (all history) rank() map[string]rank {
	ranks := make(map[string]rank, len(all))
	for hash := range all {
		for waiting := []string{hash}; len(waiting) > 0; {
			c := all[waiting[len(waiting)-1]]
			r, ready := rank{time: c.Committer.When.Unix()}, true
			for _, p := range c.Parents {
				parent, done := ranks[p]
				if !done {
					waiting, ready = append(waiting, p), false
				}
				r.time, r.height = max(r.time, parent.time), max(r.height, parent.height+1)
			}
			if ready {
				ranks[c.Hash] = r
				waiting = waiting[:len(waiting)-1]
			}
		}
	}
	return ranks
}

// pathIn finds the entry at one path in many trees, and remembers what each
// folder on the way gave: most commits leave the lower ones as they were.
type pathIn struct {
	book *Book
	path []string
	seen map[step]string
}

// step is one folder met on the way, with its depth, since the same folder
// may stand at two.
type step struct {
	tree  objects.ID
	depth int
}

// changedBy says whether a commit's entry differs from its parents'.
func (l pathIn) changedBy(c *Commit, all history) (bool, error) {
	here, err := l.entry(c.tree, 0)
	if err != nil {
		return false, err
	}
	if len(c.Parents) == 0 {
		return here != "", nil
	}
	for _, p := range c.Parents {
		there, err := l.entry(all[p].tree, 0)
		if err != nil || here == there {
			return false, err
		}
	}
	return true, nil
}

// entry gives mode and hash of what the rest of the path leads to, or "".
func (l pathIn) entry(tree objects.ID, depth int) (string, error) {
	if depth == len(l.path) {
		return string(tree), nil
	}
	at := step{tree, depth}
	if known, ok := l.seen[at]; ok {
		return known, nil
	}
	data, err := l.book.store.ReadKind(tree, objects.Tree)
	if err != nil {
		return "", err
	}
	e, ok, err := l.book.repo.format.FindEntry(data, l.path[depth])
	if err != nil {
		return "", err
	}
	result := ""
	switch {
	case ok && e.Mode == objects.ModeDir:
		result, err = l.entry(e.ID, depth+1)
	case ok && depth == len(l.path)-1:
		result = e.Mode.String() + " " + string(e.ID)
	}
	if err == nil {
		l.seen[at] = result
	}
	return result, err
}

// splitPath gives the parts of a path; the empty path has none.
func splitPath(p string) []string {
	if p == "" {
		return nil
	}
	return strings.Split(p, "/")
}
