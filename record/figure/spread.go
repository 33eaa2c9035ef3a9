package figure

import (
	"fmt"
	"math"

	"stackbook/record"
	"stackbook/record/rotary"
	"stackbook/schema"
	"stackbook/schema/quantity"
)

// Spread is how far an input may be off, as standard uncertainties in SI. What
// nobody stated is not known: an input then has no Spread at all, which is
// never the same as one of nought.
type Spread struct {
	Repeats     float64 // of the mean, from repeats at one place (type A)
	Freedom     float64 // degrees of freedom of Repeats; 0 where there are none
	Own         float64 // Repeats and the instrument's resolution together
	Calibration float64 // from the instrument's certificate
	Shared      string  // what shares the calibration: a setting standard or the instrument
	exact       string  // canonical text, for the digest
}

// Standard is the standard uncertainty of the input, all parts together.
func (s *Spread) Standard() float64 { return math.Hypot(s.Own, s.Calibration) }

// coverage is the coverage factor that stated expanded uncertainties have.
const coverage = 2

// reliefUnknown is how far a flank relief that nobody measured may be off:
// 0.05 mm of it is about 0.09 of a compression ratio. Common practice, no
// source.
const reliefUnknown = "0.05 mm"

// statedOff is how far a quantity of the spec may be off, where the spec says
// so under uncertainties; sizes without are taken as exact.
func (r *reader) statedOff(path string, dim quantity.Dimension) *Spread {
	text := ""
	if n := r.engine.Spec.Node("uncertainties"); n != nil {
		if v := n.Get(path); v != nil && !v.IsNull() {
			text = v.Text()
		}
	}
	if text == "" && path == "geometry.flank_relief" {
		text = reliefUnknown
	}
	stated := sizeOf(text)
	expanded, ok := stated.in(dim, 0)
	if !ok {
		return nil
	}
	return &Spread{Own: expanded / coverage, exact: stated.canonical}
}

// spread is how far a reading may be off: a feeler's interval by its width, any
// other by its repeats, resolution and certificate. An instrument without a
// stated uncertainty leaves it unknown.
func (r *reader) spread(c record.Counted, mean float64) *Spread {
	if len(c.Between) == 2 {
		width := c.Between[1].SI() - c.Between[0].SI()
		return &Spread{Own: rotary.ResolutionUncertainty(width)}
	}
	i := r.instrument(c.Session, c.Instrument)
	if i == nil {
		return nil
	}
	expanded, ok := i.expanded.in(c.Point.Dim, mean)
	if !ok {
		return nil
	}
	resolution, _ := i.resolution.in(c.Point.Dim, mean)
	pool := r.pooled(c)
	s := &Spread{Repeats: pool.deviation / math.Sqrt(float64(max(1, len(c.Values)))), Freedom: pool.freedom, Calibration: expanded / coverage, Shared: i.shared}
	s.Own = rotary.CombineUncertainties(s.Repeats, rotary.ResolutionUncertainty(resolution))
	s.exact = i.exact + pool.exact
	return s
}

// SpreadOf is how far a reading of the engine may be off; nil where that is not
// known, or nothing was read.
func (s *Set) SpreadOf(c record.Counted) *Spread {
	if c.Reading == nil || s.reader == nil {
		return nil
	}
	mean, ok := c.Mean()
	if !ok {
		return nil
	}
	return s.reader.spread(c, mean.SI())
}

// instrument is one instrument of a session as it says of itself.
type instrument struct {
	expanded, resolution size
	shared               string // what its calibration is shared with
	exact                string // canonical text, for the digest
}

type instrumentKey struct {
	session *record.Session
	key     string
}

