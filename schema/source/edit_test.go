package source

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"stackbook/schema/problem"
)

// An editCase is one edit of a text. With refused set, the edit must be
// refused for that reason, with mend as what to type by hand.
type editCase struct {
	name    string
	text    string
	path    []string
	key     string // of Insert
	value   string
	want    string
	refused string
	mend    string
}

// run makes the edit of every case and compares.
func run(t *testing.T, cases []editCase, edit func(d *Doc, c editCase) (*Doc, error)) {
	t.Helper()
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			doc := parse(t, c.text)
			next, err := edit(doc, c)
			require.Equal(t, c.text, string(doc.Text()), "the old document stays")
			if c.refused == "" {
				require.NoError(t, err)
				assert.Equal(t, c.want, string(next.Text()))
				return
			}
			require.Nil(t, next)
			var p problem.Problem
			require.ErrorAs(t, err, &p)
			assert.Equal(t, "edit-refused", p.Rule)
			assert.Equal(t, "spec.yaml", p.File)
			assert.Positive(t, p.Line)
			assert.Contains(t, p.Message, c.refused)
			assert.Equal(t, c.mend, p.Mend)
		})
	}
}

func TestSet(t *testing.T) {
	cases := []editCase{
		{name: "plain", text: "a: 1\nb:   x  # c\n", path: []string{"b"}, value: "y z", want: "a: 1\nb:   y z  # c\n"},
		{name: "number", text: "a: 3.061", path: []string{"a"}, value: "3.062", want: "a: 3.062"},
		{name: "day", text: "a: 2024-03-02\n", path: []string{"a"}, value: "2024-03-10", want: "a: 2024-03-10\n"},
		{name: "serial that looks like a number", text: "a: R-1\n", path: []string{"a"}, value: "00123", want: "a: \"00123\"\n"},
		{name: "exponent", text: "a: R-1\n", path: []string{"a"}, value: "12E4", want: "a: \"12E4\"\n"},
		{name: "word no", text: "a: yes\n", path: []string{"a"}, value: "no", want: "a: \"no\"\n"},
		{name: "empty text", text: "a: x\n", path: []string{"a"}, value: "", want: "a: \"\"\n"},
		{name: "comment sign", text: "a: x\n", path: []string{"a"}, value: "R-1 #2", want: "a: \"R-1 #2\"\n"},
		{name: "colon", text: "a: x\n", path: []string{"a"}, value: "seen: twice", want: "a: \"seen: twice\"\n"},
		{name: "comma outside brackets", text: "a: x\n", path: []string{"a"}, value: "x, [y]", want: "a: x, [y]\n"},
		{name: "comma within brackets", text: "a: {b: x, c: 1}\n", path: []string{"a", "b"}, value: "x, y", want: "a: {b: \"x, y\", c: 1}\n"},
		{name: "several lines", text: "a: x\n", path: []string{"a"}, value: "x\ny\t", want: "a: \"x\\ny\\t\"\n"},
		{name: "single quotes kept", text: "a: 'x' # c\n", path: []string{"a"}, value: "it's", want: "a: 'it''s' # c\n"},
		{name: "single quotes cannot", text: "a: 'x'\n", path: []string{"a"}, value: "\x1b", want: "a: \"\\x1B\"\n"},
		{name: "double quotes kept", text: "a: \"x\"\n", path: []string{"a"}, value: `y\"`, want: "a: \"y\\\\\\\"\"\n"},
		{name: "nothing", text: "a:\nb: 1\n", path: []string{"a"}, value: "2", want: "a: 2\nb: 1\n"},
		{name: "nothing before a comment", text: "a:   # c\n", path: []string{"a"}, value: "2", want: "a: 2   # c\n"},
		{name: "nothing before aligned blanks", text: "a:    \nb:    1\n", path: []string{"a"}, value: "2", want: "a:    2\nb:    1\n"},
		{name: "tilde", text: "a: ~\n", path: []string{"a"}, value: "2", want: "a: 2\n"},
		{name: "nothing in a list", text: "a:\n  -\n  - 1\n", path: []string{"a", "0"}, value: "2", want: "a:\n  - 2\n  - 1\n"},
		{name: "nothing in braces", text: "a: {b: , c: 1}\n", path: []string{"a", "b"}, value: "2", want: "a: {b: 2, c: 1}\n"},
		{name: "CRLF", text: "a: 1\r\nb: 2\r\n", path: []string{"a"}, value: "3", want: "a: 3\r\nb: 2\r\n"},
		{name: "lone CR", text: "a: 1\rb: 2\r", path: []string{"b"}, value: "3", want: "a: 1\rb: 3\r"},
		{name: "byte-order mark", text: "\ufeffa: 1\n", path: []string{"a"}, value: "3", want: "\ufeffa: 3\n"},
		{name: "wide characters", text: "部: [回, 転] # 注\n", path: []string{"部", "1"}, value: "子", want: "部: [回, 子] # 注\n"},
		{name: "folded over lines", text: "a: one\n  two # c\nb: 1\n", path: []string{"a"}, value: "x", want: "a: x # c\nb: 1\n"},
		{name: "behind a tag", text: "a: !!str 5\n", path: []string{"a"}, value: "6", want: "a: !!str 6\n"},
		{name: "beside a block text", text: "a: 1\nb: |\n  x\n", path: []string{"a"}, value: "2", want: "a: 2\nb: |\n  x\n"},
		{name: "behind a block text", text: "b: |\n  x\n\na: 1\n", path: []string{"a"}, value: "2", want: "b: |\n  x\n\na: 2\n"},
		{name: "anchor nobody uses", text: "a: &x 1\n", path: []string{"a"}, value: "2", want: "a: &x 2\n"},

		{name: "anchor in use", text: "a: &x 1\nb: *x\n", path: []string{"a"}, value: "2", refused: "other values would read differently", mend: "type by hand: a: 2"},
		{name: "alias", text: "a: &x 1\nb: *x\n", path: []string{"b"}, value: "2", refused: "an alias", mend: "change it at its anchor, or write it out in place of the alias"},
		{name: "through an alias", text: "a: &x {c: 1}\nb: *x\n", path: []string{"b", "c"}, value: "2", refused: "an alias", mend: "change it at its anchor, or write it out in place of the alias"},
		{name: "block text", text: "a: |\n  x\n", path: []string{"a"}, value: "y: z", refused: "text block", mend: `type by hand: a: "y: z"`},
		{name: "nothing behind an anchor", text: "a: &x\nb: 1\n", path: []string{"a"}, value: "2", refused: "cannot be told", mend: "type by hand: a: 2"},
		{name: "mapping", text: "a:\n  b: 1\n", path: []string{"a"}, value: "2", refused: "a mapping, not a single value", mend: "give the key of a single value"},
		{name: "top", text: "a: 1\n", path: nil, value: "2", refused: "a mapping, not a single value", mend: "give the key of a single value"},
		{name: "absent", text: "a: {b: 1}\n", path: []string{"a", "c"}, value: "2", refused: "there is no a > c", mend: "put it in first"},
		{name: "question mark", text: "? a\n: 1\n", path: []string{"a"}, value: "2", refused: "question mark", mend: "write it as key: value"},
		{name: "key alone", text: "{a, b: 1}\n", path: []string{"a"}, value: "2", refused: "without a colon", mend: "write it as key: value"},
		{name: "not UTF-8", text: "a: 1\n", path: []string{"a"}, value: "\xff", refused: "other values", mend: "type by hand: a: \"\ufffd\""},
	}
	run(t, cases, func(d *Doc, c editCase) (*Doc, error) { return d.Set(c.path, c.value) })
}

