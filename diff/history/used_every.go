package history

import "stackbook/record"

// Filed is what files of parts tell of serials and lots: the part numbers and
// suppliers' codes that stand for them.
type Filed struct{ stands, bears map[string][]string }

// NewFiled begins with no file.
func NewFiled() *Filed { return &Filed{map[string][]string{}, map[string][]string{}} }

// Add takes in one file: a serial or lot, and the words that stand for it.
func (f *Filed) Add(bears string, words ...string) {
	for _, word := range words {
		if word != "" && bears != "" {
			f.stands[bears] = with(f.stands[bears], word)
			f.bears[word] = with(f.bears[word], bears)
		}
	}
}

// EveryUse gathers the uses of every serial, lot, part number and supplier of one
// engine at once, from one walk through its commits. Of each it tells what Used
// does when it is asked for that one.
type EveryUse struct {
	used  map[string]*Used
	filed *Filed
	parts map[string]bool // those that are a serial or a lot
}

// NewEveryUse begins to gather.
func NewEveryUse(filed *Filed) *EveryUse {
	return &EveryUse{map[string]*Used{}, filed, map[string]bool{}}
}

// IsPart tells whether a word was met as a serial or a lot.
func (a *EveryUse) IsPart(word string) bool { return a.parts[word] }

func (a *EveryUse) of(name string) *Used {
	if a.used[name] == nil {
		names := Names{name: true}
		for _, bears := range a.filed.bears[name] {
			names[bears] = true
		}
		a.used[name] = NewUsed(names)
	}
	return a.used[name]
}

// words are what a part may be asked for by, each once.
func (a *EveryUse) words(serial, lot, number, supplier string) []string {
	var list []string
	take := func(words ...string) {
		for _, word := range words {
			if word != "" {
				list = with(list, word)
			}
		}
	}
	take(serial, lot)
	for _, bears := range list {
		a.parts[bears] = true
		take(a.filed.stands[bears]...)
	}
	take(number, supplier)
	return list
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
			for name, part := range a.byName(t) {
				of(name, i).Gone = append(of(name, i).Gone, part)
			}
		}
		for _, t := range turn.Come {
			for name, part := range a.byName(t) {
				of(name, i).Come = append(of(name, i).Come, part)
			}
		}
	}
	for name, list := range turns {
		a.of(name).Step(at, list)
	}
}

// byName parts what is told by the words it may be asked for by.
func (a *EveryUse) byName(t *Telling) map[string]*Telling {
	parts := map[string]*Telling{}
	of := func(name string) *Telling {
		if parts[name] == nil {
			parts[name] = &Telling{Engine: t.Engine, Customer: t.Customer, Build: t.Build}
		}
		return parts[name]
	}
	for i, s := range t.Spots {
		for _, name := range a.words(s.Serial, s.Lot, s.Number, t.From[i]) {
			of(name).Spots = append(of(name).Spots, s)
		}
	}
	for _, r := range t.Removed {
		for _, name := range a.words(r.Serial, r.Lot, "", "") {
			of(name).Removed = append(of(name).Removed, r)
		}
	}
	return parts
}

// Present takes in the engine as it is in the state asked about.
func (a *EveryUse) Present(e *record.Engine) {
	note := func(serial, lot, number, supplier string) {
		for _, name := range a.words(serial, lot, number, supplier) {
			a.of(name)
		}
	}
	for _, p := range e.Parts() {
		note(p.Serial, p.Lot, p.Number, p.Supplier)
	}
	for _, c := range e.Changes {
		for _, r := range c.Removed() {
			note(r.Serial, r.Lot, "", "")
		}
	}
	for _, session := range e.Sessions {
		if n := session.Node("parts"); n != nil {
			for _, entry := range n.Entries() {
				note(session.Serial(entry.Key), "", "", "")
			}
		}
	}
	for _, used := range a.used { // a serial that went may have been read here all the same
		used.Present(e)
	}
}

// Uses lists what was gathered, by the word to ask for it by.
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
