package term

import "strings"

// Style is how a piece of text looks where there is colour.
type Style int

// The styles. Each only repeats what the words say.
const (
	StyleNone Style = iota
	StyleStrong
	StyleFaint
	StyleGood
	StyleBad
	StyleWarn
)

// The sequences are SGR of ECMA-48, of the first 16 colours only, so that the
// person's own palette decides what is readable.
const (
	esc   = '\x1b'
	reset = "\x1b[0m"
)

func (s Style) sequence() string {
	switch s {
	case StyleStrong:
		return "\x1b[1m"
	case StyleFaint:
		return "\x1b[2m"
	case StyleGood:
		return "\x1b[32m"
	case StyleBad:
		return "\x1b[1;31m"
	case StyleWarn:
		return "\x1b[33m"
	}
	return ""
}

// Strong gives s, cleaned, as it stands out on Out.
func (t *Terminal) Strong(s string) string { return t.style(StyleStrong, s, t.Colour) }

// Faint gives s, cleaned, as it stands back on Out.
func (t *Terminal) Faint(s string) string { return t.style(StyleFaint, s, t.Colour) }

// Good gives s, cleaned, as something in order looks on Out.
func (t *Terminal) Good(s string) string { return t.style(StyleGood, s, t.Colour) }

// Bad gives s, cleaned, as something wrong looks on Out.
func (t *Terminal) Bad(s string) string { return t.style(StyleBad, s, t.Colour) }

// Warn gives s, cleaned, as something to look at looks on Out.
func (t *Terminal) Warn(s string) string { return t.style(StyleWarn, s, t.Colour) }

// ErrStrong is Strong for Err.
func (t *Terminal) ErrStrong(s string) string { return t.style(StyleStrong, s, t.ErrColour) }

// ErrBad is Bad for Err.
func (t *Terminal) ErrBad(s string) string { return t.style(StyleBad, s, t.ErrColour) }

// style styles s and remembers the piece, so that clean can tell it from a
// sequence that came with the text. Styles don't nest: the outer one counts.
func (t *Terminal) style(look Style, s string, colour bool) string {
	piece := paint(look, t.clean(s), colour)
	if colour {
		t.mu.Lock()
		defer t.mu.Unlock()
		if t.made == nil {
			t.made = map[string]bool{}
		}
		t.made[piece] = true
	}
	return piece
}

// paint puts a style around text that is clean already.
func paint(look Style, s string, colour bool) string {
	if !colour || look == StyleNone || s == "" {
		return s
	}
	return look.sequence() + unstyled(s) + reset
}

// clean is Clean, but lets through the pieces that were styled here. Text from
// a record can at most repeat such a piece word for word.
func (t *Terminal) clean(s string) string {
	if strings.IndexByte(s, esc) < 0 {
		return Clean(s)
	}
	var b strings.Builder
	for {
		i := strings.IndexByte(s, esc)
		if i < 0 {
			b.WriteString(Clean(s))
			return b.String()
		}
		b.WriteString(Clean(s[:i]))
		s = s[i:]
		if n := t.pieceLength(s); n > 0 {
			b.WriteString(s[:n])
			s = s[n:]
		} else {
			b.WriteString(Clean(s[:1]))
			s = s[1:]
		}
	}
}

// pieceLength is the length of the piece styled here that s, which begins with
// ESC, begins with; 0 if there is none. A piece holds no further ESC before
// its reset.
func (t *Terminal) pieceLength(s string) int {
	end := 1 + strings.IndexByte(s[1:], esc)
	if !strings.HasPrefix(s[end:], reset) {
		return 0
	}
	end += len(reset)
	t.mu.Lock()
	defer t.mu.Unlock()
	if !t.made[s[:end]] {
		return 0
	}
	return end
}

// unstyled takes the styles out of text that is clean already, where each ESC
// begins a sequence of ours.
func unstyled(s string) string {
	if strings.IndexByte(s, esc) < 0 {
		return s
	}
	var b strings.Builder
	for {
		before, after, found := strings.Cut(s, string(esc))
		b.WriteString(before)
		if !found {
			return b.String()
		}
		_, s, _ = strings.Cut(after, "m")
	}
}