func TestSetRaw(t *testing.T) {
	cases := []editCase{
		{name: "list for a number", text: "a: 3.061 # c\n", path: []string{"a"}, value: "[3.061, 3.062]", want: "a: [3.061, 3.062] # c\n"},
		{name: "list for a list", text: "a: [1,\n  2] # c\n", path: []string{"a"}, value: "[3]", want: "a: [3] # c\n"},
		{name: "mapping within brackets", text: "a: [1, x]\n", path: []string{"a", "0"}, value: "{y: 2}", want: "a: [{y: 2}, x]\n"},
		{name: "for a block list", text: "a:\n  - 1\n  - 2 # two\nb: 1\n", path: []string{"a"}, value: "[3]", want: "a: [3] # two\nb: 1\n"},
		{name: "quotes of one's own", text: "a: 1\n", path: []string{"a"}, value: "'1'", want: "a: '1'\n"},
		{name: "nothing", text: "a: 1 # c\nb: 2\n", path: []string{"a"}, value: "", want: "a: # c\nb: 2\n"},
		{name: "nothing in a list", text: "a:\n- 1\n- 2\n", path: []string{"a", "0"}, value: "", want: "a:\n-\n- 2\n"},
		{name: "for nothing", text: "a:\n", path: []string{"a"}, value: "[1]", want: "a: [1]\n"},

		{name: "nothing within brackets", text: "a: [1, 2]\n", path: []string{"a", "0"}, value: "", refused: "could not be read", mend: "type by hand: -"},
		{name: "comment within", text: "a:\n  - 1 # one\n  - 2\n", path: []string{"a"}, value: "[3]", refused: "comment stands within", mend: "type by hand: a: [3]"},
		{name: "comment before", text: "a:\n  # c\n  b: 2\n", path: []string{"a"}, value: "[3]", refused: "comment stands within", mend: "type by hand: a: [3]"},
		{name: "comment of its own", text: "a: 1\n", path: []string{"a"}, value: "2 # c", refused: "has a comment", mend: "type by hand: a: 2 # c"},
		{name: "not YAML", text: "a: 1\n", path: []string{"a"}, value: "[2", refused: "not read as one YAML value", mend: "type by hand: a: [2"},
		{name: "more than a value", text: "a: 1\n", path: []string{"a"}, value: "2\nb: 3", refused: "several lines", mend: "type by hand: a: 2 …"},
		{name: "block text", text: "a: |\n  x\n", path: []string{"a"}, value: "[1]", refused: "text block", mend: "type by hand: a: [1]"},
		{name: "pair without braces", text: "a: [x: 1]\n", path: []string{"a", "0"}, value: "2", refused: "cannot be told", mend: "type by hand: - 2"},
		{name: "mapping with an anchor", text: "a: &x\n  b: 1\n", path: []string{"a"}, value: "2", refused: "cannot be told", mend: "type by hand: a: 2"},
		{name: "top", text: "a: 1\n", path: nil, value: "{}", refused: "whole file", mend: "give the key of a value"},
	}
	run(t, cases, func(d *Doc, c editCase) (*Doc, error) { return d.SetRaw(c.path, c.value) })
}

