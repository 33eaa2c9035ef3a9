package diff

import (
	"slices"
	"strings"

	"stackbook/record"
	"stackbook/schema"
)

// parts compares what is fitted in two engines:
//
//  1. a part with the same number and serial at the same position is the same;
//  2. one with the same number and serial at another position has moved, and
//     is compared across the move;
//  3. what is left on both sides of a position is compared as it stands.
//
// A part without a serial can't be told from its like, so it never moves. Side
// by side, a walker in place pairs by position alone: every cell of a row then
// tells what sits there.
func (w *walker) parts(a, b *record.Engine, f *schema.Field) {
	from, to := a.Spec.Node("parts"), b.Spec.Node("parts")
	var came map[string]string
	var went map[string]bool
	if !w.inPlace {
		came, went = moves(a, b)
	}
	for _, position := range keysOf(from, to) {
		path := dot(f.Key, position)
		before, after := get(from, position), get(to, position)
		if went[position] {
			before = nil
		}
		if was, moved := came[position]; moved {
			part, _ := b.PartAt(position)
			w.changes = append(w.changes, Change{Path: f.Key, What: Moved, From: was, To: position, Note: part.Serial})
			w.value(path, f.Of, get(from, was), after)
			after = nil
		}
		w.value(path, f.Of, before, after)
	}
}

// identity is what tells one part from another.
type identity struct{ number, serial string }

// moves finds the parts of a that sit elsewhere in b: where each came from, by
// its position in b, and which positions of a were left.
func moves(a, b *record.Engine) (came map[string]string, went map[string]bool) {
	came, went = map[string]string{}, map[string]bool{}
	left := map[identity][]string{}
	for _, p := range notInPlace(a, b) {
		left[identityOf(p)] = append(left[identityOf(p)], p.Position)
	}
	for _, p := range notInPlace(b, a) {
		if positions := left[identityOf(p)]; len(positions) > 0 {
			came[p.Position], went[positions[0]] = positions[0], true
			left[identityOf(p)] = positions[1:]
		}
	}
	return came, went
}

// notInPlace lists the parts with a serial that are not at their position in
// the other engine, by position.
func notInPlace(e, other *record.Engine) []record.Part {
	var list []record.Part
	for _, position := range keysOf(e.Spec.Node("parts"), nil) {
		p, _ := e.PartAt(position)
		there, _ := other.PartAt(position)
		if p.Serial != "" && identityOf(p) != identityOf(there) {
			list = append(list, p)
		}
	}
	return list
}

func identityOf(p record.Part) identity { return identity{p.Number, p.Serial} }

// moveRows lists the parts with a serial that sit at different positions in
// several states, with all the positions of each.
func moveRows(states []State, f Filter) []ChangeRow {
	var rows []ChangeRow
	known := map[identity]int{}
	for n, s := range states {
		for _, p := range s.Engine.Parts() {
			if p.Serial == "" {
				continue
			}
			id := identityOf(p)
			if _, ok := known[id]; !ok {
				known[id] = len(rows)
				rows = append(rows, ChangeRow{Path: "parts", Serial: p.Serial, Values: make([]string, len(states))})
			}
			cell := &rows[known[id]].Values[n]
			*cell = strings.TrimPrefix(*cell+", "+p.Position, ", ")
		}
	}
	return slices.DeleteFunc(rows, func(r ChangeRow) bool { return !r.moved() || !r.wanted(f) })
}

// moved tells whether a part's row names more than one place for it.
func (r *ChangeRow) moved() bool {
	places := map[string]bool{}
	for _, v := range r.Values {
		if v != "" {
			places[v] = true
		}
	}
	return len(places) > 1
}

// wanted tells whether a filter wants a part that moved.
func (r *ChangeRow) wanted(f Filter) bool {
	at := slices.ContainsFunc(r.Values, func(list string) bool {
		return slices.ContainsFunc(strings.Split(list, ", "), f.at)
	})
	return f.Wants(Parts) && f.topic("parts") && at
}
