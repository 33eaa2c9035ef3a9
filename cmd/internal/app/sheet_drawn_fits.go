package app

import (
	"fmt"
	"math"

	"stackbook/cmd/internal/act"
	"stackbook/cmd/internal/page"
	"stackbook/cmd/internal/page/plot"
	"stackbook/record/figure"
	"stackbook/schema"
	"stackbook/schema/quantity"
)

// drawBands draws every judged figure in its band, one picture a figure.
func drawBands(d drawn) *page.Section {
	s := &page.Section{Heading: "Judged figures in their bands",
		Note: "The band is the one that judges. A disc conforms, a ring is undecided, a cross fails; the line through it is what it may be, for all that is known (k = 2). The numbers stand under Figures."}
	var open plot.Bands
	closeOne := func() {
		if len(open.Rows) > 0 {
			open.Words = fmt.Sprintf("%d of them, a row each, in the band each is judged by.", len(open.Rows))
			s.Drawings = append(s.Drawings, open.Draw())
		}
	}
	for _, r := range d.figures.Results {
		if r.Limit == nil {
			continue
		}
		unit := d.display.Unit(r.Figure.Unit, r.Figure.Dimension())
		if title := titleOf(r.Figure); open.Title != title {
			closeOne()
			open = plot.Bands{Title: title, Axis: plot.Axis{Label: act.Symbol(r.Figure.Unit, unit)}}
		}
		open.Rows = append(open.Rows, banded(r, unit))
	}
	if closeOne(); len(s.Drawings) == 0 {
		return nil
	}
	return s
}

// looks is the shape a verdict is drawn in.
var looks = map[figure.Verdict]plot.Look{figure.Conforms: plot.Disc, figure.Undecided: plot.Ring, figure.Fails: plot.Cross}

func banded(r *figure.Result, unit quantity.Unit) plot.Banded {
	in := func(si float64) float64 { return quantity.FromSI(si, unit) }
	b := plot.Banded{Label: r.At, Value: in(r.Value), From: math.NaN(), To: math.NaN(), Low: in(r.Limit.Low), High: in(r.Limit.High), Look: looks[r.Verdict]}
	if r.Extent != nil {
		b.From, b.To = in(r.Extent.Low), in(r.Extent.High)
	} else if u := r.Uncertainty; u != nil {
		b.From, b.To = in(r.Value-u.Expanded), in(r.Value+u.Expanded)
	}
	return b
}

// drawBalance draws the counterweight each plane calls for, and tells what was
// left on the machine.
func drawBalance(d drawn) *page.Section {
	v := plot.Vectors{Title: "Unbalance in the two planes", Words: "What the rotors call for in each plane, by its angle from lobe 1, which is at the top; angles count in the direction of rotation."}
	t := &page.Table{Columns: []page.Column{{Title: "Plane"}, {Title: "Called for, g mm", Right: true}, {Title: "At, deg", Right: true}, {Title: "As made, less that", Right: true}, {Title: "Residual, g mm", Right: true}, {Title: "Permissible, g mm", Right: true}}}
	for _, at := range schema.Pattern("counterweight/front|rear").Expand(d.engine().Rotors) {
		amount, angle := d.figures.Find("counterweight.unbalance", at), d.figures.Find("counterweight.angle", at)
		if amount == nil || angle == nil {
			continue
		}
		plane := plot.Plane{Name: at, Arrows: []plot.Arrow{{Label: fmt.Sprintf("%s g mm at %s deg", amount.Text(), angle.Text()), Length: amount.In(), Angle: angle.In()}}}
		row := cells(at, amount.Text(), angle.Text())
		for _, id := range []string{"counterweight.difference", "balance.residual", "balance.permissible"} {
			text := ""
			if r := d.figures.Find(id, at); r != nil {
				text = r.Text()
			}
			row.Cells = append(row.Cells, page.Cell{Text: text})
		}
		v.Planes, t.Rows = append(v.Planes, plane), append(t.Rows, row)
	}
	if len(v.Planes) == 0 {
		return nil
	}
	return &page.Section{Heading: "Unbalance", Drawings: []plot.Drawing{v.Draw()}, Table: t, Note: "The residual is on the machine, with its bob weights; it has a size and no angle here, and would be too short to see."}
}
