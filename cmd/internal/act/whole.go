package act

import (
	"bytes"
	"errors"
	"slices"

	"stackbook/diff/history"
	"stackbook/record"
	"stackbook/record/book"
	"stackbook/record/travel"
	"stackbook/schema/problem"
)

// WholeEngine is one engine with all that its pages tell. It is let go when it
// has been told.
type WholeEngine struct {
	Place
	Shop      *Shop // to ask further of this engine, from the goroutine it is told in
	Problems  problem.List
	Line      *InFleet
	Life      *history.Life // nil where the engine cannot be read
	Now       *Loaded       // in the folder
	Delivered map[int]*Loaded
	Wear      *WearOf // nil where it is gone
	Gone      *Gone   // of an engine the folder has not: Now is then how it last stood

	book *record.Record // the folder's; nil where it cannot be read
}

// Whole walks a whole book, as its folder has it and through all its commits:
// take is called with every engine of the folder and those that are gone from it,
// from several goroutines at once, and may be called a second time with one that
// shares parts with another, when that has been seen too. However many engines
// there are, a few of them are in memory at one time, and each record of an engine
// is read and parsed once. What is wanted again is laid aside in files that scratch
// makes, by a name for each.
func (s *Shop) Whole(step Steps, scratch func(name string) (Scratch, error), take func(*WholeEngine) error) (*WholeBook, error) {
	w, err := s.newWhole(scratch, take)
	if err != nil {
		return nil, err
	}
	err = errors.Join(w.run(s, step), w.past.spill.file.Close())
	if err != nil {
		return nil, closeAll(err, w.told)
	}
	return w.told, nil
}

func (s *Shop) newWhole(scratch func(name string) (Scratch, error), take func(*WholeEngine) error) (*whole, error) {
	o, err := s.open("")
	if err != nil {
		return nil, err
	}
	commits, err := scratch(ScratchNames[0])
	if err != nil {
		return nil, err
	}
	parts, err := scratch(ScratchNames[1])
	if err != nil {
		return nil, closeAll(err, commits)
	}
	return &whole{moment: o.moment, rules: o.rules, places: o.places, take: take, related: map[string]bool{}, past: &past{spill: newSpill(commits), steps: map[string][]pastStep{}},
		told: &WholeBook{Fleet: o.fleet(), tree: o.tree, files: map[string][]string{}, filed: history.NewFiled(), spill: newSpill(parts), parts: map[string]*keptPart{}}}, nil
}

func (w *whole) run(s *Shop, step Steps) error {
	if err := w.told.findPartFiles(); err != nil {
		return err
	}
	if err := w.walk(s, step.of("walking through commits")); err != nil {
		return err
	}
	if err := w.each(s, len(w.places), step.of("setting the pages of engines"), w.engine); err != nil {
		return err
	}
	gone, err := w.gone()
	if err != nil {
		return err
	}
	if err := w.each(s, len(gone), step.of("setting the pages of engines that are gone"), func(h *hand, i int) error { return w.goneEngine(h, gone[i]) }); err != nil {
		return err
	}
	if err := w.relatives(s, step.of("setting the pages of engines that share parts")); err != nil {
		return err
	}
	slices.Sort(w.told.Unread)
	if err := w.told.spill.done(); err != nil {
		return err
	}
	return s.addAbsent(w.told.Fleet)
}

// whole is a book on its way to being told.
type whole struct {
	moment moment
	rules  *rules
	places []Place
	take   func(*WholeEngine) error
	past   *past
	told   *WholeBook

	away    map[string]bool // engines that a sparse checkout keeps out of the folder
	related map[string]bool // engines that share a serial with another; with the lock of what is told
	sets    keptRules
}

// hand is one of the goroutines that read a book: with a look at git's objects of
// its own, and a memory for one engine at a time.
type hand struct {
	shop   *Shop
	memory *record.Memory
}

// each does n jobs on all cores, each core with a hand of its own.
func (w *whole) each(s *Shop, n int, step func(done, of int), do func(h *hand, i int) error) error {
	hands := make(chan *hand, cores(n))
	for range cap(hands) {
		b, err := s.Book.Another()
		if err != nil {
			return err
		}
		defer b.Close()
		hands <- &hand{shop: &Shop{Book: b, Now: s.Now, kept: &w.sets}}
	}
	return onAllCores(n, step, func(i int) error {
		h := <-hands
		defer func() { hands <- h }()
		h.memory = record.NewMemory()
		h.shop.memory = h.memory
		return do(h, i)
	})
}

