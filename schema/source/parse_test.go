package source

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gopkg.in/yaml.v3"

	"stackbook/schema/problem"
)

// problemsOf parses a text that must be refused.
func problemsOf(t *testing.T, text string) problem.List {
	t.Helper()
	doc, err := Parse("spec.yaml", []byte(text))
	require.Nil(t, doc)
	var list problem.List
	require.ErrorAs(t, err, &list)
	require.NotEmpty(t, list)
	for _, p := range list {
		assert.Equal(t, "spec.yaml", p.File)
		assert.NotEmpty(t, p.Mend, "%v", p)
		assert.NotContains(t, p.String(), "\n")
	}
	return list
}

// deep is a mapping n mappings deep.
func deep(n int) string {
	var b strings.Builder
	for i := range n {
		fmt.Fprintf(&b, "%sa:\n", strings.Repeat(" ", i))
	}
	return b.String()
}

func TestRefused(t *testing.T) {
	tests := []struct {
		name, text   string
		line, column int
		rule         string
		message      string // part of it
		mend         string // part of it
	}{
		// bytes
		{"not UTF-8", "a: 1\nb: caf\xe9\n", 2, 7, "not-utf8", "not UTF-8", "UTF-8"},
		{"UTF-16, little end first", "\xff\xfea\x00:\x00", 1, 1, "not-utf8", "UTF-16", "UTF-8"},
		{"UTF-16, big end first", "\xfe\xff\x00a\x00:", 1, 1, "not-utf8", "UTF-16", "UTF-8"},
		{"NUL", "a: 1\x00\n", 1, 5, "control-character", "U+0000", "remove"},
		{"escape", "a: ä\x1b[31m\n", 1, 5, "control-character", "U+001B", "remove"},
		{"delete", "a: \x7f\n", 1, 4, "control-character", "U+007F", "remove"},
		{"C1 control", "a: \u009b1m\n", 1, 4, "control-character", "U+009B", "remove"},
		{"not a character", "a: \uffff\n", 1, 4, "control-character", "U+FFFF", "remove"},
		{"byte-order mark within", "a: 1\n\ufeffb: 2\n", 2, 1, "control-character", "byte-order mark", "remove"},
		{"U+2028 in a comment", "# one\u2028b: 2\n", 1, 6, "line-separator", "U+2028", `"\u2028"`},
		{"U+2029 in text", "a: one\u2029two\n", 1, 7, "line-separator", "U+2029", `"\u2029"`},
		{"U+0085 in quotes", "a: 'one\u0085two'\n", 1, 8, "line-separator", "U+0085", `"\u0085"`},
		{"large", "a: " + strings.Repeat("x", MaxSize), 0, 0, "too-large", "1048579 bytes; a record may have 1048576", "split"},

		// what programs read differently
		{"same key twice", "a: 1\nb:\n  c: 1\n  d: 2\n  'c': 3\n", 5, 3, "duplicate-key", "c is written twice, first on line 3", "keep one"},
		{"same key twice in braces", "a: {x: 1, x: 2}\n", 1, 11, "duplicate-key", "first on line 1", "keep one"},
		{"two documents", "a: 1\n---\nb: 2\n", 2, 1, "more-than-one-document", "second", "---"},
		{"merge key", "a: &x {b: 1}\nc:\n  <<: *x\n", 3, 3, "merge-key", "<<", "write the keys out"},
		{"list as a key", "? [a]\n: 1\n", 1, 3, "key-shape", "a key is a list", "plain word"},
		{"mapping as a key", "{a: 1}: 2\n", 1, 1, "key-shape", "a key is a mapping", "plain word"},
		{"alias as a key", "a: &x b\n*x : 1\n", 2, 1, "key-shape", "alias", "the key itself"},
		{"no key behind a question mark", "?\n: 1\n", 1, 2, "key-shape", "without a key", "before it"},
		{"list at the top", "# c\n- a\n", 2, 1, "not-a-map", "a list", "key: value"},
		{"scalar at the top", "hello\n", 1, 1, "not-a-map", "a single value", "key: value"},
		{"null at the top", "~\n", 1, 1, "not-a-map", "a single value", "key: value"},
		{"alias within its anchor", "a: &x [1, *x]\n", 1, 11, "alias-bomb", "own anchor", "write the value out"},

		// depth
		{"deep blocks", deep(MaxDepth + 1), MaxDepth + 1, MaxDepth + 1, "too-deep", "more than 40 deep", "flatter"},
		{"deep brackets", "a: " + strings.Repeat("[", 40) + strings.Repeat("]", 40), 1, 43, "too-deep", "more than 40 deep", "flatter"},
		{"very many open brackets", "a: " + strings.Repeat("[", MaxSize/2), 1, 1004, "too-deep", "1000 brackets", "close"},
		{"very many open braces", strings.Repeat("{", MaxSize/2), 1, 1001, "too-deep", "1000 brackets", "close"},
		{"very many dashes", strings.Repeat("- ", MaxSize/2), 1, 1, "too-deep", "more than 40 deep", "flatter"},

		// tabs
		{"tab before a key", "a:\n\tb: 1\n", 2, 1, "tab-indent", "tab", "spaces"},
		{"tab behind spaces", "a:\n  \tb: 1\n", 2, 3, "tab-indent", "tab", "spaces"},
		{"tab before the first key", "\ta: 1\n", 1, 1, "tab-indent", "tab", "spaces"},
		{"tab within brackets", "a: [\n\t1]\n", 2, 1, "tab-indent", "tab", "spaces"},
		{"tab at the start of a block text", "a: |\n  \ttext\n", 2, 3, "tab-indent", "tab", "spaces"},
		{"tab before block text", "a: |\n\ttext\n", 2, 1, "tab-indent", "tab", "spaces"},

		// faults of the YAML
		{"open double quote", "a: 1\nb: \"x\nc: 3\n", 2, 4, "yaml-syntax", `the quote " is not closed`, `b: "x"`},
		{"open quote on line 1", "a: 'x\nb: 1\nc: 3\n", 1, 4, "yaml-syntax", "the quote ' is not closed", "a: 'x'"},
		{"open quote closed by the next", "a: \"x\nb: \"y\"\nc: 3\n", 1, 4, "yaml-syntax", "is not closed", `a: "x"`},
		{"open quote and a second document", "a: 'x\n---\nb: 1\n", 1, 4, "yaml-syntax", "is not closed", "a: 'x'"},
		{"text behind a quote", "a: 1\nb: \"5\" mm\nc: 1\n", 2, 8, "yaml-syntax", "behind the closing quote", "b: 5 mm"},
		{"quote within single quotes", "a: 'it's'\nb: 1\n", 1, 8, "yaml-syntax", "behind the closing quote", "put the quotes around the whole"},
		{"no space behind the colon", "a: 1\nb:2\nc: 3\n", 2, 3, "yaml-syntax", "space is missing", "b: 2"},
		{"no space behind the colon of the first line", "a:1\nb: 2\n", 1, 3, "yaml-syntax", "space is missing", "a: 1"},
		{"no key", "a: 1\n: 2\n", 2, 1, "yaml-syntax", "without a key", "before it"},
		{"no colon", "a: 1\nword\nc: 3\n", 2, 1, "yaml-syntax", "no colon", "key: value"},
		{"colon in a value", "a: 1\nwhy: seen: twice\nc: 3\n", 2, 6, "yaml-syntax", "colon with a space", `why: "seen: twice"`},
		{"colon in the only value", "why: seen: twice", 1, 6, "yaml-syntax", "colon with a space", `why: "seen: twice"`},
		{"value begins with @", "a: 1\nb: @5\nc: 1\n", 2, 4, "yaml-syntax", "begin with @", `b: "@5"`},
		{"value begins with `", "a: `x`\n", 1, 4, "yaml-syntax", "begin with `", "a: \"`x`\""},
		{"value begins with %", "a: 1\nb: %5\n", 2, 4, "yaml-syntax", "begin with %", `b: "%5"`},
		{"value begins with a bracket", "a: ]x\n", 1, 4, "yaml-syntax", "begin with ]", `a: "]x"`},
		{"value begins with &", "a: & b\n", 1, 4, "yaml-syntax", "begin with &", `a: "& b"`},
		{"value begins with |", "a: |x\n  b\n", 1, 4, "yaml-syntax", "begin with |", `a: "|x"`},
		{"value begins with !", "a: 1\nb: !<x\n", 2, 4, "yaml-syntax", "begin with !", `b: "!<x"`},
		{"value begins with *", "a: 1\nb: *x\nc: 2\n", 2, 4, "yaml-syntax", "marked &x", `b: "*x"`},
		{"unknown alias in a list", "a: [1, *x]\n", 1, 8, "yaml-syntax", "marked &x", "quotes"},
		{"backslash", "a: 1\nb: \"C:\\q\"\n", 2, 7, "yaml-syntax", "backslash", `\\`},
		{"backslash with bad digits", "a: \"\\x1\"\n", 1, 5, "yaml-syntax", "backslash", `\\`},
		{"too far right", "a: 1\n  b: 2\nc: 3\n", 2, 3, "yaml-syntax", "further right", "column"},
		{"too far left", "x: 1\na:\n    b: 1\n  c: 2\nd: 1\n", 4, 3, "yaml-syntax", "column of its own", "same column"},
		{"between two columns", "a:\n  b: 1\n c: 2\n", 3, 2, "yaml-syntax", "column of its own", "same column"},
		{"item among keys", "a: 1\n- b\nc: 1\n", 2, 1, "yaml-syntax", "item stands among keys", "key: value"},
		{"item among keys at the end", "a: 1\n- b\n", 2, 1, "yaml-syntax", "item stands among keys", "key: value"},
		{"first key too far right", "  a: 1\nb: 2\n", 2, 1, "yaml-syntax", "not belong", "key: value"},
		{"key behind a list", "[a]\nb: 1\n", 2, 1, "yaml-syntax", "not belong", "key: value"},
		{"key among more items", "a:\n  - \"x\"\n  - c\n  b: 1\n", 4, 3, "yaml-syntax", "key stands among list items", "dash"},
		{"key among items", "a:\n  - 1\n  b: 1\n", 3, 3, "yaml-syntax", "key stands among list items", "dash"},
		{"item behind its key", "a: 1\nb: - x\n", 2, 4, "yaml-syntax", "line of its key", "next line"},
		{"open bracket", "a: 1\nb: [1, 2\nc: 3\n", 2, 4, "yaml-syntax", "the bracket [ is not closed", "write ]"},
		{"open brace at the end", "a: 1\nb: {x: 1,\n", 2, 4, "yaml-syntax", "the bracket { is not closed", "write }"},
		{"wrong bracket", "a: {x: [1, 2}\nb: 1\n", 1, 8, "yaml-syntax", "[ is closed by }", "write ]"},
		{"one bracket too many", "a: [1, 2]]\nb: 3\n", 1, 10, "yaml-syntax", "] closes nothing", "remove"},
		{"brace at the start of a line", "a: 1\n}\n", 2, 1, "yaml-syntax", "} closes nothing", "remove"},
		{"unknown directive", "%FOO\n---\na: 1\n", 1, 1, "yaml-syntax", "directive", "key: value"},
		{"comment takes the brace", "a: {serial: R-1 #2}\nb: 1\n", 1, 17, "yaml-syntax", "takes the closing bracket", "in quotes"},
		{"comment takes the bracket", "a: [x #1, y]\nb: 1\n", 1, 7, "yaml-syntax", "takes the closing bracket", "in quotes"},
		{"very long key", "a: 1\n" + strings.Repeat("k", 3000) + ": 1\n", 2, 1, "yaml-syntax", "longer than 1024 bytes", "shorter"},
		{"version of YAML", "%YAML 1.9\n---\na: 1\n", 1, 1, "yaml-syntax", "version of YAML", "take the line out"},
		{"two commas", "a: 1\nb: [1,, 2]\nc: 1\n", 2, 7, "yaml-syntax", "value is missing before this comma", "take the comma out"},
		{"comma first", "b: [, 2]\nc: 1\n", 1, 5, "yaml-syntax", "value is missing before this comma", "take the comma out"},
		{"CRLF", "a: 1\r\nb: x: y\r\nc: 3\r\n", 2, 4, "yaml-syntax", "colon with a space", `b: "x: y"`},
		{"columns count characters", "部: 1\n品: é: y\n", 2, 4, "yaml-syntax", "colon with a space", `品: "é: y"`},
		{"byte-order mark", "\ufeffa: x: y\n", 1, 4, "yaml-syntax", "colon with a space", `a: "x: y"`},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			p := problemsOf(t, tt.text)[0]
			assert.Equal(t, tt.rule, p.Rule)
			assert.Equal(t, []int{tt.line, tt.column}, []int{p.Line, p.Column}, "%v", p)
			assert.Contains(t, p.Message, tt.message)
			assert.Contains(t, p.Mend, tt.mend)
		})
	}
}

