package page

import (
	"regexp"
	"strings"
	"sync"
)

// grid is a table made ready for setting: every row as long as the titles, the
// rows in groups.
type grid struct {
	Caption string
	Label   string // the caption, or the heading above where there is none
	Columns []column
	Groups  []group
	Search  bool
	Stack   bool
}

// column is a title and what its cells have in common.
type column struct {
	Title   string
	Right   bool
	Names   bool
	Longest int // characters of its longest cell

	// The parts of the numbers that take the most room, so that all can stand
	// with their decimal points under each other.
	Head, Tail string
}

// group is a run of rows below a heading; the first may have none.
type group struct {
	Title string
	Rows  [][]cell
}

// cell is a text, in a column of numbers split before its decimal point.
type cell struct {
	Column     *column
	Text       string
	Mark       Mark
	Href       string
	Head, Tail string
}

// A column of cells up to short characters holds single words, dates and units;
// one with a cell from long characters holds sentences.
const (
	short = 16
	long  = 32
)

func newGrid(t *Table, heading string) *grid {
	g := &grid{Caption: plain(t.Caption), Search: t.Search, Stack: t.Stack}
	g.Label = or(g.Caption, heading)
	for _, c := range t.Columns {
		g.Columns = append(g.Columns, column{Title: plain(c.Title), Right: c.Right, Names: c.Names})
	}
	for _, r := range t.Rows {
		for plain(r.Group) == "" && len(g.Columns) < len(r.Cells) {
			g.Columns = append(g.Columns, column{})
		}
	}
	if len(g.Columns) == 0 {
		g.Columns = []column{{}}
	}
	for _, r := range t.Rows {
		g.add(r)
	}
	return g
}

// add puts a row into the last group, or opens the next.
func (g *grid) add(r Row) {
	if title := plain(r.Group); title != "" {
		g.Groups = append(g.Groups, group{Title: title})
		return
	}
	if len(g.Groups) == 0 {
		g.Groups = []group{{}}
	}
	row := make([]cell, len(g.Columns))
	for i := range row {
		row[i].Column = &g.Columns[i]
	}
	for i, c := range r.Cells {
		row[i].set(c)
	}
	last := &g.Groups[len(g.Groups)-1]
	last.Rows = append(last.Rows, row)
}

// set fills a cell, and makes room for it in its column.
func (c *cell) set(in Cell) {
	c.Text = plain(in.Text)
	if c.Text == "" {
		return
	}
	c.Mark, c.Href = in.Mark, in.Href
	column := c.Column
	column.Longest = max(column.Longest, width(c.Text))
	if !column.Right || width(c.Text) >= long {
		return
	}
	if c.Head, c.Tail = splitNumber(c.Text); c.Head == "" {
		return
	}
	if room(c.Head) > room(column.Head) {
		column.Head = c.Head
	}
	if room(c.Tail) > room(column.Tail) {
		column.Tail = c.Tail
	}
}

// wholePart is a text up to the decimal point of its first number, thousands
// set off by a comma or a thin space included.
var wholePart = sync.OnceValue(func() *regexp.Regexp {
	return regexp.MustCompile(`^[^0-9]*[0-9]+(?:[,\x{2009}\x{202f}][0-9]{3})*`)
})

// splitNumber parts a text before the decimal point of its first number:
// "−0.138 mm" into "−0" and ".138 mm". A text without a number has no head.
func splitNumber(s string) (head, tail string) {
	head = wholePart().FindString(s)
	if head == "" {
		return "", s
	}
	return head, s[len(head):]
}

// room is about how wide a text is set, in half digits: points, commas and
// spaces take half the room of a digit.
func room(s string) int {
	return 2*width(s) - strings.Count(s, ".") - strings.Count(s, ",") - strings.Count(s, " ")
}
