package book

import (
	"errors"
	"sync"

	"stackbook/record/book/lookup"
	"stackbook/record/book/objects"
)

// side is the side index of a book: what a file in git's folder remembers of
// history, and what was read of it since. Whatever it cannot be asked is
// answered by a walk, with the same outcome.
type side struct {
	from int // how many commits a history needs for an index to be worth it

	mu       sync.Mutex
	index    *lookup.Index
	segments []*lookup.Segment
	kept     int // how many of them lie in files
	files    []interface{ Close() error }
	opened   bool
	suspect  bool            // the files are not to be read again
	off      bool            // no index can be made
	walked   map[string]bool // commits of which too little comes
}

// fewCommits is a history that is walked as soon as an index of it is read.
const fewCommits = 200

// WithIndexFrom says how many commits a history needs for the book to make an
// index of it; without it, 200. With 0 none is made.
func WithIndexFrom(commits int) Option { return func(b *Book) { b.side.from = commits } }

// WithIndexing gives the book a way to tell that it makes an index: how many
// commits are done, of how many; 0 until all were met. With all done it is at its
// end. It is called from several goroutines at once.
func WithIndexing(tell func(done, of int)) Option {
	return func(b *Book) { b.indexing = tell }
}

// ask has a question about a commit's past answered by the index, which is made
// or brought up to the commit first. answered is false where there is none, or
// where ask says so; the question is then for a walk. What was answered from an
// index that proves damaged is forgotten, and asked again of a new one.
func (b *Book) ask(from string, ask func(x *lookup.Index, id uint32) (bool, error)) (answered bool, err error) {
	for range 2 {
		x, id, ok := b.indexTo(from)
		if !ok {
			return false, nil
		}
		answered, err := ask(x, id)
		if x.Err() == nil && !errors.Is(err, lookup.ErrDoubt) {
			return answered && err == nil, err
		}
		b.forget(x)
	}
	return false, nil
}

// indexTo gives an index that knows a commit, and its number there.
func (b *Book) indexTo(from string) (x *lookup.Index, id uint32, ok bool) {
	s := &b.side
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.off || s.from == 0 || b.repo.partial || s.walked[from] {
		return nil, 0, false
	}
	if !s.opened {
		s.opened = true
		b.openIndex()
	}
	if s.index != nil {
		if id, ok := s.index.Find(from); ok {
			return s.index, id, true
		}
	}
	if err := b.growIndex(objects.ID(from)); err != nil {
		if s.walked == nil {
			s.walked = map[string]bool{}
		}
		s.walked[from] = true // a walk says what is wrong
		return nil, 0, false
	}
	id, ok = s.index.Find(from)
	return s.index, id, ok
}

// forget drops an index that cannot be believed.
func (b *Book) forget(x *lookup.Index) {
	s := &b.side
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.index != x {
		return // another goroutine was here
	}
	s.suspect = true
	s.drop()
}

func (s *side) drop() {
	for _, f := range s.files {
		_ = f.Close() // it was read, and nothing else
	}
	s.index, s.segments, s.files, s.kept = nil, nil, nil, 0
}

func (s *side) close() {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.drop()
	s.opened, s.suspect = false, false
}
