// Package diff tells two states apart by meaning and not by lines: the order
// of keys, comments and the spelling of units are no difference; a part is
// paired by its serial, then by its position; a reading by point and place; a
// row of a table by its speed; a figure by its id and position. What it finds
// are typed changes at places; text, JSON and pages are listeners of it. Text
// of the records is passed on as it is: whoever shows it makes it harmless.
package diff

import (
	"math"
	"sort"
	"strings"

	"stackbook/record"
	"stackbook/record/figure"
	"stackbook/schema"
	"stackbook/schema/quantity"
)

// State is one engine in one state, with what follows from it by today's
// formulas.
type State struct {
	Name    string // as a person named it: SK-07/2
	Engine  *record.Engine
	Figures *figure.Set
}

// What happened to a value.
type What string

// The kinds of change.
const (
	Added   What = "added"
	Removed What = "removed"
	Changed What = "changed"
	Moved   What = "moved"
)

// Change is one difference of what is written. A missing side is empty.
type Change struct {
	Path     string
	What     What
	From, To string
	Note     string // of a move: the serial that moved
}

// Reading is a difference of the readings that count. A side that was not read
// is nil; a reading in words is a string, a number is in Unit.
type Reading struct {
	Point      string
	At         string
	Unit       string
	From, To   any
	Difference *float64   // nil unless both are numbers
	Beyond     *bool      // whether it is more than its expanded uncertainty, k = 2; nil where that is not known
	Digits     [2]int     // decimals each side was written with, in Unit
	Steps      [2]float64 // worth of the last digit of each side, SI; 0: not read
}

// FigureChange is a difference of a figure. A side that could not be computed
// is nil; values are in Unit.
type FigureChange struct {
	Figure     *figure.Figure
	At         string
	From, To   *figure.Result
	Difference *float64
	NoChange   bool          // the difference is too small to claim one
	Within     bool          // the difference lies within the uncertainty both sides have together
	Moved      *figure.Moved // which changed inputs moved it; nil where a side is missing or the value is the same
	EachRotor  bool          // both sides are shares for each rotor: the engines have different numbers of them
}

// Result is all that differs between two states.
type Result struct {
	States   []string
	TwoIDs   []string // both ids, where two engines bear one number (R11); nil otherwise
	Changes  []Change
	Readings []Reading
	Figures  []FigureChange
	Apart    Apart // what could not be compared
}

// Empty tells whether nothing differs: two engines are never the same.
func (r *Result) Empty() bool {
	return len(r.Changes)+len(r.Readings)+len(r.Figures)+len(r.TwoIDs) == 0
}

// Compare finds what differs from a to b. Between two engines, only what they
// are is compared; between states of one engine, also which records were
// written. Engines of different numbers of rotors are compared in what each
// rotor, each chamber or the engine for its size is; the rest is set apart.
func Compare(a, b State) *Result {
	r := compare(a, b, specChanges(a.Engine, b.Engine))
	r.Apart = apartOf(a, b)
	r.setApart(a, b)
	return r
}

func compare(a, b State, spec []Change) *Result {
	r := &Result{States: []string{a.Name, b.Name}, TwoIDs: TwoIDs(a.Engine, b.Engine), Changes: spec}
	if sameEngine(a.Engine, b.Engine) {
		r.Changes = append(r.Changes, recordChanges(a.Engine, b.Engine)...)
	}
	r.Readings = readingChanges(a, b)
	r.Figures = figureChanges(a.Figures, b.Figures)
	return r
}

// compared is a figure that both states have, with what moved it.
func compared(a, b *figure.Set, from, to *figure.Result) FigureChange {
	c := differing(from, to)
	if from.Value != to.Value {
		moved := figure.WhatMoved(a, b, from, to)
		c.Moved = &moved
	}
	return c
}

// differing is the difference of a figure that both sides have.
func differing(from, to *figure.Result) FigureChange {
	d := quantity.RoundTo(to.In()-from.In(), step(max(from.Decimals, to.Decimals)+3))
	return FigureChange{Figure: to.Figure, At: to.At, From: from, To: to, Difference: &d, NoChange: tooSmall(from, to), Within: within(from, to)}
}

// within tells whether two values differ by no more than the expanded
// uncertainty of their difference, as far as both are known. What one gauge
// adds to both is counted as if it were two: the difference is not called real
// too soon.
func within(from, to *figure.Result) bool {
	if from.Uncertainty == nil || to.Uncertainty == nil {
		return false
	}
	u := math.Hypot(from.Uncertainty.Expanded, to.Uncertainty.Expanded)
	return math.Abs(to.Value-from.Value) <= u
}

// TwoIDs gives the ids of two engines that bear one number, and nil for any
// others: an engine is who its id says, so these are not two states of one
// (R11). A missing id tells nothing.
func TwoIDs(a, b *record.Engine) []string {
	if a.ID == b.ID || a.ID == "" || b.ID == "" || a.Number != b.Number {
		return nil
	}
	return []string{a.ID, b.ID}
}

// figureChanges pairs figures by id and position. One whose value or printed
// text is the same does not differ, unless its verdict does: 38 N and 38.0 N
// are one value.
func figureChanges(a, b *figure.Set) []FigureChange {
	before := map[string]*figure.Result{}
	for _, r := range a.Results {
		before[r.Figure.ID+" "+r.At] = r
	}
	var list []FigureChange
	for _, to := range b.Results {
		key := to.Figure.ID + " " + to.At
		from := before[key]
		delete(before, key)
		if from == nil {
			list = append(list, FigureChange{Figure: to.Figure, At: to.At, To: to})
			continue
		}
		if from.Verdict != to.Verdict || from.Value != to.Value && from.Text() != to.Text() {
			list = append(list, compared(a, b, from, to))
		}
	}
	for _, r := range a.Results {
		if before[r.Figure.ID+" "+r.At] != nil {
			list = append(list, FigureChange{Figure: r.Figure, At: r.At, From: r})
		}
	}
	return inOrder(list)
}

