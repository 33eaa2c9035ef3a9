package plot

import "strings"

// Series is one line or row of points of a picture.
type Series struct {
	Name   string
	Points []Point
	Plain  bool // a line without points, for a curve that was reckoned
	Loose  bool // points without a line, where another is drawn through them
}

// Point is one point of a line. One that is no number parts the line.
type Point struct{ X, Y float64 }

// Curves is several lines over one another.
type Curves struct {
	Title, Words string
	X, Y         Axis
	Series       []Series
}

// Draw makes the picture. Below it stands which line is which.
func (c Curves) Draw() Drawing {
	const top, right, plotHeight = 30.0, 14.0, 210.0
	var xs, ys []float64
	for _, s := range c.Series {
		for _, p := range s.Points {
			xs = append(xs, p.X)
			ys = append(ys, p.Y)
		}
	}
	y := c.Y.newScale(ys, top+plotHeight, top, 5)
	left := roomFor(y.labels(), 90) + 12
	x := c.X.newScale(xs, left+4, pictureWidth-right-8, 6)
	var g canvas
	g.frame(x, y, c.X.Label, c.Y.Label, left)
	for n, s := range c.Series {
		g.series(n, s, x, y)
	}
	height := g.legend(c.Series, top+plotHeight+50)
	return g.drawing(c.Title, c.Words, height)
}

// frame draws the grid with its numbers, and what the axes count.
func (c *canvas) frame(x, y scale, xLabel, yLabel string, left float64) {
	for _, t := range y.ticks {
		p := y.place(t.Value)
		c.line("grid", left, p, pictureWidth-14, p)
		c.text("end", left-6, p+5, cut(t.Label, 12))
	}
	for _, t := range x.ticks {
		p := x.place(t.Value)
		c.line("grid", p, y.from, p, y.to)
		c.text("middle", p, y.from+20, cut(t.Label, 14))
	}
	c.line("axis", left, y.from, pictureWidth-14, y.from)
	c.text("start", 0, y.to-14, cut(yLabel, 60))
	c.text("end", pictureWidth-14, y.from+39, cut(xLabel, 60))
}

// series draws one line with its points.
func (c *canvas) series(n int, s Series, x, y scale) {
	var path strings.Builder
	step := "M"
	for _, p := range s.Points {
		if !finite(p.X) || !finite(p.Y) {
			step = "M"
			continue
		}
		path.WriteString(step + at(x.place(p.X)) + "," + at(y.place(p.Y)))
		step = "L"
	}
	if path.Len() > 0 && !s.Loose {
		c.f(`<path class="line %s" d="%s"/>`, seriesClass(n), path.String())
	}
	for _, p := range s.Points {
		if !finite(p.X) || !finite(p.Y) || s.Plain {
			continue
		}
		c.marker(n, x.place(p.X), y.place(p.Y))
	}
}

// legend tells which line is which, from a height on, and gives where it ends.
func (c *canvas) legend(list []Series, y float64) float64 {
	if len(list) == 1 && list[0].Name == "" {
		return y
	}
	for n, s := range list {
		if !s.Loose {
			c.f(`<path class="line %s" d="M0,%sL44,%s"/>`, seriesClass(n), at(y+6), at(y+6))
		}
		if !s.Plain {
			c.marker(n, 22, y+6)
		}
		c.text("start", 54, y+11, cut(s.Name, 56))
		y += lineHeight
	}
	return y + 4
}
