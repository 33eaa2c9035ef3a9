package page

import (
	"bytes"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"stackbook/cmd/internal/page/plot"
)

var update = flag.Bool("update", false, "write the golden files anew")

// render gives what a renderer writes.
func render(t testing.TB, write func(io.Writer, *Document) error, d *Document) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, write(&b, d))
	return b.String()
}

func TestGolden(t *testing.T) {
	for _, c := range []struct {
		file  string
		write func(io.Writer, *Document) error
	}{{"small.html", HTML}, {"small.md", Markdown}} {
		t.Run(c.file, func(t *testing.T) {
			got := render(t, c.write, small())
			file := filepath.Join("testdata", c.file)
			if *update {
				require.NoError(t, os.WriteFile(file, []byte(got), 0o644))
			}
			want, err := os.ReadFile(file)
			require.NoError(t, err)
			assert.Equal(t, string(want), got)
			assert.Equal(t, got, render(t, c.write, small()), "the same document gives the same bytes")
		})
	}
}

// full refuses everything, as a full disk does.
type full struct{}

var errFull = errors.New("no space left")

func (full) Write([]byte) (int, error) { return 0, errFull }

func TestWriteErrorsComeBack(t *testing.T) {
	assert.ErrorIs(t, HTML(full{}, small()), errFull)
	assert.ErrorIs(t, Markdown(full{}, small()), errFull)
}

// An empty document still is a whole page with a title and a heading.
func TestEmptyDocument(t *testing.T) {
	assert.Equal(t, "# Sheet\n", render(t, Markdown, &Document{}))
	page := parse(t, render(t, HTML, &Document{Sections: []Section{{Table: &Table{}}}}))
	assert.Equal(t, []string{"Sheet"}, texts(page, "h1"))
	assert.Equal(t, []string{"Without a heading"}, texts(page, "h2"))
	assert.Equal(t, []string{"None."}, texts(page, "td", "colspan"))
}

func TestNumbersComeWithContents(t *testing.T) {
	sections := []Section{{Heading: "A"}, {Heading: "B", Sections: []Section{{Heading: "C"}}}, {Heading: "D"}, {Heading: "E"}}
	d := &Document{Title: "SK-01", Sections: sections}
	assert.NotContains(t, render(t, HTML, d), "<nav")
	assert.Equal(t, "# SK-01\n\n## A\n\n## B\n\n### C\n\n## D\n\n## E\n", render(t, Markdown, d))

	d.Sections = append(d.Sections, Section{Heading: "F"})
	page := parse(t, render(t, HTML, d))
	assert.Equal(t, []string{"1 A", "2 B", "3 D", "4 E", "5 F"}, texts(page, "a", "href")[1:])
	assert.Equal(t, []string{"2.1 C"}, texts(page, "h3"))
	assert.Equal(t, "# SK-01\n\n1. A\n2. B\n3. D\n4. E\n5. F\n\n## 1 A\n\n## 2 B\n\n### 2.1 C\n\n## 3 D\n\n## 4 E\n\n## 5 F\n", render(t, Markdown, d))
}

func TestSplitNumber(t *testing.T) {
	for _, c := range []struct{ in, head, tail string }{
		{"0.138", "0", ".138"},
		{"−0.012 mm", "−0", ".012 mm"},
		{"9.3 ± 0.1", "9", ".3 ± 0.1"},
		{"61 ± 3", "61", " ± 3"},
		{"8", "8", ""},
		{"19,480", "19,480", ""},
		{"19\u202f480.5", "19\u202f480", ".5"},
		{"12,5", "12", ",5"},
		{"805/812/820", "805", "/812/820"},
		{"under 0.5", "under 0", ".5"},
		{"unmeasured", "", "unmeasured"},
		{"", "", ""},
	} {
		head, tail := splitNumber(c.in)
		assert.Equal(t, []string{c.head, c.tail}, []string{head, tail}, "%q", c.in)
	}
}

