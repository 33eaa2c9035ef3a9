package page

import (
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"stackbook/cmd/internal/term"
)

// sheet is a document made ready for setting, in HTML and Markdown alike: its
// texts harmless, its sections numbered, its tables even.
type sheet struct {
	Title, Kind, Made, Language string

	Lead     []string
	Facts    []Fact
	Sections []*section
	Contents bool // long enough for a list of contents and numbered sections
	Cautions []string
	Trail    []Link
	Pictures bool // it holds photographs
	Search   bool // it has a table to be searched
}

// section is a section of a sheet. Numbers are the same as in the list of
// contents, so that two people on the telephone can find the same table.
type section struct {
	Number  string // "3.1", empty on a sheet without contents
	ID      string // of its heading, from its place and not from its text: "s3-1"
	Level   int    // of its heading, 2 to deepest
	Heading string
	Note    string
	Text    []string
	Facts   []Fact
	List    []string
	Links   []Link
	Table   *grid
	Blanks  []string

	Drawings []drawing
	Pictures []picture
	Sections []*section
}

// deepest is the lowest level of heading that HTML and Markdown have.
const deepest = 6

// noContents is the number of sections up to which a sheet needs no list of
// contents.
const noContents = 4

func newSheet(d *Document) *sheet {
	s := &sheet{
		Title:    or(plain(d.Title), "Sheet"),
		Kind:     plain(d.Kind),
		Made:     plain(d.Made),
		Language: or(plain(d.Language), "en"),
		Lead:     plains(d.Lead),
		Facts:    plainFacts(d.Facts),
		Contents: len(d.Sections) > noContents,
		Cautions: plains(d.Cautions),
		Trail:    plainLinks(d.Trail),
	}
	s.Sections = s.sections(d.Sections, nil)
	s.Pictures = anyPicture(s.Sections)
	return s
}

// sections sets the sections below the place above, which is {3, 1} for the
// first part of the third section.
func (s *sheet) sections(list []Section, above []string) []*section {
	var set []*section
	for i, sec := range list {
		place := append(slices.Clone(above), fmt.Sprint(i+1))
		n := &section{
			ID:       "s" + strings.Join(place, "-"),
			Level:    min(len(place)+1, deepest),
			Heading:  or(plain(sec.Heading), "Without a heading"),
			Note:     plain(sec.Note),
			Text:     plains(sec.Text),
			Facts:    plainFacts(sec.Facts),
			List:     plains(sec.List),
			Links:    plainLinks(sec.Links),
			Blanks:   plains(sec.Blanks),
			Pictures: pictures(sec.Pictures),
			Sections: s.sections(sec.Sections, place),
		}
		for k, d := range sec.Drawings {
			n.Drawings = append(n.Drawings, newDrawing(d, fmt.Sprintf("%s-p%d", n.ID, k+1)))
		}
		if s.Contents {
			n.Number = strings.Join(place, ".")
		}
		if sec.Table != nil {
			n.Table = newGrid(sec.Table, n.Heading)
			s.Search = s.Search || n.Table.Search
		}
		set = append(set, n)
	}
	return set
}

// plain makes one text harmless and takes the spaces off its ends. What makes
// a screen safe to read makes a sheet safe to read.
func plain(s string) string { return strings.TrimSpace(term.Clean(s)) }

// plains is plain for several texts, without those that say nothing.
func plains(list []string) []string {
	var set []string
	for _, s := range list {
		if p := plain(s); p != "" {
			set = append(set, p)
		}
	}
	return set
}

func plainFacts(list []Fact) []Fact {
	var set []Fact
	for _, f := range list {
		set = append(set, Fact{Label: plain(f.Label), Value: or(plain(f.Value), "–")})
	}
	return set
}

func plainLinks(list []Link) []Link {
	var set []Link
	for _, l := range list {
		set = append(set, Link{Text: or(plain(l.Text), "–"), Href: l.Href})
	}
	return set
}

func or(s, otherwise string) string {
	if s == "" {
		return otherwise
	}
	return s
}

// width is the number of characters of a text.
func width(s string) int { return utf8.RuneCountInString(s) }