// What a merge left is told as such, each conflict with all its lines; a line of
// equals signs is none by itself.
func TestUnfinishedMerge(t *testing.T) {
	const both, oneSide = "keep one side, and delete the other and the lines with the marks", "keep the lines that are right and delete the mark"
	for _, c := range []struct {
		text string
		want []string
	}{
		{"a: 1\n<<<<<<< HEAD\nb: 2\n=======\nb: 3\n>>>>>>> rear bench\nc: 4\n", []string{"2:1 2, 4 and 6 " + both}},
		{"a: 1\r\n<<<<<<< HEAD\r\nb: 2\r\n||||||| base\r\nb: 1\r\n=======\r\nb: 3\r\n>>>>>>> x\r\n", []string{"2:1 2, 4, 6 and 8 " + both}},
		{"<<<<<<< HEAD\na: 1\n=======\na: 2\n>>>>>>> x\nb: 1\n<<<<<<< HEAD\n=======\nc: 2\n>>>>>>> x\n", []string{"1:1 1, 3 and 5 " + both, "7:1 7, 8 and 10 " + both}},
		{"a: 1\n<<<<<<<\n", []string{"2:1 2 " + oneSide}},
		{"a: 1\n>>>>>>> x\n", []string{"2:1 2 " + oneSide}},
		{"\ufeff<<<<<<< a\n<<<<<<< b\n", []string{"1:1 1 " + oneSide, "2:1 2 " + oneSide}},
	} {
		var got []string
		for _, p := range problemsOf(t, c.text) {
			assert.Equal(t, "unfinished-merge", p.Rule)
			_, lines, _ := strings.Cut(p.Message, "on line")
			lines, _, _ = strings.Cut(strings.TrimPrefix(lines, "s"), ", with")
			got = append(got, fmt.Sprintf("%d:%d%s %s", p.Line, p.Column, lines, p.Mend))
		}
		assert.Equal(t, c.want, got, "%q", c.text)
	}
	for _, text := range []string{"a: |\n  =======\n  <<<<<<< HEAD\n  >>>>>>> x\n", "a: <<<<<<< HEAD\n", "# =======\na: 1\n", "a: '<<<<<<<<<<'\n", "<<<<<<<<: 1\n"} {
		_, err := Parse("spec.yaml", []byte(text))
		assert.NoError(t, err, "%q", text)
	}
}