// R21: where a new key goes.
func TestInsert(t *testing.T) {
	a := []string{"a"}
	cases := []editCase{
		{name: "top", text: "a: 1\n", key: "k", value: "v", want: "a: 1\nk: v\n"},
		{name: "behind the comment", text: "a:\n  b: 1  # one\nz: 1\n", path: a, key: "k", value: "v", want: "a:\n  b: 1  # one\n  k: v\nz: 1\n"},
		{name: "before the comment below", text: "a:\n  b: 1\n  # later\n\nz: 1\n", path: a, key: "k", value: "v", want: "a:\n  b: 1\n  k: v\n  # later\n\nz: 1\n"},
		{name: "behind what is deeper", text: "a:\n    b:\n        c: [1,\n         2] # c\nz: 1\n", path: a, key: "k", value: "v", want: "a:\n    b:\n        c: [1,\n         2] # c\n    k: v\nz: 1\n"},
		{name: "behind a list in the key's column", text: "a:\n  b:\n  - 1\n", path: a, key: "k", value: "v", want: "a:\n  b:\n  - 1\n  k: v\n"},
		{name: "behind nothing", text: "a:\n  b:\nz: 1\n", path: a, key: "k", value: "v", want: "a:\n  b:\n  k: v\nz: 1\n"},
		{name: "in a list", text: "a:\n  - b: 1\n  - c: 1\n", path: []string{"a", "0"}, key: "k", value: "v", want: "a:\n  - b: 1\n    k: v\n  - c: 1\n"},
		{name: "no last line end", text: "a:\n  b: 1", path: a, key: "k", value: "v", want: "a:\n  b: 1\n  k: v"},
		{name: "no line end at all", text: "a: 1", key: "k", value: "v", want: "a: 1\nk: v"},
		{name: "CRLF", text: "a:\r\n  b: 1 # c\r\nz: 1\r\n", path: a, key: "k", value: "v", want: "a:\r\n  b: 1 # c\r\n  k: v\r\nz: 1\r\n"},
		{name: "CRLF, no last line end", text: "a: 1\r\nz: 1", key: "k", value: "v", want: "a: 1\r\nz: 1\r\nk: v"},
		{name: "the line end of the key before", text: "a:\n  b: 1\r\nz: 1\n", path: a, key: "k", value: "v", want: "a:\n  b: 1\r\n  k: v\r\nz: 1\n"},
		{name: "lone CR", text: "a: 1\r", key: "k", value: "v", want: "a: 1\rk: v\r"},
		{name: "byte-order mark", text: "\ufeffa: 1\n", key: "k", value: "v", want: "\ufeffa: 1\nk: v\n"},
		{name: "before the end mark", text: "---\na: 1\n...\n", key: "k", value: "v", want: "---\na: 1\nk: v\n...\n"},

		{name: "braces", text: "a: {b: 1} # c\n", path: a, key: "k", value: "v", want: "a: {b: 1, k: v} # c\n"},
		{name: "braces with blanks", text: "a: { b: 1 }\n", path: a, key: "k", value: "v", want: "a: { b: 1, k: v }\n"},
		{name: "braces with a last comma", text: "a: {b: 1, }\n", path: a, key: "k", value: "v", want: "a: {b: 1, k: v }\n"},
		{name: "braces over lines", text: "a: {b: 1,\n    c: 2}\n", path: a, key: "k", value: "v", want: "a: {b: 1,\n    c: 2, k: v}\n"},
		{name: "braces, a line a key", text: "a: {\n  b: 1, # one\n  c: 2 # two\n}\n", path: a, key: "k", value: "v", want: "a: {\n  b: 1, # one\n  c: 2, # two\n  k: v\n}\n"},
		{name: "braces, a line a key, last comma", text: "a: {\r\n  b: 1,\r\n}\r\n", path: a, key: "k", value: "v", want: "a: {\r\n  b: 1,\r\n  k: v,\r\n}\r\n"},
		{name: "empty braces", text: "a: {} # c\n", path: a, key: "k", value: "v", want: "a: {k: v} # c\n"},
		{name: "the whole file in braces", text: "{a: 1}\n", key: "k", value: "v", want: "{a: 1, k: v}\n"},
		{name: "quoted for the braces", text: "a: {}\n", path: a, key: "x, y", value: Quote("1, 2"), want: "a: {\"x, y\": \"1, 2\"}\n"},

		{name: "nothing yet", text: "a:\nz: 1\n", path: a, key: "k", value: "v", want: "a:\n  k: v\nz: 1\n"},
		{name: "nothing yet, as deep as others stand", text: "z:\n- y:\n     x: 1\n- 2\na:\n", path: a, key: "k", value: "v", want: "z:\n- y:\n     x: 1\n- 2\na:\n   k: v\n"},
		{name: "nothing yet, a comment", text: "a:  # c\n  # d\nz: 1\n", path: a, key: "k", value: "v", want: "a:  # c\n  k: v\n  # d\nz: 1\n"},
		{name: "nothing yet, no line end", text: "z:\n    y:\n        x: 1\na:", path: a, key: "k", value: "v", want: "z:\n    y:\n        x: 1\na:\n    k: v"},
		{name: "tilde", text: "a: ~ # c\n", path: a, key: "k", value: "v", want: "a: {k: v} # c\n"},
		{name: "nothing within brackets", text: "a: [1, {b: }]\n", path: []string{"a", "1", "b"}, key: "k", value: "v", want: "a: [1, {b: {k: v}}]\n"},
		{name: "nothing in a list", text: "a:\n  -\n  - 1\n", path: []string{"a", "0"}, key: "k", value: "v", want: "a:\n  - k: v\n  - 1\n"},
		{name: "empty file", text: "", key: "k", value: "v", want: "k: v\n"},
		{name: "comments only", text: "# c\r\n", key: "k", value: "v", want: "# c\r\nk: v\r\n"},
		{name: "comments only, no line end", text: "# c", key: "k", value: "v", want: "# c\nk: v\n"},
		{name: "document mark only", text: "---\n", key: "k", value: "v", want: "---\nk: v\n"},
		{name: "byte-order mark only", text: "\ufeff", key: "k", value: "v", want: "\ufeffk: v\n"},

		{name: "no value", text: "a: 1\n", key: "k", value: "", want: "a: 1\nk:\n"},
		{name: "value with a comment", text: "a: 1\n", key: "k", value: "v # c", want: "a: 1\nk: v # c\n"},
		{name: "key to be quoted", text: "a: 1\n", key: "no", value: "v", want: "a: 1\n\"no\": v\n"},
		{name: "key that is a number", text: "a: 1\n", key: "6000", value: "v", want: "a: 1\n6000: v\n"},
		{name: "mapping on one line", text: "a:\n  b: 1\n", path: a, key: "k", value: "x: 1", want: "a:\n  b: 1\n  k:\n    x: 1\n"},
		{name: "mapping on several", text: "a:\n   b: 1\n", path: a, key: "k", value: "    x: 1 # one\n\n    y:\n      - 2\n", want: "a:\n   b: 1\n   k:\n      x: 1 # one\n\n      y:\n        - 2\n"},
		{name: "list on several, CRLF", text: "a: 1\r\n", key: "k", value: "- 1\n- 2\n", want: "a: 1\r\nk:\r\n  - 1\r\n  - 2\r\n"},
		{name: "block text", text: "a: 1\n", key: "k", value: "|\n  one\n    two\n", want: "a: 1\nk: |\n  one\n    two\n"},
		{name: "block text, no last line end", text: "a: 1", key: "k", value: "|\n  one\n", want: "a: 1\nk: |\n  one\n"},

		{name: "there already", text: "x: 1\na: 1\n", key: "a", value: "2", refused: "a is there already", mend: "change it in place"},
		{name: "behind a block text", text: "a:\n  b: |\n    x\nz: 1\n", path: a, key: "k", value: "v", refused: "right before it", mend: "type by hand: k: v"},
		{name: "behind a deeper block text", text: "a:\n  b:\n    - |\n      x\n", path: a, key: "k", value: "v", refused: "right before it", mend: "type by hand: k: v"},
		{name: "behind an alias", text: "a: &x 1\nb: *x\n", key: "k", value: "v", refused: "right before it", mend: "type by hand: k: v"},
		{name: "behind an anchor", text: "b: &x 1\n", key: "k", value: "v", refused: "right before it", mend: "type by hand: k: v"},
		{name: "behind an anchor in braces", text: "a: {b: &x 1}\n", path: a, key: "k", value: "v", refused: "right before it", mend: "type by hand: k: v"},
		{name: "in an anchored mapping", text: "a: &x {b: 1}\nc: *x\n", path: a, key: "k", value: "v", refused: "marked", mend: "type by hand: k: v"},
		{name: "in an alias", text: "a: &x {b: 1}\nc: *x\n", path: []string{"c"}, key: "k", value: "v", refused: "an alias", mend: "change it at its anchor, or write it out in place of the alias"},
		{name: "in a pair without braces", text: "a: [b: 1]\n", path: []string{"a", "0"}, key: "k", value: "v", refused: "no braces", mend: "type by hand: k: v"},
		{name: "several lines in braces", text: "a: {b: 1}\n", path: a, key: "k", value: "x: 1\ny: 2\n", refused: "several lines", mend: "type by hand: k: x: 1 …"},
		{name: "several lines for a tilde", text: "a: ~\n", path: a, key: "k", value: "x: 1\ny: 2\n", refused: "several lines", mend: "type by hand: k: x: 1 …"},
		{name: "comment within braces", text: "a: {b: 1}\n", path: a, key: "k", value: "v # c", refused: "could not be read any more", mend: "type by hand: k: v # c"},
		{name: "behind the end mark", text: "# c\n---\n...\n", key: "k", value: "v", refused: "could not be read any more", mend: "type by hand: k: v"},
		{name: "not one value", text: "a: 1\n", key: "k", value: "x\ny: 1", refused: "one YAML value", mend: "type by hand: k: x …"},
		{name: "in a scalar", text: "a: 1\n", path: a, key: "k", value: "v", refused: "a single value, not a mapping", mend: "give the key of a mapping"},
		{name: "in a list", text: "a: [1]\n", path: a, key: "k", value: "v", refused: "a list, not a mapping", mend: "give the key of a mapping"},
		{name: "mapping above absent", text: "a: 1\n", path: []string{"b"}, key: "k", value: "v", refused: "there is no b", mend: "put it in first"},
	}
	run(t, cases, func(d *Doc, c editCase) (*Doc, error) { return d.Insert(c.path, c.key, c.value) })
}

