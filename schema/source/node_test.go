package source

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// parse reads a text that must be accepted.
func parse(t testing.TB, text string) *Doc {
	t.Helper()
	doc, err := Parse("spec.yaml", []byte(text))
	require.NoError(t, err)
	require.Equal(t, text, string(doc.Text()))
	return doc
}

// Scalars stay the text that was typed: the schema decides what they mean,
// not YAML's guess (R13).
func TestScalarsAreText(t *testing.T) {
	tests := []struct {
		written string
		text    string
		null    bool
		quoted  bool
	}{
		{"00123", "00123", false, false},
		{"12E4", "12E4", false, false},
		{"0x1F", "0x1F", false, false},
		{"1.20", "1.20", false, false},
		{"no", "no", false, false},
		{"1:30", "1:30", false, false},
		{"2024-03-02", "2024-03-02", false, false},
		{"1 3/4 in", "1 3/4 in", false, false},
		{"12,5 mm", "12,5 mm", false, false},
		{"http://x:8/y#z", "http://x:8/y#z", false, false},
		{"", "", true, false},
		{"~", "~", true, false},
		{"null", "null", true, false},
		{"NULL", "NULL", true, false},
		{`""`, "", false, true},
		{"'~'", "~", false, true},
		{"'it''s'", "it's", false, true},
		{`"a \"b\" \u00b5m"`, `a "b" µm`, false, true},
		{"\"one\n  two\n\n  three\"", "one two\nthree", false, true},
		{"one\n  two\n\n  three", "one two\nthree", false, false},
		{"|\n  one\n   two\n", "one\n two\n", false, true},
		{">-\n  one\n  two\n", "one two", false, true},
		{"!!str 00123", "00123", false, false},
		{"!!int 00123", "00123", false, false},
		{"!!null", "", true, false},
	}
	for _, tt := range tests {
		t.Run(tt.written, func(t *testing.T) {
			n := parse(t, "k: "+tt.written+"\nnext: 1\n").Root().Get("k")
			require.NotNil(t, n)
			assert.Equal(t, Scalar, n.Kind())
			assert.Equal(t, tt.text, n.Text())
			assert.Equal(t, tt.null, n.IsNull(), "null")
			assert.Equal(t, tt.quoted, n.Quoted(), "quoted")
			assert.Nil(t, n.Get("x"))
			assert.Empty(t, n.Items())
		})
	}
}

func TestEmptyFilesAreEmptyMappings(t *testing.T) {
	for _, text := range []string{"", "\n\n", "# c", "# c\r\n", "---\n", "---\n# c\n...\n", "\ufeff", "\ufeff# c\n", "{}\n"} {
		doc := parse(t, text)
		assert.Equal(t, Map, doc.Root().Kind(), "%q", text)
		assert.Empty(t, doc.Root().Keys(), "%q", text)
		assert.Equal(t, "spec.yaml", doc.Name())
	}
}

