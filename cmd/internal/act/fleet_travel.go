package act

import (
	"slices"

	"stackbook/record"
	"stackbook/record/book"
	"stackbook/record/travel"
)

// travelled counts for each engine's parts what was recorded of them in others:
// crack tests and hours.
func (w *lines) travelled() error {
	others := w.relatives()
	keys := make([]book.ResultKey, len(w.engines)) // of what is due of each
	var left []int
	for i, list := range others {
		if len(list) == 0 || !w.engines[i].told.Read {
			continue
		}
		key, known := w.dueKey(i, list)
		if known {
			keys[i] = key
			if text, ok := w.results.Find(key); ok {
				if due, ok := unpackDue(text, w.today); ok {
					w.engines[i].told.Due = due
					continue
				}
			}
		}
		left = append(left, i)
	}
	if len(left) == 0 {
		return nil
	}
	return w.meet(left, others, keys)
}

// dueKey names what is due of an engine that shares parts with others.
func (w *lines) dueKey(i int, others []int) (key book.ResultKey, known bool) {
	one := w.engines[i]
	of := []string{string(one.judged[:]), w.partsAll}
	known = one.known && w.partsAll != ""
	for _, n := range others {
		of = append(of, string(w.engines[n].own[:]))
		known = known && w.engines[n].known
	}
	if !known {
		return key, false
	}
	return w.results.Key("due", of...), true
}

// perSerial is how many bits there are for each serial by which those of one
// engine alone are put aside.
const perSerial = 16

// relatives lists for each engine the others that tell something of its parts, by
// number. Nearly all serials are of one engine alone, and never come into a map.
func (w *lines) relatives() [][]int {
	count := 1
	for _, one := range w.engines {
		count += len(one.links.told)
	}
	words := uint32(count*perSerial/64 + 1)
	once, again := make([]uint64, words), make([]uint64, words)
	for _, one := range w.engines {
		for _, n := range one.links.told {
			at, bit := n/64%words, uint64(1)<<(n%64)
			again[at] |= once[at] & bit
			once[at] |= bit
		}
	}
	tellers := map[uint32][]int{}
	for i, one := range w.engines {
		for _, n := range one.links.told {
			if again[n/64%words]>>(n%64)&1 == 1 {
				tellers[n] = append(tellers[n], i)
			}
		}
	}
	others := make([][]int, len(w.engines))
	for i, one := range w.engines {
		for _, n := range one.links.asked {
			for _, teller := range tellers[n] {
				if teller != i {
					others[i] = append(others[i], teller)
				}
			}
		}
		slices.Sort(others[i])
		others[i] = slices.Compact(others[i])
	}
	return others
}

// meet works out once more where some engines stand, with what others tell of
// their parts.
func (w *lines) meet(left []int, others [][]int, keys []book.ResultKey) error {
	all := slices.Clone(left)
	for _, i := range left {
		all = append(all, others[i]...)
	}
	slices.Sort(all)
	all = slices.Compact(all)
	outlines := make([]*record.Engine, len(all))
	sure := make([]bool, len(w.engines))
	err := onAllCores(len(all), silently, func(n int) error {
		e, same, err := w.read(all[n])
		if e != nil {
			outlines[n], sure[all[n]] = e.Outline(), same
		}
		return err
	})
	if err != nil {
		return err
	}
	files, filesSure, err := w.partFiles()
	if err != nil {
		return err
	}
	there := slices.DeleteFunc(outlines, func(e *record.Engine) bool { return e == nil })
	shop := travel.New(there, files, bookInterval(w.rules.book))
	return onAllCores(len(left), silently, func(n int) error {
		i := left[n]
		e, same, err := w.read(i)
		if err != nil || e == nil {
			return err
		}
		one := w.engines[i].told
		if shop.Elsewhere(e) {
			one.stand(e, shop.Guards(e), w.rules.book, w.today)
		}
		if same = same && filesSure && keys[i] != (book.ResultKey{}); same && !slices.ContainsFunc(others[i], func(n int) bool { return !sure[n] }) {
			w.results.Put(keys[i], packDue(one.Due))
		}
		return nil
	})
}

// read reads the records of one engine, unjudged; sure is false where they are
// not certain to be what its keys say.
func (w *lines) read(i int) (e *record.Engine, sure bool, err error) {
	tree, same := w.witness(i)
	e, err = readEngine(tree, w.places[i])
	return e, err == nil && same(), err
}

// partFiles reads every file of parts/.
func (w *lines) partFiles() (files []*record.PartFile, sure bool, err error) {
	tree, same := w.tree, func() bool { return false }
	if w.sums != nil {
		tree, same = w.sums.Witness(partsDir, w.partsAll)
	}
	files, _, err = partFiles(tree)
	return files, same(), err
}
