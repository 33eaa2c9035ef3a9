package source

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"sync"
	"unicode/utf8"

	"stackbook/schema/problem"
)

const ruleSyntax = "yaml-syntax"

// A fault is what the parser said, and the text it said it of.
type fault struct {
	name    string
	lines   []string
	message string // the parser's words
	said    int    // the line it named, 0 if none; often not the culprit's
	reach   int    // the line it had read up to
}

var parserWords = sync.OnceValue(func() *regexp.Regexp {
	return regexp.MustCompile(`^yaml: (?:line (\d+): )?(.*)$`)
})

// explain turns the parser's error into plain words at the right place.
func explain(name, text string, err error) *problem.Problem {
	f := fault{name: name, lines: splitLines(strings.TrimPrefix(text, byteOrderMark)), message: err.Error(), reach: reach(text)}
	if m := parserWords().FindStringSubmatch(f.message); m != nil {
		f.said, _ = strconv.Atoi(m[1])
		f.message = m[2]
	}
	f.reach = min(max(f.reach, 1), len(f.lines))
	f.said = min(max(f.said, 1), len(f.lines))
	if p := f.tab(); p != nil {
		return p
	}
	for _, s := range sayings {
		if strings.Contains(f.message, s.words) {
			if p := s.find(&f); p != nil {
				return p
			}
		}
	}
	return f.at(f.reach, 0, "this cannot be read as YAML from here on ("+f.message+")",
		"see that every line is key: value, lines of one mapping begin in one column, and quotes and brackets are closed")
}

// sayings are the parser's words, in the order tried, each with what finds the
// culprit; what finds nothing leaves it to the next.
var sayings = []struct {
	words string
	find  func(*fault) *problem.Problem
}{
	{"unexpected end of stream", (*fault).openQuote},
	{"unexpected document indicator", (*fault).openQuote},
	{"cannot start any token", (*fault).badStart},
	{"unknown anchor", (*fault).unknownAnchor},
	{"unknown escape", (*fault).badEscape},
	{"hexdecimal", (*fault).badEscape},
	{"Unicode character escape", (*fault).badEscape},
	{"mapping values are not allowed", (*fault).extraColon},
	{"sequence entries are not allowed", (*fault).dashInValue},
	{"expected ':'", (*fault).longKey},
	{"expected ':'", (*fault).noColon},
	{"expected ',' or", (*fault).openBracket},
	{"expected node content", (*fault).twoCommas},
	{"expected node content", (*fault).badStart},
	{"alphabetic or numeric character", (*fault).badStart},
	{"expected '>'", (*fault).badStart},
	{"expected '!'", (*fault).badStart},
	{"undefined tag handle", (*fault).badStart},
	{"comment or line break", (*fault).badStart},
	{"incompatible YAML", (*fault).version},
	{"expected", (*fault).openQuote},
	{"expected", (*fault).behindQuote},
	{"expected", (*fault).openBracket},
	{"expected", (*fault).strayBracket},
	{"expected key", (*fault).noKey},
	{"expected key", (*fault).indentation},
	{"expected '-'", (*fault).indentation},
	{"<document start>", (*fault).behindEnd},
	{"max depth", (*fault).depth},
}

// at is a problem at a byte offset of a line.
func (f *fault) at(line, offset int, message, mend string) *problem.Problem {
	column := utf8.RuneCountInString(f.lines[line-1][:offset]) + 1
	return &problem.Problem{File: f.name, Line: line, Column: column, Rule: ruleSyntax, Message: message, Mend: mend}
}

// back looks at the lines from the last one read backwards.
func (f *fault) back(look func(l line) *problem.Problem) *problem.Problem {
	for n := f.reach; n >= 1; n-- {
		if p := look(newLine(f.lines[n-1], n)); p != nil {
			return p
		}
	}
	return nil
}

// tab finds a tab in the indentation of the lines around the fault.
func (f *fault) tab() *problem.Problem {
	for n := max(1, f.reach-1); n <= f.reach; n++ {
		text := f.lines[n-1]
		lead := text[:len(text)-len(strings.TrimLeft(text, " \t"))]
		if i := strings.IndexByte(lead, '\t'); i >= 0 && len(lead) < len(text) {
			p := f.at(n, i, "a tab stands in the indentation", "use spaces")
			p.Rule = "tab-indent"
			return p
		}
	}
	return nil
}

// openQuote finds the value whose quotes are not closed on its line.
func (f *fault) openQuote() *problem.Problem {
	return f.back(func(l line) *problem.Problem {
		if l.value == "" || !strings.ContainsRune(`"'`, rune(l.value[0])) || quotedLength(l.value) > 0 {
			return nil
		}
		return f.at(l.number, l.offset, fmt.Sprintf("the quote %c is not closed", l.value[0]),
			"close it at the end of the value: "+l.with(strings.TrimSpace(l.value)+l.value[:1]))
	})
}