// Line and column count from 1, columns in characters; a span is in bytes and
// holds the token as written.
func TestPositions(t *testing.T) {
	tests := []struct {
		name, text   string
		path         []string
		line, column int
		token        string
	}{
		{"value", "a: 1\nb:   two words  # c\n", []string{"b"}, 2, 6, "two words"},
		{"wide characters", "部品: 回転子 # 注\n", []string{"部品"}, 1, 5, "回転子"},
		{"character beyond 16 bits", "{😀: 😀, b: x}\n", []string{"b"}, 1, 11, "x"},
		{"byte-order mark", "\ufeffa: 1\n", []string{"a"}, 1, 4, "1"},
		{"CRLF", "a: 1\r\n\r\nb: 2\r\n", []string{"b"}, 3, 4, "2"},
		{"lone CR", "a: 1\rb: 2\r", []string{"b"}, 2, 4, "2"},
		{"no last line end", "a: 1\nb: 2", []string{"b"}, 2, 4, "2"},
		{"single quotes", "a: 'it''s' # c\n", []string{"a"}, 1, 4, "'it''s'"},
		{"double quotes", `a: "x \" # y" # c`, []string{"a"}, 1, 4, `"x \" # y"`},
		{"folded plain text", "a: one\n  two\nb: 1\n", []string{"a"}, 1, 4, "one\n  two"},
		{"behind an anchor", "a: &x 1\n", []string{"a"}, 1, 7, "1"},
		{"behind anchor and tag on lines of their own", "a: &x\n  !!str\n  # c\n  1\n", []string{"a"}, 4, 3, "1"},
		{"alias", "a: &x 1\nb: *x\n", []string{"b"}, 2, 4, "*x"},
		{"behind an alias", "a: &x [1]\nb: [*x, 2]\n", []string{"b", "1"}, 2, 9, "2"},
		{"nothing", "a:  # c\nb: 1\n", []string{"a"}, 1, 3, ""},
		{"nothing within brackets", "a: [{b: }, 1]\n", []string{"a", "0", "b"}, 1, 8, ""},
		{"nothing in a list", "a:\n  -\n  - 1\n", []string{"a", "0"}, 2, 4, ""},
		{"braces", "a: { x: 1, # c\n y: [2] } # d\n", []string{"a"}, 1, 4, "{ x: 1, # c\n y: [2] }"},
		{"in braces", "a: { x: 1, # c\n y: [2] } # d\n", []string{"a", "y", "0"}, 2, 6, "2"},
		{"pair in brackets", "a: [x: 1, y]\n", []string{"a", "0", "x"}, 1, 8, "1"},
		{"no blank behind a quoted key", `a: {"x":1}`, []string{"a", "x"}, 1, 9, "1"},
		{"mapping", "a:\n  # c\n  x: 1\n  y: 2 # d\nb: 1\n", []string{"a"}, 3, 3, "x: 1\n  y: 2"},
		{"list", "a:\n- 1\n-\nb: 1\n", []string{"a"}, 2, 1, "- 1\n-"},
		{"list in a list", "a:\n  - - 1\n    - 2\n", []string{"a", "0", "1"}, 3, 7, "2"},
		{"mapping in a list", "a:\n  - x: 1\n    y: 2\n", []string{"a", "0"}, 2, 5, "x: 1\n    y: 2"},
		{"question mark", "? a\n: 1\n", []string{"a"}, 2, 3, "1"},
		{"block text", "a: |\n  x\n\n  # y\n\n# c\nb: 1\n", []string{"a"}, 1, 4, "|\n  x\n\n  # y"},
		{"behind a block text", "a: >2-\n    x\n  # y\nb: 1\n", []string{"b"}, 4, 4, "1"},
		{"behind a block text in a list", "a:\n- |\n x\n- 1\nb: 2\n", []string{"a", "1"}, 4, 3, "1"},
		{"directive and marks", "%YAML 1.1\n# c\n---\na: 1\n...\n", []string{"a"}, 4, 4, "1"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			doc := parse(t, tt.text)
			n := doc.Root().At(tt.path...)
			require.NotNil(t, n)
			start, end := n.Span()
			assert.Equal(t, tt.token, tt.text[start:end])
			assert.Equal(t, []int{tt.line, tt.column}, []int{n.Line(), n.Column()})
		})
	}
}

// Whatever stands in the corpus, every value in it is found again in the text.
func TestEveryValueIsProven(t *testing.T) {
	for _, text := range corpus {
		doc, err := Parse("f.yaml", []byte(text))
		if err != nil {
			continue
		}
		eachPath(doc.Root(), nil, func(path []string, n *Node) {
			assert.True(t, n.proven, "%q at %v", text, path)
		})
		assert.Equal(t, commentsByHand(text), len(doc.comments), "%q", text)
	}
}

// commentsByHand counts the comments of a corpus text: every # there is one,
// but for those listed.
func commentsByHand(text string) int {
	for _, noComment := range []string{"so\\\" # no", "x#y", "# no comment"} {
		text = strings.ReplaceAll(text, noComment, "")
	}
	return strings.Count(text, "#")
}