// A few lines of aliases of aliases would stand for ten thousand million
// values.
func TestAliasBomb(t *testing.T) {
	text := "a0: &a0 [x, x, x, x, x, x, x, x, x, x]\n"
	for i := 1; i < 10; i++ {
		text += fmt.Sprintf("a%d: &a%d [%s]\n", i, i, strings.TrimSuffix(strings.Repeat(fmt.Sprintf("*a%d, ", i-1), 10), ", "))
	}
	p := problemsOf(t, text)[0]
	assert.Equal(t, "alias-bomb", p.Rule)
	assert.Equal(t, 5, p.Line)
}

func TestTooManyValues(t *testing.T) {
	p := problemsOf(t, "a: ["+strings.Repeat("x,", MaxNodes+1)+"]\n")[0]
	assert.Equal(t, "too-large", p.Rule)
}

func TestEveryProblemInOneRun(t *testing.T) {
	bytes := problemsOf(t, "a: \x01\x02\nb: \u2028\nc: \xff\n")
	assert.Len(t, bytes, 3, "one a line")

	keys := problemsOf(t, "b: 1\nb: 2\nc: {d: 1, d: 2}\n<<: {x: 1}\n")
	var rules []string
	for _, p := range keys {
		rules = append(rules, fmt.Sprintf("%d %s", p.Line, p.Rule))
	}
	assert.Equal(t, []string{"2 duplicate-key", "3 duplicate-key", "4 merge-key"}, rules)

	assert.Len(t, problemsOf(t, strings.Repeat("a:\n", 5000)), maxProblems)
}

