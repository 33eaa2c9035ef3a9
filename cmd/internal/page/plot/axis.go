package plot

import (
	"math"
	"slices"

	"stackbook/schema/quantity"
)

// Axis is what one direction of a picture counts.
type Axis struct {
	Label string // with its unit: "power, kW"
	Ticks []Tick // where they are words or given; else round numbers are found
	Zero  bool   // begins at nought
}

// Tick is a place on an axis with what stands there.
type Tick struct {
	Value float64
	Label string
	Below string // a second line, where spans are drawn
}

// scale turns values into places.
type scale struct {
	low, high float64 // values
	from, to  float64 // places
	ticks     []Tick
}

// roundSteps are the steps of an axis, times a power of ten.
var roundSteps = []float64{1, 2, 2.5, 5, 10}

// newScale finds a scale that holds all values, its ends on round numbers. With
// ticks given it ends where they do.
func (a Axis) newScale(values []float64, from, to float64, wanted int) scale {
	s := scale{from: from, to: to, ticks: a.Ticks}
	values = slices.DeleteFunc(slices.Clone(values), func(x float64) bool { return !finite(x) })
	if a.Zero {
		values = append(values, 0)
	}
	for _, t := range a.Ticks {
		values = append(values, t.Value)
	}
	if len(values) == 0 {
		values = []float64{0, 1}
	}
	s.low, s.high = slices.Min(values), slices.Max(values)
	if s.low == s.high {
		half := max(math.Abs(s.low)/100, 1e-6)
		s.low, s.high = s.low-half, s.high+half
	}
	if len(a.Ticks) == 0 {
		s.round(wanted)
	}
	return s
}

// round moves the ends outward to round numbers and sets a tick at each.
func (s *scale) round(wanted int) {
	step, decimals := roundStep((s.high - s.low) / float64(wanted))
	first, last := math.Floor(s.low/step), math.Ceil(s.high/step)
	for n := first; n <= last && len(s.ticks) < 40; n++ {
		s.ticks = append(s.ticks, Tick{Value: float64(n * step), Label: quantity.Format(float64(n*step), decimals)})
	}
	s.low, s.high = float64(first*step), float64(last*step)
}

// roundStep is the least round step that is not less than one wanted, and how
// many decimals its multiples have.
func roundStep(wanted float64) (step float64, decimals int) {
	power, places := 1.0, 0
	for ; power > wanted && places < 12; places++ {
		power /= 10
	}
	for ; power*10 <= wanted && places > -15; places-- {
		power *= 10
	}
	for _, s := range roundSteps {
		if step, decimals = float64(s*power), places; step >= wanted*(1-1e-9) {
			if s == 2.5 {
				decimals++
			} else if s == 10 {
				decimals--
			}
			break
		}
	}
	return step, max(decimals, 0)
}

// place is where a value lies; one outside the ends lies at the end.
func (s scale) place(x float64) float64 {
	share := (min(max(x, s.low), s.high) - s.low) / (s.high - s.low)
	return s.from + float64(share*(s.to-s.from))
}

// labels are what stands at the ticks.
func (s scale) labels() []string {
	var list []string
	for _, t := range s.ticks {
		list = append(list, t.Label)
	}
	return list
}
