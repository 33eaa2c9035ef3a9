package figure

import (
	"strconv"
	"strings"
)

// decodeAsWritten reads a figures.yaml that stands just as Encode writes it, line
// by line; of any other ok is false, and it is read as YAML.
func decodeAsWritten(text string) (s *Stored, ok bool) {
	body, ok := strings.CutPrefix(text, storeHead)
	if !ok {
		return nil, false
	}
	s = &Stored{}
	var build, formulas string
	for _, field := range []struct {
		key string
		to  *string
	}{{"engine: ", &s.Engine}, {"build: ", &build}, {"formulas: ", &formulas}, {"inputs: ", &s.Inputs}, {"figures:", new(string)}} {
		var line string
		line, body, _ = strings.Cut(body, "\n")
		value, ok := strings.CutPrefix(line, field.key)
		if !ok || !isPlainWord(value) && field.key != "figures:" || value != "" && field.key == "figures:" {
			return nil, false
		}
		*field.to = value
	}
	var err, err2 error
	s.Build, err = strconv.Atoi(build)
	s.Formulas, err2 = strconv.Atoi(formulas)
	if err != nil || err2 != nil || body != "" && !strings.HasSuffix(body, "\n") {
		return nil, false
	}
	for line := range strings.Lines(body) {
		l, ok := storedLine(strings.TrimSuffix(line, "\n"))
		if !ok {
			return nil, false
		}
		s.Lines = append(s.Lines, l)
	}
	return s, true
}

// storedLine reads one line of figures.
func storedLine(line string) (l StoredLine, ok bool) {
	rest, ok := strings.CutPrefix(line, "  - {")
	if !ok {
		return l, false
	}
	for _, field := range []struct {
		key, end string
		to       *string
	}{{"id: ", ", ", &l.ID}, {"at: ", ", ", &l.At}, {"value: ", ", ", &l.Value}, {"unit: ", ", ", &l.Unit}, {"uncertainty: ", ", ", &l.Uncertainty}, {"verdict: ", "}", &l.Verdict}} {
		if rest, ok = strings.CutPrefix(rest, field.key); !ok {
			return l, false
		}
		if *field.to, rest, ok = strings.Cut(rest, field.end); !ok {
			return l, false
		}
		if *field.to, ok = plainValue(*field.to); !ok {
			return l, false
		}
	}
	return l, rest == ""
}

// plainValue is what a scalar of a line says; ok is false for one that only YAML
// can tell.
func plainValue(text string) (value string, ok bool) {
	if text == "null" {
		return "", true
	}
	if inside, quoted := strings.CutPrefix(text, `"`); quoted {
		if text, ok = strings.CutSuffix(inside, `"`); !ok {
			return "", false
		}
		return text, text == "%" || isPlainWord(text)
	}
	return text, text == "‰" || isPlainWord(text)
}

// isPlainWord tells whether YAML takes a text for itself, and no other word for
// it: it begins with a letter, a digit or a number's sign, holds a few signs
// inside, and single spaces between words.
func isPlainWord(text string) bool {
	first := strings.TrimLeft(text, "+-")
	if len(text)-len(first) > 1 || first == "" || len(first) < len(text) && !isDigit(first[0]) || !isLetter(first[0]) && !isDigit(first[0]) {
		return false
	}
	for i := range len(first) {
		switch c := first[i]; {
		case isLetter(c), isDigit(c), c == '_', c == '.', c == '/', c == '-', c == '+':
		case c == ' ' && first[i-1] != ' ' && i < len(first)-1:
		default:
			return false
		}
	}
	return !strings.EqualFold(text, "null")
}

func isDigit(c byte) bool  { return '0' <= c && c <= '9' }
func isLetter(c byte) bool { return 'a' <= c|0x20 && c|0x20 <= 'z' }