// R21 for lists.
func TestAppend(t *testing.T) {
	a := []string{"a"}
	cases := []editCase{
		{name: "block", text: "a:\n  - 1 # one\n  # c\nb: 1\n", path: a, value: "2", want: "a:\n  - 1 # one\n  - 2\n  # c\nb: 1\n"},
		{name: "in the key's column", text: "a:\r\n- 1\r\nb: 1\r\n", path: a, value: "2", want: "a:\r\n- 1\r\n- 2\r\nb: 1\r\n"},
		{name: "behind nothing", text: "a:\n-\n", path: a, value: "2", want: "a:\n-\n- 2\n"},
		{name: "no last line end", text: "a:\n- 1", path: a, value: "2", want: "a:\n- 1\n- 2"},
		{name: "mapping", text: "a:\n- x: 1\n  y: 2\n", path: a, value: "x: 3\ny: 4\n", want: "a:\n- x: 1\n  y: 2\n- x: 3\n  y: 4\n"},
		{name: "brackets", text: "a: [1, 2] # c\n", path: a, value: "3", want: "a: [1, 2, 3] # c\n"},
		{name: "brackets, a line an item", text: "a: [\n  1,\n  2 # two\n]\n", path: a, value: "3", want: "a: [\n  1,\n  2, # two\n  3\n]\n"},
		{name: "empty brackets", text: "a: []\n", path: a, value: "{x: 1}", want: "a: [{x: 1}]\n"},
		{name: "nothing yet", text: "a:  # c\nb: 1\n", path: a, value: "1", want: "a:  # c\n  - 1\nb: 1\n"},
		{name: "nothing yet, as other lists stand", text: "b:\n- 1\na:\n", path: a, value: "1", want: "b:\n- 1\na:\n- 1\n"},
		{name: "tilde", text: "a: ~\n", path: a, value: "1", want: "a: [1]\n"},
		{name: "nothing in a list", text: "a:\n- \n- 1\n", path: []string{"a", "0"}, value: "2", want: "a:\n- - 2\n- 1\n"},

		{name: "behind a block text", text: "a:\n- |\n  x\n", path: a, value: "2", refused: "right before it", mend: "type by hand: - 2"},
		{name: "to a mapping", text: "a: {}\n", path: a, value: "2", refused: "a mapping, not a list", mend: "give the key of a list"},
		{name: "absent", text: "a: [1]\n", path: []string{"a", "1"}, value: "2", refused: "there is no a > 1", mend: "put it in first"},
	}
	run(t, cases, func(d *Doc, c editCase) (*Doc, error) { return d.Append(c.path, c.value) })
}