func TestReadingAMapping(t *testing.T) {
	doc := parse(t, "b: 1\na:\n  '1': x\n  2: [y, {z: 3}]\n")
	root := doc.Root()
	assert.Equal(t, []string{"b", "a"}, root.Keys())
	assert.Equal(t, []string{"1", "2"}, root.Get("a").Keys())
	assert.Nil(t, root.Get("c"))

	e := root.Get("a").Entries()
	require.Len(t, e, 2)
	assert.Equal(t, []any{"1", 3, 3}, []any{e[0].Key, e[0].KeyLine, e[0].KeyColumn})
	assert.Equal(t, "x", e[0].Value.Text())
	e[0].Key = "changed"
	assert.Equal(t, []string{"1", "2"}, root.Get("a").Keys(), "a document never changes")

	assert.Equal(t, "3", root.At("a", "2", "1", "z").Text())
	assert.Same(t, root, root.At())
	items := root.At("a", "2").Items()
	require.Len(t, items, 2)
	assert.Equal(t, "y", items[0].Text())
	for _, path := range [][]string{{"c"}, {"b", "x"}, {"a", "2", "2"}, {"a", "2", "-1"}, {"a", "2", "01"}, {"a", "2", "x"}} {
		assert.Nil(t, root.At(path...), "%v", path)
	}
}

func TestLongMappingsAreFound(t *testing.T) {
	var b strings.Builder
	for i := range 1000 {
		b.WriteString("k" + strings.Repeat("x", i%7) + string(rune('a'+i%26)) + strings.Repeat("y", i) + ": 1\n")
	}
	root := parse(t, b.String()).Root()
	for _, k := range root.Keys() {
		require.NotNil(t, root.Get(k))
	}
	assert.Nil(t, root.Get("k"))
}

func TestAliasesReadAsWhatTheyStandFor(t *testing.T) {
	root := parse(t, "a: &m {x: 1, y: [2]}\nb: *m\nc: [*m]\n").Root()
	assert.Equal(t, "2", root.At("b", "y", "0").Text())
	assert.Equal(t, "1", root.At("c", "0", "x").Text())
	assert.Equal(t, 2, root.Get("b").Line())
}

// R13: a comment glued to its text is told from one that is set off.
func TestGluedComment(t *testing.T) {
	tests := []struct {
		text    string
		path    []string
		comment string
		glued   bool
	}{
		{"serial: R-1177 #2\n", []string{"serial"}, "#2", true},
		{"serial: #1177\n", []string{"serial"}, "#1177", true},
		{"serial: #1177 of lot 3", []string{"serial"}, "#1177 of lot 3", true},
		{"serial: ~ #1177\r\n", []string{"serial"}, "#1177", true},
		{"serials:\n  - #1177\n  - R-1\n", []string{"serials", "0"}, "#1177", true},
		{"p: {serial: R-1177 #2\n  }\n", []string{"p", "serial"}, "#2", true},
		{"serials: [R-1, #1177\n  ]\n", []string{"serials", "0"}, "#1177", true},
		{"serial: R-1177 # second\n", []string{"serial"}, "# second", false},
		{"serial: R-1177 ## second\n", []string{"serial"}, "## second", false},
		{"serial: R-1177 #\n", []string{"serial"}, "#", false},
		{"serial: 'R-1177' #2\n", []string{"serial"}, "#2", false},
		{"serial: R-1177#2\n", []string{"serial"}, "", false},
		{"serial:\n  #1177\nlot: 1\n", []string{"serial"}, "", false},
		{"list: [1] #2\n", []string{"list"}, "#2", false},
		{"p: {serial: R-1} #2\n", []string{"p", "serial"}, "", false},
	}
	for _, tt := range tests {
		t.Run(tt.text, func(t *testing.T) {
			n := parse(t, tt.text).Root().At(tt.path...)
			require.NotNil(t, n)
			assert.Equal(t, tt.comment, n.Comment())
			text, glued := n.GluedComment()
			assert.Equal(t, tt.glued, glued)
			if glued {
				assert.Equal(t, tt.comment, text)
			}
		})
	}
}

// Of a document kept in part, what is kept knows its line; the rest is gone.
func TestOnly(t *testing.T) {
	d := parse(t, "a: 1\nb:\n  c: 2\nd: 3\n")
	part := d.Only("b", "x")
	require.Equal(t, "2", part.Root().At("b", "c").Text())
	require.Equal(t, 3, part.Root().At("b", "c").Line())
	require.Nil(t, part.Root().Get("a"))
	require.Nil(t, part.Root().Get("d"))
	require.NotNil(t, d.Root().Get("d"), "the document itself stays whole")
}
