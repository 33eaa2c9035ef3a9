package term

import "strings"

// printColumns prints the table as columns. A group stands apart from the rows
// above it by an empty line.
func (g *grid) printColumns() {
	g.printTitles()
	for i, r := range g.rows {
		if r.Group {
			g.printGroup(r, i > 0 && !r.Close)
			continue
		}
		g.printRow(r.Cells, r.Style)
	}
}

func (g *grid) printTitles() {
	titles := make([]string, len(g.columns))
	for i, c := range g.columns {
		titles[i] = c.Title
	}
	if strings.Join(titles, "") != "" {
		g.printRow(titles, StyleFaint)
	}
}

func (g *grid) printGroup(r Row, apart bool) {
	if apart {
		g.text.WriteByte('\n')
	}
	look := r.Style
	if look == StyleNone && !r.Close {
		look = StyleStrong
	}
	g.printLines(strings.Join(r.Cells, " "), look)
}

// printLines prints text as lines of their own, what is broken off set in by
// two columns.
func (g *grid) printLines(text string, look Style) {
	lines := []string{text}
	if g.limit > 0 && cells(text) > g.limit {
		lines = Wrap(unstyled(text), max(g.limit-gap, 1))
	}
	for i, line := range lines {
		if i > 0 {
			g.text.WriteString(strings.Repeat(" ", gap))
		}
		g.text.WriteString(paint(look, line, g.colour) + "\n")
	}
}

// printRow prints the cells of a row, each in its column, on as many lines as
// the tallest needs. Padding is written only in front of something, so that no
// line ends in spaces.
func (g *grid) printRow(row []string, look Style) {
	g.set = g.set[:0]
	height := 1
	for i, cell := range row {
		g.set = append(g.set, g.columns[i].set(cell))
		height = max(height, 1+len(g.set[i].more))
	}
	for n := range height {
		at, start := 0, 0
		for i, s := range g.set {
			if line := s.line(n); line != "" {
				g.pad(start + s.indent - at)
				g.text.WriteString(paint(look, line, g.colour))
				at = start + s.indent + cells(line)
			}
			start += g.columns[i].width + gap
		}
		g.text.WriteByte('\n')
	}
}

// pad writes some spaces.
func (g *grid) pad(n int) {
	const spaces = "                                                                "
	for ; n > len(spaces); n -= len(spaces) {
		g.text.WriteString(spaces)
	}
	g.text.WriteString(spaces[:n])
}

// setCell is a cell as it is printed: its lines, each set in by indent columns.
type setCell struct {
	first  string
	more   []string
	indent int
}

// line is one of the lines, "" behind the last.
func (s *setCell) line(n int) string {
	switch {
	case n == 0:
		return s.first
	case n <= len(s.more):
		return s.more[n-1]
	}
	return ""
}

// set lays a cell out. One that is wrapped goes to the left edge, whatever its
// column, and loses styles of its own, which could run across the lines.
func (c *column) set(cell string) setCell {
	room := c.width - cells(cell)
	if room < 0 {
		lines := Wrap(unstyled(cell), c.width)
		return setCell{first: lines[0], more: lines[1:]}
	}
	s := setCell{first: cell}
	if c.Decimal || c.Right {
		s.indent = room
	}
	if !c.Decimal {
		return s
	}
	if whole := wholeWidth(cell); whole > 0 {
		s.indent = min(max(c.width-c.part-whole, 0), room)
	}
	return s
}

// printBlocks prints each row as lines "title: value", for a terminal too
// narrow for the columns. Empty cells are left out.
func (g *grid) printBlocks() {
	for i, r := range g.rows {
		if r.Group {
			g.printGroup(r, i > 0 && !r.Close)
			continue
		}
		if i > 0 {
			g.text.WriteByte('\n')
		}
		for j, cell := range r.Cells {
			if cell == "" {
				continue
			}
			text := strings.TrimLeft(cell, " ")
			if title := strings.TrimSpace(g.columns[j].Title); title != "" {
				text = title + ": " + text
			}
			g.printLines(text, r.Style)
		}
	}
}
