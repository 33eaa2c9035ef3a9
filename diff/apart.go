package diff

import (
	"slices"
	"sort"
	"strings"

	"stackbook/record"
	"stackbook/record/figure"
	"stackbook/schema"
	"stackbook/schema/source"
)

// Apart is what cannot be set beside each other, and so is named and not
// compared. Its zero value says that everything could be.
type Apart struct {
	Rotors  []int               // of each state, where engines have different numbers of rotors; nil otherwise
	Alone   map[string][]string // by state: its positions beyond the rotors that all the engines have
	Whole   []*figure.Figure    // figures that rest on how many rotors there are and where they sit
	Records bool                // they are different engines, whose sessions and changes are not each other's
	Nothing bool                // of what a filter asks for, nothing at all could be compared
	Nowhere string              // the position a filter asks for, where no state has anything; "" otherwise
}

// Empty tells whether everything could be compared. Of what a filter left, it is
// all that was asked for.
func (p *Apart) Empty() bool {
	return len(p.Alone)+len(p.Whole) == 0 && !p.Records && !p.Nothing
}

// weigh notes whether a filter asks for nothing that can be compared: records of
// different engines alone, a position that not all the engines have, or one where
// none has anything.
func (p *Apart) weigh(states []State, f Filter) {
	records := len(f.Kinds) > 0 && !slices.ContainsFunc(f.Kinds, func(kind string) bool { return kind != Records })
	if f.At != "" && !slices.ContainsFunc(states, f.somewhere) {
		p.Nowhere = f.At
	}
	p.Nothing = records && p.Records || f.At != "" && (p.Nowhere != "" || p.beyond(f.At))
}

// somewhere tells whether a state has a part, a value of its spec, a reading or a
// figure at the position a filter asks for.
func (f Filter) somewhere(s State) bool {
	if s.Engine.Spec != nil && f.inNode(s.Engine.Spec.Doc.Root()) {
		return true
	}
	for i := range schema.Points() {
		if slices.ContainsFunc(s.Engine.Positions(&schema.Points()[i]), f.at) {
			return true
		}
	}
	return slices.ContainsFunc(s.Figures.Results, func(r *figure.Result) bool { return f.at(r.At) })
}

// inNode tells whether a key below a node is a position a filter asks for.
func (f Filter) inNode(n *source.Node) bool {
	if n == nil || n.Kind() != source.Map {
		return false
	}
	return slices.ContainsFunc(n.Entries(), func(e source.Entry) bool {
		return schema.CheckPosition(e.Key, 0) == nil && f.at(e.Key) || f.inNode(e.Value)
	})
}

// apartOf begins with what the engines themselves say.
func apartOf(states ...State) Apart {
	p := Apart{Alone: map[string][]string{}}
	unlike := false
	for _, s := range states {
		p.Rotors = append(p.Rotors, s.Engine.Rotors)
		unlike = unlike || s.Engine.Rotors > 0 && states[0].Engine.Rotors > 0 && s.Engine.Rotors != states[0].Engine.Rotors
		p.Records = p.Records || !sameEngine(states[0].Engine, s.Engine)
	}
	if !unlike {
		p.Rotors = nil
		return p
	}
	for _, s := range states {
		if positions := p.alone(s); len(positions) > 0 {
			p.Alone[s.Name] = positions
		}
	}
	return p
}

// sameEngine tells by its id whether an engine is another one's state.
func sameEngine(a, b *record.Engine) bool { return a.ID == b.ID }

// fewest is the number of rotors that all have, 0 where there is nothing to
// tell apart by it.
func (p *Apart) fewest() int {
	if p.Rotors == nil {
		return 0
	}
	fewest := schema.MostRotors
	for _, n := range p.Rotors {
		if n > 0 {
			fewest = min(fewest, n)
		}
	}
	return fewest
}

// beyond tells whether a key speaks of a position that not all the engines have.
func (p *Apart) beyond(key string) bool {
	position, fewest := positionIn(key), p.fewest()
	return fewest > 0 && position != "" && schema.CheckPosition(position, fewest) != nil
}