// engine reads one engine and tells it, unless it is known by then that another
// has to be asked first.
func (w *whole) engine(h *hand, i int) error {
	e, err := w.read(h, i)
	if err != nil {
		return err
	}
	steps, err := w.past.of(e.Number)
	if err != nil {
		return err
	}
	if err := w.pastOf(h, steps, e.Now.Engine); err != nil {
		return err
	}
	if waits := w.note(i, e); waits {
		return nil
	}
	return w.tell(i, e, nil)
}

// tell gathers the rest of what is told of an engine, the nth, and tells it.
// others are the engines that had one of its parts.
func (w *whole) tell(n int, e *WholeEngine, others []*record.Engine) error {
	if e.Now.Engine != nil {
		shop, err := w.shopOf(e, others)
		if err != nil {
			return err
		}
		if len(others) > 0 {
			e.Now.Guards = shop.Guards(e.Now.Engine)
			e.Line.stand(e.Now.Engine, e.Now.Guards, w.rules.book, w.told.Today)
		}
		if err := w.told.keepTraces(n, shop.Traces(e.Now.Engine)); err != nil {
			return err
		}
		if plausible(e.Now.Engine) {
			if err := e.builds(); err != nil {
				return err
			}
			e.Wear = wearOf(e.Now, shop, w.rules.book)
		}
	}
	w.told.Engines[n] = e.Line // no other goroutine has this engine
	return w.take(e)
}

// shopOf is what is known of an engine's parts, with other engines that had one of
// them.
func (w *whole) shopOf(e *WholeEngine, others []*record.Engine) (*travel.Shop, error) {
	all := append(others, e.Now.Engine)
	var files []*record.PartFile
	for _, one := range all {
		list, err := partFilesOf(w.moment.tree, one)
		if err != nil {
			return nil, err
		}
		files = append(files, list...)
	}
	return travel.New(all, files, bookInterval(w.rules.book)), nil
}

// read loads an engine as the folder has it.
func (w *whole) read(h *hand, i int) (*WholeEngine, error) {
	e := &WholeEngine{Place: w.places[i], Shop: h.shop, Delivered: map[int]*Loaded{}, book: w.rules.book}
	h.shop.place = e.Place
	r := *w.rules
	r.memory, r.lightly = h.memory, true
	var err error
	if e.Now, err = r.load(w.moment.tree, e.Place, e.Number); err != nil {
		return nil, err
	}
	e.Now.Commit = w.moment.hash()
	e.Line, e.Problems = inFleet(e.Now, r.book, w.told.Today), e.Now.Problems
	return e, nil
}

// builds loads each build of an engine as it was delivered, and tells its life.
func (e *WholeEngine) builds() error {
	earlier, err := e.Shop.earlier(e.Now)
	if err != nil {
		return err
	}
	e.Problems = e.Now.Problems
	var states []history.State
	for _, b := range earlier {
		e.Delivered[b.Build] = b.Loaded
		states = append(states, stateOf(b.Loaded, b.Build))
	}
	e.Life = history.Of(append(states, stateOf(e.Now, e.Now.Engine.Build)))
	return e.lastDelivered()
}

// lastDelivered loads the build that is in the folder as it was delivered, where
// it was.
func (e *WholeEngine) lastDelivered() error {
	n := e.Now.Engine.Build
	if e.Now.Engine.Delivered(n) == nil {
		return nil
	}
	l, err := e.asNow(n)
	if l != nil || err != nil {
		if l != nil {
			e.Delivered[n] = l
		}
		return err
	}
	l, err = e.Shop.build(Name{Engine: e.Number, Build: n}, BuildName(e.Number, n))
	var unknown *UsageError
	var cut *book.CutOffError
	if errors.As(err, &unknown) || errors.As(err, &cut) {
		return nil // not committed yet, or history is cut off: there is no such state
	}
	if err == nil && l.Engine != nil && anotherEngine(l, e.Now, n) == nil {
		e.Delivered[n] = l
	}
	return err
}