func TestRemove(t *testing.T) {
	cases := []editCase{
		{name: "first", text: "a: 1 # one\nb: 2\n", path: []string{"a"}, want: "b: 2\n"},
		{name: "last", text: "a: 1\n# c\nb: 2 # two\n# d\n", path: []string{"b"}, want: "a: 1\n# c\n# d\n"},
		{name: "no last line end", text: "a: 1\nb: 2", path: []string{"b"}, want: "a: 1\n"},
		{name: "with all below", text: "a: 1\nb: # b\n  # c\n  x:\n  - 1 # d\n\nc: 1\n", path: []string{"b"}, want: "a: 1\n\nc: 1\n"},
		{name: "CRLF", text: "a: 1\r\nb: 2\r\nc: 3\r\n", path: []string{"b"}, want: "a: 1\r\nc: 3\r\n"},
		{name: "behind a byte-order mark", text: "\ufeffa: 1\nb: 2\n", path: []string{"a"}, want: "\ufeffb: 2\n"},
		{name: "the only key", text: "# c\na: 1\n", path: []string{"a"}, want: "# c\n"},
		{name: "the only key of a mapping", text: "a:\n  b: 1 # c\nz: 1\n", path: []string{"a", "b"}, want: "a: {} # c\nz: 1\n"},
		{name: "the only item of a list", text: "a:\n- 1\nz: 1\n", path: []string{"a", "0"}, want: "a: []\nz: 1\n"},
		{name: "item", text: "a:\n- 1\n- x: 2\n  y: 3\n- 4\n", path: []string{"a", "1"}, want: "a:\n- 1\n- 4\n"},
		{name: "first key behind a dash", text: "a:\n  - x: 1\n    y: 2\n", path: []string{"a", "0", "x"}, want: "a:\n  - y: 2\n"},
		{name: "block text", text: "a: |\n  x\n\nb: 1\n", path: []string{"a"}, want: "\nb: 1\n"},
		{name: "first in braces", text: "a: {x: 1, y: 2}\n", path: []string{"a", "x"}, want: "a: {y: 2}\n"},
		{name: "last in braces", text: "a: {x: 1, y: 2}\n", path: []string{"a", "y"}, want: "a: {x: 1}\n"},
		{name: "only one in braces", text: "a: {x: 1}\n", path: []string{"a", "x"}, want: "a: {}\n"},
		{name: "in brackets over lines", text: "a: [\n  1,\n  2,\n  3\n]\n", path: []string{"a", "1"}, want: "a: [\n  1,\n  3\n]\n"},

		{name: "comment beside it in braces", text: "a: {\n  x: 1, # one\n  y: 2\n}\n", path: []string{"a", "x"}, refused: "comment stands beside", mend: "take out by hand: x:"},
		{name: "comment behind the dash", text: "a:\n  - x: 1\n    # c\n    y: 2\n", path: []string{"a", "0", "x"}, refused: "first line", mend: "take out by hand: x:"},
		{name: "anchor in use", text: "a: &x 1\nb: *x\n", path: []string{"a"}, refused: "could not be read any more", mend: "take out by hand: a:"},
		{name: "absent", text: "a: 1\n", path: []string{"b"}, refused: "there is no b", mend: "put it in first"},
		{name: "top", text: "a: 1\n", refused: "whole file", mend: "give the key of a value"},
	}
	run(t, cases, func(d *Doc, c editCase) (*Doc, error) { return d.Remove(c.path) })
}

