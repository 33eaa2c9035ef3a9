package act

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"stackbook/record"
	"stackbook/record/figure"
	"stackbook/schema"
	"stackbook/schema/quantity"
)

// Display is the units a person is shown; JSON always keeps the dictionary's.
type Display struct{ unit map[quantity.Dimension]string }

// displayed tells which of book.yaml's units shows which dimensions.
var displayed = map[string][]quantity.Dimension{
	"length":      {quantity.Length},
	"pressure":    {quantity.Pressure, quantity.PressureGauge, quantity.PressureAbsolute},
	"torque":      {quantity.Torque},
	"power":       {quantity.Power},
	"volume":      {quantity.Volume},
	"temperature": {quantity.Temperature},
}

// moreDecimals is how many digits more a unit needs to show as much as the
// dictionary's.
var moreDecimals = map[string]int{"in": 2, "in3": 1, "bar": 2, "psi": 1, "kgf.m": 1}

func displayOf(b *record.Record) Display {
	d := Display{map[quantity.Dimension]string{}}
	for key, dims := range displayed {
		choices := schema.Book().Find("units").Find(key).Choices
		if symbol := b.Text("units." + key); slices.Contains(choices, symbol) {
			for _, dim := range dims {
				d.unit[dim] = symbol
			}
		}
	}
	return d
}

// Unit is the unit a value kept in a unit of a dimension is shown in.
func (d Display) Unit(kept string, dim quantity.Dimension) quantity.Unit {
	symbol := kept
	if shown, ok := d.unit[dim]; ok && sameScale(kept, dim) {
		symbol = shown
	}
	u := quantity.MustLookup(symbol)
	if as, err := u.As(dim); err == nil {
		return as
	}
	return u
}

// sameScale keeps what has a unit of its own for a reason: a mean effective
// pressure in bar.
func sameScale(kept string, dim quantity.Dimension) bool {
	switch dim {
	case quantity.Length:
		return kept == "mm"
	case quantity.Pressure, quantity.PressureGauge, quantity.PressureAbsolute:
		return kept == "kPa"
	case quantity.Volume:
		return kept == "cm3"
	}
	return true
}

// Figure prints a figure's value in the person's unit, without the unit.
func (d Display) Figure(r *figure.Result) (text, unit string) {
	u := d.Unit(r.Figure.Unit, r.Figure.Dimension())
	decimals, _ := d.digits(r, r.Limit, u)
	return quantity.Format(quantity.FromSI(r.Value, u), decimals), Symbol(r.Figure.Unit, u)
}

// Off prints a difference in a figure's unit, such as how far it may be off,
// with its decimals and at least one digit that says something.
func (d Display) Off(r *figure.Result, si float64) string {
	u := d.Unit(r.Figure.Unit, r.Figure.Dimension())
	value := d.Difference(r, si)
	decimals, _ := d.digits(r, r.Limit, u)
	if text := quantity.Format(value, decimals); strings.Trim(text, "-0.") != "" {
		return text
	}
	return quantity.FormatSig(value, 1)
}

// Difference gives a difference of a figure's values, SI, in the unit shown.
func (d Display) Difference(r *figure.Result, si float64) float64 {
	u := d.Unit(r.Figure.Unit, r.Figure.Dimension())
	return si / (quantity.ToSI(1, u) - quantity.ToSI(0, u))
}

// Extent prints both ends of what a figure may be, in the person's unit; ok is
// false where it rests on no interval.
func (d Display) Extent(r *figure.Result) (low, high string, ok bool) {
	if r.Extent == nil {
		return "", "", false
	}
	u := d.Unit(r.Figure.Unit, r.Figure.Dimension())
	decimals, _ := d.digits(r, r.Limit, u)
	return quantity.Format(quantity.FromSI(r.Extent.Low, u), decimals), quantity.Format(quantity.FromSI(r.Extent.High, u), decimals), true
}

