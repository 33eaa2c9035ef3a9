package source

import (
	"fmt"
	"regexp"
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"
)

// Quote writes text as a YAML scalar on one line that any YAML 1.1 or 1.2
// reader gives back as this very text: without quotes where that is certain,
// otherwise in double quotes, with an escape for whatever cannot be seen or
// turns text round. So no, 00123, 12E4, 0x1F, 1:30, 2024-03-02, ~
// and the empty text are quoted. It may stand anywhere, as a key and within
// brackets too. Bytes that are not UTF-8 become U+FFFD.
func Quote(text string) string {
	if plainSafe(text, true) && !typed().MatchString(text) {
		return text
	}
	return quoteDouble(text)
}

// typed matches plain scalars that some YAML reader takes for something other
// than text. The words and numbers are those of the type repository of YAML
// 1.1 (yaml.org/type: bool, float, int, merge, null, timestamp, value) and of
// the core schema of YAML 1.2.2 (10.3.2); numbers are taken wider than either:
// whatever begins like one and holds nothing but digits, letters of a radix or
// exponent and their signs.
var typed = sync.OnceValue(func() *regexp.Regexp {
	return regexp.MustCompile(`^(?:` +
		`|~|null|Null|NULL|<<|=` +
		`|(?i:y|n|yes|no|on|off|true|false)` +
		`|[-+]?\.(?i:inf|nan)` +
		`|[-+]?[0-9.][0-9_.,:]*(?:[eE][-+]?[0-9_]*)?` +
		`|[-+]?0[xX][0-9a-fA-F_]*|[-+]?0[oO][0-7_]*|[-+]?0[bB][01_]*` +
		`|[0-9]{4}-[0-9]{1,2}-[0-9]{1,2}(?:[Tt \t].*)?` +
		`)$`)
})

// tame matches what every reader takes for the number or the day it is, and
// writes back the same: a plain decimal or a date. Such a value may stand
// without quotes where it stood so before.
var tame = sync.OnceValue(func() *regexp.Regexp {
	return regexp.MustCompile(`^(?:-?(?:0|[1-9][0-9]*)(?:\.[0-9]+)?|[0-9]{4}-[0-9]{2}-[0-9]{2})$`)
})

// plainSafe reports whether text can stand without quotes, within brackets if
// inFlow, and be read as one scalar.
func plainSafe(text string, inFlow bool) bool {
	if text == "" || strings.Trim(text, " ") != text || !printable(text) {
		return false
	}
	if strings.Contains(text, ": ") || strings.Contains(text, " #") || strings.HasSuffix(text, ":") {
		return false
	}
	if strings.HasPrefix(text, "---") || strings.HasPrefix(text, "...") {
		return false
	}
	if inFlow && strings.ContainsAny(text, ",[]{}?") {
		return false
	}
	if text[0] == '-' {
		return len(text) > 1 && text[1] != ' '
	}
	return !strings.ContainsRune("?:#&*!|>'\"%@`,[]{}", rune(text[0]))
}

// printable reports whether text holds only characters that may stand in a
// record as they are and that are seen there, and no tab and line end.
func printable(text string) bool {
	for i, r := range text {
		_, size := utf8.DecodeRuneInString(text[i:])
		if rule, _, _ := faultOf(r, size); rule != "" || unicode.Is(unicode.Cf, r) || r == '\t' || r == '\n' || r == '\r' {
			return false
		}
	}
	return true
}

// quoteSingle writes text in single quotes, which have no escapes; ok is false
// where that cannot be.
func quoteSingle(text string) (quoted string, ok bool) {
	return "'" + strings.ReplaceAll(text, "'", "''") + "'", printable(text)
}

// quoteDouble writes text in double quotes.
func quoteDouble(text string) string {
	var b strings.Builder
	b.WriteByte('"')
	for _, r := range strings.ToValidUTF8(text, "\ufffd") {
		rule, _, _ := faultOf(r, 0)
		hidden := rule != "" || unicode.Is(unicode.Cf, r)
		switch {
		case r == '"' || r == '\\':
			b.WriteByte('\\')
			b.WriteRune(r)
		case r == '\n':
			b.WriteString(`\n`)
		case r == '\r':
			b.WriteString(`\r`)
		case r == '\t':
			b.WriteString(`\t`)
		case hidden && r < 0x100:
			fmt.Fprintf(&b, `\x%02X`, r)
		case hidden && r < 0x10000:
			fmt.Fprintf(&b, `\u%04X`, r)
		case hidden:
			fmt.Fprintf(&b, `\U%08X`, r)
		default:
			b.WriteRune(r)
		}
	}
	b.WriteByte('"')
	return b.String()
}
