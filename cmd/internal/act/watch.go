package act

import (
	"slices"
	"strings"
	"unicode/utf8"
)

// watch looks for all secrets at once, in one pass over a text: each word of it
// is looked up once, however many customers there are.
type watch struct {
	secrets []secret

	// Words that stand next to each other, by one of them: of all words of a
	// text, of those that tell something by themselves, and of all but "at".
	every, long, written phrases

	glued map[string][]gluedName // names in one word, by their first letters
	cores map[string][]int       // telephone numbers, by the digits that are compared: secrets
}

// phrase is the words of one secret.
type phrase struct {
	secret  int
	words   []string // sorted, where any order will do
	inOrder bool
}

// phrases are phrases by one of their words.
type phrases map[string][]phrase

type gluedName struct {
	secret int
	name   string
}

// newWatch prepares to look for secrets.
func newWatch(all []secret) *watch {
	w := &watch{secrets: all, every: phrases{}, long: phrases{}, written: phrases{}, glued: map[string][]gluedName{}, cores: map[string][]int{}}
	for i, s := range all {
		switch s.key {
		case "telephone":
			w.telephone(i, s.text)
		case "email":
			w.email(i, newText(s.text).words)
		default:
			w.name(i, newText(s.text).words)
		}
	}
	return w
}

// fewestLetters is what a word needs to tell anything by itself: a shorter one,
// such as an initial, stands in every text.
const fewestLetters = 3

func (w word) long() bool { return utf8.RuneCountInString(w.text) >= fewestLetters }

// gluedLetters is how long a name of several words must be to be looked for
// within one: a short one is part of common words.
const gluedLetters = 8

// name prepares to find the words of a name next to each other in any order.
// Where the name has two longer words, initials and other short ones between
// them make no difference. It may be written as one word too, as in the name of
// a file.
func (w *watch) name(i int, name []word) {
	long := keep(name, word.long)
	switch {
	case len(long) >= 2:
		w.long.add(phrase{i, sorted(long), false})
	case len(long) == 1 || len(joined(name)) > fewestLetters:
		w.every.add(phrase{i, sorted(name), false})
	default:
		return
	}
	if len(name) < 2 || len(joined(name)) < gluedLetters {
		return
	}
	back := slices.Clone(name)
	slices.Reverse(back)
	for _, one := range []string{joined(name), joined(back)} {
		w.glued[one[:gluedLetters]] = append(w.glued[one[:gluedLetters]], gluedName{i, one})
	}
}

// email prepares to find the words of an e-mail address one behind the other,
// however its signs are written: "an (at) lake.example" is one too.
func (w *watch) email(i int, address []word) {
	if len(address) < 2 {
		return
	}
	if want := texts(keep(address, notAt)); len(want) > 0 {
		w.written.add(phrase{i, want, true})
	}
}

func notAt(w word) bool { return w.text != "at" }

// Of a telephone number the last digits are compared: what comes before them
// (a country code with + or 00, a 0 before the area) may be there or not. A
// number of fewer digits than fewestDigits would be found among readings.
const (
	fewestDigits = 5
	lastDigits   = 8
	mostBefore   = 7
)

// telephone prepares to find a number however it is spaced, with its country
// code or without.
func (w *watch) telephone(i int, secret string) {
	for _, n := range newText(secret).numbers {
		core := strings.TrimLeft(n.digits, "0")
		if len(core) >= fewestDigits {
			core = core[max(0, len(core)-lastDigits):]
			w.cores[core] = append(w.cores[core], i)
		}
	}
}

func (p phrases) add(one phrase) { p[one.words[0]] = append(p[one.words[0]], one) }

// named is a secret that a text tells, and in which line.
type named struct {
	secret
	line int
}

// found is where each secret is told first, by its number: in words next to each
// other, within one word, or in a number.
type found map[int]place

type place struct{ at, line int }

func (f found) note(secret, at, line int) {
	if before, ok := f[secret]; !ok || at < before.at {
		f[secret] = place{at, line}
	}
}

// mentions lists the secrets that a text tells, in their order.
func (w *watch) mentions(t *text) []named {
	f := found{}
	w.every.in(t.words, f)
	if len(w.long) > 0 {
		w.long.in(keep(t.words, func(w word) bool { return w.text == "\n" || w.long() }), f)
	}
	if len(w.written) > 0 {
		w.written.in(keep(t.words, notAt), f)
	}
	w.numbers(t.numbers, f)
	within := found{}
	w.within(t.words, within)
	var list []named
	for i, s := range w.secrets {
		if told, ok := f[i]; ok {
			list = append(list, named{s, told.line})
		} else if told, ok := within[i]; ok {
			list = append(list, named{s, told.line})
		}
	}
	return list
}

// in finds phrases among words.
func (p phrases) in(words []word, f found) {
	if len(p) == 0 {
		return
	}
	for i := range words {
		for _, one := range p[words[i].text] {
			one.around(words, i, f)
		}
	}
}

// around finds a phrase that has its first word at a place.
func (p phrase) around(words []word, i int, f found) {
	n := len(p.words)
	first := max(0, i-n+1)
	if p.inOrder {
		first = i
	}
	for start := first; start <= i && start+n <= len(words); start++ {
		window := texts(words[start : start+n])
		if !p.inOrder {
			slices.Sort(window)
		}
		if slices.Equal(window, p.words) {
			f.note(p.secret, start, words[start].line)
			return
		}
	}
}

// within finds names written as one word.
func (w *watch) within(words []word, f found) {
	if len(w.glued) == 0 {
		return
	}
	for i := range words {
		text := words[i].text
		for at := 0; at+gluedLetters <= len(text); at++ {
			for _, one := range w.glued[text[at:at+gluedLetters]] {
				if strings.HasPrefix(text[at:], one.name) {
					f.note(one.secret, i, words[i].line)
				}
			}
		}
	}
}

// numbers finds telephone numbers.
func (w *watch) numbers(list []number, f found) {
	if len(w.cores) == 0 {
		return
	}
	for i, n := range list {
		for _, end := range n.groups {
			for length := fewestDigits; length <= min(lastDigits, end); length++ {
				for _, secret := range w.cores[n.digits[end-length:end]] {
					if end-length-n.groupAt(end-length) <= mostBefore {
						f.note(secret, i, n.line)
					}
				}
			}
		}
	}
}

// groupAt is where the group of digits begins that holds a place: what comes
// before it in its own group can only be what a country or an area is dialled by.
func (n number) groupAt(at int) int {
	group := 0
	for _, end := range n.groups {
		if end <= at {
			group = end
		}
	}
	return group
}

func keep(words []word, which func(w word) bool) []word {
	kept := make([]word, 0, len(words))
	for _, w := range words {
		if which(w) {
			kept = append(kept, w)
		}
	}
	return kept
}

func joined(words []word) string { return strings.Join(texts(words), "") }

func texts(words []word) []string {
	list := make([]string, len(words))
	for i, w := range words {
		list[i] = w.text
	}
	return list
}

func sorted(words []word) []string {
	list := texts(words)
	slices.Sort(list)
	return list
}