// Band prints both ends of a limit of a figure in the person's unit. An open
// end is empty.
func (d Display) Band(r *figure.Result, l *figure.Limit) (low, high string) {
	u := d.Unit(r.Figure.Unit, r.Figure.Dimension())
	_, decimals := d.digits(r, l, u)
	return ends(l, u, decimals)
}

// BandOf is Band for a figure that has no value, and the unit the band is in.
func (d Display) BandOf(f *figure.Figure, l *figure.Limit) (low, high, unit string) {
	u := d.Unit(f.Unit, f.Dimension())
	low, high = ends(l, u, limitDigits(f, l, u, Decimals(f.Decimals, 0, f.Unit, u)))
	return low, high, Symbol(f.Unit, u)
}

func ends(l *figure.Limit, u quantity.Unit, decimals int) (low, high string) {
	end := func(si float64) string {
		if math.IsNaN(si) {
			return ""
		}
		return quantity.Format(quantity.FromSI(si, u), decimals)
	}
	return end(l.Low), end(l.High)
}

// digits gives the decimals of a value and of one of its limits: a limit as it
// was written, or, in another unit, to what a gauge in that unit shows.
func (d Display) digits(r *figure.Result, l *figure.Limit, u quantity.Unit) (value, limit int) {
	value = Decimals(r.Decimals, r.Step, r.Figure.Unit, u)
	if l == nil {
		return value, 0
	}
	limit = limitDigits(r.Figure, l, u, value)
	if l != r.Limit {
		return value, limit
	}
	return r.Digits(u, value, limit)
}

// limitDigits gives the decimals of a limit; one that nobody wrote but was
// reckoned has those of the value.
func limitDigits(f *figure.Figure, l *figure.Limit, u quantity.Unit, value int) int {
	switch {
	case l.Set == "":
		return value
	case symbolOf(u) != f.Unit:
		return limitDecimals[symbolOf(u)]
	}
	return max(decimalsNeeded(quantity.FromSI(l.Low, u)), decimalsNeeded(quantity.FromSI(l.High, u)))
}

// limitDecimals are the decimals of a limit shown in another unit than it is
// kept in.
var limitDecimals = map[string]int{"in": 5, "in3": 2, "bar": 2, "psi": 1, "lbf.ft": 1, "kgf.m": 2, "hp": 1, "metric hp": 1}

// decimalsNeeded is how many decimals a bound was written with, five
// significant digits of it looked at.
func decimalsNeeded(x float64) int {
	if math.IsNaN(x) || x == 0 {
		return 0
	}
	text := strconv.FormatFloat(x, 'g', 5, 64)
	if plain, err := strconv.ParseFloat(text, 64); err == nil {
		text = strconv.FormatFloat(plain, 'f', -1, 64)
	}
	_, tail, _ := strings.Cut(text, ".")
	return min(len(tail), 6)
}

// Decimals is how many digits behind the point a value kept in a unit gets in
// the unit shown, of which it has so many where it is kept. A reading, whose last
// digit is worth step (SI; 0: no reading), keeps the digits it was written with
// in the unit it was written in, and has as many as it is worth in another.
func Decimals(decimals int, step float64, kept string, shown quantity.Unit) int {
	switch {
	case symbolOf(shown) == kept:
		return decimals
	case step > 0:
		return figure.DecimalsFor(step, shown)
	}
	return decimals + moreDecimals[symbolOf(shown)]
}

// symbolOf is a unit's symbol without what a pressure counts from.
func symbolOf(u quantity.Unit) string {
	return strings.TrimSuffix(strings.TrimSuffix(u.Symbol(), " gauge"), " abs")
}

// Symbol is a unit as a person reads it: a pure number is bare, and a gauge
// pressure is a pressure to whoever reads the gauge.
func Symbol(kept string, u quantity.Unit) string {
	switch kept {
	case "1":
		return ""
	case "‰":
		return kept
	}
	return strings.TrimSuffix(u.Symbol(), " gauge")
}
