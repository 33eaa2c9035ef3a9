package source

import (
	"strings"

	"gopkg.in/yaml.v3"
)

// Most records are written in a plain form: block mappings and lists, plain and
// quoted values of one line, brackets that close on the line they open on. The
// quick reader reads that form alone, some ten times as fast as the parser for
// all of YAML, and gives the same tree. Whatever else it meets, right or wrong,
// it leaves to the parser: it never refuses anything and never guesses.

// maxQuickDepth is how deep the quick reader goes, a little more than is read.
const maxQuickDepth = MaxDepth + 2

// maxQuickKey is the longest key it takes; YAML's own bound is 1024 characters.
const maxQuickKey = 256

// quickTree reads a text in the plain form; ok is false where the text is not
// in it. Of a node no more is set than the walker asks for where it does not get
// lost: kind, style, value and content.
func quickTree(text string) (tree *yaml.Node, ok bool) {
	if !maybePlain(text) {
		return nil, false
	}
	q := quick{text: text}
	q.next()
	if q.end || isIndicator(q.line, '-') {
		return nil, false
	}
	tree = q.mapping(q.indent, 1)
	return tree, !q.unsure && q.end
}

// maybePlain looks for what is nowhere in the plain form: tabs, other line ends
// than LF, a byte-order mark, directives and document marks.
func maybePlain(text string) bool {
	for _, c := range []string{"\t", "\r", "\ufeff", "\u0085", "\u2028", "\u2029"} {
		if strings.Contains(text, c) {
			return false
		}
	}
	for _, mark := range []string{"%", "---", "..."} {
		if strings.HasPrefix(text, mark) || strings.Contains(text, "\n"+mark) {
			return false
		}
	}
	return true
}

// quick stands on a line of a text, or behind the dash of one.
type quick struct {
	text   string // from the line's end on
	line   string // from the first character that counts, without what is a comment of its own
	indent int    // blanks before that, or the column behind the dash
	end    bool   // there is no further line
	unsure bool   // something is not in the plain form: the tree is of no use
	made   slab[yaml.Node]
}

// node makes a node.
func (q *quick) node(kind yaml.Kind, style yaml.Style, value string) *yaml.Node {
	n := q.made.next()
	n.Kind, n.Style, n.Value = kind, style, value
	return n
}

// next goes on to the next line that is neither blank nor a comment.
func (q *quick) next() {
	for q.text != "" {
		var line string
		line, q.text, _ = strings.Cut(q.text, "\n")
		q.indent = 0
		for q.indent < len(line) && line[q.indent] == ' ' {
			q.indent++
		}
		if q.line = line[q.indent:]; q.line != "" && q.line[0] != '#' {
			return
		}
	}
	q.line, q.indent, q.end = "", -1, true
}

// giveUp ends the reading: nothing loops any more.
func (q *quick) giveUp() *yaml.Node {
	q.unsure, q.end, q.line, q.indent, q.text = true, true, "", -1, ""
	return nil
}

// behind stands behind a dash or a key on the same line, where text begins.
func (q *quick) behind(text string) {
	q.indent += len(q.line) - len(text)
	q.line = text
}

// mapping reads the block mapping whose keys stand in a column.
func (q *quick) mapping(indent, depth int) *yaml.Node {
	n := q.node(yaml.MappingNode, 0, "")
	for !q.end && q.indent == indent {
		key, rest := quickKey(q.line, false)
		if key == "" || depth > maxQuickDepth {
			return q.giveUp()
		}
		value := q.value(rest, indent, depth, false)
		n.Content = append(n.Content, q.node(yaml.ScalarNode, 0, key), value)
	}
	if q.indent > indent {
		return q.giveUp()
	}
	return n
}

// list reads the block list whose dashes stand in a column.
func (q *quick) list(indent, depth int) *yaml.Node {
	n := q.node(yaml.SequenceNode, 0, "")
	for !q.end && q.indent == indent && isIndicator(q.line, '-') {
		if depth > maxQuickDepth {
			return q.giveUp()
		}
		n.Content = append(n.Content, q.value(q.line[1:], indent, depth, true))
	}
	if q.indent > indent {
		return q.giveUp()
	}
	return n
}

// value reads what stands behind a key or a dash of the block in a column: on
// the same line, else indented below.
func (q *quick) value(rest string, indent, depth int, dashed bool) *yaml.Node {
	rest = strings.TrimLeft(rest, " ")
	if rest == "" || rest[0] == '#' {
		q.next()
		switch list := isIndicator(q.line, '-'); {
		case q.indent > indent && list, q.indent == indent && list && !dashed:
			return q.list(q.indent, depth+1)
		case q.indent > indent:
			return q.mapping(q.indent, depth+1)
		}
		return q.node(yaml.ScalarNode, 0, "")
	}
	if dashed {
		switch key, _ := quickKey(rest, false); {
		case isIndicator(rest, '-'):
			q.behind(rest)
			return q.list(q.indent, depth+1)
		case key != "":
			q.behind(rest)
			return q.mapping(q.indent, depth+1)
		}
	}
	n, rest := q.inline(rest, "", depth+1)
	behind := strings.TrimLeft(rest, " ")
	if behind != "" && (behind[0] != '#' || rest == behind) {
		return q.giveUp()
	}
	if q.next(); q.indent > indent { // it goes on over the line's end, or is wrong
		return q.giveUp()
	}
	return n
}

