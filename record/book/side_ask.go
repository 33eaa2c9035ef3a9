package book

import (
	"slices"
	"strings"
	"time"

	"stackbook/record/book/lookup"
	"stackbook/record/book/objects"
)

// inSide tells whether the index tells every edit at a path.
func inSide(p string) bool {
	return slices.ContainsFunc(sideDirs, func(dir string) bool { return p == dir || strings.HasPrefix(p, dir+"/") })
}

// logByIndex is Log by the index: of the commits that touched the path, those
// that did so against every parent.
func (b *Book) logByIndex(head Commit, prefix string) (list []Commit, answered bool, err error) {
	answered, err = b.ask(head.Hash, func(x *lookup.Index, id uint32) (bool, error) {
		found, err := touching(x, id, prefix)
		if err == nil {
			list, err = b.logged(found, prefix)
		}
		return err == nil, err
	})
	return list, answered, err
}

// touching finds, among those a commit comes from, which touched a path against
// every parent, newest first; and those of which the index does not tell all.
func touching(x *lookup.Index, id uint32, prefix string) ([]lookup.Commit, error) {
	past := x.Past(id)
	against := map[uint32]map[int]bool{}
	for _, e := range x.Touching(prefix) {
		if against[e.Commit] == nil {
			against[e.Commit] = map[int]bool{}
		}
		against[e.Commit][e.Parent] = true
	}
	for _, wide := range x.Wide() {
		against[wide] = nil
	}
	var found []lookup.Commit
	for id, parents := range against {
		if !past.Holds(id) {
			continue
		}
		c := x.At(id)
		if c.Wide || len(parents) == max(len(c.Parents), 1) {
			found = append(found, c)
		}
	}
	sortByTime(found)
	slices.Reverse(found)
	return found, x.Err()
}

// logged reads commits found, and asks git of those the index does not tell all of.
func (b *Book) logged(found []lookup.Commit, prefix string) ([]Commit, error) {
	look := pathIn{b, splitPath(b.inRepo(prefix)), map[step]string{}}
	var list []Commit
	for _, f := range found {
		c, err := b.commit(objects.ID(f.Hash))
		if err != nil {
			return nil, err
		}
		if f.Wide {
			var parents []objects.ID
			for _, p := range c.Parents {
				parent, err := b.commit(objects.ID(p))
				if err != nil {
					return nil, err
				}
				parents = append(parents, parent.tree)
			}
			if changed, err := look.changedBy(c.tree, parents); err != nil || !changed {
				if err != nil {
					return nil, err
				}
				continue
			}
		}
		list = append(list, c)
	}
	return list, nil
}

func sortByTime(list []lookup.Commit) {
	slices.SortFunc(list, func(a, b lookup.Commit) int {
		if a.Before(b) {
			return -1
		}
		return 1
	})
}

// onOrBeforeByIndex is OnOrBefore by the index.
func (b *Book) onOrBeforeByIndex(head, text string) (c Commit, remark string, answered bool, err error) {
	at, err := time.Parse(time.DateOnly, text)
	if err != nil {
		return c, "", false, err
	}
	day, _ := lookup.DayOf(at)
	answered, err = b.ask(head, func(x *lookup.Index, id uint32) (bool, error) {
		found, ok, early := x.OnOrBefore(id, day)
		first := x.First(id)
		if x.Err() != nil {
			return false, x.Err()
		}
		var root Commit // read where something is to be said of it
		if first.Cut || !ok {
			if root, err = b.commit(objects.ID(first.Hash)); err != nil {
				return false, err
			}
		}
		switch {
		case early != nil:
			remark = leftOut(early.Hash, lookup.DayText(early.Day), lookup.DayText(early.Latest()))
		case ok && found.Day < found.Latest():
			remark = behind(found.Hash, lookup.DayText(found.Day), lookup.DayText(found.Latest()))
		case ok && root.Cut:
			remark = toldFromThere(root)
		}
		if !ok {
			return true, b.nothingBefore(text, []Commit{root})
		}
		c, err = b.commit(objects.ID(found.Hash))
		return err == nil, err
	})
	return c, remark, answered, err
}

