package diff

import (
	"sort"
	"strings"

	"stackbook/record"
	"stackbook/schema"
	"stackbook/schema/quantity"
)

// tables compares what two states of one session hold in rows. A row is paired
// by its speed and a cell by its column, so that a row put in at the top, or a
// column put in between, alters no other.
func (w *walker) tables(f *schema.Field, a, b *record.Session) {
	for i := range f.Fields {
		table := &f.Fields[i]
		path := dot(f.Key, table.Key)
		for j := range table.Fields {
			if child := &table.Fields[j]; child.Type != schema.Series {
				at := dot(path, child.Key)
				w.value(at, child, a.Node(at), b.Node(at))
			}
		}
		w.rows(path, rowsOf(a, table.Key), rowsOf(b, table.Key))
	}
}

// rows compares the rows of one table; a row of one side is told whole.
func (w *walker) rows(path string, a, b map[string]row) {
	for _, speed := range speeds(a, b) {
		at := path + " " + speed
		x, inA := a[speed]
		y, inB := b[speed]
		if inA != inB {
			w.add(at, whatOf(inA, inB), x.text(), y.text())
			continue
		}
		for _, column := range mergedKeys(x.Cells, y.Cells) {
			from, filledA := x.Cells[column]
			to, filledB := y.Cells[column]
			if filledA != filledB || !from.Equal(to) {
				w.add(at+" "+column, whatOf(filledA, filledB), cellText(from, filledA), cellText(to, filledB))
			}
		}
	}
}

// row is one row with the order of its columns.
type row struct {
	record.Row
	columns []record.Column
}

// text is all cells of a row but the speed it goes by.
func (r row) text() string {
	var cells []string
	for _, c := range r.columns {
		if q, ok := r.Cells[c.Name]; ok && c.Name != speedColumn {
			cells = append(cells, q.String())
		}
	}
	return strings.Join(cells, ", ")
}

// speedColumn is the column the rows of a table go by.
const speedColumn = "speed"

// rowsOf gives the rows of a session's table by the canonical text of their
// speed.
func rowsOf(s *record.Session, table string) map[string]row {
	rows := map[string]row{}
	for _, t := range s.Tables {
		if t.Name != table {
			continue
		}
		for _, r := range t.Rows {
			rows[r.Cells[speedColumn].Canonical()] = row{r, t.Columns}
		}
	}
	return rows
}

// speeds lists the speeds of two tables, slowest first.
func speeds(a, b map[string]row) []string {
	list := mergedKeys(a, b)
	value := func(speed string) float64 {
		r, ok := a[speed]
		if !ok {
			r = b[speed]
		}
		return r.Cells[speedColumn].SI()
	}
	sort.SliceStable(list, func(i, j int) bool { return value(list[i]) < value(list[j]) })
	return list
}

func cellText(q quantity.Quantity, filled bool) string {
	if !filled {
		return ""
	}
	return q.String()
}
