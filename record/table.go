package record

import (
	"fmt"
	"strings"

	"stackbook/schema"
	"stackbook/schema/problem"
	"stackbook/schema/quantity"
	"stackbook/schema/source"
)

// Table is readings that come in rows, such as a run on the dyno.
type Table struct {
	Name    string
	Columns []Column
	Rows    []Row
	session *Record
}

// Column is one column with its unit.
type Column struct {
	Name  string
	Unit  quantity.Unit
	field *schema.Field
}

// Row is one row; a cell left empty is not there.
type Row struct {
	Ref   Ref
	Cells map[string]quantity.Quantity // by column name
}

// readTables reads the tables of a session: columns are a name and its unit
// ("speed rpm", "torque N m"), rows are lists of numbers, keyed by their speed.
func readTables(r *Record) ([]*Table, problem.List) {
	n := r.Node("tables")
	if n == nil || n.Kind() != source.Map {
		return nil, nil
	}
	var tables []*Table
	t := &tableReader{record: r}
	for _, e := range n.Entries() {
		if e.Value.Kind() == source.Map {
			tables = append(tables, t.table(e))
		}
	}
	return tables, t.list
}

type tableReader struct {
	record *Record
	list   problem.List
}

func (t *tableReader) add(n *source.Node, message, mend string) {
	t.list = append(t.list, problem.Problem{File: t.record.Path, Line: n.Line(), Column: n.Column(), Rule: "table", Message: message, Mend: mend})
}

func (t *tableReader) table(e source.Entry) *Table {
	table := &Table{Name: e.Key, session: t.record}
	columns := e.Value.Get("columns")
	if columns == nil || len(columns.Items()) == 0 {
		return table
	}
	named := map[string]bool{}
	for _, item := range columns.Items() {
		column := t.column(item)
		if column.Name != "" && named[column.Name] {
			t.add(item, "the column "+column.Name+" stands here twice", "keep one of them")
			column = Column{}
		}
		named[column.Name] = true
		table.Columns = append(table.Columns, column)
	}
	if first := columns.Items()[0]; first.Kind() == source.Scalar && table.Columns[0].Name != "speed" {
		t.add(columns.Items()[0], "the first column is not the speed", `write: columns: [speed rpm, torque N m]`)
	}
	rows := e.Value.Get("rows")
	if rows == nil {
		return table
	}
	seen := map[string]int{}
	for _, item := range rows.Items() {
		t.row(table, item, seen)
	}
	return table
}

func (t *tableReader) column(n *source.Node) Column {
	if n.Kind() != source.Scalar {
		return Column{} // the check has said so
	}
	var known []string
	for i := range schema.DynoColumns() {
		f := &schema.DynoColumns()[i]
		heading := strings.TrimSuffix(f.Key+" "+f.Unit, " 1")
		known = append(known, heading)
		unit, ok := strings.CutPrefix(n.Text(), f.Key+" ")
		if n.Text() == heading {
			unit, ok = f.Unit, true
		}
		if !ok {
			continue
		}
		if u, known := quantity.Lookup(unit); known {
			if as, err := u.As(f.Dim); err == nil {
				return Column{f.Key, as, f}
			}
		}
		t.add(n, fmt.Sprintf("%q is no unit for %s", unit, f.Key), "write it like "+heading)
		return Column{Name: f.Key}
	}
	t.add(n, fmt.Sprintf("unknown column %q", n.Text()), columnMend(n.Text(), known))
	return Column{}
}

// columnMend names the column most like the one written.
func columnMend(written string, known []string) string {
	for _, heading := range known {
		if strings.HasPrefix(heading, written+" ") {
			return "did you mean " + heading + "?"
		}
	}
	if near := schema.Nearest(written, known); near != "" {
		return "did you mean " + near + "?"
	}
	return "a column is one of: " + strings.Join(known, ", ")
}

func (t *tableReader) row(table *Table, n *source.Node, seen map[string]int) {
	cells := n.Items()
	if n.Kind() != source.List {
		return // the check has said so
	}
	if first, whole := schema.CommaInList(cells, len(cells) != len(table.Columns)); first != nil {
		t.add(first, "the comma ends the value here, so YAML reads two", "write "+whole)
		return
	}
	if len(cells) != len(table.Columns) {
		t.add(n, fmt.Sprintf("this row has %d values for %d columns", len(cells), len(table.Columns)), "write one value for each column, ~ for one not taken")
		return
	}
	row := Row{Ref: t.record.Ref(n), Cells: map[string]quantity.Quantity{}}
	for i, cell := range cells {
		if q, ok := t.cell(n, cell, table.Columns[i]); ok {
			row.Cells[table.Columns[i].Name] = q
		}
	}
	speed, ok := row.Cells["speed"]
	if !ok {
		return
	}
	if first := seen[speed.Canonical()]; first > 0 {
		t.add(n, fmt.Sprintf("the speed %s stands here and on line %d", speed, first), "keep one row a speed")
		return
	}
	seen[speed.Canonical()] = n.Line()
	table.Rows = append(table.Rows, row)
}

// cell reads one cell of a row; ok is false for one that was not taken or cannot
// be read.
func (t *tableReader) cell(row, cell *source.Node, column Column) (q quantity.Quantity, ok bool) {
	empty := schema.IsEmpty(cell)
	switch {
	case empty && column.Name == "speed":
		t.add(row, "this row has no speed", "write the speed, or take the row out")
		return q, false
	case empty || column.field == nil:
		return q, false
	case cell.Kind() != source.Scalar:
		t.add(cell, column.Name+": "+cell.Kind().String()+" stands where one number is due", "write one number, or ~ for none")
		return q, false
	}
	q, why := column.field.ReadCell(cell.Text(), column.Unit)
	if why != nil {
		t.add(cell, column.Name+": "+why.What, why.Mend)
		return q, false
	}
	return q, true
}

// Run is the dyno run that counts for the engine's build: the latest one, unless
// something was done to the engine as a whole since. The table is nil when there
// is none.
func (e *Engine) Run() (*Table, *Session) {
	for i := len(e.Sessions) - 1; i >= 0; i-- {
		s := e.Sessions[i]
		if t := s.run(); t != nil && s.Build == e.Build && s.Stage != nil && s.Stage.AsBuilt && !e.touchedSince("engine", s.Date, false) {
			return t, s
		}
	}
	return nil, nil
}

// run is the session's dyno table, nil where it has none or an empty one.
func (s *Session) run() *Table {
	for _, t := range s.Tables {
		if t.Name == "dyno" && len(t.Rows) > 0 {
			return t
		}
	}
	return nil
}

// checkRuns reports two runs of one build of which neither is known to be
// later (R1).
func (e *Engine) checkRuns() problem.List {
	var problems problem.List
	var before *Session
	for _, s := range e.Sessions {
		if s.run() == nil || s.Build != e.Build {
			continue
		}
		if before != nil {
			if order, known := s.Date.Compare(before.Date); !known || order == 0 {
				n := s.Node("date")
				problems = append(problems, problem.Problem{File: s.Path, Line: n.Line(), Column: n.Column(), Rule: "R1",
					Message: "this run on the dyno and that of " + before.Path + " are of one day, and neither is known to be later", Mend: "give both a time: date: " + s.Date.Day() + " 14:30"})
			}
		}
		before = s
	}
	return problems
}
