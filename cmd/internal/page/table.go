package page

import (
	"html/template"
	"regexp"
	"strconv"
	"strings"
	"sync"
)

// tableHTML sets a table. It is written out here, and not in the template, which
// looks at every cell anew and takes ten times as long; what is a text goes
// through setter.text, and nothing else of a record gets in.
func tableHTML(g *grid) template.HTML {
	s := &setter{}
	if g.Search {
		s.WriteString(`<div class="search" hidden><label>Show rows with <input type="search" autocomplete="off"></label> <output></output></div>` + "\n")
	}
	s.WriteString(`<div class="scroll" role="region" aria-label="`)
	s.text(g.Label)
	s.WriteString("\" tabindex=\"0\">\n<table")
	if g.Stack {
		s.WriteString(` class="stack"`)
	}
	s.WriteString(">\n<caption")
	if g.Caption == "" {
		s.WriteString(` class="unseen"`)
	}
	s.WriteByte('>')
	s.text(g.Label)
	s.WriteString("</caption>\n<thead>\n<tr>")
	for i := range g.Columns {
		s.title(&g.Columns[i])
	}
	s.WriteString("</tr>\n</thead>\n")
	for i := range g.Groups {
		s.group(g, &g.Groups[i])
	}
	if len(g.Groups) == 0 {
		s.WriteString(`<tbody><tr><td colspan="` + strconv.Itoa(len(g.Columns)) + `">None.</td></tr></tbody>` + "\n")
	}
	s.WriteString("</table>\n</div>\n")
	return template.HTML(s.String())
}

// setter gathers markup.
type setter struct{ strings.Builder }

// entities make the characters that mean something in markup, inside an
// attribute or outside, stand for themselves; the same that the template does.
var entities = strings.NewReplacer("\x00", "\uFFFD", `"`, "&#34;", "&", "&amp;", "'", "&#39;", "+", "&#43;", "<", "&lt;", ">", "&gt;")

func (s *setter) text(text string) { _, _ = entities.WriteString(s, text) }

func (s *setter) title(c *column) {
	if c.Title == "" {
		s.WriteString("<td></td>")
		return
	}
	s.WriteString(`<th scope="col"`)
	s.class(c)
	s.WriteByte('>')
	s.text(c.Title)
	s.WriteString("</th>")
}

func (s *setter) class(c *column) {
	if class := c.Class(); class != "" {
		s.WriteString(` class="` + class + `"`)
	}
}

func (s *setter) group(g *grid, group *group) {
	s.WriteString("<tbody>\n")
	if group.Title != "" {
		s.WriteString(`<tr class="group"><th scope="rowgroup" colspan="` + strconv.Itoa(len(g.Columns)) + `"><span>`)
		s.text(group.Title)
		s.WriteString("</span></th></tr>\n")
	}
	for _, row := range group.Rows {
		s.WriteString("<tr>")
		for i := range row {
			s.cell(i, &row[i], g.Stack)
		}
		s.WriteString("</tr>\n")
	}
	s.WriteString("</tbody>\n")
}

func (s *setter) cell(i int, c *cell, titled bool) {
	element := "td"
	if i == 0 && c.Text != "" {
		element = "th"
		s.WriteString(`<th scope="row"`)
	} else {
		s.WriteString("<td")
	}
	s.class(c.Column)
	if titled && i > 1 && c.Column.Title != "" {
		s.WriteString(` data-title="`)
		s.text(c.Column.Title)
		s.WriteByte('"')
	}
	s.WriteByte('>')
	mark := markClass(c.Mark)
	if mark != "" {
		s.WriteString(`<span class="` + mark + `">`)
	}
	if c.Href != "" {
		s.WriteString(`<a href="`)
		s.text(c.Href)
		s.WriteString(`">`)
	}
	s.number(c)
	if c.Href != "" {
		s.WriteString("</a>")
	}
	if mark != "" {
		s.WriteString("</span>")
	}
	s.WriteString("</" + element + ">")
}

// number sets what a cell says, a number with its decimal point under the others.
func (s *setter) number(c *cell) {
	if c.Column.Names && c.Column.Longest > short { // a short one breaks nothing
		s.names(c.Text)
		return
	}
	if c.Head == "" || c.Column.Tail == "" {
		s.text(c.Text)
		return
	}
	s.WriteString(`<span class="point">`)
	s.text(c.Head)
	s.WriteString(`<span class="tail" data-room="`)
	s.text(c.Column.Tail)
	s.WriteString(`">`)
	s.text(c.Tail)
	s.WriteString("</span></span>")
}

// numberWord is what the number of an engine looks like, with a letter in it: a
// date is none.
var numberWord = sync.OnceValue(func() *regexp.Regexp {
	return regexp.MustCompile(`^[A-Z0-9-]*[A-Z][A-Z0-9-]*$`)
})

// longestName is how many characters the number of an engine may have.
const longestName = 24

// names sets words of which the numbers of engines stay in one line.
func (s *setter) names(text string) {
	for i, word := range strings.Split(text, " ") {
		if i > 0 {
			s.WriteByte(' ')
		}
		name := strings.TrimRight(word, ",;:")
		if len(name) > longestName || !strings.Contains(name, "-") || !numberWord().MatchString(name) {
			s.text(word)
			continue
		}
		s.WriteString(`<span class="name">`)
		s.text(name)
		s.WriteString("</span>")
		s.text(word[len(name):])
	}
}