// quickKey takes a plain key with the colon behind it; "" where text begins with
// none.
func quickKey(text string, inBrackets bool) (key, rest string) {
	for i := range min(len(text), maxQuickKey) {
		switch c := text[i]; {
		case c == ':' && i > 0 && text[i-1] != ' ' && (i+1 == len(text) || text[i+1] == ' '):
			return text[:i], text[i+1:]
		case 'a' <= c && c <= 'z', 'A' <= c && c <= 'Z', '0' <= c && c <= '9', c == '_', c >= 0x80:
		case i > 0 && strings.IndexByte("/.-+ ()", c) >= 0, i > 0 && c == ',' && !inBrackets:
		default:
			return "", text
		}
	}
	return "", text
}

// inline reads a value that begins and ends on this line. Within brackets stops
// are the characters that end a plain one.
func (q *quick) inline(text, stops string, depth int) (n *yaml.Node, rest string) {
	if depth > maxQuickDepth {
		return q.giveUp(), ""
	}
	switch text[0] {
	case '[':
		return q.bracketed(text, ']', depth)
	case '{':
		return q.bracketed(text, '}', depth)
	case '\'':
		return q.quoted(text, '\'', yaml.SingleQuotedStyle)
	case '"':
		return q.quoted(text, '"', yaml.DoubleQuotedStyle)
	}
	length := plainLength(text, stops)
	if length <= 0 {
		return q.giveUp(), ""
	}
	return q.node(yaml.ScalarNode, 0, strings.TrimRight(text[:length], " ")), text[length:]
}

// quoted reads a quoted value that closes on this line and has no backslash, in
// front of a blank, a comma or a bracket.
func (q *quick) quoted(text string, quote byte, style yaml.Style) (n *yaml.Node, rest string) {
	length := scanSingle(text)
	if quote == '"' {
		length = scanDouble(text)
	}
	if length < 0 || quote == '"' && strings.IndexByte(text[:length], '\\') >= 0 {
		return q.giveUp(), ""
	}
	value, rest := text[1:length-1], text[length:]
	if rest != "" && !strings.ContainsRune(" ,]}", rune(rest[0])) {
		return q.giveUp(), ""
	}
	if quote == '\'' {
		value = strings.ReplaceAll(value, "''", "'")
	}
	return q.node(yaml.ScalarNode, style, value), rest
}

// plainLength is how long the plain value is that text begins with, up to the
// blank before a comment, the line's end or, within brackets, what ends it
// there; 0 where that is not sure.
func plainLength(text, stops string) int {
	switch c := text[0]; {
	case c == '-' && len(text) > 1 && (isWordByte(text[1]) || text[1] == '.'):
	case isWordByte(c), c == '.', c == '+', c == '(', c == '/', c == '~', c == '<', c == '=', c == '$', c == '_':
	default:
		return 0
	}
	for i := 1; i < len(text); i++ {
		switch c := text[i]; {
		case c == '#' && text[i-1] == ' ':
			return ifNot(stops != "", i-1)
		case c == ':' && (i+1 == len(text) || text[i+1] == ' ' || stops != ""):
			return 0
		case stops != "" && (c == ',' || c == stops[0]):
			return i
		case stops != "" && strings.IndexByte("[]{}?", c) >= 0:
			return 0
		}
	}
	return ifNot(stops != "", len(text)) // brackets are not closed
}

// ifNot is a length, 0 where it is not sure.
func ifNot(unsure bool, length int) int {
	if unsure {
		return 0
	}
	return length
}

// isWordByte knows letters, digits and every byte of other scripts.
func isWordByte(c byte) bool {
	return 'a' <= c && c <= 'z' || 'A' <= c && c <= 'Z' || '0' <= c && c <= '9' || c >= 0x80
}

// bracketed reads a mapping or a list in brackets that close on this line.
func (q *quick) bracketed(text string, closing byte, depth int) (n *yaml.Node, rest string) {
	n = q.node(yaml.SequenceNode, yaml.FlowStyle, "")
	stops := "]"
	if closing == '}' {
		n.Kind, stops = yaml.MappingNode, "}"
	}
	rest = strings.TrimLeft(text[1:], " ")
	if rest != "" && rest[0] == closing {
		return n, rest[1:]
	}
	for {
		if n.Kind == yaml.MappingNode {
			var key string
			if key, rest = quickKey(rest, true); key == "" {
				return q.giveUp(), ""
			}
			n.Content = append(n.Content, q.node(yaml.ScalarNode, 0, key))
		}
		if rest = strings.TrimLeft(rest, " "); rest == "" {
			return q.giveUp(), ""
		}
		var value *yaml.Node
		value, rest = q.inline(rest, stops, depth+1)
		n.Content = append(n.Content, value)
		rest = strings.TrimLeft(rest, " ")
		switch {
		case rest == "":
			return q.giveUp(), ""
		case rest[0] == closing:
			return n, rest[1:]
		case rest[0] != ',':
			return q.giveUp(), ""
		}
		rest = strings.TrimLeft(rest[1:], " ")
	}
}
