package act

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// R15: looked for all at once, the same is found, in the same lines, as when
// each secret is looked for by itself in the whole text.
func TestR15AllAtOnce(t *testing.T) {
	r := rand.New(rand.NewPCG(15, 1))
	pick := func(list []string) string { return list[r.IntN(len(list))] }
	words := []string{"Ola", "Testmann", "Åse", "Ødegård", "Müller", "A", "N.", "Shoreside", "Bo", "at", "lake", "example", "anna", "Anna", "aa", "Saas", "s", "of", "Ann"}
	digits := []string{"55", "01", "23", "45", "0047", "012", "345", "998", "12345", "550123", "7", "00"}
	phrase := func(from []string, between []string, n int) string {
		var b strings.Builder
		for range 1 + r.IntN(n) {
			b.WriteString(pick(from) + pick(between))
		}
		return b.String()
	}
	seen := 0
	for round := range 3000 {
		var all []secret
		for i := range 1 + r.IntN(6) {
			s := secret{fmt.Sprintf("C-%02d", i), pick([]string{"name", "email", "telephone"}), ""}
			switch s.key {
			case "name":
				s.text = phrase(words, []string{" ", " ", "-"}, 3)
			case "email":
				s.text = phrase(words, []string{".", "@"}, 4) + "example"
			default:
				s.text = phrase(digits, []string{" ", "-", ""}, 4)
			}
			all = append(all, s)
		}
		content := phrase(append(slices.Clone(words), digits...), []string{" ", " ", "\n", "", ", ", "-"}, 40)
		text := newText(content)
		if round%3 == 0 {
			text.part()
			text.add(content, func(int) int { return 99 })
		}
		var want []named
		for _, s := range all {
			if line, ok := text.mentions(s); ok {
				want = append(want, named{s, line})
			}
		}
		require.Equal(t, want, newWatch(all).mentions(text), "%q\n%v", content, all)
		seen += len(want)
	}
	require.Greater(t, seen, 300, "the texts do tell something")
}

// A word of plain letters is folded as any other is.
func TestFoldPlain(t *testing.T) {
	for _, s := range []string{"", "s", "as", "Bass", "AASE", "Mueller", "aaa", "aeae", "oea", "R1177", "Testmanns", "uue", "queen"} {
		quick, ok := foldPlain(s)
		require.True(t, ok)
		require.Equal(t, fold("\u00ad"+s), quick, s) // a soft hyphen, which is passed over, takes the other way
	}
	_, ok := foldPlain("Å")
	require.False(t, ok)
}

// BenchmarkR15 looks for the names of 500 customers on a page.
func BenchmarkR15(b *testing.B) {
	var all []secret
	for i := range 500 {
		code := fmt.Sprintf("C-%03d", i)
		all = append(all, secret{code, "name", fmt.Sprintf("Ola%d Testmann%d", i, i*7)}, secret{code, "telephone", fmt.Sprintf("55 01 %04d", i)}, secret{code, "email", fmt.Sprintf("ola%d@lake.example", i)})
	}
	w := newWatch(all)
	content := strings.Repeat("apex seal end gap at rotor/2/apex/3 fails: 0.007 mm, limit 0.05 to 0.15 re-use\n", 2000)
	b.SetBytes(int64(len(content)))
	for b.Loop() {
		require.Empty(b, w.mentions(newText(content)))
	}
}

// mentions tells whether a text tells a secret, and in which line: one secret at
// a time, as the rule reads.
func (t *text) mentions(s secret) (line int, found bool) {
	switch s.key {
	case "telephone":
		return t.telephone(s.text)
	case "email":
		return t.inOrder(newText(s.text).words)
	}
	return t.name(newText(s.text).words)
}

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