// Rows of any length come out as long as the titles; nothing of them is lost.
func TestGridIsEven(t *testing.T) {
	g := newGrid(&Table{
		Columns: []Column{{Title: "A"}, {Title: "B"}},
		Rows: []Row{
			{Cells: []Cell{{Text: "1"}}},
			{Cells: []Cell{{Text: "1"}, {Text: "2"}, {Text: "3", Mark: Bad}}},
			{Group: "over it", Cells: make([]Cell, 9)},
			{Cells: []Cell{{Text: " ", Mark: Bad}}},
		},
	}, "heading")
	assert.Equal(t, "heading", g.Label)
	require.Len(t, g.Columns, 3)
	require.Len(t, g.Groups, 2)
	for _, group := range g.Groups {
		for _, row := range group.Rows {
			assert.Len(t, row, 3)
		}
	}
	assert.Equal(t, "3", g.Groups[0].Rows[1][2].Text)
	assert.Equal(t, "over it", g.Groups[1].Title)
	assert.Equal(t, None, g.Groups[1].Rows[0][0].Mark, "a mark needs words")
}

// everywhere is a document with one text at every place that holds one.
func everywhere(text string) *Document {
	facts := []Fact{{text, text}}
	table := &Table{
		Caption: text,
		Columns: []Column{{Title: text}, {Title: text, Right: true}},
		Rows:    []Row{{Group: text}, {Cells: []Cell{{Text: text, Mark: Bad, Href: "x.html"}, {Text: text, Mark: Open}}}},
		Search:  true,
	}
	bare := Section{Heading: text}
	links := func() []Link { return []Link{{text, "x.html"}, {text, ""}} }
	whole := Section{Heading: text, Links: links(), Note: text, Text: []string{text}, Facts: facts, List: []string{text}, Table: table, Sections: []Section{bare},
		Drawings: drawings(text), Pictures: []Picture{{Name: text, Caption: text, Data: []byte(text)}, {Name: text, Missing: text}}, Blanks: []string{text}}
	return &Document{
		Title: text, Kind: text, Lead: []string{text}, Facts: []Fact{{text, text}}, Cautions: []string{text}, Made: text, Language: text, Trail: links(),
		Sections: []Section{whole, bare, bare, bare, bare},
	}
}

// steers tells whether a character must never reach a sheet: controls but for
// the line feeds of the page itself, direction, no width, separators, tags.
func steers(r rune) bool {
	switch {
	case r < 0x20 && r != '\n', r >= 0x7f && r <= 0x9f,
		r >= 0x202a && r <= 0x202e, r >= 0x2066 && r <= 0x2069, r == 0x200e, r == 0x200f, r == 0x061c,
		r >= 0x200b && r <= 0x200d, r == 0x2060, r == 0xfeff, r == 0x2028, r == 0x2029,
		r >= 0xe0000 && r <= 0xe007f:
		return true
	}
	return false
}

func TestPlain(t *testing.T) {
	assert.Equal(t, `R-\u202e7711 two`, plain("\tR-\u202e7711\ntwo "))
}

// numberTexts gives every text that a document can hold, but for its drawings,
// a name of its own, and lists the names.
func numberTexts(v reflect.Value, names *[]string) {
	switch v.Kind() {
	case reflect.Pointer:
		numberTexts(v.Elem(), names)
	case reflect.Struct:
		for i := range v.NumField() {
			if v.Type() != reflect.TypeFor[plot.Drawing]() {
				numberTexts(v.Field(i), names)
			}
		}
	case reflect.Slice:
		for i := range v.Len() {
			numberTexts(v.Index(i), names)
		}
	case reflect.String:
		*names = append(*names, fmt.Sprintf("text %d", len(*names)))
		v.SetString((*names)[len(*names)-1])
	}
}

// Whatever a document holds is in its texts, so that what is looked for there is
// looked for everywhere; the language is no text.
func TestTexts(t *testing.T) {
	d := everywhere("x")
	var names []string
	numberTexts(reflect.ValueOf(d), &names)
	d.Language = "en"
	missing := 0
	for _, name := range names {
		if !slices.Contains(d.Texts(), name) {
			missing++
		}
	}
	require.Greater(t, len(names), 30)
	assert.Equal(t, 1, missing, "the language alone")
	assert.Contains(t, d.Texts(), "x", "of the drawings")
}
