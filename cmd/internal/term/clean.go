package term

import (
	"bytes"
	"fmt"
	"strings"
	"unicode"
	"unicode/utf16"
	"unicode/utf8"
)

// Clean makes text from outside harmless on one line of a terminal. What would
// steer the terminal, turn the reading direction or hide between the letters is
// shown as an escape instead: \x1b, \u202e, \U000e0041, and \xff for a byte
// that is not UTF-8. A line break or a tab becomes a space. Letters with their
// accents, signs and spaces of every script stay.
//
// Joiners and variation selectors are shown too, although some scripts and
// pictures use them: two serial numbers that look alike must be alike.
func Clean(s string) string { return clean(s, " ", " ") }

// CleanLines is Clean for text of several lines: line breaks and tabs stay.
func CleanLines(s string) string { return clean(s, "\n", "\t") }

// CleanJSON is Clean for a JSON document: what could do harm is written as
// JSON's own escape, so that every value stays what it is. Line breaks between
// the values stay; within them there are none.
func CleanJSON(document []byte) []byte {
	var b bytes.Buffer
	for _, r := range string(document) {
		switch {
		case r == '\n' || visible(r):
			b.WriteRune(r)
		case r <= 0xffff:
			fmt.Fprintf(&b, `\u%04x`, r)
		default:
			high, low := utf16.EncodeRune(r)
			fmt.Fprintf(&b, `\u%04x\u%04x`, high, low)
		}
	}
	return b.Bytes()
}

func clean(s, newline, tab string) string {
	if plainASCII(s) {
		return s
	}
	var b strings.Builder
	for len(s) > 0 {
		r, size := utf8.DecodeRuneInString(s)
		switch {
		case r == utf8.RuneError && size == 1:
			fmt.Fprintf(&b, `\x%02x`, s[0])
		case r == '\n':
			b.WriteString(newline)
		case r == '\t':
			b.WriteString(tab)
		case visible(r):
			b.WriteRune(r)
		default:
			b.WriteString(escape(r))
		}
		s = s[size:]
	}
	return b.String()
}

func plainASCII(s string) bool {
	for i := range len(s) {
		if s[i] < ' ' || s[i] > '~' {
			return false
		}
	}
	return true
}

// visible tells whether a character may reach the terminal. Controls, format
// characters (direction, joiners, tags), line and paragraph separators and
// characters without a meaning of their own are not graphic in Unicode's
// sense; selectors and blank fillers are, and are left out by name.
func visible(r rune) bool {
	return unicode.IsGraphic(r) &&
		!unicode.In(r, unicode.Variation_Selector, unicode.Other_Default_Ignorable_Code_Point)
}

func escape(r rune) string {
	switch {
	case r < utf8.RuneSelf:
		return fmt.Sprintf(`\x%02x`, r)
	case r <= 0xffff:
		return fmt.Sprintf(`\u%04x`, r)
	}
	return fmt.Sprintf(`\U%08x`, r)
}
