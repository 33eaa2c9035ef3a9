// Package lookup is the side index of a book's history: a cache, made of what
// git's objects say and of nothing else, in which the commits that touched a
// path, the commit of a day, and the files that ever held a word are found
// without a walk.
//
// An index is one or more segments, each a flat sorted file (or the same bytes
// in memory) that is read by binary search where it lies. A segment holds
// commits, each behind its parents, and what they altered; a later one goes on
// where those before it end. What is in a segment is true of its commits for
// ever, since a commit's name tells its content: a branch that moves, a past
// that is rewritten, an object that git throws away make nothing in it wrong,
// and every question is asked of one commit and answered from those it comes
// from.
//
// Every block that is read has a checksum. Whoever meets one that does not fit
// gets ErrDoubt, and is to make the index anew.
package lookup

import (
	"encoding/hex"
	"errors"
	"slices"
	"sort"
	"time"
)

// ErrDoubt says that an index, or a part of it that was read, is not what was
// once written.
var ErrDoubt = errors.New("the side index is damaged")

// none stands for no commit.
const none = ^uint32(0)

// Index is what is known of some commits and of all they come from. It is safe
// for use from several goroutines.
type Index struct{ segments []*segment }

// Over gives the index made of segments, each of which goes on where those
// before it end; ErrDoubt where they do not.
func Over(parts ...*Segment) (*Index, error) {
	x := &Index{}
	for _, p := range parts {
		s := p.segment
		last := x.last()
		if s.start != x.Len() || last != nil && s.before != last.file.id || last == nil && s.before != 0 {
			return nil, ErrDoubt
		}
		x.segments = append(x.segments, s)
	}
	return x, nil
}

func (x *Index) last() *segment {
	if x == nil || len(x.segments) == 0 {
		return nil
	}
	return x.segments[len(x.segments)-1]
}

// Len is how many commits are known.
func (x *Index) Len() uint32 {
	if last := x.last(); last != nil {
		return last.start + last.count
	}
	return 0
}

// Err is ErrDoubt once anything was read that is not what was written; nothing
// that was told since the index was opened may then be believed.
func (x *Index) Err() error {
	for _, s := range x.segments {
		if s.file.doubted() {
			return ErrDoubt
		}
	}
	return nil
}

// Commit is what is known of one commit. Its number is its place in the index;
// its parents have lower ones.
type Commit struct {
	Hash    string
	Day     int32 // of the committer, in his own zone: days since 1970
	Cut     bool  // its parents were not fetched
	Wide    bool  // a merge of so much that only what differs from every parent is told
	Parents []uint32

	latest int32  // the latest day on the way to it from the first commit, by first parents
	effect int64  // the latest time of it and all it comes from: seconds since 1970
	height uint32 // the most commits on a way to it
	depth  uint32 // how many first parents it has before it
	jump   uint32 // one of them, far back
	early  uint32 // it or the nearest of them with a day before the latest; or none
	all    bool   // it comes from all that have lower numbers

	id              uint32 // its number
	author, subject uint32 // where their texts lie; or none
}

// Find gives the number of a commit.
func (x *Index) Find(hash string) (id uint32, ok bool) {
	key, err := hex.DecodeString(hash)
	if err != nil {
		return 0, false
	}
	for _, s := range x.segments {
		if id, ok := s.find(key); ok {
			return id, true
		}
	}
	return 0, false
}

// At gives a commit by its number.
func (x *Index) At(id uint32) Commit {
	for _, s := range x.segments {
		if id-s.start < s.count {
			c := s.commit(id - s.start)
			c.id = id
			return c
		}
	}
	return Commit{}
}

// Said gives the name of who wrote a commit that At gave, and its subject; ok is
// false where one of them is longer than what is kept.
func (x *Index) Said(c Commit) (author, subject string, ok bool) {
	for _, s := range x.segments {
		if c.id-s.start < s.count {
			author, ok = s.said(c.author)
			subject, also := s.said(c.subject)
			return author, subject, ok && also
		}
	}
	return "", "", false
}

// Before tells whether a commit stands before another in time: by the latest
// committer time of each and all it comes from, so that none stands before its
// parents whatever the clocks said; then by the most commits on a way to it,
// then by name.
func (c Commit) Before(o Commit) bool {
	switch {
	case c.effect != o.effect:
		return c.effect < o.effect
	case c.height != o.height:
		return c.height < o.height
	}
	return c.Hash < o.Hash
}

// Past tells which commits one comes from, itself included.
type Past struct {
	below  uint32 // all whose numbers are lower
	marked map[uint32]bool
}

