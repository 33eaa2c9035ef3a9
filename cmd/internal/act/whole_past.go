package act

import (
	"fmt"
	"slices"
	"strings"

	"stackbook/diff/history"
	"stackbook/record"
	"stackbook/record/book"
)

// turned is one commit that altered the records of an engine.
type turned struct {
	at      history.Moment
	against [][]book.Altered
}

// walk goes once through all commits, and parts what they altered by engine.
func (w *whole) walk(s *Shop, step func(done, of int)) error {
	w.steps = map[string][]turned{}
	if !w.moment.known {
		return nil
	}
	steps, err := s.Book.EveryStep(w.moment.commit, tells, step)
	if err != nil {
		return err
	}
	for _, one := range steps {
		at := history.Moment{Commit: one.Hash, Day: one.Day}
		for number, against := range byEngine(one.Against) {
			w.steps[number] = append(w.steps[number], turned{at, against})
		}
	}
	if c, cut, err := s.Book.CutOff(); err == nil && cut {
		w.told.Remarks = append(w.told.Remarks, c.CutOff()+": what was fitted before is not told; type: git fetch --unshallow")
	}
	return nil
}

// byEngine parts what a commit altered against its parents by the engine's
// number: a folder that moves is the same engine.
func byEngine(all [][]book.Altered) map[string][][]book.Altered {
	parts := map[string][][]book.Altered{}
	for i, list := range all {
		for _, a := range list {
			number := strings.SplitN(a.Path, "/", 4)[2]
			if parts[number] == nil {
				parts[number] = make([][]book.Altered, len(all))
			}
			parts[number][i] = append(parts[number][i], a)
		}
	}
	return parts
}

// gone lists the engines that old commits have and the folder has not.
func (w *whole) gone() []string {
	var list []string
	for number := range w.steps {
		if !slices.ContainsFunc(w.places, func(p Place) bool { return p.Number == number }) {
			list = append(list, number)
		}
	}
	slices.Sort(list)
	return list
}

// pastOf gathers where the serials and lots of one engine ever were, in old
// commits and in the engine as it is now; nil where it is gone.
func (w *whole) pastOf(h *hand, number string, now *record.Engine) error {
	every := history.NewEveryUse()
	told := map[version]*history.Telling{}
	var unread []string
	for _, one := range w.stepsOf(number) {
		turns := make([]history.Turn, len(one.against))
		for i, list := range one.against {
			for _, a := range list {
				for _, side := range []struct {
					v    version
					into *[]*history.Telling
				}{{version{a.Path, a.Was}, &turns[i].Gone}, {version{a.Path, a.Is}, &turns[i].Come}} {
					t, known := told[side.v]
					if !known && side.v.hash != "" {
						var err error
						if t, err = h.telling(side.v); err != nil {
							return err
						}
						if told[side.v] = t; t == nil {
							unread = append(unread, fmt.Sprintf("%s, version %.10s", side.v.path, side.v.hash))
						}
					}
					if t != nil {
						*side.into = append(*side.into, t)
					}
				}
			}
		}
		every.Step(one.at, turns)
	}
	if now != nil {
		every.Present(now)
	}
	w.mu.Lock()
	defer w.mu.Unlock()
	for name, uses := range every.Uses() {
		for _, use := range uses {
			use.Slim()
		}
		w.told.Used[name] = append(w.told.Used[name], uses...)
	}
	w.told.Unread = append(w.told.Unread, unread...)
	return nil
}

// stepsOf gives what commits did to an engine, once: it is let go then.
func (w *whole) stepsOf(number string) []turned {
	w.mu.Lock()
	defer w.mu.Unlock()
	steps := w.steps[number]
	delete(w.steps, number)
	return steps
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
