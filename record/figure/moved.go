package figure

import (
	"math"
	"math/bits"
	"slices"
	"sort"
)

// Moved is what moved a figure from one state to another.
type Moved struct {
	Separable bool    // some mix of old and new values has no figure: then the shares cannot be told apart
	Shares    []Share // greatest first; they add up to the whole difference
}

// Share is how much of a difference one changed input made, SI.
type Share struct {
	Input string // "geometry.flank_relief", "rotor_width at rotor/2", or Others
	Share float64
}

// Others stands for all inputs beyond the mostGroups that matter most (R24).
const Others = "others"

// mostGroups is how many groups of inputs are told apart: their 4096 mixes are
// all worked (R24).
const mostGroups = 12

// WhatMoved tells which changed inputs moved a figure between two states, by
// Shapley's value: the mean, over every order in which the inputs could have
// changed one after the other, of what each adds. The shares add up to the
// whole difference, no order is preferred, and an input that changes nothing
// has the share nought (L. S. Shapley, A value for n-person games, 1953; from
// memory). All places of one point at one position are one input. Both states
// are worked with today's formulas.
func WhatMoved(from, to *Set, r, s *Result) Moved {
	g := &game{figure: r.Figure, at: r.At, old: from.reader, new: to.reader}
	for _, w := range union(r.used, s.used) {
		if !sameEntry(g.old.at(w), g.new.at(w)) {
			g.groups = append(g.groups, group{w.name(), []what{w}})
		}
	}
	g.fold(r.Value)
	if !g.play() {
		return Moved{}
	}
	return Moved{Separable: true, Shares: g.shares(s.Value - r.Value)}
}

// group is inputs that change together.
type group struct {
	name  string
	whats []what
}

// game is a figure worked from every mix of two states.
type game struct {
	figure   *Figure
	at       string
	old, new values
	groups   []group
	worth    []float64 // by the set of groups taken from the new state
	scratch  Look
}

// mixed takes some values from the new state and all others from the old.
type mixed struct {
	game *game
	set  uint // the groups taken from the new state, a bit each
}

func (m *mixed) at(w what) *entry {
	for i := range m.game.groups {
		if m.set&(1<<i) != 0 && slices.Contains(m.game.groups[i].whats, w) {
			return m.game.new.at(w)
		}
	}
	return m.game.old.at(w)
}

// worthOf works the figure with a set of groups taken from the new state.
func (g *game) worthOf(set uint) (float64, bool) {
	return g.figure.work(&g.scratch, &mixed{g, set}, g.at)
}

// fold puts the groups that move the figure least by themselves together, so
// that no more than mostGroups are left.
func (g *game) fold(old float64) {
	if len(g.groups) <= mostGroups {
		return
	}
	alone := make(map[string]float64, len(g.groups))
	for i := range g.groups {
		value, ok := g.worthOf(1 << i)
		if alone[g.groups[i].name] = math.Inf(1); ok {
			alone[g.groups[i].name] = math.Abs(value - old)
		}
	}
	sort.SliceStable(g.groups, func(i, j int) bool { return alone[g.groups[i].name] > alone[g.groups[j].name] })
	rest := group{name: Others}
	for _, small := range g.groups[mostGroups-1:] {
		rest.whats = append(rest.whats, small.whats...)
	}
	g.groups = append(g.groups[:mostGroups-1:mostGroups-1], rest)
}

// play works the figure from every mix; false where one of them has none.
func (g *game) play() bool {
	g.worth = make([]float64, 1<<len(g.groups))
	for set := range g.worth {
		value, ok := g.worthOf(uint(set))
		if !ok {
			return false
		}
		g.worth[set] = value
	}
	return true
}

// shares gives each group its Shapley value. What rounding leaves of the whole
// goes to the greatest, so that they add up.
func (g *game) shares(whole float64) []Share {
	n := len(g.groups)
	weights := shapleyWeights(n)
	shares := make([]Share, n)
	left := whole
	for i, group := range g.groups {
		shares[i].Input = group.name
		for set := range uint(len(g.worth)) {
			if set&(1<<i) == 0 {
				gain := g.worth[set|1<<i] - g.worth[set]
				shares[i].Share += float64(weights[bits.OnesCount(set)] * gain)
			}
		}
		left -= shares[i].Share
	}
	sort.SliceStable(shares, func(i, j int) bool { return math.Abs(shares[i].Share) > math.Abs(shares[j].Share) })
	if n > 0 {
		shares[0].Share += left
	}
	return slices.DeleteFunc(shares, func(s Share) bool { return s.Share == 0 })
}

// shapleyWeights are k!(n-k-1)!/n! for k = 0 to n-1.
func shapleyWeights(n int) []float64 {
	weights := make([]float64, n)
	for k := range weights {
		weights[k] = 1 / float64(n)
		for i := 1; i <= k; i++ {
			weights[k] = float64(weights[k]*float64(i)) / float64(n-i)
		}
	}
	return weights
}

// name is the input as a person says it.
func (w what) name() string {
	switch w.kind {
	case reading, asRead:
		return w.id + " at " + w.position
	case run:
		return "the dyno run"
	case tests:
		return "the cranking tests of " + w.position
	case asFound:
		return w.id + " as found"
	case readAt:
		return "where " + w.id + " was read"
	}
	return w.id
}

func union(a, b []what) []what {
	all := slices.Clone(a)
	for _, w := range b {
		if !slices.Contains(all, w) {
			all = append(all, w)
		}
	}
	return all
}

// sameEntry tells whether two states hold the same values in one place.
func sameEntry(a, b *entry) bool {
	return slices.EqualFunc(a.values, b.values, func(x, y placed) bool { return x.place == y.place && x.SI == y.SI }) &&
		slices.Equal(a.words, b.words) && slices.EqualFunc(a.rows, b.rows, func(x, y row) bool { return len(x.cells) == len(y.cells) })
}
