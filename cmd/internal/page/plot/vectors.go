package plot

import "math"

// Vectors is arrows from a common centre, in one circle a plane.
type Vectors struct {
	Title, Words string
	Planes       []Plane
}

// Plane is one circle with what pulls in it.
type Plane struct {
	Name   string
	Arrows []Arrow
}

// Arrow is one vector: its length in any unit, and its angle in degrees,
// counted from the top in the direction of the clock.
type Arrow struct {
	Label  string
	Length float64
	Angle  float64
}

// Draw makes the picture. All circles have one scale, that of the longest
// arrow; what each arrow is stands below.
func (v Vectors) Draw() Drawing {
	const top, radius = 26.0, 84.0
	longest := 0.0
	for _, p := range v.Planes {
		for _, a := range p.Arrows {
			if finite(a.Length) {
				longest = max(longest, math.Abs(a.Length))
			}
		}
	}
	var c canvas
	step := float64(pictureWidth) / float64(max(len(v.Planes), 1))
	bottom := top + 2*radius + 20
	end := bottom
	for i, p := range v.Planes {
		x, y := float64(step*(float64(i)+0.5)), top+radius
		r := min(radius, step/2-8)
		c.text("middle", x, 16, cut(p.Name, int(step/letter)))
		c.f(`<circle class="grid ring" cx="%s" cy="%s" r="%s"/><circle class="grid ring" cx="%[1]s" cy="%[2]s" r="%[4]s"/>`, at(x), at(y), at(r), at(r/2))
		c.line("grid", x-r, y, x+r, y)
		c.line("grid", x, y-r, x, y+r)
		for n, a := range p.Arrows {
			c.arrow(n, a, x, y, longest, r)
			row := bottom + float64(lineHeight*n)
			c.f(`<path class="line %s" d="M%s,%sL%s,%[3]s"/>`, seriesClass(n), at(x-step/2+4), at(row), at(x-step/2+30))
			c.text("start", x-step/2+36, row+5, cut(a.Label, int((step-40)/letter)))
			end = max(end, row+14)
		}
	}
	return c.drawing(v.Title, v.Words, end)
}

// arrow draws one vector with a head.
func (c *canvas) arrow(n int, a Arrow, x, y, longest, radius float64) {
	if !finite(a.Length) || !finite(a.Angle) || longest == 0 {
		return
	}
	length := float64(a.Length / longest * radius)
	sin, cos := math.Sincos(a.Angle * math.Pi / 180)
	tipX, tipY := x+float64(length*sin), y-float64(length*cos)
	c.f(`<path class="line %s" d="M%s,%sL%s,%s"/>`, seriesClass(n), at(x), at(y), at(tipX), at(tipY))
	c.marker(n, tipX, tipY)
}
