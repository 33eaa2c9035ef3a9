package history

import "stackbook/record"

// EveryUse gathers the uses of every serial and lot of one engine at once, from
// one walk through its commits. Of each it tells what Used does when it is asked
// for that one.
type EveryUse struct{ used map[string]*Used }

// NewEveryUse begins to gather.
func NewEveryUse() *EveryUse { return &EveryUse{map[string]*Used{}} }

func (a *EveryUse) of(name string) *Used {
	if a.used[name] == nil {
		a.used[name] = NewUsed(Names{name: true})
	}
	return a.used[name]
}

// Step takes in one commit that altered the engine, with what all its records
// told: tellings of the Names that ask for all.
func (a *EveryUse) Step(at Moment, against []Turn) {
	turns := map[string][]Turn{}
	of := func(name string, i int) *Turn {
		if turns[name] == nil {
			turns[name] = make([]Turn, len(against))
		}
		return &turns[name][i]
	}
	for i, turn := range against {
		for _, t := range turn.Gone {
			for name, part := range t.byName() {
				of(name, i).Gone = append(of(name, i).Gone, part)
			}
		}
		for _, t := range turn.Come {
			for name, part := range t.byName() {
				of(name, i).Come = append(of(name, i).Come, part)
			}
		}
	}
	for name, list := range turns {
		a.of(name).Step(at, list)
	}
}

// byName parts what is told by the serials and lots it is told of.
func (t *Telling) byName() map[string]*Telling {
	parts := map[string]*Telling{}
	of := func(name string) *Telling {
		if parts[name] == nil {
			parts[name] = &Telling{Engine: t.Engine, Customer: t.Customer, Build: t.Build}
		}
		return parts[name]
	}
	for _, s := range t.Spots {
		for _, name := range names(s.Serial, s.Lot) {
			of(name).Spots = append(of(name).Spots, s)
		}
	}
	for _, r := range t.Removed {
		for _, name := range names(r.Serial, r.Lot) {
			of(name).Removed = append(of(name).Removed, r)
		}
	}
	return parts
}

// names are the words a part is asked for by, each once.
func names(serial, lot string) []string {
	switch {
	case serial == "" && lot == "":
		return nil
	case serial == "" || serial == lot:
		return []string{lot}
	case lot == "":
		return []string{serial}
	}
	return []string{serial, lot}
}

// Present takes in the engine as it is in the state asked about.
func (a *EveryUse) Present(e *record.Engine) {
	bears := map[string]bool{}
	note := func(list ...string) {
		for _, name := range list {
			if name != "" {
				bears[name] = true
			}
		}
	}
	for _, p := range e.Parts() {
		note(p.Serial, p.Lot)
	}
	for _, c := range e.Changes {
		for _, r := range c.Removed() {
			note(r.Serial, r.Lot)
		}
	}
	for _, session := range e.Sessions {
		if n := session.Node("parts"); n != nil {
			for _, entry := range n.Entries() {
				note(session.Serial(entry.Key))
			}
		}
	}
	for name := range bears {
		a.of(name)
	}
	for _, used := range a.used { // a serial that went may have been read here all the same
		used.Present(e)
	}
}

// Uses lists what was gathered, by serial or lot.
func (a *EveryUse) Uses() map[string][]*Use {
	all := map[string][]*Use{}
	for name, used := range a.used {
		if list := used.Uses(); len(list) > 0 {
			all[name] = list
		}
	}
	return all
}

// SortUses puts uses gathered from several engines in order, as Uses does.
func SortUses(list []*Use) { sortUses(list) }
