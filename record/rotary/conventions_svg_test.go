package rotary

import (
	"fmt"
	"math"
	"strings"
	"unicode/utf8"
)

// canvas is a drawing being made, in the units of its view box.
type canvas struct {
	body   strings.Builder
	labels []label
}

// label is a text with the box it fills, by a width of letters on the safe side.
type label struct {
	text                     string
	left, top, right, bottom float64
}

// overlaps tells whether two labels touch.
func (l label) overlaps(o label) bool {
	return l.left < o.right && o.left < l.right && l.top < o.bottom && o.top < l.bottom
}

// spot is a place on the canvas: x to the right, y downwards.
type spot struct{ x, y float64 }

func (p spot) plus(dx, dy float64) spot { return spot{p.x + dx, p.y + dy} }

// num prints a coordinate so that it is the same on every processor.
func num(x float64) string {
	if math.Abs(x) < 0.05 {
		x = 0
	}
	return strings.TrimSuffix(fmt.Sprintf("%.1f", x), ".0")
}

// path draws straight lines through points; shut joins the last to the first.
func (c *canvas) path(class string, shut bool, points ...spot) {
	var b strings.Builder
	for i, p := range points {
		b.WriteString(map[bool]string{true: "M", false: " L"}[i == 0])
		b.WriteString(num(p.x) + " " + num(p.y))
	}
	if shut {
		b.WriteString(" Z")
	}
	fmt.Fprintf(&c.body, "<path class=\"%s\" d=\"%s\"/>\n", class, b.String())
}

func (c *canvas) circle(class string, at spot, radius float64) {
	fmt.Fprintf(&c.body, "<circle class=\"%s\" cx=\"%s\" cy=\"%s\" r=\"%s\"/>\n", class, num(at.x), num(at.y), num(radius))
}

func (c *canvas) box(class string, left, top, right, bottom float64) {
	fmt.Fprintf(&c.body, "<rect class=\"%s\" x=\"%s\" y=\"%s\" width=\"%s\" height=\"%s\"/>\n", class, num(left), num(top), num(right-left), num(bottom-top))
}

// Sizes of letters, and how wide a letter is at most on average.
const (
	small, usual, large = 12.0, 14.0, 18.0

	letterWidth = 0.56
)

// text writes a label; anchor is start, middle or end, and at is on its base
// line.
func (c *canvas) text(anchor string, at spot, size float64, words string) {
	width := size * letterWidth * float64(utf8.RuneCountInString(words))
	left := at.x - width*map[string]float64{"start": 0, "middle": 0.5, "end": 1}[anchor]
	c.labels = append(c.labels, label{words, left, at.y - 0.8*size, left + width, at.y + 0.2*size})
	fmt.Fprintf(&c.body, "<text x=\"%s\" y=\"%s\" font-size=\"%s\" text-anchor=\"%s\">%s</text>\n", num(at.x), num(at.y), num(size), anchor, words)
}

// arrow draws a line with a head at its end.
func (c *canvas) arrow(points ...spot) {
	c.path("thin", false, points...)
	tip, from := points[len(points)-1], points[len(points)-2]
	angle := math.Atan2(tip.y-from.y, tip.x-from.x)
	wing := func(turn float64) spot {
		return tip.plus(-9*math.Cos(angle+turn), -9*math.Sin(angle+turn))
	}
	c.path("solid", true, tip, wing(0.35), wing(-0.35))
}

const drawingStyle = `svg { font-family: sans-serif; }
.paper { fill: #fff; }
.line { fill: none; stroke: #111; stroke-width: 2; stroke-linejoin: round; }
.thin { fill: none; stroke: #111; stroke-width: 1; }
.dash { fill: none; stroke: #111; stroke-width: 1; stroke-dasharray: 9 3 2 3; }
.part { fill: #eee; stroke: #111; stroke-width: 1.5; stroke-linejoin: round; }
.dark { fill: #ccc; stroke: #111; stroke-width: 1.5; stroke-linejoin: round; }
.solid { fill: #111; stroke: none; }
text { fill: #111; }
@media (prefers-color-scheme: dark) {
.paper { fill: #161616; }
.line, .thin, .dash { stroke: #eee; }
.part { fill: #2a2a2a; stroke: #eee; }
.dark { fill: #484848; stroke: #eee; }
.solid, text { fill: #eee; }
}
`

// document is the whole drawing, with its words for those who cannot see it.
func (c *canvas) document(width, height float64, title, description string) string {
	return fmt.Sprintf("<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 %s %s\" role=\"img\" aria-labelledby=\"title desc\">\n"+
		"<title id=\"title\">%s</title>\n<desc id=\"desc\">%s</desc>\n<style>\n%s</style>\n<rect class=\"paper\" width=\"100%%\" height=\"100%%\"/>\n%s</svg>\n",
		num(width), num(height), title, description, drawingStyle, c.body.String())
}
