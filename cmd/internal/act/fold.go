package act

import (
	"strings"
	"sync"
	"unicode"
)

// passedOver are the signs that sit on a letter or hide between two: accents
// written apart, soft hyphens, joiners.
func passedOver(r rune) bool { return unicode.In(r, unicode.Mn, unicode.Me, unicode.Cf) }

// fold brings spellings of one word together: capitals, accents, letters of
// full width, and the ways to write ä, å or ø without them (ae, aa, oe). An s
// at the end, which may be a genitive, is left out.
func fold(s string) string {
	if folded, ok := foldPlain(s); ok {
		return folded
	}
	var b strings.Builder
	letters := plain()
	for _, r := range s {
		if 0xff01 <= r && r <= 0xff5e {
			r -= 0xff01 - '!' // full width
		}
		switch r = unicode.ToLower(r); {
		case passedOver(r):
		case letters[r] != "":
			b.WriteString(letters[r])
		default:
			b.WriteRune(r)
		}
	}
	return withoutS(pairs.Replace(b.String()))
}

func withoutS(folded string) string {
	if short := strings.TrimSuffix(folded, "s"); len(short) >= fewestLetters {
		return short
	}
	return folded
}

// foldPlain is fold for a word of the letters a to z and digits, as nearly all
// words of a page are; ok is false for any other.
func foldPlain(s string) (folded string, ok bool) {
	alike := true // small letters, and no pair of which one letter is left
	for i := range len(s) {
		c := s[i]
		switch {
		case 'A' <= c && c <= 'Z':
			alike = false
		case c >= 0x80:
			return "", false
		case i > 0 && (c == 'e' && (s[i-1] == 'a' || s[i-1] == 'o' || s[i-1] == 'u') || c == 'a' && s[i-1] == 'a'):
			alike = false
		}
	}
	if alike {
		return withoutS(s), true
	}
	return withoutS(pairs.Replace(strings.ToLower(s))), true
}

// pairs folds what is written for a letter with dots or a ring.
var pairs = strings.NewReplacer("ae", "a", "oe", "o", "ue", "u", "aa", "a")

// plain is the letter below an accent, for the letters of Latin-1 and Latin
// Extended-A (Unicode blocks U+0080 to U+017F).
var plain = sync.OnceValue(func() map[rune]string {
	table := map[rune]string{'æ': "ae", 'œ': "oe", 'ß': "ss", 'þ': "th", 'ĳ': "ij"}
	for letter, accented := range map[string]string{
		"a": "àáâãäåāăą", "c": "çćĉċč", "d": "ðďđ", "e": "èéêëēĕėęě", "g": "ĝğġģ", "h": "ĥħ", "i": "ìíîïĩīĭįı", "j": "ĵ", "k": "ķĸ",
		"l": "ĺļľŀł", "n": "ñńņňŉŋ", "o": "òóôõöøōŏő", "r": "ŕŗř", "s": "śŝşšſ", "t": "ţťŧ", "u": "ùúûüũūŭůűų", "w": "ŵ", "y": "ýÿŷ", "z": "źżž",
	} {
		for _, r := range accented {
			table[r] = letter
		}
	}
	return table
})
