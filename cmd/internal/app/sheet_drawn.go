package app

import (
	"fmt"
	"math"

	"stackbook/cmd/internal/act"
	"stackbook/cmd/internal/page"
	"stackbook/cmd/internal/page/plot"
	"stackbook/diff/history"
	"stackbook/record"
	"stackbook/record/figure"
	"stackbook/record/rotary"
	"stackbook/schema/quantity"
)

// drawn is one state of an engine to be drawn beside others.
type drawn struct {
	name    string
	figures *figure.Set
	display act.Display
}

func (d drawn) engine() *record.Engine { return d.figures.Engine }

func drawnStates(states []*act.Loaded) []drawn {
	var list []drawn
	for _, l := range states {
		list = append(list, drawn{l.Name, l.Figures, l.Display})
	}
	return list
}

// drawnBuilds are the builds of a life of which the state is known.
func drawnBuilds(life *history.Life, d act.Display) []drawn {
	var list []drawn
	for i := range life.Builds {
		if b := &life.Builds[i]; b.Figures != nil {
			list = append(list, drawn{fmt.Sprintf("build %d", b.Number), b.Figures, d})
		}
	}
	return list
}

// drawnSections are the pictures of a rebuild sheet. What a picture would show
// nothing of is left out.
func drawnSections(life *history.Life, last *act.Loaded) []page.Section {
	builds := drawnBuilds(life, last.Display)
	now := drawn{last.Name, last.Figures, last.Display}
	return sections("Drawn", drawRuns(builds), drawBands(now), drawPorts(now), drawAreas(now), drawChambers(builds[len(builds)-1:]), drawCoolant(builds), drawBalance(now))
}

// sections puts those that say something below one heading.
func sections(heading string, list ...*page.Section) []page.Section {
	s := page.Section{Heading: heading}
	for _, one := range list {
		if one != nil {
			s.Sections = append(s.Sections, *one)
		}
	}
	if s.Sections == nil {
		return nil
	}
	return []page.Section{s}
}

// drawRuns draws the dyno runs that count over one another: power and torque
// over speed.
func drawRuns(states []drawn) *page.Section {
	power := plot.Curves{Title: "Power over speed", X: plot.Axis{Label: "speed, rpm"}}
	torque := plot.Curves{Title: "Torque over speed", X: plot.Axis{Label: "speed, rpm"}}
	t := &page.Table{Columns: []page.Column{{Title: "Speed, rpm", Right: true}}}
	for _, d := range states {
		table, session := d.engine().Run()
		if table == nil {
			continue
		}
		p, q := d.display.Unit("kW", quantity.Power), d.display.Unit("N m", quantity.Torque)
		power.Y, torque.Y = plot.Axis{Label: "power, " + p.Symbol()}, plot.Axis{Label: "torque, " + q.Symbol()}
		if len(t.Columns) == 1 {
			t.Columns = append(t.Columns, page.Column{Title: "Power, " + p.Symbol(), Right: true}, page.Column{Title: "Torque, " + q.Symbol(), Right: true})
		}
		name := d.name + ", run of " + session.Date.Day()
		t.Rows = append(t.Rows, page.Row{Group: name})
		byPower, byTorque := plot.Series{Name: name}, plot.Series{Name: name}
		for _, row := range table.Rows {
			speed := row.Cells["speed"].SI()
			x := quantity.FromSI(speed, quantity.MustLookup("rpm"))
			watts, newtons := rowValue(row, "power", "torque"), rowValue(row, "torque", "power")
			byPower.Points = append(byPower.Points, plot.Point{X: x, Y: quantity.FromSI(watts, p)})
			byTorque.Points = append(byTorque.Points, plot.Point{X: x, Y: quantity.FromSI(newtons, q)})
			t.Rows = append(t.Rows, cells(quantity.Format(x, 0), numberText(quantity.FromSI(watts, p), 1), numberText(quantity.FromSI(newtons, q), 1)))
		}
		power.Series, torque.Series = append(power.Series, byPower), append(torque.Series, byTorque)
	}
	if len(power.Series) == 0 {
		return nil
	}
	power.Words = "As run, a line a run; the numbers stand in the table below."
	torque.Words = power.Words
	return &page.Section{Heading: "On the dyno", Drawings: []plot.Drawing{power.Draw(), torque.Draw()}, Table: t,
		Note: "As run, at the place the dyno took it, without weather correction unless a run says so; what was not read is worked from the other. Less than 2 % of power on one dyno is no change."}
}

// numberText prints a number, nothing where there is none.
func numberText(x float64, decimals int) string {
	if math.IsNaN(x) {
		return ""
	}
	return quantity.Format(x, decimals)
}

// rowValue is the wanted column of a row of a run, SI, worked from the other
// where it was not read; NaN where neither was.
func rowValue(row record.Row, wanted, other string) float64 {
	if q, ok := row.Cells[wanted]; ok {
		return q.SI()
	}
	q, ok := row.Cells[other]
	if !ok {
		return math.NaN()
	}
	f := rotary.ByID(wanted)
	out, err := f.Work(f.Arrange(nil, []rotary.Argument{{Name: other, Number: q.SI()}, {Name: "speed", Number: row.Cells["speed"].SI()}}, nil))
	if err != nil {
		return math.NaN()
	}
	return out[0].Number
}
