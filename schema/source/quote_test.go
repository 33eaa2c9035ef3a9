package source

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gopkg.in/yaml.v3"
)

func TestQuote(t *testing.T) {
	tests := []struct{ text, want string }{
		// what stands as it is
		{"R-1177", "R-1177"},
		{"silicon nitride", "silicon nitride"},
		{"12.5 mm", "12.5 mm"},
		{"1 3/4 in", "1 3/4 in"},
		{"rotor/1/apex/1", "rotor/1/apex/1"},
		{"12 µm", "12 µm"},
		{"a:b", "a:b"},
		{"a#b", "a#b"},
		{"don't", "don't"},
		{"-x", "-x"},
		{"(see 5)", "(see 5)"},
		// what turns text round or is not seen is written out
		{"a\u202eb", `"a\u202Eb"`},
		{"soft\u00adhyphen", `"soft\xADhyphen"`},
		{"R-\u200b1177", `"R-\u200B1177"`},
		{"tag\U000e0041", `"tag\U000E0041"`},
		// what some reader takes for something else: the types of YAML 1.1 and 1.2
		{"", `""`},
		{"~", `"~"`},
		{"null", `"null"`},
		{"no", `"no"`},
		{"Yes", `"Yes"`},
		{"OFF", `"OFF"`},
		{"y", `"y"`},
		{"true", `"true"`},
		{"1177", `"1177"`},
		{"00123", `"00123"`},
		{"-5", `"-5"`},
		{"+5", `"+5"`},
		{"3.061", `"3.061"`},
		{"1.", `"1."`},
		{".5", `".5"`},
		{".", `"."`},
		{"12E4", `"12E4"`},
		{"12e-4", `"12e-4"`},
		{"1_000", `"1_000"`},
		{"12,5", `"12,5"`},
		{"0x1F", `"0x1F"`},
		{"0o17", `"0o17"`},
		{"0b101", `"0b101"`},
		{".inf", `".inf"`},
		{"-.INF", `"-.INF"`},
		{".NaN", `".NaN"`},
		{"1:30", `"1:30"`},
		{"190:20:30.15", `"190:20:30.15"`},
		{"2024-03-02", `"2024-03-02"`},
		{"2024-3-2", `"2024-3-2"`},
		{"2024-03-02T10:15:00Z", `"2024-03-02T10:15:00Z"`},
		{"2024-03-02 10:15", `"2024-03-02 10:15"`},
		{"<<", `"<<"`},
		{"=", `"="`},
		// what YAML would cut up
		{" x", `" x"`},
		{"x ", `"x "`},
		{"R-1 #2", `"R-1 #2"`},
		{"#1177", `"#1177"`},
		{"a: b", `"a: b"`},
		{"a:", `"a:"`},
		{"-", `"-"`},
		{"- x", `"- x"`},
		{"---", `"---"`},
		{"...", `"..."`},
		{"? x", `"? x"`},
		{":x", `":x"`},
		{"@x", `"@x"`},
		{"`x", "\"`x\""},
		{"%x", `"%x"`},
		{"*x", `"*x"`},
		{"&x", `"&x"`},
		{"!x", `"!x"`},
		{"|", `"|"`},
		{">", `">"`},
		{"'x'", `"'x'"`},
		{`"x"`, `"\"x\""`},
		{"a, b", `"a, b"`},
		{"[a]", `"[a]"`},
		{"a {b}", `"a {b}"`},
		{"a?", `"a?"`},
		// what cannot stand in a record as it is
		{"a\nb", `"a\nb"`},
		{"a\r\n", `"a\r\n"`},
		{"a\tb", `"a\tb"`},
		{`a\b`, `a\b`},
		{"\x00\x1b[31m", `"\x00\x1B[31m"`},
		{"\u0085", `"\x85"`},
		{"\u2028", `"\u2028"`},
		{"\ufeffx", `"\uFEFFx"`},
		{"\U0001f600 \U0010ffff", "\U0001f600 \U0010ffff"},
	}
	for _, tt := range tests {
		t.Run(tt.text, func(t *testing.T) {
			got := Quote(tt.text)
			assert.Equal(t, tt.want, got)
			requireReadsBack(t, tt.text)
		})
	}
	assert.Equal(t, "\"\ufffd\"", Quote("\xff"), "what is not UTF-8 cannot be written")
}

// requireReadsBack reads a quoted text as a value, as a key and within
// brackets; both here and by the parser's own guess at types.
func requireReadsBack(t *testing.T, text string) {
	t.Helper()
	q := Quote(text)
	root := parse(t, "k: "+q+"\n"+q+" : x\nl: ["+q+", "+q+"]\nm: {"+q+": 1}\n").Root()
	require.Equal(t, text, root.Get("k").Text())
	require.False(t, root.Get("k").IsNull())
	require.Equal(t, text, root.Keys()[1])
	require.Equal(t, text, root.At("l", "1").Text())
	require.Equal(t, []string{text}, root.Get("m").Keys())

	var guessed any
	require.NoError(t, yaml.Unmarshal([]byte(q), &guessed))
	require.Equal(t, text, guessed, "the parser guessed another type")
}

func FuzzQuote(f *testing.F) {
	for _, text := range []string{"", "no", "R-1 #2", "0x1F", "2024-03-02", "a\nb", "\u2028", "- ", "a: b", "12,5"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		// The keys of the test itself, and what is too long for a key, are left out.
		if text != "k" && text != "l" && text != "m" && string([]rune(text)) == text && len(text) < 200 {
			requireReadsBack(t, text)
		}
	})
}
