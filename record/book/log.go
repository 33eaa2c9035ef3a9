package book

import (
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

// logByWalk is Log by looking at every commit.
func (b *Book) logByWalk(head Commit, prefix string) ([]Commit, error) {
	line, err := b.threads(head)
	if err != nil {
		return nil, err
	}
	look := pathIn{b, splitPath(b.inRepo(prefix)), map[step]string{}}
	var out []Commit
	for _, t := range slices.Backward(line) {
		changed, err := look.changedBy(t.tree, t.trees())
		if err != nil {
			return nil, err
		}
		if !changed {
			continue
		}
		c, err := b.commit(t.hash)
		if err != nil {
			return nil, err
		}
		out = append(out, c)
	}
	return out, nil
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

// changedBy says whether the entry of a commit of that tree differs from those of
// its parents.
func (l pathIn) changedBy(tree objects.ID, parents []objects.ID) (bool, error) {
	here, err := l.entry(tree, 0)
	if err != nil {
		return false, err
	}
	if len(parents) == 0 {
		return here != "", nil
	}
	for _, p := range parents {
		there, err := l.entry(p, 0)
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
