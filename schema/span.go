package schema

import (
	"errors"
	"fmt"
	"strconv"
	"strings"
	"sync"

	"stackbook/schema/quantity"
)

// A span is what a quantity of a dimension may be. A record's value outside low
// and high is a slip of the pen, whatever field it stands in; most fields and
// points have narrower bounds of their own. Beyond far, to either side of zero,
// lies no number that has to do with an engine: it bounds limits and what is
// worked by hand.
type span struct{ low, high, far string }

// spans are wide enough for any rotary engine that was ever built and the test
// stand around it. Common practice, no source.
var spans = [...]span{
	quantity.Ratio:                 {"0", "1000", "1e12"},
	quantity.Length:                {"0 mm", "10 m", "20 km"},
	quantity.Area:                  {"0 mm2", "1 m2", "1000 m2"},
	quantity.Volume:                {"0 cm3", "1000 L", "1000 m3"},
	quantity.Mass:                  {"0 g", "10000 kg", "1000000 kg"},
	quantity.Density:               {"0.1 kg/m3", "25000 kg/m3", "100000 kg/m3"},
	quantity.Force:                 {"0 N", "1000 kN", "1000000 kN"},
	quantity.Torque:                {"0 N m", "20000 N m", "1000000 N m"},
	quantity.SpringRate:            {"0 N/mm", "10000 N/mm", "100000000 N/mm"},
	quantity.Pressure:              {"0 kPa", "10 GPa", "2000 GPa"},
	quantity.PressureGauge:         {"-101.325 kPa", "100 MPa", "2000 GPa"},
	quantity.PressureAbsolute:      {"0 kPa", "100 MPa", "2000 GPa"},
	quantity.Temperature:           {"-60 degC", "1400 degC", "5000 degC"},
	quantity.TemperatureDifference: {"-1400 K", "1400 K", "5000 K"},
	quantity.Angle:                 {"-720 deg", "720 deg", "36000 deg"},
	quantity.RotationalSpeed:       {"0 rpm", "30000 rpm", "1000000 rpm"},
	quantity.Velocity:              {"0 m/s", "1000 m/s", "10000 m/s"},
	quantity.Acceleration:          {"0 m/s2", "1000000 m/s2", "100000000 m/s2"},
	quantity.LengthRate:            {"-10 mm/h", "10 mm/h", "1000 mm/h"},
	quantity.Power:                 {"0 kW", "5000 kW", "1000000 kW"},
	quantity.Energy:                {"0 kJ", "1000000 kJ", "1000000000 kJ"},
	quantity.Time:                  {"0 h", "100000 h", "10000000 h"},
	quantity.Frequency:             {"0 Hz", "1000000 Hz", "1000000000 Hz"},
	quantity.VolumeFlow:            {"0 L/min", "10000 L/min", "10000000 L/min"},
	quantity.MassFlow:              {"0 kg/h", "1000 kg/h", "1000000 kg/s"},
	quantity.VolumePerAngle:        {"0 cm3/deg", "1000 cm3/deg", "1000000 cm3/deg"},
	quantity.DisplacementPerTurn:   {"0 cm3/rev", "10000 cm3/rev", "10000000 cm3/rev"},
	quantity.Unbalance:             {"0 g mm", "100000000 g mm", "10000000000 g mm"},
	quantity.UnbalanceMoment:       {"0 g mm2", "100000000000 g mm2", "100000000000000 g mm2"},
	quantity.SpecificConsumption:   {"0 g/kWh", "5000 g/kWh", "1000000 g/kWh"},
	quantity.SpecificHeat:          {"0 kJ/(kg K)", "20 kJ/(kg K)", "1000 kJ/(kg K)"},
	quantity.HeatTransfer:          {"0 kW/K", "100 kW/K", "100000 kW/K"},
	quantity.Expansion:             {"-100 1e-6/K", "200 1e-6/K", "1000000 1e-6/K"},
	quantity.Curvature:             {"0 1/mm", "1000 1/mm", "1000000 1/mm"},
	quantity.Voltage:               {"0 V", "1000 V", "1000000 V"},
}

// bounds remembers the parsed bounds of fields, points and dimensions.
var bounds sync.Map // boundKey → quantity.Quantity

type boundKey struct {
	text string
	dim  quantity.Dimension
}

// bound reads a bound of sense; that of a ratio may be a pure number.
func bound(text string, dim quantity.Dimension) quantity.Quantity {
	key := boundKey{text, dim}
	if q, ok := bounds.Load(key); ok {
		return q.(quantity.Quantity)
	}
	q, err := quantity.Parse(text, dim, "1")
	if err != nil {
		panic("schema: the dictionary's bound " + text + ": " + err.Error())
	}
	bounds.Store(key, q)
	return q
}