func TestParserPanicIsAProblem(t *testing.T) {
	tree, fault := shielded("spec.yaml", func() (*yaml.Node, *problem.Problem) { panic("out of cheese") })
	assert.Nil(t, tree)
	require.NotNil(t, fault)
	assert.Equal(t, "yaml-syntax", fault.Rule)
	assert.Contains(t, fault.Message, "out of cheese")
}

// A text just within the bounds is read.
func TestBoundsAreInside(t *testing.T) {
	for name, text := range map[string]string{
		"depth of blocks":     deep(MaxDepth),
		"depth of brackets":   "a: " + strings.Repeat("[", MaxDepth-1) + strings.Repeat("]", MaxDepth-1),
		"brackets in a text":  "a: '" + strings.Repeat("[", maxNesting) + "'\n",
		"size":                "a: " + strings.Repeat("x", MaxSize-3),
		"tab behind a value":  "a: 1\t# c\n",
		"tab in a block text": "a: |\n  x\n  \ty\n",
		"separators escaped":  `a: "\u2028\u0085"`,
	} {
		_, err := Parse("spec.yaml", []byte(text))
		assert.NoError(t, err, name)
	}
}

func BenchmarkParse(b *testing.B) {
	text := []byte(spec + "measured:\n  " + strings.ReplaceAll(session, "\n", "\n  ") + "\n")
	b.SetBytes(int64(len(text)))
	for b.Loop() {
		if _, err := Parse("spec.yaml", text); err != nil {
			b.Fatal(err)
		}
	}
}