// The proof behind every edit, with splices no edit would make.
func TestProof(t *testing.T) {
	doc := parse(t, "a: 1 # one\nb: 2\n")
	tests := []struct {
		name       string
		start, end int
		text       string
		why        string
	}{
		{"a comment changes", 7, 10, "two", "a comment would be lost"},
		{"a comment is added", 4, 4, " # zero", "a comment would be lost"},
		{"a value changes", 3, 4, "3", "other values"},
		{"a value is quoted", 3, 4, "'1'", "other values"},
		{"a key is added", 0, 0, "c: 1\n", "other values"},
		{"keys change places", 0, 16, "b: 2\na: 1 # one\n", "other values"},
		{"no YAML", 0, 1, "[", "could not be read any more"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			next, err := doc.apply(splice{start: tt.start, end: tt.end, text: tt.text, want: doc.root})
			assert.Nil(t, next)
			assert.ErrorContains(t, err, tt.why)
		})
	}
	next, err := doc.apply(splice{start: 4, end: 4, text: "  ", want: doc.root})
	require.NoError(t, err)
	assert.Equal(t, "a: 1   # one\nb: 2\n", string(next.Text()))
}

// Where the text cannot be followed, values are read as the parser gave them,
// on its lines, and cannot be edited. No text is known that parses and does
// it, so another text is put beside the tree.
func TestWhatIsNotProvenIsNotEdited(t *testing.T) {
	trees := []string{"a: x\nb: 2\n", "a: 'x'\nb: 2\n", "a: \"x\"\nb: 2\n", "a: [x]\nb: 2\n", "a:\n  - x\nb: 2\n", "a: &x x\nb: *x\n", "a: |\n  x\nb: 2\n", "a: x y\nb: 2\n"}
	for _, text := range trees {
		for _, beside := range []string{"a: other\nb: 2\n", "a: 'x\nb: 2\n", "a: \"x\nb: 2\n", "a:", "a: x\n\ny\nb: 2\n", "a: xx\nb: 2\n", "a: &x"} {
			tree, fault := parseTree("spec.yaml", text)
			require.Nil(t, fault)
			w := newWalker("spec.yaml", beside)
			doc := &Doc{name: "spec.yaml", text: beside, root: w.document(tree)}
			require.Empty(t, w.problems)
			b := doc.Root().Get("b")
			require.NotNil(t, b, "%q beside %q", text, beside)
			assert.False(t, b.proven, "%q beside %q", text, beside)
			_, err := doc.Set([]string{"b"}, "3")
			assert.Error(t, err)
			_, err = doc.Insert(nil, "k", "v")
			assert.Error(t, err)
		}
	}
}

// A value moves from one document to another with its comments and in the
// other's indentation.
func TestRawMovesAValue(t *testing.T) {
	from := parse(t, "a:\n    b: # c\n        x: [1,\n            2]\n        y: |\n          text\n           more\n    z: 'q'\n")
	to := parse(t, "k:\r\n  l: 1\r\n")

	raw, ok := from.Raw("a", "b")
	require.True(t, ok)
	next, err := to.Insert([]string{"k"}, "b", raw)
	require.NoError(t, err)
	assert.Equal(t, "k:\r\n  l: 1\r\n  b:\r\n    x: [1,\r\n        2]\r\n    y: |\r\n      text\r\n       more\r\n", string(next.Text()))

	raw, ok = from.Raw("a", "z")
	require.True(t, ok)
	assert.Equal(t, "'q'", raw)

	_, ok = from.Raw("a", "c")
	assert.False(t, ok)
}
