package source

import (
	"strings"
	"unicode/utf8"
)

// byteOrderMark may stand at the very start of a file and counts as nothing.
const byteOrderMark = "\ufeff"

// A cursor turns rising byte offsets into lines and columns. A line ends with
// LF, CRLF or a lone CR, as the parser has it.
type cursor struct {
	text         string
	at           int
	line, column int
	lineStart    int
}

func newCursor(text string) cursor {
	c := cursor{text: text, line: 1, column: 1}
	if strings.HasPrefix(text, byteOrderMark) {
		c.at, c.lineStart = len(byteOrderMark), len(byteOrderMark)
	}
	return c
}

// to moves on to an offset and gives its line and column, both from 1.
func (c *cursor) to(offset int) (line, column int) {
	for c.at < offset {
		b := c.text[c.at]
		switch {
		case b == '\r' && strings.HasPrefix(c.text[c.at+1:], "\n"):
			c.at++ // the LF behind it ends the line
		case isBreak(b):
			c.at++
			c.line, c.column, c.lineStart = c.line+1, 1, c.at
		default:
			_, size := utf8.DecodeRuneInString(c.text[c.at:])
			c.at += size
			c.column++
		}
	}
	return c.line, c.column
}

// rest is the text not yet accounted for.
func (w *walker) rest() string { return w.text[w.pos:] }

// space passes blanks, line ends and comments, and notes the comments.
func (w *walker) space() {
	for !w.lost && w.pos < len(w.text) {
		c := w.text[w.pos]
		switch {
		case isBlank(c) || isBreak(c):
			w.pos++
		case c == '#':
			stop := lineStop(w.text, w.pos)
			w.comments = append(w.comments, comment{w.pos, w.text[w.pos:stop]})
			w.pos = stop
		default:
			return
		}
	}
}

// properties passes the anchor and the tag before a value, and what is
// between.
func (w *walker) properties() {
	w.space()
	for !w.lost && w.pos < len(w.text) && (w.text[w.pos] == '&' || w.text[w.pos] == '!') {
		stop := strings.IndexAny(w.rest(), " \t\r\n,[]{}")
		if stop < 0 {
			stop = len(w.rest())
		}
		w.pos += stop
		w.space()
	}
}

// trailing is the comment behind the value just read, on the same line; a
// comma may stand between.
func (w *walker) trailing() string {
	rest := strings.TrimLeft(w.rest(), " \t")
	if strings.HasPrefix(rest, ",") {
		rest = strings.TrimLeft(rest[1:], " \t")
	}
	if w.lost || !strings.HasPrefix(rest, "#") {
		return ""
	}
	return rest[:lineStop(rest, 0)]
}

// scanScalar gives the length of the scalar token that text begins with, -1
// if it does not read as value.
func scanScalar(text string, s style, value string, indent int) int {
	switch s {
	case single:
		return scanSingle(text)
	case double:
		return scanDouble(text)
	case literal:
		return scanBlock(text, indent)
	}
	return scanPlain(text, value)
}

// scanSingle passes a scalar in single quotes; two of them stand for one.
func scanSingle(text string) int {
	if !strings.HasPrefix(text, "'") {
		return -1
	}
	for i := 1; i < len(text); i++ {
		if text[i] != '\'' {
			continue
		}
		if !strings.HasPrefix(text[i+1:], "'") {
			return i + 1
		}
		i++
	}
	return -1
}

// scanDouble passes a scalar in double quotes; a backslash takes the next
// character with it.
func scanDouble(text string) int {
	if !strings.HasPrefix(text, `"`) {
		return -1
	}
	for i := 1; i < len(text); i++ {
		switch text[i] {
		case '\\':
			i++
		case '"':
			return i + 1
		}
	}
	return -1
}

// scanPlain passes a scalar without quotes, led by its value: a line end in it
// reads as one space, each further one as a line end.
func scanPlain(text, value string) int {
	i := 0
	for value != "" {
		if i >= len(text) {
			return -1
		}
		if !isBlank(text[i]) && !isBreak(text[i]) {
			if text[i] != value[0] {
				return -1
			}
			i, value = i+1, value[1:]
			continue
		}
		run := blankRun(text[i:])
		read := folded(run)
		if !strings.HasPrefix(value, read) {
			return -1
		}
		i, value = i+len(run), value[len(read):]
	}
	if i < len(text) && !strings.ContainsRune(" \t\r\n:,]}", rune(text[i])) {
		return -1
	}
	return i
}

// blankRun is the run of blanks and line ends that text begins with.
func blankRun(text string) string {
	return text[:len(text)-len(strings.TrimLeft(text, " \t\r\n"))]
}

// folded is what a run of blanks and line ends within a plain scalar reads as.
func folded(run string) string {
	breaks := strings.Count(run, "\n") + strings.Count(run, "\r") - strings.Count(run, "\r\n")
	switch breaks {
	case 0:
		return run
	case 1:
		return " "
	}
	return strings.Repeat("\n", breaks-1)
}

// scanBlock passes a block text: the header after | or >, then every line that
// is blank or indented like the first. indent is the column, from 0, of the
// mapping or list around it.
func scanBlock(text string, indent int) int {
	if text == "" || (text[0] != '|' && text[0] != '>') {
		return -1
	}
	stop := lineStop(text, 0)
	end, depth := len(strings.TrimRight(text[:stop], " \t")), 0
	if d := strings.IndexAny(text[:min(3, stop)], "123456789"); d > 0 {
		depth = max(indent, 0) + int(text[d]-'0')
	}
	for at := nextLine(text, stop); at < len(text); at = nextLine(text, stop) {
		stop = lineStop(text, at)
		line := text[at:stop]
		lead := len(line) - len(strings.TrimLeft(line, " "))
		blank := lead == len(line)
		if depth == 0 && !blank {
			depth = max(lead, indent+1, 1)
		}
		if !blank && (lead < depth || isMark(line, "---") || isMark(line, "...")) {
			break
		}
		if !blank {
			end = stop
		}
	}
	return end
}

// lineStop is the offset of the line end at or behind from.
func lineStop(text string, from int) int {
	for from < len(text) && !isBreak(text[from]) {
		from++
	}
	return from
}

// nextLine is the offset behind the line end at stop.
func nextLine(text string, stop int) int {
	if strings.HasPrefix(text[stop:], "\r\n") {
		return stop + 2
	}
	return min(stop+1, len(text))
}

// isMark reports whether text begins with a document mark standing alone.
func isMark(text, mark string) bool {
	return strings.HasPrefix(text, mark) && (len(text) == len(mark) || isBlank(text[len(mark)]) || isBreak(text[len(mark)]))
}

// isIndicator reports whether text begins with - or ? as an indicator.
func isIndicator(text string, c byte) bool {
	return text != "" && text[0] == c && (len(text) == 1 || isBlank(text[1]) || isBreak(text[1]))
}

func isBlank(c byte) bool { return c == ' ' || c == '\t' }
func isBreak(c byte) bool { return c == '\n' || c == '\r' }
