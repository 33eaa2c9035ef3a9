package source

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"stackbook/schema/problem"
)

// maxNesting is the number of brackets left open at once beyond which a text
// is not even handed to the parser. It is far above MaxDepth since brackets
// within quotes and comments are counted too.
const maxNesting = 1000

// checkBytes looks at the text before it is parsed: for what the parser would
// take long over, or would read otherwise than an editor shows it. At most one
// problem a line is given.
func checkBytes(name, text string) problem.List {
	at := func(line, column int, rule, message, mend string) problem.List {
		return problem.List{{File: name, Line: line, Column: column, Rule: rule, Message: message, Mend: mend}}
	}
	if len(text) > MaxSize {
		return at(0, 0, "too-large", fmt.Sprintf("the file has %d bytes; a record may have %d", len(text), MaxSize),
			"split it, or keep the data in an attachment")
	}
	if strings.HasPrefix(text, "\xff\xfe") || strings.HasPrefix(text, "\xfe\xff") {
		return at(1, 1, "not-utf8", "the file is UTF-16", "save it as UTF-8")
	}
	list := append(checkCharacters(name, text), checkMerge(name, text)...)
	return append(list, checkNesting(name, text)...)
}

// checkCharacters finds the characters that may not stand in a record.
func checkCharacters(name, text string) problem.List {
	var list problem.List
	place := newCursor(text)
	last := 0
	for i := place.at; i < len(text); {
		r, size := utf8.DecodeRuneInString(text[i:])
		if c := text[i]; c < utf8.RuneSelf && (c >= ' ' && c != 0x7f || c == '\t' || isBreak(c)) {
			i++
			continue
		}
		if rule, message, mend := faultOf(r, size); rule != "" {
			line, column := place.to(i)
			if line != last && len(list) < maxProblems {
				list = append(list, problem.Problem{File: name, Line: line, Column: column, Rule: rule, Message: message, Mend: mend})
			}
			last = line
		}
		i += size
	}
	return list
}

// faultOf tells what is wrong with a character; rule is empty if nothing is.
func faultOf(r rune, size int) (rule, message, mend string) {
	switch {
	case r == utf8.RuneError && size == 1:
		return "not-utf8", "the text is not UTF-8 here", "save the file as UTF-8"
	case r == 0x85 || r == 0x2028 || r == 0x2029:
		return "line-separator", fmt.Sprintf("the character U+%04X ends a line for some programs and not for others", r),
			fmt.Sprintf(`remove it, or write it as "\u%04X" in double quotes`, r)
	case r == 0xfeff:
		return "control-character", "a byte-order mark (U+FEFF) stands within the text", "remove it"
	case r < ' ' || r >= 0x7f && r < 0xa0 || r == 0xfffe || r == 0xffff:
		return "control-character", fmt.Sprintf("the control character U+%04X stands here", r), "remove it"
	}
	return "", "", ""
}

// checkNesting refuses a text that leaves very many brackets open.
func checkNesting(name, text string) problem.List {
	open := 0
	for i := 0; i < len(text); i++ {
		switch text[i] {
		case '[', '{':
			open++
		case ']', '}':
			open = max(0, open-1)
		}
		if open > maxNesting {
			place := newCursor(text)
			line, column := place.to(i)
			return problem.List{{File: name, Line: line, Column: column, Rule: "too-deep",
				Message: fmt.Sprintf("more than %d brackets are open here; %d may be", maxNesting, MaxDepth), Mend: "close them, or write it flatter"}}
		}
	}
	return nil
}
