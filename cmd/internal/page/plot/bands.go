package plot

import (
	"slices"
)

// Bands is values of one kind below each other, each with how far it may be off
// and in the band it should lie in.
type Bands struct {
	Title, Words string
	Axis         Axis
	Rows         []Banded
}

// Banded is one value. An open end of its band, and an end of what it may be
// that is not known, are NaN.
type Banded struct {
	Label     string
	Value     float64
	From, To  float64 // what it may be, for all that was read
	Low, High float64 // its band
	Look      Look
}

// Look is the shape of a value: it tells the verdict where colours do not.
type Look int

// The looks: a disc lies inside, a ring may lie on either side, a cross lies
// outside. Small is a value that nothing judges.
const (
	Small Look = iota
	Disc
	Ring
	Cross
)

// Draw makes the picture: a row a value, the band behind it.
func (b Bands) Draw() Drawing {
	var labels []string
	var values []float64
	for _, r := range b.Rows {
		labels = append(labels, cut(r.Label, mostBandLabel))
		values = append(values, r.Value, r.From, r.To, r.Low, r.High)
	}
	left := roomFor(labels, letter*mostBandLabel) + 12
	x := b.Axis.newScale(withRoom(values), left+6, pictureWidth-24, 4)
	var c canvas
	const top = 6.0
	bottom := top + float64(lineHeight*len(b.Rows))
	for i, r := range b.Rows {
		c.band(r, x, top+float64(lineHeight*i))
	}
	for _, t := range x.ticks {
		p := x.place(t.Value)
		c.line("grid", p, top, p, bottom)
		c.text("middle", p, bottom+18, t.Label)
	}
	c.line("axis", left, bottom, pictureWidth-24, bottom)
	c.text("end", pictureWidth-14, bottom+36, cut(b.Axis.Label, 60))
	for i, r := range b.Rows {
		c.ends(r, x, top+float64(lineHeight*i))
		c.banded(r, x, top+float64(lineHeight*i)+lineHeight/2)
		c.text("end", left-8, top+float64(lineHeight*i)+15, labels[i])
	}
	return c.drawing(b.Title, b.Words, bottom+44)
}

// mostBandLabel is the number of characters a value's label is cut to.
const mostBandLabel = 26

// withRoom adds values a little further out on both sides, so that no end of a
// band lies at the edge; sizes that are never below nought stay so.
func withRoom(values []float64) []float64 {
	values = slices.DeleteFunc(values, func(x float64) bool { return !finite(x) })
	if len(values) == 0 {
		return values
	}
	low, high := slices.Min(values), slices.Max(values)
	room := (high - low) / 20
	if low-room >= 0 || low < 0 {
		values = append(values, low-room)
	}
	return append(values, high+room)
}

// band draws the ground of a row between the ends of its band; an open end runs
// to the edge.
func (c *canvas) band(r Banded, x scale, y float64) {
	if !finite(r.Low) && !finite(r.High) {
		return
	}
	from, to := x.from, x.to
	if finite(r.Low) {
		from = x.place(r.Low)
	}
	if finite(r.High) {
		to = x.place(r.High)
	}
	c.rect("band", from, y+2, max(to-from, 0), lineHeight-4)
}

// ends draws a line at each end a band has.
func (c *canvas) ends(r Banded, x scale, y float64) {
	for _, end := range []float64{r.Low, r.High} {
		if finite(end) {
			c.line("end", x.place(end), y+2, x.place(end), y+lineHeight-2)
		}
	}
}

// banded draws a value and how far it may be off.
func (c *canvas) banded(r Banded, x scale, y float64) {
	if !finite(r.Value) {
		return
	}
	if finite(r.From) && finite(r.To) {
		c.line("off", x.place(r.From), y, x.place(r.To), y)
	}
	p := x.place(r.Value)
	switch r.Look {
	case Disc:
		c.f(`<circle class="m good" cx="%s" cy="%s" r="4.5"/>`, at(p), at(y))
	case Ring:
		c.f(`<circle class="m open hollow" cx="%s" cy="%s" r="4.5"/>`, at(p), at(y))
	case Cross:
		c.f(`<path class="cross" d="M%s,%sL%s,%sM%s,%sL%s,%s"/>`, at(p-5), at(y-5), at(p+5), at(y+5), at(p-5), at(y+5), at(p+5), at(y-5))
	default:
		c.f(`<circle class="m" cx="%s" cy="%s" r="3"/>`, at(p), at(y))
	}
}
