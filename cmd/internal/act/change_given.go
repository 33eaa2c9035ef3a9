package act

import (
	"fmt"
	"slices"
	"strings"

	"stackbook/schema"
	"stackbook/schema/problem"
	"stackbook/schema/source"
)

// helpMark begins the lines of a template that are for the person who fills it
// in, and hintMark the line that is for an editor.
const (
	helpMark = "#:"
	hintMark = "# yaml-language-server:"
)

// A line of a text with the number it had where it came from; 0 for one that
// was put in here.
type line struct {
	text string // with its line end
	from int
}

// given is a record that came as text.
type given struct {
	desk    *Desk
	name    string // where it came from, for problems
	lines   []line
	refined bool // it was a template: keys left empty are to go
	doc     *source.Doc
}

// FromText makes a change of a whole record: one a person wrote, or a template
// that was filled in. Where it lacks format, engine or build, they are put in
// before its first key; every other byte stays. Of a template the help and the
// keys left empty are taken out. name is where the text comes from: problems
// carry it, with the lines as they are there.
func (d *Desk) FromText(name string, text []byte, photos []string) (*Draft, error) {
	g := &given{desk: d, name: name}
	g.split(string(text))
	if err := g.complete(); err != nil {
		return nil, err
	}
	stem, err := g.stem()
	if err != nil {
		return nil, err
	}
	file := d.file(stem)
	if g.refined || !strings.Contains(string(g.doc.Text()), hintMark) {
		g.lines = slices.Insert(g.lines, 0, line{text: schema.EditorHint("change", file) + g.lineEnd()})
	}
	_, list, err := d.check(file, g.text())
	if err != nil {
		return nil, err
	}
	if list = append(g.asGiven(file, list), g.glued()...); len(list) > 0 {
		list.Sort()
		return nil, list
	}
	return g.draft(file, stem, photos)
}

// split takes the text apart, without a byte-order mark, and without the help
// of a template.
func (g *given) split(text string) {
	for i, s := range strings.SplitAfter(strings.TrimPrefix(text, "\ufeff"), "\n") {
		if strings.HasPrefix(strings.TrimLeft(s, " "), helpMark) {
			g.refined = true
			continue
		}
		if s != "" {
			g.lines = append(g.lines, line{s, i + 1})
		}
	}
	if g.refined {
		g.lines = slices.DeleteFunc(g.lines, func(l line) bool { return strings.HasPrefix(l.text, hintMark) })
	}
}

func (g *given) text() []byte {
	var b strings.Builder
	for _, l := range g.lines {
		b.WriteString(l.text)
	}
	return []byte(b.String())
}

// lineEnd is the line end the text uses.
func (g *given) lineEnd() string {
	if len(g.lines) > 0 && strings.HasSuffix(g.lines[0].text, "\r\n") {
		return "\r\n"
	}
	return "\n"
}

// complete reads the text and puts in what it lacks of format, engine and
// build.
func (g *given) complete() error {
	doc, err := source.Parse(g.name, g.text())
	if err != nil {
		return g.asGiven(g.name, err.(problem.List))
	}
	entries := doc.Root().Entries()
	if len(entries) == 0 {
		return usage("write a change record, or use the options: stackbook change --help", "there is nothing in %s", g.name)
	}
	var lacking []line
	for _, must := range []pair{
		{"format", fmt.Sprintf("change/%d", schema.FormatNumber)}, {"engine", g.desk.Place.Number}, {"build", fmt.Sprint(g.desk.Engine.Build)},
	} {
		if doc.Root().Get(must.key) == nil {
			lacking = append(lacking, line{text: must.key + ": " + must.value + g.lineEnd()})
		}
	}
	first := entries[0]
	if len(lacking) > 0 && (first.KeyColumn != 1 || first.KeyLine > len(g.lines)) {
		return problem.List{{File: g.name, Line: first.KeyLine, Column: first.KeyColumn, Rule: "edit-refused",
			Message: "what is missing cannot be put in before this", Mend: "write at the top: " + strings.TrimSpace(lacking[0].text)}}
	}
	g.lines = slices.Insert(g.lines, min(first.KeyLine-1, len(g.lines)), lacking...)
	if g.doc, err = source.Parse(g.name, g.text()); err != nil {
		return g.asGiven(g.name, err.(problem.List))
	}
	return nil
}

