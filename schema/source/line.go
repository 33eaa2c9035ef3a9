package source

import "strings"

// A line is one line of a text that is not YAML as it stands, taken apart as
// well as can be: enough to say what is wrong with it.
type line struct {
	number int
	text   string
	indent int    // blanks before it
	start  int    // blanks and dashes before it
	key    string // up to the first colon with a blank or nothing behind it
	value  string // the rest, or everything where there is no colon
	offset int    // where value begins, in bytes
}

func newLine(text string, number int) line {
	l := line{number: number, text: text}
	rest := strings.TrimLeft(text, " \t")
	l.indent = len(text) - len(rest)
	for strings.HasPrefix(rest, "- ") {
		rest = strings.TrimLeft(rest[2:], " ")
	}
	l.start = len(text) - len(rest)
	if i := keyLength(rest); i >= 0 {
		l.key = rest[:i]
		rest = strings.TrimLeft(rest[i+1:], " \t")
	}
	l.offset = len(text) - len(rest)
	l.value = rest
	return l
}

// blank reports a line that holds nothing, or only a comment.
func (l line) blank() bool {
	rest := l.text[l.indent:]
	return rest == "" || rest[0] == '#'
}

// with is the line with another value, without its indentation.
func (l line) with(value string) string {
	return l.text[l.indent:l.offset] + value
}

// keyLength is the offset of the colon behind a key, -1 if there is none.
func keyLength(text string) int {
	if text == "" || strings.ContainsRune("#[{", rune(text[0])) {
		return -1
	}
	i := max(quotedLength(text), 0)
	for ; i < len(text); i++ {
		if text[i] == ':' && (i+1 == len(text) || isBlank(text[i+1])) && i > 0 {
			return i
		}
		if text[i] == '#' && i > 0 && isBlank(text[i-1]) {
			return -1
		}
	}
	return -1
}

// quotedLength is the length of the quoted scalar that text begins with: 0 if
// it does not begin with a quote, -1 if the quote is not closed.
func quotedLength(text string) int {
	switch {
	case strings.HasPrefix(text, "'"):
		return scanSingle(text)
	case strings.HasPrefix(text, `"`):
		return scanDouble(text)
	}
	return 0
}

// bracketsOf gives the offsets of the brackets in a line that stand outside
// quotes and comments. Those of a plain text count only from a bracket at its
// beginning on, or where they close at its end.
func bracketsOf(l line) []int {
	var at []int
	for i := l.offset; i < len(l.text); i++ {
		switch c := l.text[i]; {
		case strings.ContainsRune("[]{}", rune(c)):
			at = append(at, i)
		case c == '#' && i > 0 && isBlank(l.text[i-1]):
			return at
		case (c == '"' || c == '\'') && (i == l.offset || strings.ContainsRune(" [{,", rune(l.text[i-1]))):
			i += max(quotedLength(l.text[i:])-1, 0)
		}
	}
	return at
}

// splitLines cuts a text at its line ends: LF, CRLF or a lone CR.
func splitLines(text string) []string {
	var lines []string
	for at := 0; ; {
		stop := lineStop(text, at)
		lines = append(lines, text[at:stop])
		if stop == len(text) {
			return lines
		}
		at = nextLine(text, stop)
	}
}
