package source

import (
	"fmt"
	"strings"

	"gopkg.in/yaml.v3"

	"stackbook/schema/problem"
)

// A walker goes through the text once more, led by the parser's tree, and
// finds every token in it again. The parser tells lines and columns only, and
// those of a value's anchor or tag rather than its own; what the walker finds
// is proven instead: the text at that offset reads as that value. Where it
// cannot follow, it is lost: what comes after is read but cannot be edited,
// and stands where the parser says.
type walker struct {
	name, text string
	pos        int  // everything before is accounted for
	lost       bool // the text at pos is not understood
	place      cursor
	tabLine    int                  // the line last looked at for tabs
	built      map[*yaml.Node]*Node // nil while being built
	made       slab[Node]
	comments   []comment
	aliases    bool // one was met
	crowded    bool // too many values, and reported
	problems   problem.List
}

// A slab makes values some at a time, which takes less than one by one. They are
// let go together.
type slab[T any] struct {
	free []T
	made int
}

// next is a new value.
func (s *slab[T]) next() *T {
	if len(s.free) == 0 {
		s.free = make([]T, min(max(8, s.made), 64)) // a small text has few
		s.made += len(s.free)
	}
	v := &s.free[0]
	s.free = s.free[1:]
	return v
}

// maxProblems bounds what is reported of one file.
const maxProblems = 100

func newWalker(name, text string) *walker {
	w := &walker{name: name, text: text, place: newCursor(text), built: map[*yaml.Node]*Node{}}
	w.pos = w.place.at
	return w
}

// document builds the tree of the whole text. tree is nil for a file that
// holds no document.
func (w *walker) document(tree *yaml.Node) *Node {
	w.prologue()
	if tree == nil || isEmpty(tree) {
		root := &Node{kind: Map, style: block, proven: !w.lost, start: w.pos, end: w.pos, line: 1, column: 1}
		w.epilogue()
		return root
	}
	root := w.value(tree, -1, 1)
	if root.kind != Map {
		w.report(root.line, root.column, "not-a-map",
			"the file holds "+root.kind.String()+" where keys with values are due", "write every line as key: value")
	}
	w.epilogue()
	return root
}

// prologue passes directives, the first document mark and the comments there.
func (w *walker) prologue() {
	w.space()
	for strings.HasPrefix(w.rest(), "%") {
		w.pos = lineStop(w.text, w.pos)
		w.space()
	}
	if isMark(w.rest(), "---") {
		w.pos += len("---")
	}
}

// epilogue passes what stands behind the last value.
func (w *walker) epilogue() {
	w.space()
	if isMark(w.rest(), "...") {
		w.pos += len("...")
		w.space()
	}
}

// isEmpty reports a scalar of which nothing is written.
func isEmpty(y *yaml.Node) bool {
	return y.Kind == yaml.ScalarNode && y.Value == "" && styleOf(y) == plain
}

// styleOf translates the parser's style.
func styleOf(y *yaml.Node) style {
	s := y.Style
	switch {
	case y.Kind == yaml.MappingNode || y.Kind == yaml.SequenceNode:
		if s&yaml.FlowStyle != 0 {
			return flow
		}
		return block
	case s&yaml.SingleQuotedStyle != 0:
		return single
	case s&yaml.DoubleQuotedStyle != 0:
		return double
	case s&(yaml.LiteralStyle|yaml.FoldedStyle) != 0:
		return literal
	}
	return plain
}

