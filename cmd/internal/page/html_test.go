package page

import (
	"bytes"
	"crypto/sha256"
	"encoding/base64"
	"encoding/binary"
	"hash/crc32"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"
)

func parse(t testing.TB, text string) *html.Node {
	t.Helper()
	root, err := html.Parse(strings.NewReader(text))
	require.NoError(t, err)
	return root
}

// all gives the elements of a page, in order.
func all(root *html.Node) []*html.Node {
	var list []*html.Node
	for n := range root.Descendants() {
		if n.Type == html.ElementNode {
			list = append(list, n)
		}
	}
	return list
}

func attr(n *html.Node, key string) string {
	for _, a := range n.Attr {
		if a.Key == key {
			return a.Val
		}
	}
	return ""
}

func text(n *html.Node) string {
	var b strings.Builder
	for d := range n.Descendants() {
		if d.Type == html.TextNode {
			b.WriteString(d.Data)
		}
	}
	return b.String()
}

// texts gives what the elements of one name hold; with attributes named, only
// those that have them.
func texts(root *html.Node, name string, having ...string) []string {
	var list []string
	for _, n := range all(root) {
		if n.Data == name && !slices.ContainsFunc(having, func(key string) bool { return attr(n, key) == "" }) {
			list = append(list, text(n))
		}
	}
	return list
}

// shape is a page without its texts: the elements and the names of their
// attributes. Spans and classes are left out, since numbers and sentences are
// set differently from words.
func shape(root *html.Node) []string {
	var list []string
	for _, n := range all(root) {
		words := []string{n.Data}
		for _, a := range n.Attr {
			if a.Key != "class" {
				words = append(words, a.Key)
			}
		}
		if n.Data != "span" {
			list = append(list, strings.Join(words, " "))
		}
	}
	return list
}

// modelShape is the shape of the page that any one text gives.
func modelShape(t testing.TB) []string { return shape(parse(t, render(t, HTML, everywhere("x")))) }

// foot is all that a title may become inside the style.
var foot = regexp.MustCompile(`^@page \{ @bottom-left \{ content: "[A-Za-z0-9 \\]*"; \} \}\n$`)

// checkHTML holds that a text, wherever it stands in a document, adds nothing
// to the page but itself.
func checkHTML(t testing.TB, in string) {
	t.Helper()
	want := plain(in)
	if want == "" {
		return
	}
	out := render(t, HTML, everywhere(in))
	require.False(t, strings.ContainsFunc(out, steers), "%q reaches the page", in)
	page := parse(t, out)
	require.Equal(t, modelShape(t), shape(page))
	for _, name := range []string{"h1", "p", "dt", "dd", "td", "caption", "desc"} {
		for _, got := range texts(page, name) {
			require.Equal(t, want, got, name)
		}
	}
	for _, n := range all(page) {
		if n.Data == "style" {
			require.Regexp(t, foot, strings.TrimPrefix(text(n), sheetCSS))
		}
	}
}

func FuzzHTML(f *testing.F) {
	for _, text := range hostile {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) { checkHTML(t, text) })
}

// A page asks for nothing and runs nothing: no element that could, no address
// but those inside the page, and a policy that lets in its own style only.
func TestHTMLStandsAlone(t *testing.T) {
	out := render(t, HTML, rich())
	page := parse(t, out)
	known := strings.Fields("html head meta title style body a header p h1 dl div dt dd nav h2 ol li span main section ul table caption thead tr th td tbody h3 h4 h5 h6 footer figure figcaption svg desc path circle rect text img")
	ids := map[string]bool{}
	for _, n := range all(page) {
		assert.Contains(t, known, n.Data)
		for _, a := range n.Attr {
			if a.Key == "src" {
				assert.Regexp(t, `^data:image/(png|jpeg);base64,[A-Za-z0-9+/=]+$`, a.Val)
				continue
			}
			assert.NotContains(t, []string{"srcset", "style", "action", "background", "ping", "srcdoc"}, a.Key)
			assert.False(t, strings.HasPrefix(a.Key, "on"), a.Key)
		}
		if id := attr(n, "id"); id != "" {
			assert.False(t, ids[id], "%s stands twice", id)
			ids[id] = true
		}
	}
	for _, n := range all(page) {
		if href := attr(n, "href"); href != "" {
			assert.True(t, ids[strings.TrimPrefix(href, "#")], href)
		}
	}
	assert.NotRegexp(t, `url\(|@import|https?:`, sheetCSS)
	assert.NotContains(t, render(t, HTML, small()), "img-src", "a page without photographs needs no pictures let in")
	assert.Contains(t, out, `<meta charset="utf-8">`)
	assert.Contains(t, out, `<meta name="viewport" content="width=device-width, initial-scale=1">`)

	style := sha256.Sum256([]byte(texts(page, "style")[0]))
	policy := "default-src 'none'; style-src 'sha256-" + base64.StdEncoding.EncodeToString(style[:]) + "'; img-src data:; base-uri 'none'; form-action 'none'"
	i := slices.IndexFunc(all(page), func(n *html.Node) bool { return attr(n, "http-equiv") == "Content-Security-Policy" })
	assert.Equal(t, policy, attr(all(page)[i], "content"))
}