// stem names the record; where its date cannot be read, which is a problem by
// itself, for today.
func (g *given) stem() (string, error) {
	word := func(key string) string {
		if n := g.doc.Root().Get(key); n != nil {
			return n.Text()
		}
		return ""
	}
	date := word("date")
	if _, err := schema.ParseDate(date); err != nil {
		date = g.desk.shop.Now().Format("2006-01-02")
	}
	kind := "change"
	if schema.FindChangeKind(word("kind")) != nil {
		kind = word("kind")
	}
	return g.desk.stem(date, kind, word("what"))
}

// asGiven puts problems of the text where it came from, on the lines it has
// there.
func (g *given) asGiven(file string, list problem.List) problem.List {
	var mapped problem.List
	for _, p := range list {
		if p.File == file {
			p.File, p.Line = g.name, g.from(p.Line)
		}
		mapped = append(mapped, p)
	}
	return mapped
}

// from is the line that a line came from, or the next that came from anywhere.
func (g *given) from(number int) int {
	for i := max(number-1, 0); i < len(g.lines); i++ {
		if g.lines[i].from > 0 {
			return g.lines[i].from
		}
	}
	return 0
}

// glued reports what a person wrote behind a key of a template and YAML reads
// as a comment (R13): it would go with the key.
func (g *given) glued() problem.List {
	var list problem.List
	if !g.refined {
		return nil
	}
	for _, e := range g.doc.Root().Entries() {
		if text, ok := e.Value.GluedComment(); ok && e.Value.IsNull() {
			list = append(list, problem.Problem{File: g.name, Line: g.docLine(e.KeyLine), Column: e.KeyColumn, Rule: "comment-in-value",
				Message: fmt.Sprintf("YAML reads %q as a comment, so %s would be empty", text, e.Key), Mend: "quote it: " + e.Key + ": " + source.Quote(text)})
		}
	}
	return list
}

// docLine is the line that a line of the document came from; the editor's hint
// was put before it since.
func (g *given) docLine(number int) int { return g.from(number + 1) }

// draft takes out what a template left empty, puts in the pictures, and checks
// the outcome as it will lie in the folder.
func (g *given) draft(file, stem string, photos []string) (*Draft, error) {
	doc, err := source.Parse(file, g.text())
	if err != nil {
		return nil, err
	}
	if g.refined {
		doc = withoutEmpty(doc)
	}
	taken, err := g.desk.pictures(stem, photos)
	if err != nil {
		return nil, err
	}
	for _, entry := range taken.entries {
		if doc, err = addPicture(doc, entry); err != nil {
			return nil, problem.List{err.(problem.Problem)}
		}
	}
	draft, list, err := g.desk.check(file, doc.Text())
	if err != nil {
		return nil, err
	}
	draft.take(taken)
	return draft, byOption(doc.Text(), list).Err()
}

// addPicture adds one picture to a record that is text already.
func addPicture(doc *source.Doc, entry []pair) (*source.Doc, error) {
	raw := strings.TrimPrefix(strings.TrimSpace(itemLines("", entry, schema.Change().Find("photos").Of)), "- ")
	if doc.Root().Get("photos") == nil {
		return doc.Insert(nil, "photos", itemLines("", entry, schema.Change().Find("photos").Of))
	}
	return doc.Append([]string{"photos"}, dedented(raw))
}

// dedented takes the indentation of a list's item from all lines but its first.
func dedented(raw string) string { return strings.ReplaceAll(raw, "\n  ", "\n") }

// withoutEmpty takes out keys with nothing behind them, and groups that hold
// nothing else. One that cannot be told from what is around it stays: it says
// nothing either way.
func withoutEmpty(doc *source.Doc) *source.Doc {
	for _, at := range emptyPaths(doc.Root(), nil) {
		if next, err := doc.Remove(at); err == nil {
			doc = next
		}
	}
	return doc
}

func emptyPaths(n *source.Node, above []string) [][]string {
	var paths [][]string
	for _, e := range n.Entries() {
		at := append(slices.Clone(above), e.Key)
		switch {
		case isEmpty(e.Value):
			paths = append(paths, at)
		case e.Value.Kind() == source.Map:
			paths = append(paths, emptyPaths(e.Value, at)...)
		}
	}
	return paths
}

// isEmpty tells whether a value says nothing: a comment behind it says something.
func isEmpty(n *source.Node) bool {
	switch {
	case n.Comment() != "":
		return false
	case n.Kind() == source.Map:
		return !slices.ContainsFunc(n.Entries(), func(e source.Entry) bool { return !isEmpty(e.Value) })
	case n.Kind() == source.List:
		return len(n.Items()) == 0
	}
	return n.IsNull()
}
