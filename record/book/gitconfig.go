package book

import (
	"errors"
	"fmt"
	"strings"
)

// configReader reads the text of one of git's configuration files, as git does
// (git-config(1), "Syntax").
type configReader struct {
	text string
	at   int
	line int
	tell func(key, value string)
}

// errConfig says that a line is none of git's configuration.
var errConfig = errors.New("is none of git's configuration; git config --list tells what git makes of it")

// readConfig tells every key in lower case, but for a middle part in quotes, with
// its value; a key alone is a yes.
func readConfig(text []byte, tell func(key, value string)) error {
	r := &configReader{text: strings.ReplaceAll(strings.TrimPrefix(string(text), "\ufeff"), "\r\n", "\n"), line: 1, tell: tell}
	section := ""
	for {
		c, ok := r.next()
		switch {
		case !ok:
			return nil
		case c == '#' || c == ';':
			r.skipLine()
		case isBlank(c) || c == '\n':
		case c == '[':
			if section, ok = r.section(); !ok {
				return fmt.Errorf("line %d %w", r.line, errConfig)
			}
		default:
			r.at--
			if section == "" || !r.entry(section) {
				return fmt.Errorf("line %d %w", r.line, errConfig)
			}
		}
	}
}

// next gives the next character; ok is false behind the last.
func (r *configReader) next() (c byte, ok bool) {
	if r.at == len(r.text) {
		return '\n', false
	}
	c = r.text[r.at]
	r.at++
	if r.at > 1 && r.text[r.at-2] == '\n' {
		r.line++
	}
	return c, true
}

func (r *configReader) skipLine() {
	for {
		if c, ok := r.next(); !ok || c == '\n' {
			return
		}
	}
}

func isBlank(c byte) bool { return c == ' ' || c == '\t' || c == '\r' }

func isKeyChar(c byte) bool {
	return c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || c >= '0' && c <= '9' || c == '-'
}

// section reads [name] or [name "middle part"], and gives what keys begin with.
func (r *configReader) section() (prefix string, ok bool) {
	begin := r.at
	for {
		c, ok := r.next()
		name := strings.ToLower(r.text[begin:max(begin, r.at-1)])
		switch {
		case !ok:
			return "", false
		case c == ']':
			return name + ".", name != ""
		case isBlank(c):
			middle, ok := r.middlePart()
			return name + "." + middle + ".", ok
		case !isKeyChar(c) && c != '.':
			return "", false
		}
	}
}

func (r *configReader) middlePart() (text string, ok bool) {
	c, _ := r.next()
	for isBlank(c) {
		c, _ = r.next()
	}
	if c != '"' {
		return "", false
	}
	var out strings.Builder
	for {
		c, _ := r.next()
		if c == '"' {
			end, _ := r.next()
			return out.String(), end == ']'
		}
		if c == '\\' {
			c, _ = r.next()
		}
		if c == '\n' {
			return "", false
		}
		out.WriteByte(c)
	}
}

// entry reads a key and its value.
func (r *configReader) entry(prefix string) bool {
	begin := r.at
	c, ok := r.next()
	if c == '-' || c >= '0' && c <= '9' {
		return false // a key begins with a letter
	}
	for ok && isKeyChar(c) {
		c, ok = r.next()
	}
	end := r.at
	if ok {
		end--
	}
	key := strings.ToLower(r.text[begin:end])
	for ok && (c == ' ' || c == '\t') {
		c, ok = r.next()
	}
	if key == "" {
		return false
	}
	value, sound := "true", true
	if c == '=' {
		value, sound = r.value()
	} else if c != '\n' {
		return false
	}
	if sound {
		r.tell(prefix+key, value)
	}
	return sound
}

// escapes are the characters that stand behind a backslash, and what for.
const escapes = "t\tb\bn\n\\\\\"\""

// value reads what stands behind the sign of equality, to the end of the line.
func (r *configReader) value() (text string, ok bool) {
	var out strings.Builder
	quoted, blanks := false, ""
	for {
		c, _ := r.next()
		switch {
		case c == '\n':
			return out.String(), !quoted
		case !quoted && isBlank(c):
			if out.Len() > 0 {
				blanks += string(rune(c))
			}
			continue
		case !quoted && (c == '#' || c == ';'):
			r.skipLine()
			return out.String(), true
		}
		out.WriteString(blanks)
		blanks = ""
		switch c {
		case '"':
			quoted = !quoted
		case '\\':
			c, _ = r.next()
			i := strings.IndexByte(escapes, c)
			switch {
			case c == '\n': // the line goes on
			case i < 0 || i%2 != 0 && i < 6:
				return "", false
			default:
				out.WriteByte(escapes[i|1])
			}
		default:
			out.WriteByte(c)
		}
	}
}