// WCAG 2.2: 1.3.1 (headings in order, headers of cells), 2.1.1 (what scrolls
// can be reached by keyboard), 2.4.1 (a way past the contents), 3.1.1.
func TestHTMLCanBeHeardAndReached(t *testing.T) {
	page := parse(t, render(t, HTML, rich()))
	last := 0
	ids := map[string]bool{}
	for _, n := range all(page) {
		ids[attr(n, "id")] = true
	}
	for _, n := range all(page) {
		switch {
		case n.Data == "html":
			assert.Equal(t, "en", attr(n, "lang"))
		case n.Data == "th":
			assert.Contains(t, []string{"col", "row", "rowgroup"}, attr(n, "scope"))
			assert.NotEmpty(t, text(n))
		case n.Data == "table":
			assert.Equal(t, "caption", n.FirstChild.NextSibling.Data)
			box := n.Parent
			assert.Equal(t, []string{"region", "0"}, []string{attr(box, "role"), attr(box, "tabindex")})
			assert.Equal(t, text(n.FirstChild.NextSibling), attr(box, "aria-label"))
		case len(n.Data) == 2 && n.Data[0] == 'h' && n.Data[1] >= '1' && n.Data[1] <= '6':
			level := int(n.Data[1] - '0')
			assert.LessOrEqual(t, level, last+1, "%s after level %d", text(n), last)
			last = level
		}
		for by := range strings.FieldsSeq(attr(n, "aria-labelledby")) {
			assert.True(t, ids[by], by)
		}
		if n.Data == "svg" {
			assert.Equal(t, "img", attr(n, "role"))
			assert.Equal(t, []string{"title", "desc"}, []string{n.FirstChild.Data, n.FirstChild.NextSibling.Data})
			assert.Equal(t, "0", attr(n.Parent, "tabindex"))
		}
	}
	body := slices.IndexFunc(all(page), func(n *html.Node) bool { return n.Data == "body" })
	assert.Equal(t, "#sheet", attr(all(page)[body+1], "href"), "the first thing reached leads past the contents")
}

func TestMarks(t *testing.T) {
	for mark, want := range map[Mark]string{None: "<td class=\"short\">fails</td>", Good: `<span class="good">fails</span>`, Bad: `<span class="bad">fails</span>`, Open: `<span class="open">fails</span>`, 9: "<td class=\"short\">fails</td>"} {
		table := &Table{Columns: []Column{{}, {}}, Rows: []Row{{Cells: []Cell{{}, {Text: "fails", Mark: mark}}}}}
		assert.Contains(t, render(t, HTML, &Document{Sections: []Section{{Table: table}}}), want)
	}
}