// alone lists where a state has a part, a figure or a reading that not all the
// engines have a place for, front to rear.
func (p *Apart) alone(s State) []string {
	seen := map[string]bool{}
	note := func(key string) {
		if p.beyond(key) {
			seen[positionIn(key)] = true
		}
	}
	for _, part := range s.Engine.Parts() {
		note(part.Position)
	}
	for _, r := range s.Figures.Results {
		note(r.At)
	}
	for i := range schema.Points() {
		for _, position := range s.Engine.Positions(&schema.Points()[i]) {
			note(position)
		}
	}
	return mergedKeys(seen, nil)
}

// whole notes a figure that is not compared.
func (p *Apart) whole(f *figure.Figure) {
	if !slices.Contains(p.Whole, f) {
		p.Whole = append(p.Whole, f)
	}
}

// across tells how a figure is compared between these engines.
func (p *Apart) across(f *figure.Figure, at string) figure.Rotors {
	if p.Rotors == nil {
		return figure.OfEach
	}
	return f.AcrossRotors(at)
}

// keep leaves what a filter wants.
func (p *Apart) keep(f Filter) Apart {
	kept := Apart{Rotors: p.Rotors, Alone: map[string][]string{}, Records: p.Records && f.Wants(Records) && f.At == "" && f.Topic == ""}
	for state, positions := range p.Alone {
		for _, at := range positions {
			if f.at(at) {
				kept.Alone[state] = append(kept.Alone[state], at)
			}
		}
	}
	for _, w := range p.Whole {
		if f.Wants(Figures) && f.topic(w.Topic) && f.At == "" {
			kept.Whole = append(kept.Whole, w)
		}
	}
	return kept
}

// sort brings figures into the order they are declared in.
func (p *Apart) sort() {
	rank := map[*figure.Figure]int{}
	for i, f := range figure.All() {
		rank[f] = i
	}
	sort.SliceStable(p.Whole, func(i, j int) bool { return rank[p.Whole[i]] < rank[p.Whole[j]] })
}

// setApart takes out of a result what cannot be compared, and shares out among
// the rotors what grows with their number.
func (r *Result) setApart(a, b State) {
	p := &r.Apart
	if p.Rotors == nil {
		return
	}
	r.Changes = slices.DeleteFunc(r.Changes, func(c Change) bool { return p.beyond(c.position()) })
	r.Readings = slices.DeleteFunc(r.Readings, func(c Reading) bool { return p.beyond(c.At) })
	r.Figures = slices.DeleteFunc(r.Figures, func(c FigureChange) bool {
		across := p.across(c.Figure, c.At)
		if across == figure.OfWhole {
			p.whole(c.Figure)
		}
		return across != figure.OfEach || p.beyond(c.At)
	})
	r.Figures = inOrder(append(r.Figures, p.shares(a, b)...))
	p.sort()
}

// shares compares what grows with the number of rotors by its share for each.
func (p *Apart) shares(a, b State) []FigureChange {
	var list []FigureChange
	seen := map[string]bool{}
	for _, r := range slices.Concat(a.Figures.Results, b.Figures.Results) {
		key := r.Figure.ID + " " + r.At
		if seen[key] || p.across(r.Figure, r.At) != figure.Summed {
			continue
		}
		seen[key] = true
		from, to := each(a.Figures.Find(r.Figure.ID, r.At), a), each(b.Figures.Find(r.Figure.ID, r.At), b)
		if c, differs := shareChange(from, to); differs {
			c.EachRotor = true
			list = append(list, c)
		}
	}
	return list
}

// shareChange compares two shares, either of which may be missing.
func shareChange(from, to *figure.Result) (c FigureChange, differs bool) {
	switch {
	case from == nil && to == nil:
		return c, false
	case from == nil:
		return FigureChange{Figure: to.Figure, At: to.At, To: to}, true
	case to == nil:
		return FigureChange{Figure: from.Figure, At: from.At, From: from}, true
	}
	return differing(from, to), from.Text() != to.Text()
}

// each is a figure's share for each rotor, nil where there is no figure. An
// engine whose rotors nobody counted has none to share it out among.
func each(r *figure.Result, s State) *figure.Result {
	if r == nil || s.Engine.Rotors == 0 {
		return nil
	}
	return r.EachRotor(s.Engine.Rotors)
}

// positionIn is the longest beginning of a key that is a position.
func positionIn(key string) string {
	segments := strings.Split(key, "/")
	for n := len(segments); n > 0; n-- {
		if head := strings.Join(segments[:n], "/"); schema.CheckPosition(head, 0) == nil {
			return head
		}
	}
	return ""
}
