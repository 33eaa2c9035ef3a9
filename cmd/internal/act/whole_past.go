package act

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"sync"

	"stackbook/diff/history"
	"stackbook/record"
	"stackbook/record/book"
)

// past is what commits did to engines, laid aside by the engine's number until it
// is that engine's turn.
type past struct {
	spill *spill

	mu    sync.Mutex
	steps map[string][]pastStep
}

// pastStep is one commit that altered the records of an engine.
type pastStep struct {
	n int32 // its place in history
	piece
}

// turned is what such a commit did.
type turned struct {
	At      history.Moment
	Against [][]alteredBytes
}

// alteredBytes is book.Altered with a path that may be no text.
type alteredBytes struct {
	Path    []byte
	Was, Is string
}

// walk goes once through all commits, and parts what they altered by engine.
func (w *whole) walk(s *Shop, step func(done, of int)) error {
	if !w.moment.known {
		return nil
	}
	if err := s.Book.EveryStep(w.moment.commit, tells, step, w.past.take); err != nil {
		return err
	}
	if c, cut, err := s.Book.CutOff(); err == nil && cut {
		w.told.Remarks = append(w.told.Remarks, c.CutOff()+": what was fitted before is not told; type: git fetch --unshallow")
	}
	return w.past.spill.done()
}

// take lays a commit aside.
func (p *past) take(n int, step book.Step) error {
	at := history.Moment{Commit: step.Hash, Day: step.Day}
	for number, against := range byEngine(step.Against) {
		lies, err := p.spill.put(turned{at, against})
		if err != nil {
			return err
		}
		p.mu.Lock()
		p.steps[number] = append(p.steps[number], pastStep{int32(n), lies})
		p.mu.Unlock()
	}
	return nil
}

// byEngine parts what a commit altered against its parents by the engine's
// number: a folder that moves is the same engine.
func byEngine(all [][]book.Altered) map[string][][]alteredBytes {
	parts := map[string][][]alteredBytes{}
	for i, list := range all {
		for _, a := range list {
			number := strings.SplitN(a.Path, "/", 4)[2]
			if parts[number] == nil {
				number = strings.Clone(number) // the path is let go
				parts[number] = make([][]alteredBytes, len(all))
			}
			parts[number][i] = append(parts[number][i], alteredBytes{[]byte(a.Path), a.Was, a.Is})
		}
	}
	return parts
}

// of gives what commits did to an engine, oldest first, once: it is let go then.
func (p *past) of(number string) ([]turned, error) {
	p.mu.Lock()
	steps := p.steps[number]
	delete(p.steps, number)
	p.mu.Unlock()
	slices.SortFunc(steps, func(a, b pastStep) int { return cmp.Compare(a.n, b.n) })
	list := make([]turned, len(steps))
	for i, one := range steps {
		if err := p.spill.get(one.piece, &list[i]); err != nil {
			return nil, err
		}
	}
	return list, nil
}

// gone lists the engines that commits have and the folder has not.
func (w *whole) gone() ([]string, error) {
	away, err := away(w.moment.tree)
	if err != nil {
		return nil, err
	}
	w.away = map[string]bool{}
	for _, p := range away {
		w.away[p.Number] = true
	}
	there := map[string]bool{}
	for _, p := range w.places {
		there[p.Number] = true
	}
	var list []string
	for number := range w.past.steps {
		if !there[number] {
			list = append(list, number)
		}
	}
	slices.Sort(list)
	return list, nil
}

// pastOf gathers where the parts of one engine ever were, by what
// commits did to it and by the engine as it is now; nil where it is gone.
func (w *whole) pastOf(h *hand, steps []turned, now *record.Engine) error {
	every := history.NewEveryUse(w.told.filed)
	told := &versions{hand: h, told: map[version]*history.Telling{}}
	for _, one := range steps {
		turns := make([]history.Turn, len(one.Against))
		for i, list := range one.Against {
			for _, a := range list {
				if err := told.add(version{string(a.Path), a.Was}, &turns[i].Gone); err != nil {
					return err
				}
				if err := told.add(version{string(a.Path), a.Is}, &turns[i].Come); err != nil {
					return err
				}
			}
		}
		every.Step(one.At, turns)
	}
	if now != nil {
		every.Present(now)
	}
	if err := w.told.keepUses(every); err != nil {
		return err
	}
	w.told.mu.Lock()
	defer w.told.mu.Unlock()
	w.told.Unread = append(w.told.Unread, told.unread...)
	return nil
}

// versions reads the versions of an engine's records, each once.
type versions struct {
	hand   *hand
	told   map[version]*history.Telling
	unread []string
}

// add adds what a version tells to a list, where there is one that can be read.
func (o *versions) add(v version, to *[]*history.Telling) error {
	t, known := o.told[v]
	if !known && v.hash != "" {
		var err error
		if t, err = o.hand.telling(v); err != nil {
			return err
		}
		if o.told[v] = t; t == nil {
			o.unread = append(o.unread, fmt.Sprintf("%s, version %.10s", v.path, v.hash))
		}
	}
	if t != nil {
		*to = append(*to, t)
	}
	return nil
}

// telling is what one version of a record tells of all its parts; nil where it
// cannot be read.
func (h *hand) telling(v version) (*history.Telling, error) {
	data, err := h.shop.Book.Blob(v.hash)
	if err != nil {
		return nil, err
	}
	segments := strings.SplitN(v.path, "/", 4)
	f := record.File{Path: v.path, Data: data}
	if record.KindOf(segments[3]) == "spec" {
		if e := h.memory.ReadSpec(strings.Join(segments[:3], "/"), f); e != nil {
			return history.Names(nil).OfSpec(e), nil
		}
		return nil, nil
	}
	if c := h.memory.ReadChange(f); c != nil {
		return history.Names(nil).OfChange(segments[2], c), nil
	}
	return nil, nil
}
