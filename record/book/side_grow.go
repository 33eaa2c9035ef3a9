package book

import (
	"bytes"
	"errors"
	"path"
	"runtime/debug"
	"strings"

	"stackbook/record/book/lookup"
	"stackbook/record/book/objects"
)

// errFew says that a history is too short for an index, or none can be kept;
// errOther, that it is mostly another than the index knows, and a new one is made
// as quickly.
var (
	errFew   = errors.New("not worth an index")
	errOther = errors.New("another history")
)

// sideDirs are the folders of which the index tells every edit.
var sideDirs = []string{"engines", "parts"}

// gcPercent is how much memory may be handed out anew before what is no longer
// used is looked for: nearly all that is read here is used once. gcWhole is the
// same where all of history is read, of which much is held.
const (
	gcPercent = 400
	gcWhole   = 40
)

// growIndex has the index know a commit and all it comes from. The caller holds
// the lock.
func (b *Book) growIndex(from objects.ID) error {
	s := &b.side
	key, err := b.sideKey()
	if err != nil {
		return err
	}
	defer debug.SetGCPercent(debug.SetGCPercent(gcPercent))
	g, err := b.growth(s.index, from)
	if errors.Is(err, errOther) {
		s.drop()
		g, err = b.growth(nil, from)
	}
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

// sideWorker does a share of the commits.
type sideWorker struct {
	book   *Book
	store  *objects.Store
	words  *lookup.Words
	differ *rawDiffer
	paths  map[string]string // each once
}

// mostEdits is how many files a merge may have altered against its parents for
// all of them to be kept. Of a wider one only what differs from every parent is.
const mostEdits = 2000

func (w *sideWorker) commit(i int, c *slim) ([]lookup.NewEdit, error) {
	parents := []objects.ID{""} // a first commit is held against nothing
	if len(c.Parents) > 0 {
		parents = c.parents
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
