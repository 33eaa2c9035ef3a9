package act

import (
	"strings"
	"unicode"

	"stackbook/record/book"
	"stackbook/schema/source"
)

// text is something a customer may be named in, taken apart into words and
// numbers.
type text struct {
	words   []word
	numbers []number
}

// word is a run of letters and digits, folded so that spellings of one word are
// the same.
type word struct {
	text string
	line int
}

// number is digits written together, spacing left out.
type number struct {
	digits string
	groups []int // where each group of digits ends
	line   int
}

// newText takes a plain text apart.
func newText(s string) *text {
	t := &text{}
	at, line := 0, 1
	t.add(s, func(offset int) int { // asked for one offset after the other, and once from the start again
		if offset < at {
			at, line = 0, 1
		}
		line += strings.Count(s[at:offset], "\n")
		at = offset
		return line
	})
	return t
}

// textOf takes apart what is to be committed: its bytes and, where it is YAML,
// every value with its escapes and foldings undone.
func textOf(e book.Edit) *text {
	t := newText(string(e.Data))
	if !strings.HasSuffix(e.Path, ".yaml") {
		return t
	}
	if doc, err := source.Parse(e.Path, e.Data); err == nil {
		t.addNode(doc.Root())
	}
	return t
}

// addNode adds the keys and values of a node. Values of the same list or
// mapping are not read as one text.
func (t *text) addNode(n *source.Node) {
	if n.Kind() == source.Scalar {
		t.part()
		t.add(n.Text(), func(int) int { return n.Line() })
	}
	for _, e := range n.Entries() {
		t.part()
		t.add(e.Key, func(int) int { return e.KeyLine })
		t.addNode(e.Value)
	}
	for _, item := range n.Items() {
		t.addNode(item)
	}
}

// part keeps the words behind it from being read together with those before.
func (t *text) part() { t.words = append(t.words, word{"\n", 0}) }

// add takes a text apart; line tells the line of an offset.
func (t *text) add(s string, line func(offset int) int) {
	start := -1
	for i, r := range s + " " {
		in := inWord(r)
		switch {
		case in && start < 0:
			start = i
		case !in && start >= 0:
			if folded := fold(s[start:i]); folded != "" {
				t.words = append(t.words, word{folded, line(start)})
			}
			start = -1
		}
	}
	t.addNumbers(s, line)
}

// inWord tells whether a character is part of a word.
func inWord(r rune) bool {
	if r < 0x80 {
		return 'a' <= r && r <= 'z' || 'A' <= r && r <= 'Z' || '0' <= r && r <= '9'
	}
	return unicode.IsLetter(r) || unicode.IsDigit(r) || passedOver(r)
}

// spacing is what digits of one telephone number may be parted by.
const spacing = " \t\r\n -–./()+"

// addNumbers finds the digits that stand together but for spacing.
func (t *text) addNumbers(s string, line func(offset int) int) {
	var digits []byte
	var groups []int
	began := 0
	end := func() {
		if len(digits) >= fewestDigits {
			t.numbers = append(t.numbers, number{string(digits), append(groups, len(digits)), line(began)})
			groups = nil
		}
		digits, groups = digits[:0], groups[:0]
	}
	for i, r := range s {
		switch {
		case '0' <= r && r <= '9':
			if len(digits) == 0 {
				began = i
			}
			digits = append(digits, byte(r))
		case isSpacing(r):
			if len(digits) > 0 {
				groups = append(groups, len(digits))
			}
		default:
			end()
		}
	}
	end()
}

func isSpacing(r rune) bool {
	if r >= 'a' && r <= 'z' {
		return false // most characters, at once
	}
	return strings.ContainsRune(spacing, r)
}
