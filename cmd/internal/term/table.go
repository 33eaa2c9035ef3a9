package term

import "strings"

// Table is rows under titles. Every cell is cleaned when it is printed.
type Table struct {
	Columns []Column
	Rows    []Row
}

// Column is how the cells below one title are set.
type Column struct {
	Title   string
	Right   bool // to the right edge
	Decimal bool // numbers under each other by their decimal point, words to the right edge
	Flex    bool // may be wrapped where the terminal is narrow
	Keep    bool // is printed even if no row has anything in it
}

// Row is one line of a table. Cells left out at its end are empty.
type Row struct {
	Cells []string
	Group bool // a heading across the table
	Close bool // of a heading: a lesser one, in the plain look and close to the rows above it
	Style Style
}

// gap is the number of spaces between two columns.
const gap = 2

// leastFlex is how narrow a flexible column may become; below that its words
// would fall to pieces.
const leastFlex = 12

// Table prints a table to Out: columns that are empty in all rows left out,
// flexible ones wrapped as far as the terminal needs it. Where even that is
// not enough, each row becomes a block of lines "title: value". A table without
// rows prints nothing.
func (t *Terminal) Table(tb Table) {
	if len(tb.Rows) == 0 {
		return
	}
	g := t.grid(tb)
	if g.fit() {
		g.printColumns()
	} else {
		g.printBlocks()
	}
	t.print(t.Out, g.text.String(), t.Colour)
}

// grid is a table being set: cleaned, measured and without empty columns.
type grid struct {
	columns []column
	rows    []Row
	limit   int // the width of the terminal, 0 is no limit
	colour  bool
	text    strings.Builder
	set     []setCell // the row that is being printed
}

// column knows how much room its cells need: width columns in all; in a decimal
// column whole of them before the point and part from the point on.
type column struct {
	Column
	width, whole, part int
}

func (t *Terminal) grid(tb Table) *grid {
	g := &grid{limit: t.Width, colour: t.Colour}
	for _, c := range tb.Columns {
		c.Title = t.clean(c.Title)
		g.columns = append(g.columns, column{Column: c})
	}
	for _, r := range tb.Rows {
		row := Row{Cells: make([]string, 0, max(len(r.Cells), len(g.columns))), Group: r.Group, Close: r.Close, Style: r.Style}
		for _, cell := range r.Cells {
			row.Cells = append(row.Cells, strings.TrimRight(t.clean(cell), " "))
		}
		for !r.Group && len(row.Cells) > len(g.columns) {
			g.columns = append(g.columns, column{}) // a cell under no title is shown all the same
		}
		g.rows = append(g.rows, row)
	}
	g.even()
	g.dropEmpty()
	for i := range g.columns {
		g.measure(i)
	}
	return g
}

// even gives each row as many cells as there are columns.
func (g *grid) even() {
	for i := range g.rows {
		r := &g.rows[i]
		for !r.Group && len(r.Cells) < len(g.columns) {
			r.Cells = append(r.Cells, "")
		}
	}
}

func (g *grid) dropEmpty() {
	for i := len(g.columns) - 1; i >= 0; i-- {
		if g.columns[i].Keep || g.used(i) {
			continue
		}
		g.columns = append(g.columns[:i], g.columns[i+1:]...)
		for j := range g.rows {
			if r := &g.rows[j]; !r.Group {
				r.Cells = append(r.Cells[:i], r.Cells[i+1:]...)
			}
		}
	}
}

func (g *grid) used(i int) bool {
	for _, r := range g.rows {
		if !r.Group && r.Cells[i] != "" {
			return true
		}
	}
	return false
}

// measure finds out how much room a column needs unwrapped.
func (g *grid) measure(i int) {
	c := &g.columns[i]
	c.width = cells(c.Title)
	for _, r := range g.rows {
		if r.Group {
			continue
		}
		width, whole := cells(r.Cells[i]), 0
		if c.Decimal {
			whole = wholeWidth(r.Cells[i])
		}
		if whole > 0 {
			c.whole = max(c.whole, whole)
			c.part = max(c.part, width-whole)
		} else {
			c.width = max(c.width, width)
		}
	}
	c.width = max(c.width, c.whole+c.part)
}

// fit narrows the flexible columns, the widest first, until the table is no
// wider than the terminal, and tells whether that succeeded.
func (g *grid) fit() bool {
	if g.limit <= 0 {
		return true
	}
	for over := g.width() - g.limit; over > 0; over-- {
		c := g.widestFlex()
		if c == nil {
			return false
		}
		c.width--
	}
	return true
}

func (g *grid) width() int {
	sum := gap * (len(g.columns) - 1)
	for _, c := range g.columns {
		sum += c.width
	}
	return sum
}

// widestFlex is the widest column that may become narrower still, or nil.
func (g *grid) widestFlex() *column {
	var widest *column
	for i := range g.columns {
		c := &g.columns[i]
		if c.Flex && c.width > leastFlex && (widest == nil || c.width > widest.width) {
			widest = c
		}
	}
	return widest
}

// wholeWidth is the width of a number up to its decimal point, a sign or a
// bracket before it included; 0 if the cell doesn't begin with a number.
func wholeWidth(cell string) int {
	cell = unstyled(cell)
	number := strings.TrimLeft(cell, "+-−±~≈<>≤≥( ")
	rest := strings.TrimLeft(number, "0123456789")
	if len(rest) == len(number) {
		return 0
	}
	return cells(cell[:len(cell)-len(rest)])
}
