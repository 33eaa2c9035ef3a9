package app

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"stackbook/cmd/internal/page"
	"stackbook/cmd/internal/page/plot"
	"stackbook/record"
	"stackbook/record/figure"
	"stackbook/record/rotary"
	"stackbook/schema"
	"stackbook/schema/quantity"
)

// The turn of one chamber, in shaft degrees, and the steps it is drawn and
// printed in.
const (
	chamberTurn  = 4 * stroke
	drawnStep    = 15
	printedEvery = 90
)

// drawChambers draws the volume of one chamber of rotor 1 over the shaft angle.
func drawChambers(states []drawn) *page.Section {
	curve := plot.Curves{Title: "Chamber volume over the shaft angle", Words: "The volume of one chamber of rotor 1 from a top dead centre through a whole turn of the rotor, three turns of the shaft."}
	for x := 0; x <= chamberTurn; x += stroke {
		curve.X.Ticks = append(curve.X.Ticks, plot.Tick{Value: float64(x), Label: fmt.Sprint(x)})
	}
	curve.X.Label = "shaft angle, deg"
	t := &page.Table{Columns: []page.Column{{Title: "Shaft angle, deg", Right: true}}}
	for x := 0; x <= chamberTurn; x += printedEvery {
		t.Rows = append(t.Rows, cells(fmt.Sprint(x)))
	}
	for _, d := range states {
		volume, basis := chamberOf(d)
		if volume == nil {
			continue
		}
		unit := d.display.Unit("cm3", quantity.Volume)
		curve.Y = plot.Axis{Label: "volume, " + unit.Symbol(), Zero: true}
		series := plot.Series{Name: d.name + ", " + basis, Plain: true}
		for x := 0; x <= chamberTurn; x += drawnStep {
			v := quantity.FromSI(volume(float64(x)*math.Pi/180), unit)
			series.Points = append(series.Points, plot.Point{X: float64(x), Y: v})
			if x%printedEvery == 0 {
				row := &t.Rows[x/printedEvery]
				row.Cells = append(row.Cells, page.Cell{Text: quantity.Format(v, 1)})
			}
		}
		curve.Series = append(curve.Series, series)
		t.Columns = append(t.Columns, page.Column{Title: d.name + ", " + unit.Symbol(), Right: true})
	}
	if len(curve.Series) == 0 {
		return nil
	}
	return &page.Section{Heading: "Chamber volume", Drawings: []plot.Drawing{curve.Draw()}, Table: t, Note: "Geometric: from the spec's sizes, the least volume with pocket, relief and recesses where they are known."}
}

// chamberOf is the volume of a chamber of rotor 1 over the shaft angle, in SI,
// and what its least volume rests on; nil where the spec has no sizes for it.
func chamberOf(d drawn) (volume func(angle float64) float64, basis string) {
	spec := d.engine().Spec
	size := func(key string) float64 {
		q, _, ok := spec.Quantity("geometry." + key)
		if !ok {
			return 0
		}
		return q.SI()
	}
	bore, err := rotary.NewBore("chamber-volume", size("eccentricity"), size("generating_radius"), size("seal_tip_radius"))
	if err != nil {
		return nil, ""
	}
	chamber, err := rotary.NewChamber("chamber-volume", bore, size("chamber_width"))
	if err != nil {
		return nil, ""
	}
	least, _ := chamber.IdealVolumes()
	basis = "ideal flank, no pocket"
	if r := d.figures.Find("compression.least_volume", "rotor/1"); r != nil {
		least, basis = r.Value, "pocket and recesses counted"
	}
	return func(angle float64) float64 { return chamber.Volume(least, angle) }, basis
}

// drawCoolant draws the coolant's temperature as it leaves each housing:
// measured, and estimated where a figure gives it.
func drawCoolant(states []drawn) *page.Section {
	c := plot.Curves{Title: "Coolant by housing", Words: "Temperature at the inlet and as the coolant leaves each housing, front to rear."}
	t := &page.Table{Columns: []page.Column{{Title: "At"}}}
	places := []string{"inlet"}
	most := 0
	for _, d := range states {
		most = max(most, d.engine().Rotors)
	}
	for n := 1; n <= most; n++ {
		places = append(places, fmt.Sprintf("housing %d", n))
	}
	for i, place := range places {
		c.X.Ticks = append(c.X.Ticks, plot.Tick{Value: float64(i), Label: strings.TrimPrefix(place, "housing ")})
		t.Rows = append(t.Rows, cells(place))
	}
	c.X.Label = "inlet, then housings from the front"
	for _, d := range states {
		unit := d.display.Unit("degC", quantity.Temperature)
		c.Y.Label = "coolant, " + unit.Symbol()
		for _, one := range []struct {
			name string
			at   map[int]float64
		}{{"measured", coolantRead(d.engine())}, {"estimated", coolantEstimated(d.figures)}} {
			if len(one.at) == 0 {
				continue
			}
			series := plot.Series{Name: d.name + ", " + one.name}
			t.Columns = append(t.Columns, page.Column{Title: series.Name + ", " + unit.Symbol(), Right: true})
			for i := range places {
				text := ""
				if si, ok := one.at[i]; ok {
					series.Points = append(series.Points, plot.Point{X: float64(i), Y: quantity.FromSI(si, unit)})
					text = quantity.Format(quantity.FromSI(si, unit), 1)
				}
				t.Rows[i].Cells = append(t.Rows[i].Cells, page.Cell{Text: text})
			}
			c.Series = append(c.Series, series)
		}
	}
	if len(c.Series) == 0 {
		return nil
	}
	return &page.Section{Heading: "Coolant", Drawings: []plot.Drawing{c.Draw()}, Table: t, Note: "Readings of different days and loads: compare a state's housings with each other first. The order the coolant takes is in the spec's cooling."}
}

// coolantRead are the temperatures that count, SI, by housing; 0 is the inlet of
// the engine.
func coolantRead(e *record.Engine) map[int]float64 {
	at := map[int]float64{}
	point := schema.FindPoint("coolant_temperature")
	for _, position := range e.Positions(point) {
		counted, _ := e.Counting(point, position)
		for _, c := range counted {
			q, ok := c.Mean()
			if n := housingNumber(position); ok && (n > 0 && c.Place == "out" || position == "engine" && c.Place == "in") {
				at[n] = q.SI()
			}
		}
	}
	return at
}

// coolantEstimated are the temperatures at housings that a figure gives and
// nobody read.
func coolantEstimated(s *figure.Set) map[int]float64 {
	at := map[int]float64{}
	for _, r := range s.Results {
		words := strings.FieldsFunc(r.Figure.ID, func(r rune) bool { return r == '.' || r == '_' })
		if n := housingNumber(r.At); n > 0 && r.Figure.Unit == "degC" && !r.Figure.IsReading() && slices.Contains(words, "coolant") {
			at[n] = r.Value
		}
	}
	return at
}

func housingNumber(position string) int {
	var n int
	if _, err := fmt.Sscanf(position, "housing/%d", &n); err != nil {
		return 0
	}
	return n
}
