package act

import (
	"errors"
	"io"
	"slices"
	"strings"
	"sync"

	"stackbook/diff/history"
	"stackbook/record"
	"stackbook/record/book"
	"stackbook/record/travel"
	"stackbook/schema"
)

// WholeBook is what is left of a whole book when each of its engines has been
// told. In memory is a line of each engine and of each serial and lot where it was
// laid aside; that is read back one at a time. It is to be closed.
type WholeBook struct {
	*Fleet
	Unread []string // versions of records in old commits that cannot be read

	tree  book.Tree
	files map[string][]string // files of parts/, by the serial or lot they bear
	filed *history.Filed      // what they tell that numbers and codes stand for
	spill *spill

	mu    sync.Mutex
	parts map[string]*keptPart // by serial, lot, part number and supplier
}

// keptPart is one serial or lot, or all parts of one number or supplier.
type keptPart struct {
	one    bool        // it is a serial or lot
	uses   []piece     // a piece an engine
	traces []keptTrace // by engines
	users  []int32     // every engine whose records name it as a serial, by its place in the list
}

type keptTrace struct {
	engine int32 // by its place in the list
	piece
}

// part gives the entry of a name. The caller holds the lock.
func (w *WholeBook) part(name string) *keptPart {
	p := w.parts[name]
	if p == nil {
		p = &keptPart{}
		w.parts[strings.Clone(name)] = p
	}
	return p
}

// keepUses lays the uses of one engine aside.
func (w *WholeBook) keepUses(every *history.EveryUse) error {
	for name, uses := range every.Uses() {
		lies, err := w.spill.put(laidUses(uses))
		if err != nil {
			return err
		}
		w.mu.Lock()
		p := w.part(name)
		p.uses, p.one = append(p.uses, lies), p.one || every.IsPart(name)
		w.mu.Unlock()
	}
	return nil
}

// keepTraces lays aside where the nth engine tells that parts are, in place of
// what was known of it before.
func (w *WholeBook) keepTraces(n int, all map[string]*travel.Trace) error {
	for name, t := range all {
		lies, err := w.spill.put(t)
		if err != nil {
			return err
		}
		w.mu.Lock()
		p := w.part(name)
		if i := slices.IndexFunc(p.traces, func(k keptTrace) bool { return k.engine == int32(n) }); i >= 0 {
			p.traces[i].piece = lies
		} else {
			p.traces = append(p.traces, keptTrace{int32(n), lies})
		}
		w.mu.Unlock()
	}
	return nil
}

// Names lists every serial and lot that was ever used.
func (w *WholeBook) Names() []string { return w.names(true) }

// Numbers lists every part number and supplier of a part that was ever used, but
// for those that are a serial or lot as well.
func (w *WholeBook) Numbers() []string { return w.names(false) }

func (w *WholeBook) names(one bool) []string {
	var names []string
	for name, p := range w.parts {
		if w.Has(name) && p.one == one {
			names = append(names, name)
		}
	}
	slices.Sort(names)
	return names
}

// Has tells whether a part of a name was ever used.
func (w *WholeBook) Has(name string) bool { return w.parts[name] != nil && len(w.parts[name].uses) > 0 }

// Used tells where a serial or lot, or all parts of a number or supplier, ever were; what was removed is told with its
// day alone.
func (w *WholeBook) Used(name string) ([]*history.Use, error) {
	if !w.Has(name) {
		return nil, nil
	}
	var uses []*history.Use
	for _, lies := range w.parts[name].uses {
		var laid []laidUse
		if err := w.spill.get(lies, &laid); err != nil {
			return nil, err
		}
		for i := range laid {
			uses = append(uses, laid[i].use())
		}
	}
	history.SortUses(uses)
	return uses, nil
}

// Now tells where a serial or lot is.
func (w *WholeBook) Now(name string) (*travel.Life, error) {
	var traces []*travel.Trace
	if p := w.parts[name]; p != nil {
		for _, kept := range p.traces {
			t := &travel.Trace{}
			if err := w.spill.get(kept.piece, t); err != nil {
				return nil, err
			}
			traces = append(traces, t)
		}
	}
	var files []*record.PartFile
	for _, entry := range w.files[name] {
		list, _, err := readParts(w.tree, []book.Entry{{Name: entry, File: true}})
		if err != nil {
			return nil, err
		}
		files = append(files, list...)
	}
	return travel.FromTraces(name, traces, files), nil
}

// findPartFiles notes which files of parts/ bear what, and by which numbers and
// suppliers, and keeps none of them.
func (w *WholeBook) findPartFiles() error {
	entries, err := list(w.tree, partsDir)
	if err != nil {
		if unfit(err) != nil {
			return nil // a check tells it
		}
		return err
	}
	for i := range entries {
		list, _, err := readParts(w.tree, entries[i:i+1])
		if err != nil {
			return err
		}
		for _, f := range list {
			bears := strings.Clone(f.Bears())
			w.files[bears] = append(w.files[bears], entries[i].Name)
			w.filed.Add(bears, strings.Clone(f.Number), strings.Clone(f.Text("supplier")))
		}
	}
	return nil
}

// Close lets go of what was laid aside.
func (w *WholeBook) Close() error { return w.spill.file.Close() }

// laidUse is a use as it is laid aside: without the sessions that read it.
type laidUse struct {
	*history.Use
	Removed []laidRemoval
	Read    *struct{} `json:",omitempty"`
}

// laidRemoval is a removal without the record it stands in.
type laidRemoval struct {
	record.Removed
	Change struct {
		Build int
		Date  schema.Date
	}
	Engine string
	Now    bool
}

func laidUses(uses []*history.Use) []laidUse {
	laid := make([]laidUse, len(uses))
	for i, use := range uses {
		laid[i].Use = use
		for _, r := range use.Removed {
			one := laidRemoval{Removed: r.Removed, Engine: r.Engine, Now: r.Now}
			one.Change.Build, one.Change.Date = r.Change.Build, r.Change.Date
			laid[i].Removed = append(laid[i].Removed, one)
		}
	}
	return laid
}

func (l *laidUse) use() *history.Use {
	use := l.Use
	for _, r := range l.Removed {
		one := history.Removal{Removed: r.Removed, Engine: r.Engine, Now: r.Now}
		one.Change = &record.Change{Build: r.Change.Build, Date: r.Change.Date}
		use.Removed = append(use.Removed, one)
	}
	return use
}

// closeAll closes what was opened for a walk that failed.
func closeAll(err error, files ...io.Closer) error {
	for _, f := range files {
		err = errors.Join(err, f.Close())
	}
	return err
}
