package merge

import (
	"bytes"
	"strings"

	"stackbook/schema/source"
)

// extent is the first and last line, from 0, of what stands at a path, with its
// key or dash; of the whole text where the path is empty.
func extent(doc *source.Doc, path []string) (first, last int) {
	n := doc.Root().At(path...)
	_, end := n.Span()
	last = max(0, len(splitLines(bytes.TrimRight(doc.Text()[:end], " \t\r\n")))-1)
	if len(path) == 0 {
		return 0, last
	}
	first, _ = begin(doc, path)
	return first, max(first, last)
}

// begin is where a key begins, or an item: its line from 0 and the characters
// before it on that line.
func begin(doc *source.Doc, path []string) (line, before int) {
	parent := doc.Root().At(path[:len(path)-1]...)
	for _, e := range parent.Entries() {
		if e.Key == path[len(path)-1] {
			return e.KeyLine - 1, e.KeyColumn - 1
		}
	}
	n := doc.Root().At(path...)
	return n.Line() - 1, n.Column() - 1
}

// ownLines is the longest beginning of a path whose value stands on lines of
// its own, with nothing else on them; empty where only the whole text does.
func ownLines(doc *source.Doc, path []string) []string {
	lines := splitLines(doc.Text())
	for n := len(path); n > 0; n-- {
		at := path[:n]
		line, before := begin(doc, at)
		margin := strings.TrimPrefix(string([]rune(strings.TrimPrefix(lines[line], "\ufeff"))[:before]), "\ufeff")
		parent := doc.Root().At(at[:n-1]...)
		want := ""
		if parent.Kind() == source.List {
			want = "-"
		}
		if strings.TrimSpace(margin) == want && !bracketed(doc, parent) {
			return at
		}
	}
	return nil
}

// bracketed tells whether a mapping or list is written in braces or brackets.
func bracketed(doc *source.Doc, n *source.Node) bool {
	start, end := n.Span()
	return start < end && strings.ContainsRune("{[", rune(doc.Text()[start]))
}

// inBraces tells whether a value of the document is written so.
func inBraces(v *value) bool { return bracketed(v.doc, v.node) }

// firstBelow is the line of the first key or item of a mapping or list.
func firstBelow(v *value) int {
	if entries := v.node.Entries(); len(entries) > 0 {
		return entries[0].KeyLine - 1
	}
	if items := v.node.Items(); len(items) > 0 {
		return items[0].Line() - 1
	}
	return v.node.Line() - 1
}

// linesOf is a value as lines of another text, indented like one of its lines.
func linesOf(v *value, like string) []string {
	if v == nil {
		return nil
	}
	if len(v.path) == 0 {
		return splitLines(v.doc.Text())
	}
	margin := like[:len(like)-len(strings.TrimLeft(like, " "))]
	if len(ownLines(v.doc, v.path)) < len(v.path) {
		head := source.Quote(v.path[len(v.path)-1]) + ": "
		if v.doc.Root().At(v.path[:len(v.path)-1]...).Kind() == source.List {
			head = "- "
		}
		return strings.Split(margin+head+raw(v), "\n")
	}
	first, last := extent(v.doc, v.path)
	lines := splitLines(v.doc.Text())[first : last+1]
	old := len(lines[0]) - len(strings.TrimLeft(lines[0], " "))
	for i, l := range lines {
		lines[i] = margin + l[min(old, len(l)-len(strings.TrimLeft(l, " "))):]
	}
	return lines
}