// Holds tells whether a commit is among them.
func (p Past) Holds(id uint32) bool { return id < p.below || p.marked[id] }

// Past gives the commits one comes from. Where it has all that have lower
// numbers among them, as in any history that was not rewritten and has no open
// branches, it costs one look.
func (x *Index) Past(from uint32) Past {
	p := Past{marked: map[uint32]bool{from: true}}
	for id := from; ; id-- {
		if p.marked[id] {
			c := x.At(id)
			if c.all {
				p.below = id
				return p
			}
			for _, parent := range c.Parents {
				p.marked[parent] = true
			}
		}
		if id == 0 {
			return p
		}
	}
}

// Edit is one file that a commit altered against one of its parents. Names of
// content are empty where there was or is no file.
type Edit struct {
	Commit  uint32
	Parent  int // which of its parents; 0 of a commit without
	Path    string
	Was, Is string
}

// Touching gives the edits at a path, of the file or whatever lies below the
// folder, without order. Those of what is no plain file, or of its mode alone,
// have equal names.
func (x *Index) Touching(path string) []Edit {
	var list []Edit
	for _, s := range x.segments {
		from, to := s.pathsFrom(path), s.pathsFrom(path+"\x00")
		list = s.edits(list, from, to)
		// "0" is the byte after "/", so the two enclose all that lies inside.
		list = s.edits(list, s.pathsFrom(path+"/"), s.pathsFrom(path+"0"))
	}
	return list
}

// Exactly gives the edits of one file.
func (x *Index) Exactly(path string) []Edit {
	var list []Edit
	for _, s := range x.segments {
		list = s.edits(list, s.pathsFrom(path), s.pathsFrom(path+"\x00"))
	}
	return list
}

// Wide gives the commits of which not every edit is told.
func (x *Index) Wide() []uint32 {
	var list []uint32
	for _, s := range x.segments {
		list = append(list, s.wide()...)
	}
	return list
}

// Holding gives the files of which any version in any commit may hold one of
// some words as a value: more of them than do, and never fewer. They are sorted.
func (x *Index) Holding(words []string) []string {
	var paths []string
	for _, s := range x.segments {
		ids := map[uint32]bool{}
		for _, w := range words {
			if w != "" {
				s.holding(w, ids)
			}
		}
		for id := range ids {
			paths = append(paths, s.path(id))
		}
	}
	slices.Sort(paths)
	return slices.Compact(paths)
}

// OnOrBefore gives the newest commit on a commit's line of first parents at which
// the latest day so far is on or before a day; ok is false where none is.
// early is the first commit behind it whose own day would let it in, or nil.
// Latest tells the latest day at either.
func (x *Index) OnOrBefore(from uint32, day int32) (found Commit, ok bool, early *Commit) {
	c := x.At(from)
	limit := none // where it is, nothing further is asked
	for {
		if c.latest <= day {
			found, ok, limit = c, true, c.depth
			break
		}
		if c.depth == 0 || x.Err() != nil {
			break
		}
		far := x.At(c.jump)
		if far.latest > day {
			c = far
			continue
		}
		c = x.At(c.Parents[0])
	}
	for e := x.At(from).early; e != none && x.Err() == nil; {
		c := x.At(e)
		if limit != none && c.depth <= limit {
			break
		}
		if c.Day <= day {
			early = &c
		}
		if c.depth == 0 {
			break
		}
		e = x.At(c.Parents[0]).early
	}
	return found, ok, early
}

// Latest gives the latest day of a commit and those before it on its line of
// first parents.
func (c Commit) Latest() int32 { return c.latest }

// First gives the first commit of a commit's line of first parents.
func (x *Index) First(from uint32) Commit {
	c := x.At(from)
	for c.depth > 0 && x.Err() == nil {
		c = x.At(c.jump)
	}
	return c
}

// DayOf gives a day, in its own zone, as days since 1970; ok is false before
// the year 0 and after 9999, which no text of a day tells.
func DayOf(t time.Time) (day int32, ok bool) {
	year, month, d := t.Date()
	if year < 0 || year > 9999 {
		return 0, false
	}
	return int32(time.Date(year, month, d, 0, 0, 0, 0, time.UTC).Unix() / 86400), true
}

// DayText gives days since 1970 as YYYY-MM-DD.
func DayText(day int32) string {
	return time.Unix(int64(day)*86400, 0).UTC().Format(time.DateOnly)
}

// search gives the first of n rows that is not below what is looked for.
func search(n uint32, notBelow func(row uint32) bool) uint32 {
	return uint32(sort.Search(int(n), func(i int) bool { return notBelow(uint32(i)) }))
}