// behindQuote finds text behind a closed quote.
func (f *fault) behindQuote() *problem.Problem {
	return f.back(func(l line) *problem.Problem {
		n := quotedLength(l.value)
		if n <= 0 || f.reach-l.number > 1 {
			return nil
		}
		rest := strings.TrimLeft(l.value[n:], " \t")
		if rest == "" || rest[0] == '#' || rest[0] == ':' {
			return nil
		}
		return f.at(l.number, len(l.text)-len(rest), "text stands behind the closing quote",
			"put the quotes around the whole: "+l.with(Quote(l.value[1:n-1]+l.value[n:])))
	})
}

// badStart finds a value that begins with a character YAML keeps for itself.
func (f *fault) badStart() *problem.Problem {
	return f.back(func(l line) *problem.Problem {
		if l.value == "" || !strings.ContainsRune("@`%]},&*!|>", rune(l.value[0])) || f.reach-l.number > 2 {
			return nil
		}
		return f.at(l.number, l.offset, fmt.Sprintf("a value cannot begin with %c", l.value[0]),
			"put it in quotes: "+l.with(Quote(l.value)))
	})
}

// twoCommas finds a comma with no value before it.
func (f *fault) twoCommas() *problem.Problem {
	return f.back(func(l line) *problem.Problem {
		i := strings.LastIndexByte(l.text, ',')
		before := strings.TrimRight(l.text[:max(i, 0)], " \t")
		if before == "" || !strings.ContainsRune(",[{", rune(before[len(before)-1])) || f.reach-l.number > 1 {
			return nil
		}
		return f.at(l.number, i, "a value is missing before this comma", "write it, or take the comma out")
	})
}

// unknownAnchor finds the alias that stands for nothing.
func (f *fault) unknownAnchor() *problem.Problem {
	name, _, _ := strings.Cut(strings.TrimPrefix(f.message, "unknown anchor '"), "'")
	return f.back(func(l line) *problem.Problem {
		i := strings.Index(l.text, "*"+name)
		if i < 0 {
			return nil
		}
		mend := "put the text in quotes"
		if l.offset == i {
			mend += ": " + l.with(Quote(l.value))
		}
		return f.at(l.number, i, "*"+name+" stands for a value marked &"+name+", and there is none", mend)
	})
}

// badEscape finds a backslash in double quotes.
func (f *fault) badEscape() *problem.Problem {
	return f.back(func(l line) *problem.Problem {
		i := strings.IndexByte(l.text, '\\')
		if i < 0 {
			return nil
		}
		return f.at(l.number, i, "a backslash in double quotes begins an escape, and this is none",
			`write \\ for a backslash, or use single quotes`)
	})
}

// extraColon finds a value with a colon in it, a line too far to the right
// below a value, or a line without a colon that this one seems to go on.
func (f *fault) extraColon() *problem.Problem {
	l := newLine(f.lines[f.said-1], f.said)
	if inner := newLine(l.value, 0); l.key != "" && inner.key != "" {
		return f.at(l.number, l.offset, "the value has a colon with a space behind it",
			"put it in quotes: "+l.with(Quote(l.value)))
	}
	if f.said > 1 {
		if above := newLine(f.lines[f.said-2], 0); above.key == "" && !above.blank() && above.indent >= l.indent {
			return f.noColon()
		}
	}
	return f.at(l.number, l.indent, "this line stands further right than the line it should follow",
		"begin it in the column of the keys above")
}

// dashInValue finds a list that begins behind its key.
func (f *fault) dashInValue() *problem.Problem {
	l := newLine(f.lines[f.said-1], f.said)
	return f.at(l.number, l.offset, "a list item cannot stand on the line of its key",
		"begin the item on the next line, or put the text in quotes: "+l.with(Quote(l.value)))
}

// longestKey is the longest text the parser takes for a key, in bytes (the bound of
// YAML 1.2 for keys without a question mark; from memory).
const longestKey = 1024

// longKey finds a key that is too long to be one.
func (f *fault) longKey() *problem.Problem {
	return f.back(func(l line) *problem.Problem {
		if i := strings.Index(l.value, ":"); len(l.key) <= longestKey && i <= longestKey {
			return nil
		}
		return f.at(l.number, l.indent, fmt.Sprintf("the key of this line is longer than %d bytes", longestKey), "write a shorter one")
	})
}

// version finds the line that names a version of YAML.
func (f *fault) version() *problem.Problem {
	return f.back(func(l line) *problem.Problem {
		if !strings.HasPrefix(l.text, "%YAML") {
			return nil
		}
		return f.at(l.number, 0, "this line names a version of YAML that is not read", "take the line out")
	})
}

