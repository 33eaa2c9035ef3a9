// Package page sets the sheets that are handed out: one document, as a page of
// HTML that needs no other file, or as Markdown. It knows no record; whoever
// fills a Document decides what it says.
//
// What it promises:
//
//   - Text is data. Markup in it is shown as the characters it is made of, and
//     what would steer the display or hide in it (controls, direction
//     overrides, joiners without width) is shown as an escape such as \u202e,
//     in the same way as on the terminal.
//   - An HTML sheet asks for nothing outside itself, holds no script, and says
//     so to the browser in a content security policy. Photographs are inside it,
//     and only bytes that are a JPEG or PNG picture are taken for one. Linked
//     pages share one style sheet beside them, and one with a table to be
//     searched has that one script, named by its hash; all of it can be read
//     without.
//   - Nothing is told by colour alone: a mark adds weight and shape to a word
//     that is in the text already.
//   - The same document gives the same bytes.
package page

import "stackbook/cmd/internal/page/plot"

// Document is one sheet. Line breaks and tabs in its texts count as spaces.
type Document struct {
	Title    string // what it is about: "SK-01: two-rotor lake hydroplane"
	Kind     string // what it is: "Rebuild summary"
	Lead     []string
	Facts    []Fact
	Sections []Section
	Cautions []string // safety; set off, after the sections
	Made     string   // from what it was made, the last line
	Language string   // of the texts, as a BCP 47 tag; empty means "en"
	Trail    []Link   // of one of many linked pages: the way to it from the first
}

// Link is words that lead to another page. Href is a path from this page's
// folder, made by whoever fills the document and never text of a record; where
// it is empty, the words lead nowhere.
type Link struct{ Text, Href string }

// Fact is a label and its value. A value left empty is shown as a dash.
type Fact struct{ Label, Value string }

// Section is a heading and what stands below it, in the order of the fields;
// all but the heading may be left out.
type Section struct {
	Heading  string
	Note     string   // a faint sentence under the heading
	Text     []string // paragraphs
	Facts    []Fact
	Links    []Link // a line each
	List     []string
	Drawings []plot.Drawing // Markdown has their words only: their numbers belong into a table
	Pictures []Picture
	Table    *Table
	Blanks   []string  // what is to be filled in by hand, a line each: "signature"
	Sections []Section // one level below
}

// Picture is a photograph. One that is missing, or whose bytes are none, is
// told in words.
type Picture struct {
	Name    string // of its file
	Caption string
	Data    []byte // JPEG or PNG
	Missing string // why it is not shown, where that is known beforehand
}

// Table is rows under titles. Cells left out at the end of a row are empty; a
// row longer than the titles gets columns without one.
type Table struct {
	Columns []Column
	Rows    []Row
	Caption string
	Search  bool // rows can be looked for by their words, where a page may run a script

	// Stack sets each row on a narrow screen as a block, the first two cells on a
	// line and the others below each other behind their titles: for rows that are
	// read as sentences, and not down a column.
	Stack bool
}

// Column is how the cells below one title are set.
type Column struct {
	Title string
	Right bool // numbers, under each other by their decimal point
	Names bool // numbers of engines are among the words: none is broken at its hyphen
}

// Row is one line of a table or, where Group is set, a heading across it; the
// cells of a heading are not shown.
type Row struct {
	Group string
	Cells []Cell
}

// Cell is one text in a table.
type Cell struct {
	Text string
	Mark Mark
	Href string // as of a Link; empty: no link
}

// Mark sets a cell off from the others. The words that say why are the cell's
// own.
type Mark int

// The marks. Open is for what is undecided or was not measured.
const (
	None Mark = iota
	Good
	Bad
	Open
)
