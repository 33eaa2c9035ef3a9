package app

import (
	"fmt"
	"math"
	"strings"

	"stackbook/cmd/internal/act"
	"stackbook/cmd/internal/page"
	"stackbook/cmd/internal/page/plot"
	"stackbook/diff/history"
	"stackbook/schema/quantity"
)

// mostWearDrawings is how many pictures of wear a sheet holds; the table has all
// the numbers.
const mostWearDrawings = 24

// wearSection tells each size that was read more than once, over the hours of
// its part, and when to measure it again. How long a part will last is not told.
func wearSection(w *act.WearOf) page.Section {
	s := page.Section{Heading: "Wear, and when to measure again"}
	if len(w.Sizes) == 0 {
		s.Text = []string{"No size was read twice on one part with hours run between."}
		return s
	}
	s.Note = "Hours are the part's own; with * those since it was fitted, for what it had run before is not recorded. A rate is that of a straight line, with its 95 % interval. Bedding-in and damage follow none, and how long a part will last is not told."
	s.Table = &page.Table{Columns: []page.Column{{Title: "At"}, {Title: "Part"}, {Title: "Read", Right: true}, {Title: "Hours"}, {Title: "First", Right: true}, {Title: "Last", Right: true},
		{Title: "Unit"}, {Title: "By the hour"}, {Title: "Limit"}, {Title: "Measure again by"}}}
	title := ""
	for _, size := range w.Sizes {
		if size.Point.Title != title {
			title = size.Point.Title
			s.Table.Rows = append(s.Table.Rows, page.Row{Group: capital(title)})
		}
		s.Table.Rows = append(s.Table.Rows, cells(append([]string{size.At}, wearCells(w.Display, size)...)...))
	}
	all := drawWear(w)
	if s.Drawings = all[:min(len(all), mostWearDrawings)]; len(all) > mostWearDrawings {
		s.Text = []string{fmt.Sprintf("%s more would show the rest of the table.", capital(count(len(all)-mostWearDrawings, "drawing")))}
	}
	return s
}

// drawWear draws the sizes that were read often enough for a line: each that
// grows or shrinks with its line and limit, the others of one part over one
// another.
func drawWear(w *act.WearOf) []plot.Drawing {
	var trends, rest []plot.Drawing
	var flat []*history.Wear
	closeFlat := func() {
		if len(flat) > 0 {
			rest = append(rest, drawSizes(w.Display, flat))
			flat = nil
		}
	}
	for _, size := range w.Sizes {
		switch {
		case size.Trend == history.TooFew:
		case size.Trend == history.NoTrend:
			if len(flat) > 0 && !ofOnePart(flat[0], size) {
				closeFlat()
			}
			flat = append(flat, size)
		default:
			trends = append(trends, drawTrend(w.Display, size))
		}
	}
	closeFlat()
	return append(trends, rest...)
}

// partWorn is where the part sits that a size is of.
func partWorn(w *history.Wear) string {
	return w.Point.PartOf(w.Readings[len(w.Readings)-1].Position)
}

func ofOnePart(a, b *history.Wear) bool {
	return a.Point == b.Point && partWorn(a) == partWorn(b) && wornPart(a) == wornPart(b)
}

// shownIn turns values of the dictionary's unit into those shown.
func shownIn(d act.Display, w *history.Wear) (in func(x float64) float64, symbol string) {
	unit := d.Unit(w.Point.Unit, w.Point.Dim)
	kept, err := quantity.MustLookup(w.Point.Unit).As(w.Point.Dim)
	if err != nil {
		kept = unit
	}
	return func(x float64) float64 { return quantity.FromSI(quantity.ToSI(x, kept), unit) }, act.Symbol(w.Point.Unit, unit)
}

func wearCurves(title, symbol, words string) plot.Curves {
	return plot.Curves{Title: capital(title), Words: words, X: plot.Axis{Label: "hours of the part"}, Y: plot.Axis{Label: symbol}}
}

// drawSizes draws sizes of one part that show no trend.
func drawSizes(d act.Display, sizes []*history.Wear) plot.Drawing {
	in, symbol := shownIn(d, sizes[0])
	c := wearCurves(sizes[0].Point.Title+" at "+partWorn(sizes[0])+bracketed(wornPart(sizes[0])), symbol,
		"As read over the hours of the part; no rate differs from none. The numbers stand in the table.")
	for _, size := range sizes {
		c.Series = append(c.Series, plot.Series{Name: strings.TrimPrefix(strings.TrimPrefix(size.At, partWorn(size)), "/"), Points: wearPoints(size, in)})
	}
	return c.Draw()
}

func bracketed(text string) string {
	if text == "" {
		return ""
	}
	return " (" + text + ")"
}

func wearPoints(w *history.Wear, in func(float64) float64) []plot.Point {
	var points []plot.Point
	for _, r := range w.Readings {
		points = append(points, plot.Point{X: r.Hours, Y: in(r.Value)})
	}
	return points
}

// drawTrend draws a size that grows or shrinks: its readings, the line through
// them as far as it is to be measured again, what one more reading could be, and
// the limit.
func drawTrend(d act.Display, w *history.Wear) plot.Drawing {
	in, symbol := shownIn(d, w)
	c := wearCurves(w.Point.Title+" at "+w.At+bracketed(wornPart(w)), symbol, "Readings over the hours of the part, and the straight line fitted to them. Drawn no further than to where it is to be measured again.")
	first, last := w.Readings[0].Hours, w.Readings[len(w.Readings)-1].Hours
	if w.Next != nil {
		last = max(last, w.Next.Hours)
	}
	line := plot.Series{Name: "straight line", Plain: true}
	low, high := plot.Series{Name: "one more reading, 95 %", Plain: true}, []plot.Point{{X: math.NaN()}}
	const steps = 12 // the ends of the interval are no straight lines
	for i := range steps + 1 {
		x := first + float64((last-first)*float64(i)/steps)
		value, least, most, ok := w.Forecast(x)
		if !ok {
			continue
		}
		line.Points = append(line.Points, plot.Point{X: x, Y: in(value)})
		low.Points, high = append(low.Points, plot.Point{X: x, Y: in(least)}), append(high, plot.Point{X: x, Y: in(most)})
	}
	low.Points = append(low.Points, high...)
	c.Series = []plot.Series{{Name: "as read", Points: wearPoints(w, in), Loose: true}, line, low}
	if w.Limit != nil {
		y := in(w.Limit.Value)
		c.Series = append(c.Series, plot.Series{Name: "limit: " + wearLimit(d, w, d.Unit(w.Point.Unit, w.Point.Dim)) + " " + symbol, Plain: true, Points: []plot.Point{{X: first, Y: y}, {X: last, Y: y}}})
	}
	return c.Draw()
}