// asNow gives the sealed state of the build in the folder where nothing its
// figures rest on is other than it was delivered, so that it need not be worked
// again; nil where that is not so.
func (e *WholeEngine) asNow(n int) (*Loaded, error) {
	c, ok, err := e.Shop.Book.ResolveTag(TagName(e.Number, n))
	if err != nil || !ok {
		return nil, nil // told where the state is read
	}
	tree := e.Shop.Book.At(c)
	files, unread, err := gather(tree, e.Folder)
	if err != nil || len(unread) > 0 || !slices.EqualFunc(files, e.Now.files, func(a, b record.File) bool { return a.Path == b.Path && bytes.Equal(a.Data, b.Data) }) {
		return nil, err
	}
	r, err := e.Shop.rulesOf(tree)
	if err != nil {
		return nil, err
	}
	limits, _, err := r.limitsFor(e.Now.Engine)
	if err != nil || !sameSet(limits, e.Now.Figures.Limits) || !sameText(r.book, e.book) {
		return nil, err
	}
	l := *e.Now
	l.Name, l.Commit, l.Remarks = BuildName(e.Number, n), c.Hash, nil
	l.Guards, err = r.guards(l.Engine)
	return asTold(&l), err
}

func sameSet(a, b *record.LimitSet) bool {
	if a == nil || b == nil {
		return a == b
	}
	return sameText(a.Record, b.Record)
}

// sameText tells whether two records are written alike, at one path.
func sameText(a, b *record.Record) bool {
	if a == nil || b == nil {
		return a == b
	}
	return a.Path == b.Path && bytes.Equal(a.Doc.Text(), b.Doc.Text())
}

// note takes in what others have to know of an engine, the nth, and tells whether
// it shares a part with one that was seen before.
func (w *whole) note(n int, e *WholeEngine) (waits bool) {
	if e.Now.Engine == nil {
		return false
	}
	w.told.mu.Lock()
	defer w.told.mu.Unlock()
	for _, serial := range serialsOf(e.Now.Engine) {
		p := w.told.part(serial)
		for _, other := range p.users {
			if number := w.places[other].Number; number != e.Number {
				w.related[number], w.related[e.Number] = true, true
				waits = true
			}
		}
		p.users = append(p.users, int32(n))
	}
	return waits
}

// serialsOf lists the serials an engine's records name: fitted, read and taken
// out.
func serialsOf(e *record.Engine) []string {
	list := serialsRead(e)
	for _, c := range e.Changes {
		for _, r := range c.Removed() {
			if r.Serial != "" && !slices.Contains(list, r.Serial) {
				list = append(list, r.Serial)
			}
		}
	}
	return list
}

// relatives tells once more the engines that share parts with others, when all
// are known: crack tests, hours and wear follow a part from one into another.
func (w *whole) relatives(s *Shop, step func(done, of int)) error {
	var again []int
	for i, p := range w.places {
		if w.related[p.Number] {
			again = append(again, i)
		}
	}
	return w.each(s, len(again), step, func(h *hand, n int) error { return w.relative(h, again[n]) })
}

func (w *whole) relative(h *hand, n int) error {
	e, err := w.read(h, n)
	if err != nil {
		return err
	}
	var others []*record.Engine
	if e.Now.Engine != nil {
		if others, err = w.othersOf(n, e.Now.Engine); err != nil {
			return err
		}
	}
	return w.tell(n, e, others)
}

// othersOf reads the engines that name a serial which the nth engine names as
// well.
func (w *whole) othersOf(n int, e *record.Engine) ([]*record.Engine, error) {
	var others []*record.Engine
	seen := map[int32]bool{int32(n): true}
	for _, serial := range serialsOf(e) {
		w.told.mu.Lock()
		users := slices.Clone(w.told.part(serial).users)
		w.told.mu.Unlock()
		for _, user := range users {
			if seen[user] {
				continue
			}
			seen[user] = true
			other, err := readEngine(w.moment.tree, w.places[user])
			if err != nil {
				return nil, err
			}
			if other != nil {
				others = append(others, other)
			}
		}
	}
	return others, nil
}