// value builds one value. indent is the column, from 0, of the block mapping
// or list around it, -1 at the top; depth counts from 1.
func (w *walker) value(y *yaml.Node, indent, depth int) *Node {
	n := w.made.next()
	*n = Node{style: styleOf(y), line: y.Line, column: y.Column, size: 1,
		marked: y.Anchor != "" || y.Style&yaml.TaggedStyle != 0}
	switch {
	case y.Kind == yaml.AliasNode:
		w.aliased(n, y)
	case y.Kind == yaml.ScalarNode:
		n.text = y.Value
		w.scalar(n, y, indent)
	case depth > MaxDepth:
		w.report(n.line, n.column, "too-deep", tooDeep(), "write it flatter")
		w.lost = true
	case y.Kind == yaml.MappingNode:
		w.mapping(n, y, indent, depth)
	default:
		w.list(n, y, indent, depth)
	}
	if y.Anchor != "" {
		w.built[y] = n
	}
	n.proven = !w.lost
	n.comment = w.trailing()
	w.count(n)
	return n
}

// count keeps the whole within MaxNodes, so that a few aliases of aliases
// cannot stand for millions of values.
func (w *walker) count(n *Node) {
	for _, e := range n.entries {
		n.size += e.Value.size
	}
	for _, it := range n.items {
		n.size += it.value.size
	}
	switch {
	case n.size <= MaxNodes:
		return
	case w.crowded:
	case w.aliases:
		w.report(n.line, n.column, "alias-bomb",
			fmt.Sprintf("with every alias written out this holds more than %d values", MaxNodes), "write the values out, without aliases")
	default:
		w.report(n.line, n.column, "too-large",
			fmt.Sprintf("this holds more than %d values", MaxNodes), "split it, or keep the data in an attachment")
	}
	w.crowded = true
	n.size = 0 // so that sums of sums stay small
}

func tooDeep() string {
	return fmt.Sprintf("mappings and lists stand more than %d deep in one another", MaxDepth)
}

// scalar finds a scalar's token.
func (w *walker) scalar(n *Node, y *yaml.Node, indent int) {
	if isEmpty(y) {
		w.nothing(n)
		return
	}
	w.properties()
	end := scanScalar(w.rest(), n.style, n.text, indent)
	w.token(n, end)
}

// nothing places a scalar of which nothing is written: where it would be.
func (w *walker) nothing(n *Node) {
	if n.marked || strings.HasPrefix(strings.TrimLeft(w.rest(), " \t"), "!") {
		n.marked = true
		w.properties()
	}
	w.token(n, 0)
}

// aliased finds an alias and gives it the value of its anchor.
func (w *walker) aliased(n *Node, y *yaml.Node) {
	w.space()
	name := "*" + y.Value
	end := -1
	if strings.HasPrefix(w.rest(), name) {
		end = len(name)
	}
	w.token(n, end)
	n.alias, w.aliases = true, true
	target := w.built[y.Alias]
	if target == nil {
		w.report(n.line, n.column, "alias-bomb", "the alias "+name+" stands within its own anchor", "write the value out")
		return
	}
	n.kind, n.style, n.text = target.kind, target.style, target.text
	n.entries, n.index, n.items = target.entries, target.index, target.items
}

// token takes the next length bytes as n's own; a negative length means that
// they were not found.
func (w *walker) token(n *Node, length int) {
	if w.lost = w.lost || length < 0; w.lost {
		return
	}
	n.start = w.pos
	w.pos += length
	n.end = w.pos
	n.line, n.column = w.here(n.start)
}

// here gives line and column of an offset, each call at or behind the last,
// and looks once a line for tabs in the indentation.
func (w *walker) here(offset int) (line, column int) {
	line, column = w.place.to(offset)
	if line == w.tabLine {
		return line, column
	}
	w.tabLine = line
	lead := w.text[w.place.lineStart:offset]
	if tab := strings.IndexByte(lead, '\t'); tab >= 0 && strings.Trim(lead, " \t") == "" {
		w.report(line, tab+1, "tab-indent", "a tab stands in the indentation", "use spaces")
	}
	return line, column
}

// report adds a problem.
func (w *walker) report(line, column int, rule, message, mend string) {
	if len(w.problems) == maxProblems {
		return
	}
	w.problems = append(w.problems, problem.Problem{
		File: w.name, Line: line, Column: column, Rule: rule, Message: message, Mend: mend})
}
