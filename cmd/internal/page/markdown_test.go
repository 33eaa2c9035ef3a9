package page

import (
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestParagraph(t *testing.T) {
	for _, c := range []struct{ in, want string }{
		{"rotor side clearance 0.138 mm", "rotor side clearance 0.138 mm"},
		{"a|b", `a\|b`},
		{"*b* _i_ `c`", "\\*b\\* \\_i\\_ \\`c\\`"},
		{"[press](x)", `\[press\](x)`},
		{"<b> & &lt;", "&lt;b&gt; &amp; &amp;lt;"},
		{"lot #", `lot \#`},
		{"# heading", `\# heading`},
		{"- item", `\- item`},
		{"+ item", `\+ item`},
		{"1. item", `1\. item`},
		{"2019) item", `2019\) item`},
		{"2019.", `2019\.`},
		{"1.5 mm", "1.5 mm"},
		{"-0.012", `\-0.012`},
		{"=", `\=`},
		{"---", `\---`},
		{"> said", "&gt; said"},
		{"~~gone~~", `\~\~gone\~\~`},
		{`a\`, `a\\`},
		{"http://example.invalid", `http\://example.invalid`},
		{"www.example.invalid", `www\.example.invalid`},
	} {
		assert.Equal(t, c.want, paragraph(c.in))
	}
}

// entity is an entity that escape makes, or a backslash with what it covers.
var entity = regexp.MustCompile(`\\[!-/:-@\[-` + "`" + `{-~]|&(?:lt|gt|amp);`)

// unescape reads a line of Markdown as its readers do.
func unescape(s string) string {
	return entity.ReplaceAllStringFunc(s, func(e string) string {
		switch e {
		case "&lt;":
			return "<"
		case "&gt;":
			return ">"
		case "&amp;":
			return "&"
		}
		return e[1:]
	})
}

// checkMarkdown holds that a text comes back as it was, and that it adds
// nothing to a document but itself: no line, no cell, no markup.
func checkMarkdown(t testing.TB, in string) {
	t.Helper()
	want := plain(in)
	if want == "" {
		return
	}
	escaped := paragraph(want)
	require.Equal(t, want, unescape(escaped))
	require.NotRegexp(t, "[\\\\`*_\\[\\]|~$#<>&]", entity.ReplaceAllString(escaped, ""))
	require.NotRegexp(t, `^(?:[-+=:]|[0-9]+[.)](?: |$))`, escaped)

	out := render(t, Markdown, everywhere(in))
	require.False(t, strings.ContainsFunc(out, steers), "%q reaches the document", in)
	require.NotContains(t, out, "<")
	lines, model := strings.Split(out, "\n"), strings.Split(render(t, Markdown, everywhere("x")), "\n")
	require.Len(t, lines, len(model))
	for i, line := range lines {
		require.Equal(t, markup(model[i]), markup(line), "%q", line)
	}
}

// lineStart is the markup that begins a line.
var lineStart = regexp.MustCompile(`^(?:#+ |- |\* |\| |---$|[0-9]+\. |\*\*)?`)

// markup is what begins a line and the bars between its cells.
func markup(line string) string {
	return lineStart.FindString(line) + strings.Repeat("|", strings.Count(entity.ReplaceAllString(line, ""), "|"))
}

func FuzzMarkdown(f *testing.F) {
	for _, text := range hostile {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) { checkMarkdown(t, text) })
}

func TestMarkdownTable(t *testing.T) {
	d := &Document{Title: "SK-01", Sections: []Section{{Heading: "Figures", Table: &Table{
		Columns: []Column{{Title: "A"}, {Title: "Value", Right: true}},
		Rows: []Row{
			{Cells: []Cell{{Text: "a|b"}, {Text: "0.138"}}},
			{Cells: []Cell{{Text: "c"}, {Text: "19,480"}}},
			{Group: "Over it"},
			{Cells: []Cell{{Text: strings.Repeat("w", 50)}, {Text: "none", Mark: Bad}}},
		},
	}}}}
	assert.Equal(t, `# SK-01

## Figures

| A                                        |      Value |
| ---------------------------------------- | ---------: |
| a\|b                                     |      0.138 |
| c                                        | 19,480     |
| **Over it**                              |            |
| wwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwww |   **none** |
`, render(t, Markdown, d))
}
