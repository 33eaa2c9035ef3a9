package app

import (
	"fmt"
	"strings"

	"stackbook/cmd/internal/page"
	"stackbook/cmd/internal/page/plot"
	"stackbook/record"
	"stackbook/schema"
	"stackbook/schema/quantity"
)

// port is one port of a rotor: when it is open, in shaft degrees after the top
// dead centre between exhaust and intake, and its area.
type port struct {
	rotor         int
	name          string // "intake", "exhaust peripheral"
	exhaust       bool
	opens, closes *float64
	area          *float64 // mm2
	from          string   // "spec", "measured"
}

// stroke is the shaft angle between two dead centres of a chamber.
const stroke = 270

// portsOf lists the ports of every rotor: as read by degree wheel where both
// edges were, else as the spec has them. Filled ones are left out.
func portsOf(e *record.Engine) []port {
	var list []port
	for rotor := 1; rotor <= e.Rotors; rotor++ {
		for _, side := range []string{"exhaust", "intake"} {
			own := namedPorts(e, rotor, side)
			if len(own) == 0 {
				own = []port{specPort(e, side, port{rotor: rotor, name: side})}
			}
			list = append(list, own...)
		}
	}
	return list
}

// namedPorts are the ports of one side of a rotor that the spec lists or that
// were read, each with what it lacks taken from the spec as a whole.
func namedPorts(e *record.Engine, rotor int, side string) []port {
	var list []port
	for _, kind := range []schema.Pattern{"port/*r/intake/primary|secondary|auxiliary|peripheral", "port/*r/exhaust/side|peripheral"} {
		for _, at := range kind.Expand(e.Rotors) {
			if !strings.HasPrefix(at, fmt.Sprintf("port/%d/%s/", rotor, side)) {
				continue
			}
			n := e.Spec.Doc.Root().At("porting", "ports", at)
			opens, closes := readAngle(e, "port_opens", at), readAngle(e, "port_closes", at)
			read := opens != nil && closes != nil
			if n == nil && !read || n != nil && keyText(n, "state") == "filled" {
				continue
			}
			p := specPort(e, side, port{rotor: rotor, name: side + " " + at[strings.LastIndex(at, "/")+1:]})
			if n != nil {
				p.take(side, keyText(n, "opens"), keyText(n, "closes"), keyText(n, "area"))
			}
			if read {
				p.opens, p.closes, p.from = opens, closes, "measured"
			}
			list = append(list, p)
		}
	}
	return list
}

// specPort takes timing and area of one side from the spec.
func specPort(e *record.Engine, side string, p port) port {
	text := func(key string) string { return e.Spec.Text("porting." + side + "_" + key) }
	p.exhaust, p.from = side == "exhaust", "spec"
	p.take(side, text("opens"), text("closes"), text("area"))
	return p
}

// take takes over what is written. The spec counts an opening exhaust back from
// the bottom dead centre before, a closing intake on from the one behind.
func (p *port) take(side, opens, closes, area string) {
	if x := inUnit(opens, quantity.Angle, "deg"); x != nil {
		if p.opens = x; side == "exhaust" {
			*x = -stroke - *x
		}
	}
	if x := inUnit(closes, quantity.Angle, "deg"); x != nil {
		if p.closes = x; side == "intake" {
			*x += stroke
		}
	}
	if x := inUnit(area, quantity.Area, "mm2"); x != nil {
		p.area = x
	}
}

// inUnit reads a quantity in a unit, nil where there is none.
func inUnit(text string, dim quantity.Dimension, unit string) *float64 {
	q, err := quantity.Parse(text, dim, unit)
	if text == "" || err != nil {
		return nil
	}
	x := tidy(quantity.FromSI(q.SI(), quantity.MustLookup(unit)))
	return &x
}

// readAngle is the reading of a point that counts, in degrees, nil where there
// is none.
func readAngle(e *record.Engine, point, at string) *float64 {
	counted, _ := e.Counting(schema.FindPoint(point), at)
	for _, c := range counted {
		if q, ok := c.Mean(); ok {
			x := tidy(quantity.FromSI(q.SI(), quantity.MustLookup("deg")))
			return &x
		}
	}
	return nil
}

func (p *port) label() string { return fmt.Sprintf("rotor %d %s", p.rotor, p.name) }

// deadCentres are the ticks of one chamber's turn.
var deadCentres = []plot.Tick{{Value: -2 * stroke, Label: "-540", Below: "top"}, {Value: -stroke, Label: "-270", Below: "bottom"}, {Value: 0, Label: "0", Below: "top"}, {Value: stroke, Label: "270", Below: "bottom"}, {Value: 2 * stroke, Label: "540", Below: "top"}}

// drawPorts draws when each port of each rotor is open in a chamber's turn.
func drawPorts(d drawn) *page.Section {
	s := plot.Spans{Title: "Port timing", Words: "When each port is open in the turn of one chamber of its rotor, from one compression to the next: exhaust hollow, intake filled.",
		Axis: plot.Axis{Label: "shaft deg; 0 is the top between exhaust and intake", Ticks: deadCentres}}
	t := &page.Table{Columns: []page.Column{{Title: "Port"}, {Title: "Opens, deg", Right: true}, {Title: "Closes, deg", Right: true}, {Title: "Open for, deg", Right: true}, {Title: "From"}}}
	for _, p := range portsOf(d.engine()) {
		if p.opens == nil || p.closes == nil {
			continue
		}
		s.Rows = append(s.Rows, plot.Span{Label: p.label(), From: *p.opens, To: *p.closes, Hollow: p.exhaust})
		t.Rows = append(t.Rows, cells(p.label(), quantity.Format(*p.opens, 0), quantity.Format(*p.closes, 0), quantity.Format(*p.closes-*p.opens, 0), p.from))
	}
	if len(s.Rows) == 0 {
		return nil
	}
	return &page.Section{Heading: "Port timing", Drawings: []plot.Drawing{s.Draw()}, Table: t, Note: "In shaft degrees after the top dead centre between exhaust and intake; before it is negative."}
}

// drawAreas draws the smallest section of each port by rotor.
func drawAreas(d drawn) *page.Section {
	b := plot.Bars{Title: "Port area by rotor", Words: "The smallest section of each port, square to the flow: exhaust hollow, intake filled.", Axis: plot.Axis{Label: "area, mm2"}}
	t := &page.Table{Columns: []page.Column{{Title: "Port"}, {Title: "Area, mm2", Right: true}}}
	for _, p := range portsOf(d.engine()) {
		if p.area == nil {
			continue
		}
		text := quantity.Format(*p.area, 0)
		b.Rows = append(b.Rows, plot.Bar{Label: p.label(), Value: *p.area, Text: text, Hollow: p.exhaust})
		t.Rows = append(t.Rows, cells(p.label(), text))
	}
	if len(b.Rows) == 0 {
		return nil
	}
	return &page.Section{Heading: "Port area", Drawings: []plot.Drawing{b.Draw()}, Table: t}
}
