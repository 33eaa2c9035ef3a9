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
	Apart    Apart // what could not be compared
}

// ChangeRow is one value of the specs or, where all are states of one engine,
// of its other records. Of a part that moved it is where its serial sits.
type ChangeRow struct {
	Path   string
	Serial string // of a part that moved; "" otherwise
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
	Figure    *figure.Figure
	At        string
	Results   []*figure.Result
	EachRotor bool // the results are shares for each rotor: the engines have different numbers of them
}

// Empty tells whether nothing differs.
func (t *Table) Empty() bool { return len(t.Changes)+len(t.Readings)+len(t.Figures) == 0 }

// Side compares several states, two or more, side by side: each with the first,
// what is common to all folded away. A part is what sits at a position, so that
// each column reads by itself; one whose serial sits at another position
// elsewhere has a row of its own besides. What engines of different numbers of
// rotors have not all of them is set apart, as Compare does.
func Side(states []State, f Filter) *Table {
	t := &Table{Apart: apartOf(states...)}
	for _, s := range states {
		t.States = append(t.States, s.Name)
	}
	m := &lines{table: t, changes: map[string]int{}, readings: map[string]int{}, figures: map[string]int{}}
	for i, s := range states[1:] {
		r := compare(states[0], s, specInPlace(states[0].Engine, s.Engine))
		r.Apart = t.Apart
		r.setApart(states[0], s)
		t.Apart = r.Apart
		m.take(r.Keep(f), i+1)
	}
	t.Apart = t.Apart.keep(f)
	t.Apart.weigh(states, f)
	t.Apart.sort()
	m.fill(states)
	m.sort()
	t.Changes = append(moveRows(states, f), t.Changes...)
	return t
}

// lines gathers the rows of a table.
type lines struct {
	table *Table

	changes, readings, figures map[string]int // row by key
}

// take adds what differs between the first state and the nth.
func (m *lines) take(r *Result, n int) {
	t := m.table
	k := len(t.States)
	for _, c := range r.Changes {
		if t.Apart.Records && c.Kind() == Records {
			continue // a record of one engine is not to be lined up with those of others
		}
		if _, ok := m.changes[c.Path]; !ok {
			m.changes[c.Path] = len(t.Changes)
			t.Changes = append(t.Changes, ChangeRow{Path: c.Path, Values: filled(k, c.From)})
		}
		t.Changes[m.changes[c.Path]].Values[n] = c.To
	}
	for _, c := range r.Readings {
		key := c.Point + " " + c.At
		if _, ok := m.readings[key]; !ok {
			m.readings[key] = len(t.Readings)
			t.Readings = append(t.Readings, ReadingRow{c.Point, c.At, c.Unit, filled(k, c.From), filled(k, c.Digits[0]), filled(k, c.Steps[0])})
		}
		row := &t.Readings[m.readings[key]]
		row.Values[n], row.Digits[n], row.Steps[n] = c.To, c.Digits[1], c.Steps[1]
	}
	for _, c := range r.Figures {
		key := c.Figure.ID + " " + c.At
		if _, ok := m.figures[key]; !ok {
			m.figures[key] = len(t.Figures)
			t.Figures = append(t.Figures, FigureRow{c.Figure, c.At, make([]*figure.Result, k), c.EachRotor})
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

// fill gives every row of the figures the results of all states.
func (m *lines) fill(states []State) {
	for i := range m.table.Figures {
		row := &m.table.Figures[i]
		for n, s := range states {
			row.Results[n] = s.Figures.Find(row.Figure.ID, row.At)
			if row.EachRotor {
				row.Results[n] = each(row.Results[n], s)
			}
		}
	}
}

// sort brings rows that only a later pair of states gave into the order of the
// others.
func (m *lines) sort() {
	t := m.table
	points, topics := map[string]int{}, map[string]int{}
	for i := range schema.Points() {
		points[schema.Points()[i].ID] = i
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
		if a.Figure.ID != b.Figure.ID {
			return topics[a.Figure.ID] < topics[b.Figure.ID]
		}
		return schema.Less(a.At, b.At)
	})
	sort.SliceStable(t.Changes, func(i, j int) bool { return pathLess(t.Changes[i].Path, t.Changes[j].Path) })
}

// pathLess orders paths of a spec as the dictionary has their keys; positions
// front to rear.
func pathLess(a, b string) bool {
	f := schema.Spec()
	x, y := strings.Split(a, "."), strings.Split(b, ".")
	for i := 0; i < len(x) && i < len(y); i++ {
		if x[i] != y[i] {
			if f != nil && f.Type == schema.Group {
				if p, q := fieldIndex(f, x[i]), fieldIndex(f, y[i]); p != q {
					return p < q
				}
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
