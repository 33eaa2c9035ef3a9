package page

import (
	"fmt"
	"io"
	"strings"
)

// Markdown writes a document as Markdown with tables in the form most readers
// know, a line for each row. The source is set to be read as it stands too:
// columns of short texts are even, numbers have their points under each other.
func Markdown(w io.Writer, d *Document) error {
	m := &markdown{}
	m.sheet(newSheet(d))
	_, err := io.WriteString(w, strings.TrimRight(m.text.String(), "\n")+"\n")
	return err
}

// markdown gathers the text; every piece is followed by an empty line.
type markdown struct{ text strings.Builder }

func (m *markdown) sheet(s *sheet) {
	m.heading(1, s.Title)
	if s.Kind != "" {
		m.block("**" + escape(s.Kind) + "**")
	}
	m.facts(s.Facts)
	m.paragraphs(s.Lead)
	if s.Contents {
		m.contents(s)
	}
	for _, sec := range s.Sections {
		m.section(sec)
	}
	if len(s.Cautions) > 0 {
		m.heading(2, "Safety")
		m.list(s.Cautions)
	}
	if s.Made != "" {
		m.block("---")
		m.block(paragraph(s.Made))
	}
}

// contents names the sections without links to them: how a heading is
// addressed differs from reader to reader, its number does not.
func (m *markdown) contents(s *sheet) {
	for _, sec := range s.Sections {
		m.text.WriteString(sec.Number + ". " + escape(sec.Heading) + "\n")
	}
	m.text.WriteByte('\n')
}

func (m *markdown) section(s *section) {
	m.heading(s.Level, strings.TrimSpace(s.Number+" "+s.Heading))
	if s.Note != "" {
		m.block("*" + escape(s.Note) + "*")
	}
	m.paragraphs(s.Text)
	m.facts(s.Facts)
	var links []string // where they lead is beside a page, and not beside this
	for _, l := range s.Links {
		links = append(links, l.Text)
	}
	m.list(links)
	m.list(s.List)
	m.drawn(s)
	if s.Table != nil {
		m.table(s.Table)
	}
	for _, b := range s.Blanks {
		m.block(paragraph(b) + ": " + strings.Repeat(`\_`, 30))
	}
	for _, below := range s.Sections {
		m.section(below)
	}
}

// drawn names drawings and photographs, which Markdown in one file cannot show.
func (m *markdown) drawn(s *section) {
	for _, d := range s.Drawings {
		m.block("*Drawn on the page: " + escape(strings.TrimSuffix(d.Title+". "+d.Words, ". ")) + "*")
	}
	for _, p := range s.Pictures {
		why := ""
		if p.Why != "" {
			why = " (not shown: " + p.Why + ")"
		}
		m.block("*Picture: " + escape(p.Caption+why) + "*")
	}
}

func (m *markdown) heading(level int, text string) {
	m.block(strings.Repeat("#", level) + " " + escape(text))
}

func (m *markdown) block(line string) { m.text.WriteString(line + "\n\n") }

func (m *markdown) paragraphs(list []string) {
	for _, p := range list {
		m.block(paragraph(p))
	}
}

func (m *markdown) list(items []string) {
	for _, item := range items {
		m.text.WriteString("- " + paragraph(item) + "\n")
	}
	if len(items) > 0 {
		m.text.WriteByte('\n')
	}
}

// facts makes a list with another bullet than list does, so that a list right
// below stays one of its own.
func (m *markdown) facts(list []Fact) {
	for _, f := range list {
		m.text.WriteString("* **" + escape(or(f.Label, "–")) + ":** " + escape(f.Value) + "\n")
	}
	if len(list) > 0 {
		m.text.WriteByte('\n')
	}
}

// table writes the rows of a group below a row that holds its title in bold;
// tables of Markdown know no other heading across.
func (m *markdown) table(g *grid) {
	if g.Caption != "" {
		m.block(paragraph(g.Caption) + ":")
	}
	if len(g.Groups) == 0 {
		m.block("None.")
		return
	}
	widths := g.widths()
	titles := make([]string, len(g.Columns))
	rules := make([]string, len(g.Columns))
	for i, c := range g.Columns {
		titles[i] = escape(c.Title)
		rules[i] = strings.Repeat("-", widths[i])
		if c.Right {
			rules[i] = strings.Repeat("-", widths[i]-1) + ":"
			titles[i] = padLeft(titles[i], widths[i])
		}
	}
	m.row(titles, widths)
	m.row(rules, widths)
	for _, group := range g.Groups {
		if group.Title != "" {
			title := make([]string, len(g.Columns))
			title[0] = "**" + escape(group.Title) + "**"
			m.row(title, widths)
		}
		for _, r := range group.Rows {
			m.row(cellTexts(r, widths), widths)
		}
	}
	m.text.WriteByte('\n')
}

func (m *markdown) row(texts []string, widths []int) {
	for i, t := range texts {
		fmt.Fprintf(&m.text, "| %s%s ", t, spaces(widths[i]-width(t)))
	}
	m.text.WriteString("|\n")
}

// narrowest is what the rule below a title needs; widest is how far a column is
// padded, since a sentence in one row should not draw out all others.
const (
	narrowest = 3
	widest    = 40
)

// widths is how far each column is padded.
func (g *grid) widths() []int {
	widths := make([]int, len(g.Columns))
	for i, c := range g.Columns {
		widths[i] = max(narrowest, width(escape(c.Title)), width(c.Head)+width(c.Tail))
	}
	for _, group := range g.Groups {
		for _, r := range group.Rows {
			for i, c := range r {
				widths[i] = max(widths[i], width(c.markdown()))
			}
		}
	}
	for i := range widths {
		widths[i] = min(widths[i], widest)
	}
	return widths
}

// cellTexts are the cells of a row, those of number columns set to the right,
// by their decimal point.
func cellTexts(row []cell, widths []int) []string {
	texts := make([]string, len(row))
	for i, c := range row {
		texts[i] = c.markdown()
		if c.Column.Right {
			texts[i] = padLeft(texts[i]+c.afterPoint(), widths[i])
		}
	}
	return texts
}

// afterPoint is the room that shorter decimals leave free. Marks take room of
// their own and are left out of the count.
func (c *cell) afterPoint() string {
	if c.Head == "" {
		return ""
	}
	return spaces(width(c.Column.Tail) - width(c.Tail) - width(c.emphasis()))
}

// emphasis is what stands on either side of a marked text.
func (c *cell) emphasis() string {
	switch c.Mark {
	case Bad:
		return "**"
	case Open:
		return "*"
	}
	return ""
}

func (c *cell) markdown() string { return c.emphasis() + escape(c.Text) + c.emphasis() }

func padLeft(s string, to int) string { return spaces(to-width(s)) + s }

func spaces(n int) string { return strings.Repeat(" ", max(n, 0)) }