// noColon finds a line without key and value.
func (f *fault) noColon() *problem.Problem {
	for n := f.said; n >= 1; n-- {
		l := newLine(f.lines[n-1], n)
		if l.key != "" || l.value == "" || l.value[0] == '#' {
			continue
		}
		if k, v, ok := strings.Cut(l.value, ":"); ok && k != "" && v != "" {
			return f.at(n, l.offset+len(k)+1, "a space is missing behind the colon", "write "+k+": "+strings.TrimSpace(v))
		}
		return f.at(n, l.offset, "this line has no colon", "write it as key: value, or indent it below the text it continues")
	}
	return nil
}

// noKey finds a colon with nothing before it.
func (f *fault) noKey() *problem.Problem {
	return f.back(func(l line) *problem.Problem {
		if !strings.HasPrefix(l.value, ": ") || f.reach-l.number > 1 {
			return nil
		}
		return f.at(l.number, l.offset, "a colon stands without a key", "write the key before it, or quote the text")
	})
}

// openBracket finds the bracket that is not closed.
func (f *fault) openBracket() *problem.Problem {
	closers := ""
	return f.back(func(l line) *problem.Problem {
		marks := bracketsOf(l)
		for i := len(marks) - 1; i >= 0; i-- {
			c := l.text[marks[i]]
			if c == ']' || c == '}' {
				closers += string(c)
				continue
			}
			due := map[byte]string{'[': "]", '{': "}"}[c]
			if closers == "" {
				if p := f.swallowed(l, marks[i], due); p != nil {
					return p
				}
				return f.at(l.number, marks[i], fmt.Sprintf("the bracket %c is not closed", c), "write "+due+" behind its last value")
			}
			if found := closers[len(closers)-1:]; found != due {
				return f.at(l.number, marks[i], fmt.Sprintf("the bracket %c is closed by %s", c, found), "write "+due+" behind its last value")
			}
			closers = closers[:len(closers)-1]
		}
		return nil
	})
}

// swallowed finds a comment that looks like part of a value and took the closing
// bracket with it: {serial: R-1177 #2}.
func (f *fault) swallowed(l line, open int, due string) *problem.Problem {
	i := strings.Index(l.text[open:], " #")
	if i < 0 || !strings.Contains(l.text[open+i:], due) || strings.HasPrefix(l.text[open+i:], " # ") {
		return nil
	}
	return f.at(l.number, open+i+1, "a comment begins here and takes the closing bracket with it", "put the text that holds the # in quotes")
}

// strayBracket finds a closing bracket that closes nothing.
func (f *fault) strayBracket() *problem.Problem {
	return f.back(func(l line) *problem.Problem {
		open := 0
		for _, i := range bracketsOf(l) {
			if l.text[i] == '[' || l.text[i] == '{' {
				open++
			} else if open--; open < 0 && f.reach-l.number <= 1 {
				return f.at(l.number, i, fmt.Sprintf("the bracket %c closes nothing", l.text[i]), "remove it, or put the text in quotes")
			}
		}
		return nil
	})
}

// indentation finds a line that begins in no column of the lines above.
func (f *fault) indentation() *problem.Problem {
	n := f.reach
	if n > 1 && f.unlike(n-1) {
		n--
	}
	l := newLine(f.lines[n-1], n)
	switch {
	case l.start > l.indent && f.message == "did not find expected key":
		return f.at(n, l.indent, "a list item stands among keys", "write it as key: value, or move it below the key whose list it is")
	case f.message == "did not find expected '-' indicator":
		return f.at(n, l.indent, "a key stands among list items", "begin it with a dash, or in the column of the key above the list")
	}
	return f.at(n, l.indent, "this line begins in a column of its own", "begin it in the same column as the key before it")
}

// unlike reports whether a line begins in no column in which the lines above
// let it begin. A line behind a dash begins in two columns: that of the dash
// and that of its text.
func (f *fault) unlike(n int) bool {
	l := newLine(f.lines[n-1], n)
	item := l.start > l.indent
	for above := n - 1; above >= 1; above-- {
		a := newLine(f.lines[above-1], above)
		switch {
		case a.blank() || a.indent > l.indent:
			continue
		case a.indent < l.indent:
			return a.start != l.indent && (above < n-1 || a.value != "")
		case a.start == a.indent:
			return item && a.value != ""
		case item:
			return false
		}
	}
	return false
}

// behindEnd is text behind the end of what the file holds.
func (f *fault) behindEnd() *problem.Problem {
	return f.at(f.reach, 0, "what stands above is complete, and this line does not belong to it",
		"write the whole file as lines of key: value")
}

// depth is the parser's own bound, far above MaxDepth.
func (f *fault) depth() *problem.Problem {
	p := f.at(f.reach, 0, tooDeep(), "write it flatter")
	p.Rule = "too-deep"
	return p
}
