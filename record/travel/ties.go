package travel

import (
	"maps"
	"slices"
	"sync"

	"stackbook/record"
)

// Ties tells which engines of a book have to be held against one another, from a
// look at each by itself: those with a serial that one of them has fitted and
// another names as well, as fitted, taken out or crack-tested, and those with a
// lot of which more pieces are fitted than came. Of an engine it keeps no more
// than these words, so that many can be looked at one after the other.
type Ties struct {
	mu      sync.Mutex
	serials map[string]*tie
	came    map[string]int   // by lot, the pieces that came
	fitted  map[string][]int // by lot, the engine of each piece fitted
}

// tie is who names a serial.
type tie struct {
	engines []int // each once
	fitted  bool  // in one of them
}

// NewTies makes ties of no engine yet; files are those of parts/.
func NewTies(files []*record.PartFile) *Ties {
	t := &Ties{serials: map[string]*tie{}, came: map[string]int{}, fitted: map[string][]int{}}
	for _, f := range files {
		if f.Lot == "" || f.Pieces == 0 {
			continue
		}
		if came, ok := t.came[f.Lot]; !ok || f.Pieces < came {
			t.came[f.Lot] = f.Pieces
		}
	}
	return t
}

// Add takes in what the nth engine names. It may be called from several
// goroutines at once.
func (t *Ties) Add(n int, e *record.Engine) {
	own := New([]*record.Engine{e}, nil, nil)
	t.mu.Lock()
	defer t.mu.Unlock()
	for serial, fitted := range own.serials() {
		one := t.serials[serial]
		if one == nil {
			one = &tie{}
			t.serials[serial] = one
		}
		one.engines, one.fitted = append(one.engines, n), one.fitted || fitted
	}
	for _, p := range e.Parts() {
		if _, counted := t.came[p.Lot]; counted {
			t.fitted[p.Lot] = append(t.fitted[p.Lot], n)
		}
	}
}

// Engines lists the engines to be held against one another, in order.
func (t *Ties) Engines() []int {
	t.mu.Lock()
	defer t.mu.Unlock()
	all := map[int]bool{}
	for _, one := range t.serials {
		for _, n := range one.engines {
			all[n] = all[n] || one.fitted && len(one.engines) > 1
		}
	}
	for lot, engines := range t.fitted {
		if len(engines) <= t.came[lot] {
			continue
		}
		for _, n := range engines {
			all[n] = true
		}
	}
	maps.DeleteFunc(all, func(_ int, tied bool) bool { return !tied })
	return slices.Sorted(maps.Keys(all))
}

// serials are those the shop's engines name, and whether they are fitted or no
// more than taken out or crack-tested.
func (s *Shop) serials() (fitted map[string]bool) {
	fitted = map[string]bool{}
	for _, outs := range s.outs {
		for _, out := range outs {
			fitted[out.Serial] = false
		}
	}
	for serial := range s.testsOf {
		fitted[serial] = false
	}
	for _, seats := range s.seats {
		for _, seat := range seats {
			fitted[seat.Part.Serial] = true
		}
	}
	delete(fitted, "")
	return fitted
}
