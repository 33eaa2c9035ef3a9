package term

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
)

func TestClean(t *testing.T) {
	for _, c := range []struct{ name, in, want string }{
		{"plain", "SK-07, rotor/2", "SK-07, rotor/2"},
		{"empty", "", ""},
		{"accents and signs", "Dichtleiste 3 mm ± 0,02 µm – grün", "Dichtleiste 3 mm ± 0,02 µm – grün"},
		{"combining accent", "e\u0301", "e\u0301"},
		{"wide", "水温 80", "水温 80"},
		{"Hebrew letters", "\u05e9\u05dc\u05d5\u05dd", "\u05e9\u05dc\u05d5\u05dd"},
		{"no-break space", "3\u00a0mm", "3\u00a0mm"},
		{"colour", "\x1b[31mred\x1b[0m", `\x1b[31mred\x1b[0m`},
		{"window title", "\x1b]0;title\x07", `\x1b]0;title\x07`},
		{"carriage return hides what stands before", "fails\rfine ", `fails\x0dfine `},
		{"backspace and delete", "a\bb\x7f", `a\x08b\x7f`},
		{"null", "a\x00b", `a\x00b`},
		{"C1 control sequence introducer", "\u009b31m", `\u009b31m`},
		{"line and tab", "one\ntwo\tthree", "one two three"},
		{"next line", "one\u0085two", `one\u0085two`},
		{"line and paragraph separator", "a\u2028b\u2029c", `a\u2028b\u2029c`},
		{"direction override", "R-\u202e7711\u202c", `R-\u202e7711\u202c`},
		{"direction isolates", "\u2066a\u2069\u2067", `\u2066a\u2069\u2067`},
		{"direction marks", "\u200e\u200f\u061c", `\u200e\u200f\u061c`},
		{"hidden in a serial", "R-11\u200d77\u200b\u200c\u2060\ufeff", `R-11\u200d77\u200b\u200c\u2060\ufeff`},
		{"soft hyphen", "R\u00ad1177", `R\u00ad1177`},
		{"variation selectors", "a\ufe0fb\U000e0100", `a\ufe0fb\U000e0100`},
		{"blank fillers", "a\u3164b\u115fc\u034f", `a\u3164b\u115fc\u034f`},
		{"tag characters", "a\U000e0041\U000e007f", `a\U000e0041\U000e007f`},
		{"private and unassigned", "\ue000\uffff", `\ue000\uffff`},
		{"not UTF-8", "a\xff\xc3b", `a\xff\xc3b`},
		{"the replacement character itself", "a\ufffdb", "a\ufffdb"},
	} {
		t.Run(c.name, func(t *testing.T) {
			assert.Equal(t, c.want, Clean(c.in))
		})
	}
}

func TestCleanLinesKeepsLinesAndTabs(t *testing.T) {
	assert.Equal(t, "one\n\ttwo\\x1b[2J", CleanLines("one\n\ttwo\x1b[2J"))
}

// steers tells whether a character must never reach a terminal; written apart
// from visible, from the ranges themselves.
func steers(r rune) bool {
	switch {
	case r < 0x20, r >= 0x7f && r <= 0x9f, // controls
		r >= 0x202a && r <= 0x202e, r >= 0x2066 && r <= 0x2069, // direction
		r == 0x200e, r == 0x200f, r == 0x061c,
		r >= 0x200b && r <= 0x200d, r == 0x2060, r == 0xfeff, // no width
		r == 0x2028, r == 0x2029, // separators
		r >= 0xe0000 && r <= 0xe007f: // tags
		return true
	}
	return false
}

func TestCleanEveryCharacter(t *testing.T) {
	for r := rune(0); r <= unicode.MaxRune; r++ {
		if steers(r) && strings.ContainsRune(Clean("a"+string(r)+"b"), r) {
			t.Fatalf("%U passes Clean", r)
		}
	}
}

func FuzzClean(f *testing.F) {
	for _, s := range []string{"", "SK-07", "\x1b[31m", "\u202eabc", "\xff\xfe", "a\u200db", "\U000e0041", "水\n\t"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		one, lines := Clean(s), CleanLines(s)
		for _, out := range []string{one, strings.NewReplacer("\n", "", "\t", "").Replace(lines)} {
			if !utf8.ValidString(out) || strings.ContainsFunc(out, steers) {
				t.Fatalf("%q gives %q", s, out)
			}
		}
		if Clean(one) != one || CleanLines(lines) != lines || Clean(lines) != one {
			t.Fatalf("%q: cleaning twice is not cleaning once", s)
		}
	})
}

// A JSON document keeps its values and loses what steers a terminal.
func TestCleanJSON(t *testing.T) {
	tests := []struct{ value, printed string }{
		{"plain, 12.5 µm ± 0.1, 日本", `"plain, 12.5 µm ± 0.1, 日本"`},
		{"\x1b[31m \a \x00 \t\n", `"\u001b[31m \u0007 \u0000 \t\n"`},
		{"\x7f \u0080 \u009b31m \u009f", `"\u007f \u0080 \u009b31m \u009f"`},
		{"\u200e \u200f \u061c \u202a \u202e \u2066 \u2069", `"\u200e \u200f \u061c \u202a \u202e \u2066 \u2069"`},
		{"\u2028 \u2029 \u200b \ufeff \ufe0f", `"\u2028 \u2029 \u200b \ufeff \ufe0f"`},
		{"\U000e0041 \U0010ffff 🔧", `"\udb40\udc41 \udbff\udfff 🔧"`},
		{`back\slash "quoted" </script>`, `"back\\slash \"quoted\" </script>"`},
	}
	for _, tt := range tests {
		var b bytes.Buffer
		e := json.NewEncoder(&b)
		e.SetEscapeHTML(false)
		assert.NoError(t, e.Encode(tt.value))
		printed := CleanJSON(b.Bytes())
		assert.Equal(t, tt.printed+"\n", string(printed))
		var again string
		assert.NoError(t, json.Unmarshal(printed, &again))
		assert.Equal(t, tt.value, again)
	}
}
