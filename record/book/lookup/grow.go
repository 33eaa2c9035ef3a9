package lookup

import (
	"bytes"
	"encoding/binary"
	"encoding/hex"
	"fmt"
	"slices"
	"sync"
	"time"
)

// New is a commit that is to be known.
type New struct {
	Hash    string
	Parents []string
	When    time.Time // the committer's, in his zone
	Cut     bool
	Wide    bool

	Author, Subject string // who wrote it, and of what
}

// NewEdit is what a commit altered. Content is named by the bytes of its hash.
type NewEdit struct {
	Commit          int // which of the new commits
	Parent          int
	Path            string
	Was, Is         string
	WasFile, IsFile bool // what has the name is a file of the book
}

// Growth is what an index is to know besides: commits whose parents it knows or
// are among them, in any order.
type Growth struct {
	Hash    int // bytes of one
	Commits []New
	Edits   []NewEdit
	Words   []*Words
}

// Grow makes the segment that goes on where an index ends; the index may be nil.
// Its bytes are as they may lie in a file.
func (x *Index) Grow(key Key, g *Growth) ([]byte, error) {
	r := &raw{hash: g.Hash, start: x.Len()}
	if last := x.last(); last != nil {
		r.before = last.file.id
	}
	var number []uint32
	var err error
	var beside sync.WaitGroup
	beside.Go(func() { number, err = x.addCommits(r, g) })
	r.takeWords(g.Words)
	at := r.takePaths(g.Edits)
	beside.Wait()
	if err != nil {
		return nil, err
	}
	r.edits = make([]rawEdit, 0, len(g.Edits))
	for i := range g.Edits {
		e := &g.Edits[i]
		if e.Parent > 255 {
			return nil, fmt.Errorf("commit %s has more than 255 parents", g.Commits[e.Commit].Hash)
		}
		r.edits = append(r.edits, e.raw(at[i], number[e.Commit]))
	}
	return r.encode(key), nil
}

// addCommits adds the rows of all new commits, and gives the number of each. Of
// the segment it touches nothing but them and what is said of them.
func (x *Index) addCommits(r *raw, g *Growth) ([]uint32, error) {
	grown, err := x.place(g)
	if err != nil {
		return nil, err
	}
	number := make([]uint32, len(g.Commits))
	for i, c := range grown {
		number[c.from] = r.start + uint32(i)
		c.author, c.subject = r.say(g.Commits[c.from].Author), r.say(g.Commits[c.from].Subject)
		if err := r.addCommit(c.Commit); err != nil {
			return nil, err
		}
	}
	return number, nil
}

// takePaths adds the paths of edits that are not there yet, and gives where each
// edit's is.
func (r *raw) takePaths(edits []NewEdit) []uint32 {
	paths := make(map[string]uint32, len(r.paths))
	for i, p := range r.paths {
		paths[p] = uint32(i)
	}
	at := make([]uint32, len(edits))
	for i := range edits {
		p := edits[i].Path
		id, known := paths[p]
		if !known {
			id = uint32(len(r.paths))
			paths[p], r.paths = id, append(r.paths, p)
		}
		at[i] = id
	}
	return at
}

func (e *NewEdit) raw(path, commit uint32) rawEdit {
	out := rawEdit{path: path, commit: commit, parent: byte(e.Parent)}
	copy(out.was[:], e.Was)
	copy(out.is[:], e.Is)
	if e.WasFile {
		out.flags |= wasFile
	}
	if e.IsFile {
		out.flags |= isFile
	}
	return out
}

// placed is a new commit in its place.
type placed struct {
	Commit
	from int // which of the new ones it is
}

// place works out what is told of each new commit, in the order of Before.
func (x *Index) place(g *Growth) ([]placed, error) {
	of := make(map[string]int, len(g.Commits)) // by hash
	for i, c := range g.Commits {
		of[c.Hash] = i
	}
	list := make([]placed, len(g.Commits))
	done := make([]bool, len(g.Commits))
	for i := range g.Commits {
		for waiting := []int{i}; len(waiting) > 0; {
			at := waiting[len(waiting)-1]
			before := len(waiting)
			for _, p := range g.Commits[at].Parents {
				if k, isNew := of[p]; isNew && !done[k] {
					waiting = append(waiting, k)
				}
			}
			if len(waiting) > before {
				if len(waiting) > 4*len(g.Commits)+1024 {
					return nil, fmt.Errorf("commit %s comes from itself", g.Commits[at].Hash)
				}
				continue
			}
			waiting = waiting[:before-1]
			if done[at] {
				continue
			}
			done[at] = true
			c := &list[at]
			c.from, c.Hash, c.Cut, c.Wide = at, g.Commits[at].Hash, g.Commits[at].Cut, g.Commits[at].Wide
			c.effect = g.Commits[at].When.Unix()
			for _, p := range g.Commits[at].Parents {
				parent, err := x.parent(p, of, list)
				if err != nil {
					return nil, err
				}
				c.effect, c.height = max(c.effect, parent.effect), max(c.height, parent.height+1)
			}
		}
	}
	slices.SortFunc(list, func(a, b placed) int {
		if a.Before(b.Commit) {
			return -1
		}
		return 1
	})
	return list, x.line(g, list)
}

func (x *Index) parent(hash string, of map[string]int, list []placed) (Commit, error) {
	if k, isNew := of[hash]; isNew {
		return list[k].Commit, nil
	}
	if x != nil {
		if id, ok := x.Find(hash); ok {
			return x.At(id), x.Err()
		}
	}
	return Commit{}, fmt.Errorf("the index knows no commit %s", hash)
}

