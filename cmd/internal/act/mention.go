package act

import (
	"slices"
	"sort"
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
	var breaks []int
	for i := range len(s) {
		if s[i] == '\n' {
			breaks = append(breaks, i)
		}
	}
	t := &text{}
	t.add(s, func(offset int) int { return 1 + sort.SearchInts(breaks, offset) })
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
		in := unicode.IsLetter(r) || unicode.IsDigit(r) || passedOver(r)
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

// spacing is what digits of one telephone number may be parted by.
const spacing = " \t\r\n -–./()+"

// addNumbers finds the digits that stand together but for spacing.
func (t *text) addNumbers(s string, line func(offset int) int) {
	var n number
	end := func() {
		if len(n.digits) >= fewestDigits {
			n.groups = append(n.groups, len(n.digits))
			t.numbers = append(t.numbers, n)
		}
		n = number{}
	}
	for i, r := range s {
		switch {
		case '0' <= r && r <= '9':
			if n.digits == "" {
				n.line = line(i)
			}
			n.digits += string(r)
		case strings.ContainsRune(spacing, r):
			n.groups = append(n.groups, len(n.digits))
		default:
			end()
		}
	}
	end()
}

// mentions tells whether a text tells a secret, and in which line.
func (t *text) mentions(s secret) (line int, found bool) {
	switch s.key {
	case "telephone":
		return t.telephone(s.text)
	case "email":
		return t.inOrder(newText(s.text).words)
	}
	return t.name(newText(s.text).words)
}

// fewestLetters is what a word needs to tell anything by itself: a shorter one,
// such as an initial, stands in every text.
const fewestLetters = 3

func (w word) long() bool { return len([]rune(w.text)) >= fewestLetters }

// name finds the words of a name next to each other in any order. Where the
// name has two longer words, initials and other short ones between them make
// no difference.
func (t *text) name(name []word) (line int, found bool) {
	long := keep(name, word.long)
	switch {
	case len(long) >= 2:
		line, found = anyOrder(keep(t.words, func(w word) bool { return w.long() || w.text == "\n" }), long)
	case len(long) == 1 || len(joined(name)) > fewestLetters:
		line, found = anyOrder(t.words, name)
	default:
		return 0, false
	}
	if found {
		return line, true
	}
	return t.glued(name)
}

func keep(words []word, which func(w word) bool) []word {
	var kept []word
	for _, w := range words {
		if which(w) {
			kept = append(kept, w)
		}
	}
	return kept
}

func joined(words []word) string {
	var b strings.Builder
	for _, w := range words {
		b.WriteString(w.text)
	}
	return b.String()
}

// anyOrder finds all words of a name next to each other.
func anyOrder(words, name []word) (line int, found bool) {
	want := sorted(name)
	for i := range len(words) - len(name) + 1 {
		window := words[i : i+len(name)]
		if slices.Equal(sorted(window), want) {
			return window[0].line, true
		}
	}
	return 0, false
}

func sorted(words []word) []string {
	texts := make([]string, len(words))
	for i, w := range words {
		texts[i] = w.text
	}
	slices.Sort(texts)
	return texts
}

// gluedLetters is how long a name of several words must be to be looked for
// within one: a short one is part of common words.
const gluedLetters = 8

// glued finds a name written as one word, as in the name of a file.
func (t *text) glued(name []word) (line int, found bool) {
	ahead := joined(name)
	back := slices.Clone(name)
	slices.Reverse(back)
	if len(name) < 2 || len(ahead) < gluedLetters {
		return 0, false
	}
	for _, w := range t.words {
		if strings.Contains(w.text, ahead) || strings.Contains(w.text, joined(back)) {
			return w.line, true
		}
	}
	return 0, false
}

// inOrder finds the words of an e-mail address one behind the other, however
// its signs are written: "an (at) lake.example" is one too.
func (t *text) inOrder(address []word) (line int, found bool) {
	if len(address) < 2 {
		return 0, false
	}
	words := keep(t.words, func(w word) bool { return w.text != "at" })
	want := keep(address, func(w word) bool { return w.text != "at" })
	same := func(a, b word) bool { return a.text == b.text }
	for i := range len(words) - len(want) + 1 {
		if slices.EqualFunc(words[i:i+len(want)], want, same) {
			return words[i].line, true
		}
	}
	return 0, false
}

// Of a telephone number the last digits are compared: what comes before them
// (a country code with + or 00, a 0 before the area) may be there or not. A
// number of fewer digits than fewestDigits would be found among readings.
const (
	fewestDigits = 5
	lastDigits   = 8
	mostBefore   = 7
)

// telephone finds a number however it is spaced, with its country code or
// without.
func (t *text) telephone(secret string) (line int, found bool) {
	for _, n := range newText(secret).numbers {
		core := strings.TrimLeft(n.digits, "0")
		if len(core) < fewestDigits {
			continue
		}
		core = core[max(0, len(core)-lastDigits):]
		for _, in := range t.numbers {
			if in.holds(core) {
				return in.line, true
			}
		}
	}
	return 0, false
}

// holds tells whether the digits end a group, with nothing before them in their
// own but what a country or an area is dialled by.
func (n number) holds(core string) bool {
	for at := 0; ; at++ {
		i := strings.Index(n.digits[at:], core)
		if i < 0 {
			return false
		}
		at += i
		group := 0
		for _, end := range n.groups {
			if end <= at {
				group = end
			}
		}
		if at-group <= mostBefore && slices.Contains(n.groups, at+len(core)) {
			return true
		}
	}
}
