package act

import (
	"hash/fnv"
	"slices"

	"stackbook/record"
	"stackbook/record/book"
	"stackbook/record/travel"
)

// lines are the engines of a state on their way to being told in a line each.
//
// What is told of an engine follows from its folder, book.yaml, its limit set and
// the files of its parts; when its crack tests are due, besides, from what other
// engines tell of its parts. Each is kept by the hashes of just that.
type lines struct {
	*opened
	results *book.Results // nil: nothing is kept
	sums    book.Sums     // of the state; not nil where results is not
	engines []*fleetLine

	parts    map[uint32][]string // what the files of parts/ are, by their names
	partsAll string
}

// fleetLine is one engine.
type fleetLine struct {
	sum    string         // names its folder; "" where nothing does
	own    book.ResultKey // of its folder alone
	judged book.ResultKey // and of all that it is judged by
	known  bool           // the keys are; what is not is not kept
	links  *links         // nil: not known yet
	told   *InFleet       // nil: likewise
}

// links are what ties an engine to what lies outside its folder, each as a number
// made of a name. Two names of one number tie what has no tie, which costs time
// and alters nothing: engines are held against each other by the names.
type links struct {
	limits string   // the set its spec names
	files  []uint32 // the files its parts would have in parts/
	asked  []uint32 // the serials its parts are told by
	told   []uint32 // those it has something to tell of
}

func hashOf(name string) uint32 {
	h := fnv.New32a()
	h.Write([]byte(name))
	return h.Sum32()
}

func hashesOf(names []string) []uint32 {
	list := make([]uint32, len(names))
	for i, name := range names {
		list[i] = hashOf(name)
	}
	slices.Sort(list)
	return slices.Compact(list)
}

// linksOf finds the links of an engine, which is nil where it cannot be read.
func linksOf(e *record.Engine) *links {
	if e == nil {
		return &links{}
	}
	var files []string
	for _, p := range e.Parts() {
		for _, bears := range []string{p.Serial, p.Lot} {
			if bears != "" {
				files = append(files, record.PartFileName(bears))
			}
		}
	}
	asked, told := travel.Serials(e)
	return &links{e.Spec.Text("limits"), hashesOf(files), hashesOf(asked), hashesOf(told)}
}

// linesOf begins with what is kept of a state.
func linesOf(o *opened, results *book.Results) (*lines, error) {
	w := &lines{opened: o, engines: make([]*fleetLine, len(o.places))}
	for i := range w.engines {
		w.engines[i] = &fleetLine{}
	}
	if results == nil {
		return w, nil
	}
	sums, err := book.SumsOf(o.tree)
	if err != nil || sums == nil {
		return w, err
	}
	files, all, ok := sums.Parts()
	if !ok {
		return w, nil
	}
	w.results, w.sums, w.partsAll, w.parts = results, sums, all, map[uint32][]string{}
	for name, sum := range files {
		n := hashOf(name)
		w.parts[n] = append(w.parts[n], name+" "+sum)
		slices.Sort(w.parts[n])
	}
	return w, onAllCores(len(w.engines), silently, func(i int) error { return w.recall(i) })
}

// recall looks up what is kept of one engine.
func (w *lines) recall(i int) error {
	one, folder := w.engines[i], w.places[i].Folder
	if one.sum = w.sums.Folder(folder); one.sum == "" {
		return nil
	}
	one.own, one.known = w.results.Key("links", folder, one.sum), true
	text, ok := w.results.Find(one.own)
	if !ok {
		return nil
	}
	if one.links, ok = unpackLinks(text); !ok {
		return nil
	}
	if err := w.judge(one); err != nil || !one.known {
		return err
	}
	if text, ok = w.results.Find(one.judged); ok {
		one.told, _ = unpackLine(text, w.places[i].Number, w.today)
	}
	return nil
}

// judge makes the key of an engine with all it is judged by.
func (w *lines) judge(one *fleetLine) error {
	name := one.links.limits
	if name == "" {
		name = w.rules.book.Text("limits")
	}
	limits, ok := w.rules.sumFor(name)
	if !ok {
		one.known = false // loading it tells why
		return nil
	}
	of := []string{string(one.own[:]), w.rules.sum, limits}
	for _, n := range one.links.files {
		of = append(of, w.parts[n]...)
	}
	one.judged = w.results.Key("line", of...)
	return nil
}

// all tells every engine, and keeps what was worked out for it.
func (w *lines) all(step func(done, of int)) error {
	var left []int
	for i, one := range w.engines {
		if one.told == nil {
			left = append(left, i)
		}
	}
	err := onAllCores(len(left), step, func(n int) error { return w.load(left[n]) })
	if err != nil {
		return err
	}
	if err := w.travelled(); err != nil {
		return err
	}
	w.results.Save()
	return nil
}

// witness gives the state to read an engine from, and what tells afterwards that
// it is what its keys say.
func (w *lines) witness(i int) (book.Tree, func() bool) {
	one := w.engines[i]
	if !one.known {
		return w.tree, func() bool { return false }
	}
	return w.sums.Witness(w.places[i].Folder, one.sum)
}

// load works out the line of one engine from its records.
func (w *lines) load(i int) error {
	tree, sure := w.witness(i)
	r := *w.rules
	r.tree = tree
	l, err := r.load(tree, w.places[i], w.places[i].Number)
	if err != nil {
		return err
	}
	one := w.engines[i]
	one.links, one.told = linksOf(l.Engine), inFleet(l, r.book, w.today)
	if one.known = sure(); !one.known {
		return nil
	}
	w.results.Put(one.own, packLinks(one.links))
	if err := w.judge(one); err != nil || !one.known {
		return err
	}
	w.results.Put(one.judged, packLine(one.told))
	return nil
}
