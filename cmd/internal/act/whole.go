package act

import (
	"bytes"
	"errors"
	"slices"
	"sync"

	"stackbook/diff/history"
	"stackbook/record"
	"stackbook/record/book"
	"stackbook/record/travel"
	"stackbook/schema/problem"
)

// WholeBook is what is left in mind of a whole book when each of its engines has
// been told: a line of each, and of each serial and lot where it was.
type WholeBook struct {
	*Fleet
	Used   map[string][]*history.Use // by serial and lot; what was removed is told with its day alone
	Parts  *travel.Shop              // every engine in outline, which tells no hours of parts, and every file of parts/
	Unread []string                  // versions of records in old commits that cannot be read

	fitted map[string]travel.Place // of each serial that is fitted, since when and how long it has run
}

// Now tells where a serial or lot is.
func (w *WholeBook) Now(name string) *travel.Life {
	l := w.Parts.Now(name)
	if p, known := w.fitted[name]; known && len(l.Seats) == 1 && !l.Lot {
		p.Seats = l.Seats
		l.Place = p
	}
	return l
}

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
	Wear      *WearOf

	book *record.Record // the folder's; nil where it cannot be read
}

// Whole walks a whole book, as its folder has it and through all its commits:
// take is called with every engine of the folder, from several goroutines at once,
// and may be called a second time with one that shares parts with another, when
// that has been seen too. However many engines there are, a few of them are in
// memory at one time, and each record of an engine is read and parsed once.
func (s *Shop) Whole(step Steps, take func(*WholeEngine) error) (*WholeBook, error) {
	o, err := s.open("")
	if err != nil {
		return nil, err
	}
	places := o.places
	w := &whole{moment: o.moment, rules: o.rules, places: places, take: take, outlines: make([]*record.Engine, len(places)), related: map[string]bool{}, owner: map[string]string{}, users: map[string][]int{},
		told: &WholeBook{Fleet: o.fleet(), Used: map[string][]*history.Use{}, fitted: map[string]travel.Place{}}}
	if err := w.walk(s, step.of("walking through commits")); err != nil {
		return nil, err
	}
	if err := w.each(s, len(places), step.of("setting the pages of engines"), w.engine); err != nil {
		return nil, err
	}
	gone := w.gone()
	if err := w.each(s, len(gone), step.of("reading engines that are gone"), func(h *hand, i int) error { return w.pastOf(h, gone[i], nil) }); err != nil {
		return nil, err
	}
	if err := w.relatives(s, step.of("setting the pages of engines that share parts")); err != nil {
		return nil, err
	}
	for _, list := range w.told.Used {
		history.SortUses(list)
	}
	slices.Sort(w.told.Unread)
	return w.told, s.addAbsent(w.told.Fleet)
}

// whole is a book on its way to being told.
type whole struct {
	moment moment
	rules  *rules
	places []Place
	take   func(*WholeEngine) error
	steps  map[string][]turned // by the engine's number

	mu       sync.Mutex
	told     *WholeBook
	outlines []*record.Engine
	owner    map[string]string // the first engine that names a serial
	users    map[string][]int  // every engine that does, by its place in the list
	related  map[string]bool   // engines that share a serial with another
	sets     keptRules
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
	if err := w.pastOf(h, e.Number, e.Now.Engine); err != nil {
		return err
	}
	if waits := w.note(i, e); waits {
		return nil
	}
	return w.tell(e, nil)
}

// tell gathers the rest of what is told of an engine, and tells it. others are
// the engines that had one of its parts.
func (w *whole) tell(e *WholeEngine, others []*record.Engine) error {
	if e.Now.Engine != nil && plausible(e.Now.Engine) {
		if err := e.builds(); err != nil {
			return err
		}
		if err := w.worn(e, others); err != nil {
			return err
		}
	}
	return w.take(e)
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
	if e.Line = inFleet(e.Now, r.book, w.told.Today); e.Now.Engine != nil {
		e.Line.Engine = e.Now.Engine.Outline()
	}
	e.Problems = e.Now.Problems
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

// note takes in what others have to know of an engine, and tells whether it
// shares a part with one that was seen before.
func (w *whole) note(i int, e *WholeEngine) (waits bool) {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.told.Engines[i] = e.Line
	if e.Now.Engine == nil {
		return false
	}
	w.outlines[i] = e.Line.Engine
	for _, serial := range serialsOf(e.Now.Engine) {
		w.users[serial] = append(w.users[serial], i)
		first, known := w.owner[serial]
		switch {
		case !known:
			w.owner[serial] = e.Number
		case first != e.Number:
			w.related[first], w.related[e.Number] = true, true
			waits = true
		}
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

// worn works out the wear of an engine's parts, with other engines that had one
// of them.
func (w *whole) worn(e *WholeEngine, others []*record.Engine) error {
	all := append(others, e.Now.Engine)
	var files []*record.PartFile
	for _, one := range all {
		list, err := partFilesOf(w.moment.tree, one)
		if err != nil {
			return err
		}
		files = append(files, list...)
	}
	shop := travel.New(all, files, bookInterval(w.rules.book))
	e.Wear = wearOf(e.Now, shop, w.rules.book)
	w.mu.Lock()
	defer w.mu.Unlock()
	for _, p := range e.Now.Engine.Parts() {
		if p.Serial != "" {
			at := shop.Now(p.Serial).Place
			at.Seats = nil
			w.told.fitted[p.Serial] = at
		}
	}
	return nil
}

// relatives tells once more the engines that share parts with others, when all
// are known: crack tests, hours and wear follow a part from one into another.
func (w *whole) relatives(s *Shop, step func(done, of int)) error {
	files, _, err := partFiles(w.moment.tree)
	if err != nil {
		return err
	}
	outlines := slices.DeleteFunc(slices.Clone(w.outlines), func(e *record.Engine) bool { return e == nil })
	w.told.Parts = travel.New(outlines, files, bookInterval(w.rules.book))
	var again []int
	for i, p := range w.places {
		if w.related[p.Number] && w.outlines[i] != nil {
			again = append(again, i)
		}
	}
	return w.each(s, len(again), step, func(h *hand, n int) error { return w.relative(h, again[n]) })
}

func (w *whole) relative(h *hand, i int) error {
	e, err := w.read(h, i)
	if err != nil || e.Now.Engine == nil {
		return err
	}
	var others []*record.Engine
	seen := map[int]bool{i: true}
	for _, serial := range serialsOf(e.Now.Engine) {
		for _, n := range w.users[serial] {
			if seen[n] {
				continue
			}
			seen[n] = true
			other, err := readEngine(w.moment.tree, w.places[n])
			if err != nil {
				return err
			}
			others = append(others, other)
		}
	}
	e.Now.Guards = w.told.Parts.Guards(e.Now.Engine)
	e.Line.stand(e.Now.Engine, e.Now.Guards, w.rules.book, w.told.Today)
	w.told.Engines[i] = e.Line
	return w.tell(e, others)
}