// tooSmall tells whether a figure says of itself that a difference like this is
// none: less than 2 % of power on one dyno.
func tooSmall(from, to *figure.Result) bool {
	return math.Abs(to.Value-from.Value) < from.Figure.NoChange*math.Abs(from.Value)
}

// inOrder sorts figures as they are declared.
func inOrder(list []FigureChange) []FigureChange {
	rank := map[string]int{}
	for i, f := range figure.All() {
		rank[f.ID] = i
	}
	sort.SliceStable(list, func(i, j int) bool { return rank[list[i].Figure.ID] < rank[list[j].Figure.ID] })
	return list
}

func step(decimals int) float64 {
	s := 1.0
	for range decimals {
		s /= 10
	}
	return s
}

// readingChanges pairs the readings that count by point and place.
func readingChanges(a, b State) []Reading {
	var list []Reading
	for i := range schema.Points() {
		p := &schema.Points()[i]
		from, to := counting(a.Engine, p), counting(b.Engine, p)
		for _, key := range mergedKeys(from, to) {
			if r, differs := compareReading(p, key, from[key], to[key]); differs {
				r.Beyond = beyond(r.Difference, p, a.Figures.SpreadOf(from[key]), b.Figures.SpreadOf(to[key]))
				list = append(list, r)
			}
		}
	}
	return list
}

func counting(e *record.Engine, p *schema.Point) map[string]record.Counted {
	readings := map[string]record.Counted{}
	for _, position := range e.Positions(p) {
		counted, _ := e.Counting(p, position)
		if p.Sequence {
			inSequence(readings, position, counted)
			continue
		}
		for _, c := range counted {
			readings[strings.TrimSuffix(position+"/"+c.Place, "/")] = c
		}
	}
	return readings
}

// inSequence files readings whose places name nothing by their size: of three
// cranking pulses the lowest is compared with the lowest.
func inSequence(readings map[string]record.Counted, position string, counted []record.Counted) {
	names := []string{"lowest", "middle", "highest"}
	if len(counted) < 3 {
		names = []string{"lowest", "highest"}
	}
	sort.SliceStable(counted, func(i, j int) bool {
		a, _ := counted[i].Mean()
		b, _ := counted[j].Mean()
		order, err := a.Cmp(b)
		return err == nil && order < 0
	})
	for i, c := range counted[:min(len(names), len(counted))] {
		readings[position+"/"+names[i]] = c
	}
}

// beyond tells whether a difference is more than its expanded uncertainty.
func beyond(difference *float64, p *schema.Point, from, to *figure.Spread) *bool {
	if difference == nil || from == nil || to == nil {
		return nil
	}
	unit := quantity.MustLookup(p.Unit)
	one := quantity.ToSI(1, unit) - quantity.ToSI(0, unit)
	more := math.Abs(float64(*difference*one)) > 2*math.Hypot(from.Standard(), to.Standard())
	return &more
}

func compareReading(p *schema.Point, key string, from, to record.Counted) (Reading, bool) {
	r := Reading{Point: p.ID, At: key, Unit: p.Unit}
	x, y := r.valueOf(0, p, from), r.valueOf(1, p, to)
	if r.From, r.To = side(p, from, x), side(p, to, y); r.From == nil && r.To == nil {
		return r, false
	}
	if x != nil && y != nil {
		if d, err := quantity.Sub(*y, *x); err == nil {
			v := inUnit(d, p)
			r.Difference = &v
		}
	}
	return r, r.From != r.To
}

// valueOf is the number of one side, nil where there is none; the digits it was
// written with are noted.
func (r *Reading) valueOf(which int, p *schema.Point, c record.Counted) *quantity.Quantity {
	if c.Reading == nil || p.Text {
		return nil
	}
	q, ok := c.Mean()
	if !ok {
		return nil
	}
	r.Digits[which], r.Steps[which] = figure.DecimalsIn(p, c.Reading), figure.Step(c.Reading)
	if len(c.Values) > 1 { // a mean of repeats
		r.Digits[which]++
		r.Steps[which] /= 10
	}
	return &q
}

func side(p *schema.Point, c record.Counted, q *quantity.Quantity) any {
	switch {
	case c.Reading == nil:
		return nil
	case p.Text:
		return c.Text
	case q == nil:
		return nil
	}
	return inUnit(*q, p)
}

// inUnit is a quantity's number in the point's unit; a difference of points on
// a scale is one of differences.
func inUnit(q quantity.Quantity, p *schema.Point) float64 {
	u, err := quantity.MustLookup(p.Unit).As(q.Unit().Dimension())
	if err != nil {
		return q.SI()
	}
	converted, err := q.In(u)
	if err != nil {
		return q.SI()
	}
	f, _ := converted.Rat().Float64()
	return f
}

// mergedKeys lists the keys of both, numbers within them by their value. They
// are sorted by letters first, so that keys which no rule puts in order, such
// as 1 and 01, come out the same every time.
func mergedKeys[V any](a, b map[string]V) []string {
	seen := map[string]bool{}
	var keys []string
	for _, m := range []map[string]V{a, b} {
		for k := range m {
			if !seen[k] {
				seen[k] = true
				keys = append(keys, k)
			}
		}
	}
	sort.Strings(keys)
	steps := strings.NewReplacer(".", "/")
	sort.SliceStable(keys, func(i, j int) bool { return schema.Less(steps.Replace(keys[i]), steps.Replace(keys[j])) })
	return keys
}
