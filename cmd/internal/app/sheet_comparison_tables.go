package app

import (
	"slices"

	"stackbook/cmd/internal/act"
	"stackbook/cmd/internal/page"
	"stackbook/diff"
	"stackbook/record/figure"
	"stackbook/schema"
)

// columns are the titles of a table: what stands first, and a column a state.
func (c *comparison) columns(first string, right bool) []page.Column {
	list := []page.Column{{Title: first}}
	for _, name := range c.names() {
		list = append(list, page.Column{Title: name, Right: right})
	}
	return list
}

// under adds a heading across a table where another thing begins.
func under(t *page.Table, last *string, title string) {
	if title != *last {
		*last = title
		t.Rows = append(t.Rows, page.Row{Group: title})
	}
}

// changeTable has what one kind of records says in each state.
func (c *comparison) changeTable(title, kind string) *page.Table {
	t := &page.Table{Columns: c.columns(title, false)}
	var rows []diff.ChangeRow
	for _, r := range c.table.Changes {
		if r.Kind() == kind {
			rows = append(rows, r)
		}
	}
	for _, texts := range sideChanges(rows) {
		t.Rows = append(t.Rows, cells(texts...))
	}
	return t
}

// readingTable has the readings that count; of two states also their
// difference, and whether it is more than they may be off.
func (c *comparison) readingTable() *page.Table {
	t := &page.Table{Columns: c.columns("At", true)}
	sure := map[string]diff.Reading{}
	if c.pair != nil {
		t.Columns = append(t.Columns, page.Column{Title: "Difference", Right: true})
		for _, r := range c.pair.Readings {
			sure[r.Point+" "+r.At] = r
		}
	}
	t.Columns = append(t.Columns, page.Column{Title: "Unit"})
	if c.pair != nil {
		t.Columns = append(t.Columns, page.Column{Title: "The difference is"})
	}
	last := ""
	for _, r := range c.table.Readings {
		point := schema.FindPoint(r.Point)
		under(t, &last, point.Title)
		texts, unit := []string{r.At}, ""
		for i, v := range r.Values {
			text, u := sideReading(point, v, r.Digits[i], r.Steps[i], c.display())
			texts, unit = append(texts, orDefault(text, text == "")), u
		}
		if c.pair == nil {
			t.Rows = append(t.Rows, cells(append(texts, unit)...))
			continue
		}
		pair := sure[r.Point+" "+r.At]
		_, _, difference, _ := readingTexts(pair, c.display())
		t.Rows = append(t.Rows, cells(append(texts, difference, unit, certain(pair))...))
	}
	return t
}

// judged tells whether any state judges the figure.
func judged(row *diff.FigureRow) bool {
	return slices.ContainsFunc(row.Results, func(r *figure.Result) bool { return r != nil && r.Verdict != figure.NoVerdict })
}

// readAlike tells whether a row stands among the readings already and no verdict
// differs in it.
func readAlike(row *diff.FigureRow) bool {
	first := row.Results[0]
	return row.Figure.IsReading() && !slices.ContainsFunc(row.Results, func(r *figure.Result) bool {
		return r == nil || first == nil || r.Verdict != first.Verdict
	})
}

// figureTable has the figures that are judged, or the others. Of two states
// there is also the difference, and whether it can be claimed.
func (c *comparison) figureTable(wantJudged bool) *page.Table {
	t := &page.Table{Columns: c.columns("At", true)}
	moves := map[string]diff.FigureChange{}
	if c.pair != nil {
		t.Columns = append(t.Columns, page.Column{Title: "Difference", Right: true})
		for _, m := range c.pair.Figures {
			moves[m.Figure.ID+" "+m.At] = m
		}
	}
	t.Columns = append(t.Columns, page.Column{Title: "Unit"})
	if c.pair != nil {
		t.Columns = append(t.Columns, page.Column{Title: "The difference is"})
	}
	last := ""
	for i := range c.table.Figures {
		f := &c.table.Figures[i]
		if judged(f) != wantJudged || readAlike(f) {
			continue
		}
		under(t, &last, titleOf(f.Figure))
		row, unit := stateCells(f, c.display())
		if c.pair == nil {
			row.Cells = append(row.Cells, page.Cell{Text: unit})
		} else {
			m := moves[f.Figure.ID+" "+f.At]
			difference := ""
			if m.From != nil && m.To != nil {
				difference = figureTexts(m, c.display())[2]
			}
			row.Cells = append(row.Cells, cells(difference, unit, claim(m)).Cells...)
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// stateCells prints a figure in each state, all in one display's units, with
// its verdict where that is not plain conforming.
func stateCells(f *diff.FigureRow, d act.Display) (row page.Row, unit string) {
	row = cells(f.At)
	for _, r := range f.Results {
		if r == nil {
			row.Cells = append(row.Cells, page.Cell{Text: "none"})
			continue
		}
		var text string
		text, unit = d.Figure(r)
		if r.Uncertainty != nil {
			text += " ± " + d.Off(r, r.Uncertainty.Expanded)
		}
		cell := page.Cell{Text: text}
		if r.Verdict == figure.Fails || r.Verdict == figure.Undecided {
			cell = page.Cell{Text: text + ", " + string(r.Verdict), Mark: markOf(r.Verdict)}
		}
		row.Cells = append(row.Cells, cell)
	}
	return row, unit
}

// movedTable has, of two states, the inputs that moved each figure most.
func (c *comparison) movedTable() *page.Table {
	t := &page.Table{Columns: []page.Column{{Title: "At"}, {Title: "Moved by"}}}
	if c.pair == nil {
		return t
	}
	last := ""
	for _, m := range c.pair.Figures {
		if by := movedBy(m, c.display()); by != "" {
			under(t, &last, titleOf(m.Figure))
			t.Rows = append(t.Rows, cells(m.At, by))
		}
	}
	return t
}