// line fills in what is told of each commit's line of first parents, and of its
// place among all.
func (x *Index) line(g *Growth, list []placed) error {
	start := x.Len()
	number := make(map[string]uint32, len(list))
	for i, c := range list {
		number[c.Hash] = start + uint32(i)
	}
	at := func(id uint32) Commit {
		if id >= start {
			return list[id-start].Commit
		}
		return x.At(id)
	}
	for i := range list {
		c, id := &list[i], start+uint32(i)
		for _, p := range g.Commits[c.from].Parents {
			parent, isNew := number[p]
			if !isNew {
				parent, _ = x.Find(p)
			}
			c.Parents = append(c.Parents, parent)
		}
		day, ok := DayOf(g.Commits[c.from].When)
		if !ok {
			return fmt.Errorf("commit %s is of no year that a day tells", c.Hash)
		}
		c.Day, c.latest, c.jump, c.early = day, day, id, none
		if len(c.Parents) > 0 {
			c.follow(c.Parents[0], at)
		}
		if c.Day < c.latest {
			c.early = id
		}
		c.all = hasAll(id, c.Parents, at)
	}
	if x == nil {
		return nil
	}
	return x.Err()
}

// follow goes on from a first parent. The jumps are those of a skew-binary list:
// whoever goes back, by a jump where it does not lead too far and else by one, is
// there after a number of steps that grows as the logarithm of the way (Myers,
// An applicative random-access stack, 1983, from memory).
func (c *Commit) follow(first uint32, at func(uint32) Commit) {
	p := at(first)
	c.depth, c.latest, c.early, c.jump = p.depth+1, max(c.Day, p.latest), p.early, first
	if near := at(p.jump); p.depth-near.depth == near.depth-at(near.jump).depth {
		c.jump = near.jump
	}
}

// hasAll tells whether a commit comes from every one with a lower number.
func hasAll(id uint32, parents []uint32, at func(uint32) Commit) bool {
	marked := map[uint32]bool{}
	for _, p := range parents {
		marked[p] = true
	}
	for id > 0 {
		id--
		if !marked[id] {
			return false
		}
		c := at(id)
		if c.all {
			return true
		}
		for _, p := range c.Parents {
			marked[p] = true
		}
	}
	return true
}

// addCommit adds the row of the next commit.
func (r *raw) addCommit(c Commit) error {
	hash, err := hex.DecodeString(c.Hash)
	if err != nil || len(hash) != r.hash {
		return fmt.Errorf("%q is not the name of a commit here", c.Hash)
	}
	flags := uint32(0)
	for _, f := range [...]struct {
		flag uint32
		set  bool
	}{{flagCut, c.Cut}, {flagWide, c.Wide}, {flagAll, c.all}} {
		if f.set {
			flags |= f.flag
		}
	}
	first, second := none, none
	switch n := len(c.Parents); {
	case n > 2:
		flags |= flagMany
		first, second = c.Parents[0], uint32(len(r.many))
		r.many = append(append(r.many, uint32(n)), c.Parents...)
	case n == 2:
		first, second = c.Parents[0], c.Parents[1]
	case n == 1:
		first = c.Parents[0]
	}
	if c.Wide {
		r.wide = append(r.wide, r.start+uint32(len(r.commits)/(commitFixed+r.hash)))
	}
	r.commits = binary.LittleEndian.AppendUint64(r.commits, uint64(c.effect))
	for _, n := range []uint32{c.height, uint32(c.Day), uint32(c.latest), c.depth, c.jump, c.early, first, second, flags, c.author, c.subject} {
		r.commits = binary.LittleEndian.AppendUint32(r.commits, n)
	}
	r.commits = append(r.commits, hash...)
	return nil
}

// Words gathers in which files words stand. It is for one goroutine.
type Words struct {
	of    map[string]uint32
	paths []string
	words map[uint64][]uint32 // nil: common

	// What was taken in lately: nearly every word of a record stands in it more
	// than once.
	lately [1 << 12]struct {
		hash uint64
		path uint32
	}
}

// NewWords gathers from nothing.
func NewWords() *Words { return &Words{of: map[string]uint32{}, words: map[uint64][]uint32{}} }

// Add takes in one version of a record. names are further words it goes by.
func (w *Words) Add(path string, data []byte, names ...string) {
	id, known := w.of[path]
	if !known {
		id = uint32(len(w.paths))
		w.of[path], w.paths = id, append(w.paths, path)
		w.add(recordWord, id)
	}
	add := func(hash uint64) { w.add(hash, id) }
	eachWord(data, add)
	for _, n := range names {
		eachWord(n, add)
	}
	if bytes.IndexByte(data, '\\') >= 0 {
		w.add(escapedWord, id)
	}
}

func (w *Words) add(hash uint64, path uint32) {
	last := &w.lately[hash%uint64(len(w.lately))]
	if last.hash == hash && last.path == path && hash >= firstWord {
		return
	}
	last.hash, last.path = hash, path
	list, known := w.words[hash]
	switch {
	case known && list == nil || len(list) > 0 && list[len(list)-1] == path:
	case len(list) >= 2*mostPaths && hash >= firstWord:
		w.words[hash] = few(list, hash)
	default:
		w.words[hash] = append(list, path)
	}
}

// mostPaths is in how many files a word is told to stand; one in more is common,
// and tells nothing.
const mostPaths = 8192

// few sorts a list of paths and gives nil where they are too many.
func few(list []uint32, hash uint64) []uint32 {
	slices.Sort(list)
	list = slices.Compact(list)
	if len(list) > mostPaths && hash >= firstWord {
		return nil
	}
	return list
}