// outsideError says that a quantity lies beyond a bound of sense.
type outsideError struct{ what, low, high string }

func (e *outsideError) Error() string { return e.what }

// sensible tells whether a quantity lies between two bounds of sense; the
// error, an *outsideError, names the bound that is passed.
func sensible(q quantity.Quantity, low, high string, dim quantity.Dimension) error {
	if low != "" {
		if c, err := q.Cmp(bound(low, dim)); err == nil && c < 0 {
			return &outsideError{fmt.Sprintf("%s is less than %s, which cannot be", short(q.String()), low), low, high}
		}
	}
	if high != "" {
		if c, err := q.Cmp(bound(high, dim)); err == nil && c > 0 {
			return &outsideError{fmt.Sprintf("%s is more than %s, which cannot be", short(q.String()), high), low, high}
		}
	}
	return nil
}

// short cuts a text that is too long for a message.
func short(text string) string {
	const most = 60 // characters
	if runes := []rune(text); len(runes) > most {
		return string(runes[:most]) + "…"
	}
	return text
}

// quoted is a text in quotes for a message, cut where it is too long.
func quoted(text string) string { return strconv.Quote(short(text)) }

// A Refusal is why a value is refused: what is wrong with it, and what to write
// instead.
type Refusal struct{ What, Mend string }

func (r *Refusal) Error() string { return r.What + "; " + r.Mend }

// refusal makes the Refusal of a quantity from the error of reading it: what may
// have been meant is told as far as it makes sense, else something like the
// example.
func refusal(err error, makesSense func(text string) bool, example string) *Refusal {
	var outside *outsideError
	var refused *quantity.RefusedError
	switch {
	case errors.As(err, &outside):
		return &Refusal{outside.what, "write a value from " + outside.low + " to " + outside.high + ", such as " + example}
	case !errors.As(err, &refused):
		return &Refusal{err.Error(), "write it like " + example}
	case refused.Hint != "":
		return &Refusal{refused.What, refused.Hint}
	}
	var meant []string
	for _, text := range refused.Write {
		if makesSense(text) {
			meant = append(meant, text)
		}
	}
	if meant == nil {
		return &Refusal{refused.What, "write it like " + example}
	}
	return &Refusal{refused.What, "write " + strings.Join(meant, " or ")}
}

// ReadLimit reads an end of a limit's band, of which no more is known than its
// dimension and the symbol of the unit it is kept in: to either side of zero,
// within the span of the dimension.
func ReadLimit(text string, dim quantity.Dimension, unit string) (quantity.Quantity, *Refusal) {
	s := spans[dim]
	if strings.HasPrefix(s.low, "0 ") || s.low == "0" {
		s.low = "-" + s.high
	}
	return readWithin(text, dim, unit, s.low, s.high)
}

// ReadInput reads a number to be worked by hand, which has to do with an engine
// but perhaps with none that could be built.
func ReadInput(text string, dim quantity.Dimension, unit string) (quantity.Quantity, *Refusal) {
	low, high := farBounds(dim)
	return readWithin(text, dim, unit, low, high)
}

func readWithin(text string, dim quantity.Dimension, unit, low, high string) (quantity.Quantity, *Refusal) {
	read := func(text string) (quantity.Quantity, error) {
		q, err := quantity.Parse(text, dim, unit)
		if err != nil {
			return q, err
		}
		return q, sensible(q, low, high, dim)
	}
	q, err := read(text)
	if err != nil {
		return quantity.Quantity{}, refusal(err, func(text string) bool { _, err := read(text); return err == nil }, exampleQuantity(dim, unit, low, high))
	}
	return q, nil
}

// farBounds are the bounds beyond which no quantity of a dimension has to do
// with an engine.
func farBounds(dim quantity.Dimension) (low, high string) {
	far := spans[dim].far
	if dim == quantity.Temperature {
		return "-273.15 degC", far
	}
	return "-" + far, far
}

// Far tells whether a number, in coherent SI units, lies beyond all that a
// quantity of a dimension has to do with an engine.
func Far(si float64, dim quantity.Dimension) bool {
	low, high := farBounds(dim)
	return !(si >= bound(low, dim).SI() && si <= bound(high, dim).SI())
}

// inOther is what to write instead where a number that makes no sense in the
// unit over it does in the other one of a bench with two rulers.
func (p *Point) inOther(number string, err error, unit *quantity.Unit) string {
	var outside *outsideError
	if unit == nil || p.Dim != quantity.Length || !errors.As(err, &outside) {
		return ""
	}
	for _, symbol := range []string{"in", "mm"} {
		meant := number + " " + symbol
		if _, err := p.value(meant, unit); err == nil {
			return "; if it was read so: " + meant
		}
	}
	return ""
}
