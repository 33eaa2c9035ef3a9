package diff

import (
	"sort"
	"strings"

	"stackbook/record/figure"
	"stackbook/schema"
)

// Table lines several states up: a row for everything that is not the same in
// all of them, and a value of each state, "" or nil where it has none.
type Table struct {
	States   []string
	Changes  []ChangeRow
	Readings []ReadingRow
	Figures  []FigureRow
	Alone    map[string][]string // by state: the positions no other state has, where engines have different numbers of rotors
}

// ChangeRow is one value of the specs.
type ChangeRow struct {
	Path   string
	Values []string
}

// ReadingRow is one reading that counts; values as in Reading.
type ReadingRow struct {
	Point, At, Unit string
	Values          []any
	Digits          []int
	Steps           []float64
}

// FigureRow is one figure; a result is nil where it could not be computed.
type FigureRow struct {
	Figure  *figure.Figure
	At      string
	Results []*figure.Result
}

// Empty tells whether nothing differs.
func (t *Table) Empty() bool { return len(t.Changes)+len(t.Readings)+len(t.Figures) == 0 }

// Side compares several states, two or more, side by side: each with the first,
// what is common to all folded away. Positions that only engines with more
// rotors have are named apart: there is nothing to compare them with.
func Side(states []State, f Filter) *Table {
	t := &Table{Alone: map[string][]string{}}
	for _, s := range states {
		t.States = append(t.States, s.Name)
	}
	m := &lines{table: t, fewest: fewestRotors(states), changes: map[string]int{}, readings: map[string]int{}, figures: map[string]int{}}
	for i, s := range states[1:] {
		r := Compare(states[0], s).Keep(f)
		m.take(r, i+1)
	}
	m.fill(states)
	m.sort()
	return t
}

func fewestRotors(states []State) int {
	fewest := schema.MostRotors
	for _, s := range states {
		if s.Engine.Rotors > 0 {
			fewest = min(fewest, s.Engine.Rotors)
		}
	}
	return fewest
}

// lines gathers the rows of a table.
type lines struct {
	table  *Table
	fewest int

	changes, readings, figures map[string]int // row by key
}

// take adds what differs between the first state and the nth.
func (m *lines) take(r *Result, n int) {
	t := m.table
	for _, c := range r.Changes {
		if c.kind() == Records || c.What == Moved {
			continue // a record of one engine is not to be lined up with those of others
		}
		if m.alone(c.position(), c.What == Added, n) {
			continue
		}
		row, ok := m.changes[c.Path]
		if !ok {
			row = len(t.Changes)
			m.changes[c.Path] = row
			t.Changes = append(t.Changes, ChangeRow{c.Path, filled(len(t.States), c.From)})
		}
		t.Changes[row].Values[n] = c.To
	}
	for _, c := range r.Readings {
		if !m.alone(c.At, c.From == nil, n) {
			key := c.Point + " " + c.At
			if _, ok := m.readings[key]; !ok {
				m.readings[key] = len(t.Readings)
				k := len(t.States)
				t.Readings = append(t.Readings, ReadingRow{c.Point, c.At, c.Unit, filled(k, c.From), filled(k, c.Digits[0]), filled(k, c.Steps[0])})
			}
			row := &t.Readings[m.readings[key]]
			row.Values[n], row.Digits[n], row.Steps[n] = c.To, c.Digits[1], c.Steps[1]
		}
	}
	for _, c := range r.Figures {
		if !m.alone(c.At, c.From == nil, n) {
			key := c.Figure.ID + " " + c.At
			if _, ok := m.figures[key]; !ok {
				m.figures[key] = len(t.Figures)
				t.Figures = append(t.Figures, FigureRow{c.Figure, c.At, make([]*figure.Result, len(t.States))})
			}
		}
	}
}

func filled[V any](n int, v V) []V {
	list := make([]V, n)
	for i := range list {
		list[i] = v
	}
	return list
}

// alone notes a position that lies beyond the rotors all the engines have; what
// differs there is not lined up.
func (m *lines) alone(position string, added bool, n int) bool {
	position = positionIn(position)
	if position == "" || schema.CheckPosition(position, m.fewest) == nil {
		return false
	}
	state := m.table.States[0]
	if added {
		state = m.table.States[n]
	}
	for _, known := range m.table.Alone[state] {
		if known == position {
			return true
		}
	}
	m.table.Alone[state] = append(m.table.Alone[state], position)
	return true
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

// fill gives every row of the figures the results of all states.
func (m *lines) fill(states []State) {
	for i := range m.table.Figures {
		row := &m.table.Figures[i]
		for n, s := range states {
			row.Results[n] = s.Figures.Find(row.Figure.ID, row.At)
		}
	}
}

// sort brings rows that only a later pair of states gave into the order of the
// others.
func (m *lines) sort() {
	t := m.table
	points, topics := map[string]int{}, map[string]int{}
	for i := range schema.Points {
		points[schema.Points[i].ID] = i
	}
	for i, f := range figure.All() {
		topics[f.ID] = i
	}
	sort.SliceStable(t.Readings, func(i, j int) bool {
		a, b := t.Readings[i], t.Readings[j]
		if a.Point != b.Point {
			return points[a.Point] < points[b.Point]
		}
		return schema.Less(a.At, b.At)
	})
	sort.SliceStable(t.Figures, func(i, j int) bool {
		a, b := t.Figures[i], t.Figures[j]
		if a.Figure != b.Figure {
			return topics[a.Figure.ID] < topics[b.Figure.ID]
		}
		return schema.Less(a.At, b.At)
	})
	sort.SliceStable(t.Changes, func(i, j int) bool { return pathLess(t.Changes[i].Path, t.Changes[j].Path) })
	for _, positions := range t.Alone {
		sort.SliceStable(positions, func(i, j int) bool { return schema.Less(positions[i], positions[j]) })
	}
}

// pathLess orders paths of a spec as the dictionary has their keys; positions
// front to rear.
func pathLess(a, b string) bool {
	f := &schema.Spec
	x, y := strings.Split(a, "."), strings.Split(b, ".")
	for i := 0; i < len(x) && i < len(y); i++ {
		if x[i] != y[i] {
			if f != nil && f.Type == schema.Group {
				return fieldIndex(f, x[i]) < fieldIndex(f, y[i])
			}
			return schema.Less(x[i], y[i])
		}
		if f != nil && f.Type == schema.Group {
			f = f.Find(x[i])
		} else if f != nil {
			f = f.Of
		}
	}
	return len(x) < len(y)
}

func fieldIndex(f *schema.Field, key string) int {
	for i := range f.Fields {
		if f.Fields[i].Key == key {
			return i
		}
	}
	return len(f.Fields)
}
