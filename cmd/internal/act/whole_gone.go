package act

import (
	"errors"
	"path"

	"stackbook/diff/history"
	"stackbook/record/book"
	"stackbook/schema"
)

// Gone tells how an engine went that the folder has not.
type Gone struct {
	By history.Moment // the commit that took it out; none where it was taken out of the folder and that is not committed
}

// goneEngine gathers where the parts of an engine were that is gone, and tells it
// as it last stood, where a commit has it so.
func (w *whole) goneEngine(h *hand, number string) error {
	steps, err := w.past.of(number)
	if err != nil {
		return err
	}
	if err := w.pastOf(h, steps, nil); err != nil {
		return err
	}
	if w.away[number] || schema.CheckNumber(number) != nil {
		return nil
	}
	e, err := w.lastState(h, number, steps)
	if e == nil || err != nil {
		return err
	}
	if plausible(e.Now.Engine) {
		if err := e.builds(); err != nil {
			return err
		}
	}
	w.told.mu.Lock()
	w.told.Engines = append(w.told.Engines, e.Line)
	w.told.mu.Unlock()
	return w.take(e)
}

// lastState loads an engine that is gone as it stood before the commit that took
// it out; nil where no commit has it so that it can be read.
func (w *whole) lastState(h *hand, number string, steps []turned) (*WholeEngine, error) {
	h.shop.place = Place{}
	at, gone := w.moment.commit, &Gone{}
	if step, parent := lastOut(steps); step != nil {
		out, err := h.shop.Book.Resolve(step.At.Commit)
		if err != nil {
			return nil, err
		}
		if parent >= len(out.Parents) {
			return nil, nil // history is cut off there
		}
		if at, err = h.shop.Book.Resolve(out.Parents[parent]); err != nil {
			return nil, err
		}
		gone.By = step.At
	}
	l, err := h.shop.at(at, number, number)
	if l == nil || err != nil || l.Engine == nil {
		return nil, unlessUntold(err)
	}
	h.shop.place = l.Place
	line := &InFleet{Number: number, Standing: Removed}
	return &WholeEngine{Place: l.Place, Shop: h.shop, Problems: l.Problems, Line: line, Now: l, Delivered: map[int]*Loaded{}, Gone: gone, book: w.rules.book}, nil
}

// unlessUntold passes over what only means that an old state is not to be told:
// it was not there by then, or cannot be read as a book of today.
func unlessUntold(err error) error {
	var use *UsageError
	var newer *NewerError
	var cut *book.CutOffError
	if errors.As(err, &use) || errors.As(err, &newer) || errors.As(err, &cut) {
		return nil
	}
	return err
}

// lastOut is the last commit that touched an engine's spec, if it took it out, and
// the parent that still has it; nil where the last one has it.
func lastOut(steps []turned) (*turned, int) {
	for i := len(steps) - 1; i >= 0; i-- {
		touched := false
		for parent, list := range steps[i].Against {
			there, was := false, false
			for _, a := range list {
				if path.Base(string(a.Path)) == "spec.yaml" {
					there, was, touched = there || a.Is != "", was || a.Was != "", true
				}
			}
			if was && !there {
				return &steps[i], parent
			}
		}
		if touched {
			return nil, 0
		}
	}
	return nil, 0
}
