// Package plot draws what people would rather see than read: curves, values in
// their bands, spans of the shaft's turn, bars and vectors, each as one picture
// in SVG that stands inside a page. It knows no record; whoever asks for a
// picture says what is in it.
//
// What it promises:
//
//   - The same data give the same bytes: no date, no random id, no font
//     measured, and every place rounded to a tenth of a unit.
//   - No colour is in the picture. Its parts have classes, which the page's
//     style colours for light, dark and paper; lines differ in their dashes and
//     points in their shape too, so that a print in black tells them apart.
//   - No style, script, address or outside file is in it either, so the page's
//     content security policy holds.
//   - Text is data: markup in it is shown as the characters it is made of, and
//     what would steer the display as an escape. Long text is cut.
//   - It has a title and a sentence that says what it shows. All its numbers
//     belong into a table beside it, since not everybody sees pictures.
//   - What is no number (NaN, an infinity, anything from 1e12 on) is left out.
package plot

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"

	"stackbook/cmd/internal/term"
)

// Drawing is a picture that is ready to be set.
type Drawing struct {
	Title, Words string // what it is, and what it shows
	height       float64
	body         string
	set          []string
}

// Texts lists every text of the picture.
func (d Drawing) Texts() []string { return append([]string{d.Title, d.Words}, d.set...) }

// Sizes of a picture in its own units. Text of 14 in a picture 480 wide stays
// readable where the page sets it as narrow as 350 pixels.
const (
	pictureWidth = 480
	textSize     = 14
	letter       = 7.7 // about the width of a character, for making room
	lineHeight   = 20
)

// SVG is the picture as an element for a page; id is one nothing else on the
// page has.
func (d Drawing) SVG(id string) string {
	var c canvas
	c.f(`<svg class="plot" viewBox="0 0 %d %s" font-size="%d" role="img" aria-labelledby="%[4]s-t %[4]s-d">`,
		pictureWidth, at(d.height), textSize, clean(id))
	c.f(`<title id="%s-t">%s</title><desc id="%[1]s-d">%s</desc>`, clean(id), clean(d.Title), clean(d.Words))
	return c.String() + d.body + "</svg>"
}

// canvas gathers the elements of a picture.
type canvas struct {
	strings.Builder
	set []string // the texts in it
}

// drawing closes a picture.
func (c *canvas) drawing(title, words string, height float64) Drawing {
	return Drawing{title, words, height, c.String(), c.set}
}

func (c *canvas) f(format string, args ...any) { fmt.Fprintf(c, format, args...) }

func (c *canvas) line(class string, x1, y1, x2, y2 float64) {
	c.f(`<path class="%s" d="M%s,%sL%s,%s"/>`, class, at(x1), at(y1), at(x2), at(y2))
}

func (c *canvas) rect(class string, x, y, width, height float64) {
	c.f(`<rect class="%s" x="%s" y="%s" width="%s" height="%s"/>`, class, at(x), at(y), at(width), at(height))
}

// text sets words with their baseline at a place; anchor is start, middle or
// end.
func (c *canvas) text(anchor string, x, y float64, words string) {
	if words != "" {
		c.set = append(c.set, words)
		c.f(`<text text-anchor="%s" x="%s" y="%s">%s</text>`, anchor, at(x), at(y), clean(words))
	}
}

// at is a coordinate, to a tenth.
func at(x float64) string {
	text := strconv.FormatFloat(x, 'f', 1, 64)
	if text = strings.TrimSuffix(text, ".0"); text == "-0" {
		return "0"
	}
	return text
}

// entities make the characters that mean something in markup stand for
// themselves.
var entities = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", `"`, "&quot;", "'", "&#39;")

func clean(s string) string { return entities.Replace(strings.TrimSpace(term.Clean(s))) }

// cut shortens a text to so many characters, as they are shown.
func cut(s string, most int) string {
	s = strings.TrimSpace(term.Clean(s))
	if utf8.RuneCountInString(s) <= most {
		return s
	}
	return string([]rune(s)[:most-1]) + "…"
}

// roomFor is how wide the longest of some labels is set, at most so wide.
func roomFor(labels []string, most float64) float64 {
	room := 0.0
	for _, l := range labels {
		room = max(room, letter*float64(utf8.RuneCountInString(term.Clean(l))))
	}
	return min(room, most)
}

// finite tells whether a value can be shown; NaN never can.
func finite(x float64) bool { return math.Abs(x) < 1e12 }

// seriesClass is the look of the nth of several things: three colours, and the
// dashes of four.
func seriesClass(n int) string { return fmt.Sprintf("c%d d%d", n%3+1, n%4+1) }

// marker draws a point of the nth of several things: disc, square, triangle,
// diamond, every other one hollow.
func (c *canvas) marker(n int, x, y float64) {
	const r = 4
	class := fmt.Sprintf("m c%d", n%3+1)
	if n%2 == 1 {
		class += " hollow"
	}
	switch n % 4 {
	case 0:
		c.f(`<circle class="%s" cx="%s" cy="%s" r="%d"/>`, class, at(x), at(y), r)
	case 1:
		c.rect(class, x-r, y-r, 2*r, 2*r)
	case 2:
		c.f(`<path class="%s" d="M%s,%sL%s,%sL%s,%sZ"/>`, class, at(x), at(y-r-1), at(x+r+1), at(y+r), at(x-r-1), at(y+r))
	case 3:
		c.f(`<path class="%s" d="M%s,%sL%s,%sL%s,%sL%s,%sZ"/>`, class, at(x), at(y-r-1), at(x+r+1), at(y), at(x), at(y+r+1), at(x-r-1), at(y))
	}
}