// The number of an engine is not broken at its hyphen, whatever stands beside it;
// what no such number can be, and a date, is.
func TestNamesStayWhole(t *testing.T) {
	long := strings.Repeat("LONG-", 5)
	table := &Table{Columns: []Column{{Names: true}, {}}, Rows: []Row{{Cells: []Cell{{Text: "since 2019-07-29 in SK-01, 7-B2, SK-<7>: " + long + " spare"}, {Text: "rebuilt as SK-02 was"}}}}}
	got := render(t, HTML, &Document{Sections: []Section{{Table: table}}})
	assert.Contains(t, got, `>since 2019-07-29 in <span class="name">SK-01</span>, <span class="name">7-B2</span>, SK-&lt;7&gt;: `+long+" spare<")
	assert.Contains(t, got, ">rebuilt as SK-02 was<")
	table.Rows = []Row{{Cells: []Cell{{Text: "SK-01"}}}}
	assert.NotContains(t, render(t, HTML, &Document{Sections: []Section{{Table: table}}}), `class="name"`)
}

func TestCSSString(t *testing.T) {
	assert.Equal(t, `"SK\2d 01\3a  two"`, cssString("SK-01: two"))
	assert.Equal(t, `"\22 \5c \3c \7d \e9 "`, cssString(`"\<}é`))
}

func TestRunningFootIsShort(t *testing.T) {
	foot := runningFoot(strings.Repeat("a", 200))
	assert.Contains(t, foot, strings.Repeat("a", longestFoot-1)+`\2026 "`)
	assert.Contains(t, runningFoot(strings.Repeat("a", longestFoot)), strings.Repeat("a", longestFoot)+`"`)
}

// Photographs are shown only where their bytes are a picture; all else is told
// in words, and never becomes an address.
func TestPictures(t *testing.T) {
	huge := bytes.Clone(photograph())
	binary.BigEndian.PutUint32(huge[16:], 40000) // width and height of a PNG's header
	binary.BigEndian.PutUint32(huge[20:], 40000)
	binary.BigEndian.PutUint32(huge[29:], crc32.ChecksumIEEE(huge[12:29]))
	list := []Picture{
		{Name: "photos/plug.png", Caption: "plug of rotor 2", Data: photograph()},
		{Name: "javascript:alert(1)", Data: []byte("javascript:alert(1)")},
		{Name: "photos/a.svg", Data: []byte("<svg xmlns='http://www.w3.org/2000/svg' onload='alert(1)'/>")},
		{Name: "photos/cut.png", Data: photograph()[:20]},
		{Name: "photos/huge.png", Data: huge},
		{Name: "photos/gone.png", Data: photograph(), Missing: "is no longer there"},
	}
	d := &Document{Sections: []Section{{Heading: "Pictures", Pictures: list}}}
	page := parse(t, render(t, HTML, d))
	assert.Equal(t, []string{"plug of rotor 2", "javascript:alert(1) (not shown: it is no JPEG or PNG picture)", "photos/a.svg (not shown: it is no JPEG or PNG picture)",
		"photos/cut.png (not shown: it is no JPEG or PNG picture)", "photos/huge.png (not shown: it has 40000 by 40000 pixels, more than are shown)", "photos/gone.png (not shown: is no longer there)"}, texts(page, "figcaption"))
	var shown []string
	for _, n := range all(page) {
		if n.Data == "img" {
			shown = append(shown, attr(n, "alt"))
		}
	}
	assert.Equal(t, []string{"plug of rotor 2"}, shown)
	assert.Contains(t, render(t, Markdown, d), "*Picture: photos/gone.png (not shown: is no longer there)*")
}

// A table of sentences names each cell by its title, for a screen on which the
// titles do not stand above them; the first two cells need none.
func TestStackedTable(t *testing.T) {
	table := &Table{Stack: true, Columns: []Column{{Title: "Date"}, {Title: "Kind"}, {Title: `Why "so"`}, {}},
		Rows: []Row{{Cells: []Cell{{Text: "2026-03-02"}, {Text: "event"}, {Text: "<over-rev>"}, {Text: "x"}}}}}
	got := string(tableHTML(newGrid(table, "Events")))
	assert.Contains(t, got, `<table class="stack">`)
	assert.Equal(t, 1, strings.Count(got, "data-title="))
	assert.Contains(t, got, `data-title="Why &#34;so&#34;">&lt;over-rev&gt;</td>`)
	table.Stack = false
	assert.NotContains(t, string(tableHTML(newGrid(table, "Events"))), "stack")
	assert.NotContains(t, string(tableHTML(newGrid(table, "Events"))), "data-title")
}