// stepsByIndex is Steps by the index, of the files that may hold one of some
// words alone.
func (b *Book) stepsByIndex(from Commit, wanted func(path string) bool, words []string) (steps []Step, answered bool, err error) {
	answered, err = b.ask(from.Hash, func(x *lookup.Index, id uint32) (bool, error) {
		past := x.Past(id)
		paths := slices.DeleteFunc(x.Holding(words), func(p string) bool { return !wanted(p) })
		edits := map[uint32][]lookup.Edit{}
		for _, p := range paths {
			for _, e := range x.Exactly(p) {
				if e.Was != e.Is && past.Holds(e.Commit) {
					edits[e.Commit] = append(edits[e.Commit], e)
				}
			}
		}
		wide := x.Wide()
		if x.Err() != nil {
			return false, x.Err()
		}
		for _, id := range wide {
			if !past.Holds(id) {
				continue
			}
			list, err := b.editsOf(x.At(id), paths)
			if err != nil {
				return false, err
			}
			if edits[id] = list; len(list) == 0 {
				delete(edits, id)
			}
		}
		steps = inOrder(x, edits)
		return true, x.Err()
	})
	return steps, answered, err
}

// editsOf finds what a merge altered among some files.
func (b *Book) editsOf(c lookup.Commit, paths []string) ([]lookup.Edit, error) {
	merge, err := b.commit(objects.ID(c.Hash))
	if err != nil {
		return nil, err
	}
	var list []lookup.Edit
	for k, p := range merge.Parents {
		parent, err := b.commit(objects.ID(p))
		if err != nil {
			return nil, err
		}
		for _, name := range paths {
			was, err := b.fileAt(parent.tree, name)
			if err != nil {
				return nil, err
			}
			is, err := b.fileAt(merge.tree, name)
			if err != nil {
				return nil, err
			}
			if was != is {
				list = append(list, lookup.Edit{Parent: k, Path: name, Was: was, Is: is})
			}
		}
	}
	return list, nil
}

// fileAt gives git's name for the content of a file in a tree, "" of none.
func (b *Book) fileAt(tree objects.ID, p string) (string, error) {
	e, ok, err := b.entryAt(tree, b.inRepo(p))
	if err != nil || !ok || !e.Mode.IsFile() {
		return "", err
	}
	return string(e.ID), nil
}

// inOrder makes steps of edits, oldest first.
func inOrder(x *lookup.Index, edits map[uint32][]lookup.Edit) []Step {
	numbers := map[string]uint32{}
	var commits []lookup.Commit
	for id := range edits {
		c := x.At(id)
		numbers[c.Hash], commits = id, append(commits, c)
	}
	sortByTime(commits)
	steps := make([]Step, 0, len(commits))
	for _, c := range commits {
		s := Step{Hash: c.Hash, Day: lookup.DayText(c.Day), Cut: c.Cut, Against: make([][]Altered, max(len(c.Parents), 1))}
		for _, e := range edits[numbers[c.Hash]] {
			if e.Parent < len(s.Against) {
				s.Against[e.Parent] = append(s.Against[e.Parent], Altered{e.Path, e.Was, e.Is})
			}
		}
		steps = append(steps, s)
	}
	return steps
}

// MayHold gives the files of a state that may hold one of some words as a value,
// by the index: more of them than do, and never fewer, and those that are not in
// the state among them. ok is false where that is not known, so that all have to
// be read.
func MayHold(tree Tree, words []string) (paths []string, ok bool, err error) {
	switch t := tree.(type) {
	case folder:
		return t.mayHold(words)
	case past:
		ok, err = t.book.ask(t.commit, func(x *lookup.Index, _ uint32) (bool, error) {
			paths = x.Holding(words)
			return true, x.Err()
		})
	}
	return paths, ok, err
}