// instrument reads an instrument of a session; nil where there is none.
func (r *reader) instrument(s *record.Session, key string) *instrument {
	k := instrumentKey{s, key}
	if known, ok := r.instruments[k]; ok {
		return known
	}
	var i *instrument
	if n := s.Node("instruments"); key != "" && n != nil && n.Get(key) != nil {
		text := func(key2 string) string {
			if v := n.At(key, key2); v != nil && !v.IsNull() {
				return v.Text()
			}
			return ""
		}
		i = &instrument{expanded: sizeOf(text("expanded_uncertainty")), resolution: sizeOf(text("resolution"))}
		i.shared = sharedBy(r.inFolder(s), key, text("standard"), text("serial"))
		i.exact = i.expanded.canonical + "; " + i.resolution.canonical + "; " + i.shared + "; "
	}
	r.instruments[k] = i
	return i
}

// sharedBy names what a calibration is shared with: everything set by one
// standard, else everything read with one instrument.
func sharedBy(session, key, standard, serial string) string {
	switch {
	case standard != "":
		return "standard " + standard
	case serial != "":
		return "instrument " + serial
	}
	return "instrument " + key + " of " + session
}

// size is an amount such as a resolution: of some dimension, or a percentage of
// the value read.
type size struct {
	quantity  quantity.Quantity
	number    float64 // in the quantity's own unit
	canonical string  // the same for every way of writing it; empty: none written
}

func sizeOf(text string) size {
	q, err := quantity.ParseAny(text)
	if err != nil {
		return size{}
	}
	number, _ := q.Rat().Float64()
	return size{q, number, q.Canonical()}
}

// in gives the size in SI for values of a dimension; ok is false where it is of
// another.
func (s size) in(dim quantity.Dimension, value float64) (si float64, ok bool) {
	unit := s.quantity.Unit()
	if s.canonical == "" {
		return 0, false
	}
	if unit.Dimension() == quantity.Ratio && dim != quantity.Ratio {
		return math.Abs(float64(value * s.quantity.SI())), true
	}
	unit, err := unit.As(dim)
	if err != nil {
		return 0, false
	}
	one := quantity.ToSI(1, unit) - quantity.ToSI(0, unit)
	return math.Abs(float64(s.number * one)), true
}

// pool is what the repeats of a session tell of one way of reading.
type pool struct {
	deviation, freedom float64
	exact              string // canonical text, for the digest
}

type pooling struct {
	session    *record.Session
	point      *schema.Point
	instrument string
}

// pooled is the standard deviation of one reading, from all repeats the session
// took of this point with this instrument: sqrt(sum (n-1) s^2 / sum (n-1))
// (JCGM 100:2008, 4.2.4, from memory). A reading taken once borrows it; a point
// of which nothing was repeated borrows from others read with the instrument.
func (r *reader) pooled(c record.Counted) pool {
	key := pooling{c.Session, c.Point, c.Instrument}
	known, ok := r.pools[key]
	if ok {
		return known
	}
	p := poolOf(c.Session, c.Instrument, func(p *schema.Point) bool { return p == c.Point })
	if p.freedom == 0 {
		p = poolOf(c.Session, c.Instrument, func(p *schema.Point) bool { return p.Dim == c.Point.Dim })
	}
	r.pools[key] = p
	return p
}

func poolOf(s *record.Session, instrument string, of func(*schema.Point) bool) pool {
	squares, freedom := 0.0, 0.0
	for i := range s.Readings {
		r := &s.Readings[i]
		if r.Instrument != instrument || len(r.Values) < 2 || !of(r.Point) {
			continue
		}
		var repeats []float64
		for _, q := range r.Values {
			repeats = append(repeats, q.SI())
		}
		estimate, err := rotary.MeanAndUncertainty(repeats, 0, 0)
		if err != nil {
			continue
		}
		n := float64(len(repeats) - 1)
		squares += float64(n * float64(estimate.Deviation*estimate.Deviation))
		freedom += n
	}
	if freedom == 0 {
		return pool{}
	}
	p := pool{deviation: math.Sqrt(squares / freedom), freedom: freedom}
	p.exact = fmt.Sprintf("%.9g", p.deviation)
	return p
}
