package book

import (
	"container/heap"
	"strings"

	"stackbook/record/book/objects"
)

// Log gives the commits of HEAD's history that changed what is at prefix (a
// file or folder of the book, "." for all of it), newest first, a commit
// always before its parents. A commit counts when its entry there differs
// from its first parent's; a merge, when it differs from that of every
// parent. Hashes of folders are compared, no file is read.
func (b *Book) Log(prefix string) ([]Commit, error) {
	if err := checkPath(prefix); err != nil {
		return nil, err
	}
	all, err := b.history()
	if err != nil {
		return nil, err
	}
	look := lookup{b, splitPath(b.inRepo(prefix)), map[step]string{}}
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

// history is that of HEAD.
func (b *Book) history() (history, error) {
	head, ok, err := b.Head()
	if err != nil || !ok {
		return history{}, err
	}
	return b.historyOf(head)
}

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
// its child, whatever the clocks said.
func (all history) newestFirst() []*Commit {
	children := map[string]int{} // not yet given out
	for _, c := range all {
		for _, p := range c.Parents {
			children[p]++
		}
	}
	ready := &byTime{}
	for hash, c := range all {
		if children[hash] == 0 {
			heap.Push(ready, c)
		}
	}
	out := make([]*Commit, 0, len(all))
	for ready.Len() > 0 {
		c := heap.Pop(ready).(*Commit)
		out = append(out, c)
		for _, p := range c.Parents {
			if children[p]--; children[p] == 0 {
				heap.Push(ready, all[p])
			}
		}
	}
	return out
}

// byTime is a heap of commits with the newest on top; equal times go by hash,
// so that the order is the same on every run.
type byTime []*Commit

func (h byTime) Len() int      { return len(h) }
func (h byTime) Swap(i, j int) { h[i], h[j] = h[j], h[i] }
func (h byTime) Less(i, j int) bool {
	a, b := h[i].Committer.When, h[j].Committer.When
	if a.Equal(b) {
		return h[i].Hash < h[j].Hash
	}
	return a.After(b)
}
func (h *byTime) Push(c any) { *h = append(*h, c.(*Commit)) }
func (h *byTime) Pop() any {
	old := *h
	c := old[len(old)-1]
	*h = old[:len(old)-1]
	return c
}

// lookup finds the entry at one path in many trees, and remembers what each
// folder on the way gave: most commits leave the lower ones as they were.
type lookup struct {
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
func (l lookup) changedBy(c *Commit, all history) (bool, error) {
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
func (l lookup) entry(tree objects.ID, depth int) (string, error) {
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
