package plot

import "math"

// Spans is what lasts from one place to another on a common axis, such as how
// long each port is open in a turn.
type Spans struct {
	Title, Words string
	Axis         Axis
	Rows         []Span
}

// Span is one row; hollow and filled ones tell two kinds apart.
type Span struct {
	Label    string
	From, To float64
	Hollow   bool
}

// Draw makes the picture: a row a span.
func (s Spans) Draw() Drawing {
	const top = 8.0
	var labels []string
	var values []float64
	for _, r := range s.Rows {
		labels = append(labels, cut(r.Label, mostBandLabel))
		values = append(values, r.From, r.To)
	}
	left := roomFor(labels, letter*mostBandLabel) + 12
	x := s.Axis.newScale(values, left, pictureWidth-34, 6)
	bottom := top + float64(lineHeight*len(s.Rows))
	var c canvas
	for _, t := range x.ticks {
		c.line("grid", x.place(t.Value), top, x.place(t.Value), bottom)
		c.text("middle", x.place(t.Value), bottom+18, cut(t.Label, 14))
		c.text("middle", x.place(t.Value), bottom+34, cut(t.Below, 14))
	}
	c.line("axis", left, bottom, pictureWidth-34, bottom)
	for i, r := range s.Rows {
		y := top + float64(lineHeight*i)
		c.text("end", left-8, y+15, labels[i])
		if finite(r.From) && finite(r.To) {
			c.bar(r.Hollow, x.place(r.From), y+4, x.place(r.To)-x.place(r.From), lineHeight-8)
		}
	}
	c.text("end", pictureWidth, bottom+54, cut(s.Axis.Label, 60))
	return c.drawing(s.Title, s.Words, bottom+62)
}

// bar draws a filled box, or a hollow one.
func (c *canvas) bar(hollow bool, x, y, width, height float64) {
	class := "bar c1"
	if hollow {
		class = "bar c2 hollow"
	}
	c.rect(class, x, y, max(width, 0), height)
}

// Bars is lengths beside each other, some to a group, such as areas a rotor.
type Bars struct {
	Title, Words string
	Axis         Axis
	Rows         []Bar
}

// Bar is one length from nought.
type Bar struct {
	Label string
	Value float64
	Text  string // the value as it is printed, set behind the bar

	Hollow bool // as of a span
}

// Draw makes the picture: a row a bar, its value behind it.
func (b Bars) Draw() Drawing {
	const top = 6.0
	var labels, texts []string
	var values []float64
	for _, r := range b.Rows {
		labels, texts = append(labels, cut(r.Label, mostBandLabel)), append(texts, cut(r.Text, 14))
		values = append(values, r.Value)
	}
	axis := b.Axis
	axis.Zero = true
	left := roomFor(labels, letter*mostBandLabel) + 12
	x := axis.newScale(values, left, pictureWidth-20-roomFor(texts, letter*14), 4)
	bottom := top + float64(lineHeight*len(b.Rows))
	var c canvas
	for _, t := range x.ticks {
		c.line("grid", x.place(t.Value), top, x.place(t.Value), bottom)
		c.text("middle", x.place(t.Value), bottom+18, t.Label)
	}
	c.line("axis", x.place(0), top, x.place(0), bottom)
	for i, r := range b.Rows {
		y := top + float64(lineHeight*i)
		c.text("end", left-8, y+15, labels[i])
		if !finite(r.Value) {
			continue
		}
		zero, end := x.place(0), x.place(r.Value)
		c.bar(r.Hollow, min(zero, end), y+3, math.Abs(end-zero), lineHeight-6)
		c.text("start", max(zero, end)+6, y+15, texts[i])
	}
	c.text("end", pictureWidth-14, bottom+36, cut(axis.Label, 60))
	return c.drawing(b.Title, b.Words, bottom+44)
}
