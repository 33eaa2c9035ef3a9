package book

import (
	"bytes"
	"errors"
	"path"
	"strings"
	"sync"

	"stackbook/record/book/lookup"
	"stackbook/record/book/objects"
)

// errFew says that a history is too short for an index, or none can be kept.
var errFew = errors.New("not worth an index")

// sideDirs are the folders of which the index tells every edit.
var sideDirs = []string{"engines", "parts"}

// growIndex has the index know a commit and all it comes from. The caller holds
// the lock.
func (b *Book) growIndex(from objects.ID) error {
	s := &b.side
	key, err := b.sideKey()
	if err != nil {
		return err
	}
	fresh, err := b.unknownTo(s.index, from)
	if err != nil {
		return err
	}
	if s.index != nil && len(fresh) > int(s.index.Len())/2+s.from {
		s.drop() // mostly another history: a new index is as quick
		if fresh, err = b.unknownTo(nil, from); err != nil {
			return err
		}
	}
	if s.index == nil && (len(fresh) < s.from || !b.canKeep()) {
		return errFew
	}
	g, err := b.growth(fresh)
	if err != nil {
		return err
	}
	data, err := s.index.Grow(key, g)
	if err != nil {
		return err
	}
	part, err := lookup.Open(bytes.NewReader(data), int64(len(data)), key)
	if err != nil {
		return err
	}
	x, err := lookup.Over(append(s.segments[:len(s.segments):len(s.segments)], part)...)
	if err != nil {
		return err
	}
	s.index, s.segments = x, append(s.segments, part)
	b.keep(key, data)
	return nil
}

// slim is what an index needs of a commit.
type slim struct {
	lookup.New
	tree objects.ID
}

// unknownTo reads the commits that one comes from, itself included, as far as an
// index does not know them; a child stands before its parents.
func (b *Book) unknownTo(x *lookup.Index, from objects.ID) ([]*slim, error) {
	seen := map[objects.ID]bool{from: true}
	var list []*slim
	for waiting := []objects.ID{from}; len(waiting) > 0; {
		id := waiting[len(waiting)-1]
		waiting = waiting[:len(waiting)-1]
		c, err := b.commit(id)
		if err != nil {
			return nil, err
		}
		list = append(list, &slim{lookup.New{Hash: c.Hash, Parents: c.Parents, When: c.Committer.When, Cut: c.Cut}, c.tree})
		for _, p := range c.Parents {
			id := objects.ID(p)
			if seen[id] {
				continue
			}
			seen[id] = true
			if x != nil {
				if _, known := x.Find(p); known {
					continue
				}
			}
			waiting = append(waiting, id)
		}
	}
	if x != nil {
		return list, x.Err()
	}
	return list, nil
}

// growth finds out what the new commits altered, and the words of it.
func (b *Book) growth(fresh []*slim) (*lookup.Growth, error) {
	g := &lookup.Growth{Hash: b.repo.format.Size()}
	trees := make(map[string]objects.ID, len(fresh))
	for _, c := range fresh {
		trees[c.Hash] = c.tree
	}
	edits := make([][]lookup.NewEdit, len(fresh))
	var lock sync.Mutex
	err := b.onAllCores(len(fresh), b.indexing, func(store *objects.Store) func(i int) error {
		w := &sideWorker{book: b, store: store, trees: trees, words: lookup.NewWords(), differ: newRawDiffer(store), paths: map[string]string{}}
		lock.Lock()
		g.Words = append(g.Words, w.words)
		lock.Unlock()
		return func(i int) error {
			var err error
			edits[i], err = w.commit(i, fresh[i])
			return err
		}
	})
	for i, c := range fresh {
		g.Commits = append(g.Commits, c.New)
		g.Edits = append(g.Edits, edits[i]...)
	}
	return g, err
}

// sideWorker does a share of the commits.
type sideWorker struct {
	book   *Book
	store  *objects.Store
	trees  map[string]objects.ID // of the new commits
	words  *lookup.Words
	differ *rawDiffer
	paths  map[string]string // each once
}

// mostEdits is how many files a merge may have altered against its parents for
// all of them to be kept. Of a wider one only what differs from every parent is.
const mostEdits = 2000

func (w *sideWorker) commit(i int, c *slim) ([]lookup.NewEdit, error) {
	parents, err := w.parentTrees(c)
	if err != nil {
		return nil, err
	}
	var list []lookup.NewEdit
	for k, parent := range parents {
		for _, dir := range sideDirs {
			err := w.differ.between(parent, c.tree, w.book.inRepo(dir), func(p string, was, is rawEntry) {
				e := lookup.NewEdit{Commit: i, Parent: k, Path: w.path(p), Was: string(was.id), Is: string(is.id), WasFile: was.mode.IsFile(), IsFile: is.mode.IsFile()}
				list = append(list, e)
			})
			if err != nil {
				return nil, err
			}
		}
	}
	own := list
	if len(parents) > 1 {
		own = ofAll(list, len(parents))
		if c.Wide = len(list) > mostEdits; c.Wide {
			list = own
		}
	}
	return list, w.read(own)
}

// ofAll gives the edits of those paths that differ from every parent.
func ofAll(list []lookup.NewEdit, parents int) []lookup.NewEdit {
	count := map[string]int{}
	for _, e := range list {
		count[e.Path]++
	}
	var own []lookup.NewEdit
	for _, e := range list {
		if count[e.Path] == parents {
			own = append(own, e)
		}
	}
	return own
}

// path gives a path in the book for one in the repository.
func (w *sideWorker) path(p string) string {
	p = strings.TrimPrefix(p, w.book.repo.prefix)
	if known, ok := w.paths[p]; ok {
		return known
	}
	w.paths[p] = p
	return p
}

// parentTrees gives the trees a commit is held against; that of a first commit is
// empty.
func (w *sideWorker) parentTrees(c *slim) ([]objects.ID, error) {
	if len(c.Parents) == 0 {
		return []objects.ID{""}, nil
	}
	var list []objects.ID
	for _, p := range c.Parents {
		tree, isNew := w.trees[p]
		if !isNew {
			data, err := w.store.ReadKind(objects.ID(p), objects.Commit)
			if err != nil {
				return nil, err
			}
			parent, err := parseCommit(objects.ID(p), data)
			if err != nil {
				return nil, err
			}
			tree = parent.tree
		}
		list = append(list, tree)
	}
	return list, nil
}

// read takes in the words of the records a commit brought. Whatever a merge has
// of one of its parents, that parent's commits brought.
func (w *sideWorker) read(edits []lookup.NewEdit) error {
	for _, e := range edits {
		if !e.IsFile || e.Parent > 0 || e.WasFile && e.Was == e.Is || !holdsWords(e.Path) {
			continue
		}
		data, err := w.store.ReadKind(objects.FromRaw([]byte(e.Is)), objects.Blob)
		if err != nil {
			return err
		}
		w.words.Add(e.Path, data, numberIn(e.Path))
	}
	return nil
}

// holdsWords tells whether a file's words are listed: those of every record. What
// was computed from them names nothing of its own.
func holdsWords(p string) bool {
	return path.Ext(p) == ".yaml" && path.Base(p) != "figures.yaml"
}

// numberIn gives the name of the folder in a group of engines that a path leads
// through, by which its engine goes.
func numberIn(p string) string {
	if segments := strings.SplitN(p, "/", 4); len(segments) == 4 && segments[0] == "engines" {
		return segments[2]
	}
	return ""
}
