package term

import (
	"bytes"
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestWrap(t *testing.T) {
	for _, c := range []struct {
		name, text string
		width      int
		want       []string
	}{
		{"fits", "one two", 7, []string{"one two"}},
		{"no limit", strings.Repeat("word ", 50) + "end", 0, []string{strings.Repeat("word ", 50) + "end"}},
		{"at spaces", "pockets recut to even the ratio", 12, []string{"pockets", "recut to", "even the", "ratio"}},
		{"exactly", "abc def", 3, []string{"abc", "def"}},
		{"several spaces", "abc    def", 5, []string{"abc", "def"}},
		{"own lines stay", "one\n\ntwo three", 5, []string{"one", "", "two", "three"}},
		{"indentation goes on", "  one two three", 9, []string{"  one two", "  three"}},
		{"indentation too deep", "      one two", 7, []string{"one two"}},
		{"a tab is four columns", "\tone two", 10, []string{"    one", "    two"}},
		{"path after a slash", "engines/2023/SK-07/spec.yaml:12", 14, []string{"engines/2023/", "SK-07/", "spec.yaml:12"}},
		{"long word anywhere", "abcdefgh", 3, []string{"abc", "def", "gh"}},
		{"long word goes on with the next", "abcdef g", 4, []string{"abcd", "ef g"}},
		{"wide characters", "水温計水温計", 5, []string{"水温", "計水", "温計"}},
		{"wide character in one column", "水温", 1, []string{"水", "温"}},
		{"a letter joined to what follows, of three columns", "\u0d4e水", 2, []string{"\u0d4e", "水"}},
		{"accent stays on its letter", "ee\u0301e", 2, []string{"ee\u0301", "e"}},
		{"no-break space", "is 12.5\u00a0mm", 8, []string{"is", "12.5\u00a0mm"}},
		{"cleaned", "a\x1bb", 4, []string{`a\x1`, "bb"}},
		{"empty", "", 5, []string{""}},
	} {
		t.Run(c.name, func(t *testing.T) {
			assert.Equal(t, c.want, Wrap(c.text, c.width))
		})
	}
}

// FuzzWrap holds that no line is too wide and that no letter is lost.
func FuzzWrap(f *testing.F) {
	f.Add(" 00", 2)
	f.Add("pockets recut to even the ratio", 7)
	f.Add("  engines/2023/SK-07\n水温 e\u0301", 2)
	f.Add("\u0301\u0301 \U0001f1f3\U0001f1f4\U0001f1f3 \u1100\u1161", 3)
	f.Fuzz(func(t *testing.T, text string, width int) {
		if width < 2 || width > 200 {
			return
		}
		letters := func(s string) string { return strings.NewReplacer(" ", "", "\n", "", "\t", "").Replace(s) }
		lines := Wrap(text, width)
		for _, line := range lines {
			if cells(line) > width {
				t.Fatalf("%q at %d has the line %q of %d", text, width, line, cells(line))
			}
		}
		if letters(strings.Join(lines, "")) != letters(CleanLines(text)) {
			t.Fatalf("%q at %d gives %q", text, width, lines)
		}
	})
}

func TestProse(t *testing.T) {
	tests := []struct {
		name  string
		width int
		hang  int
		in    string
		want  string
	}{
		{"in a pipe", 0, 4, "  a line that goes on and on", "  a line that goes on and on\n"},
		{"it fits", 30, 4, "  a line that goes on", "  a line that goes on\n"},
		{"broken", 20, 4, "  note: a line that goes on and on", "  note: a line that\n    goes on and on\n"},
		{"what stands in front stays", 24, 7, "  day  kind: what was done here", "  day  kind: what was\n       done here\n"},
		{"no room for a hang", 10, 7, "  day  kind: what", "  day\n  kind:\n  what\n"},
		{"no less than its own indentation", 16, 2, "      why: for its own good", "      why: for\n      its own\n      good\n"},
		{"a line break is a space", 30, 4, "a\nb", "a b\n"},
		{"nothing of theirs steers", 30, 4, "a\x1b[31mb", "a\\x1b[31mb\n"},
		{"a long key", 20, 4, "operating.speed_continuous", "operating.speed_\n    continuous\n"},
	}
	for _, tt := range tests {
		var out bytes.Buffer
		term := New(&out, io.Discard, noEnv)
		term.Width = tt.width
		term.Prose(tt.hang, "%s", tt.in)
		assert.Equal(t, tt.want, out.String(), tt.name)
	}
}

// A styled word keeps its style where a line is broken around it.
func TestProseWithStyle(t *testing.T) {
	term, out := coloured()
	term.Width = 20
	term.Prose(8, "  %s end float at the engine", term.Bad("fails"))
	assert.Equal(t, "  \x1b[1;31mfails\x1b[0m end float at\n        the engine\n", out.String())
}

// What is taken as narrow is so by the library's tables, alone and beside others.
func TestNarrow(t *testing.T) {
	for r := rune(0); r < 0x3000; r++ {
		if !narrow(r) {
			continue
		}
		require.Equal(t, 1, measure.RuneWidth(r), "%U", r)
		for _, beside := range []string{"a", "−", "é", "→"} {
			text := beside + string(r) + beside
			require.Equal(t, 3, measure.StringWidth(text), "%U", r)
			require.Equal(t, 3, cells(text), "%U", r)
		}
	}
	for text, want := range map[string]int{"78.01 ± 0.02 µm": 15, "−0.5 °C … 20 mm²": 16, "日本": 4, "é": 1, "a\u00adb": 2} {
		assert.Equal(t, want, cells(text), text)
	}
}
