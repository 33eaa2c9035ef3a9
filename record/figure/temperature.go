package figure

import (
	"fmt"
	"math"
	"strings"

	"stackbook/record"
	"stackbook/record/rotary"
	"stackbook/schema/quantity"
	"stackbook/schema/source"
)

// A size means the size at 20 degC (ISO 1, from memory). One that was read on a
// part of another temperature is brought there before any figure uses it, where
// that temperature stands beside the reading and the part's expansion is known.
// The temperature of a session is that of the room and brings nothing anywhere.
// What is shown as it was measured stays as it was read.

// expansions are linear expansions near room temperature, 1e-6/K, by the
// material of a part as the spec names it. W. D. Callister, Fundamentals of
// Materials Science and Engineering, 3rd ed., Table B.6 [S30]: the cast alloy
// 356.0, the wrought alloy 6061, the steels 4140 and 4340; of a span the middle.
var expansions = map[string]float64{
	"cast aluminium":    21.5,
	"wrought aluminium": 23.6,
	"billet aluminium":  23.6, // cut from wrought stock
	"grey cast iron":    11.4,
	"ductile iron":      10.9, // 10.6 to 11.2
	"alloy steel":       12.3,
	"steel":             steel, // plain carbon steel, 11.3 to 11.7
	"silicon nitride":   2.9,   // 2.7 hot pressed to 3.1 sintered
}

// steel is what gauges and setting standards are made of, 1e-6/K.
const steel = 11.5

// temperatureOff is how far the temperature of a part may be off, expanded with
// k = 2 and in K, where nobody said. Common practice, no source.
const temperatureOff = 1.0

// warmth is how warm a part and what it was read with were.
type warmth struct {
	size rotary.Reading // without its length
	off  float64        // K, standard uncertainty of the part's temperature
	of   string         // what tells the expansion: the material, or the part's own field
}

// bringTo20 brings the reading taken in last to 20 degC, and says so. part is
// the position of the part it is a size of.
func (r *reader) bringTo20(e *entry, c record.Counted, part string) {
	if !c.Point.Size || c.Temperature == nil {
		return
	}
	in, v := &e.inputs[len(e.inputs)-1], &e.values[len(e.values)-1]
	w, known := r.warmth(c, part)
	if !known {
		in.Note = fmt.Sprintf("read at %s and left so: the expansion of %s is not known; write it, or a material such as cast aluminium", c.Temperature, part)
		return
	}
	brought := *v
	sizes := []*Num{&brought.Num}
	if v.ends != nil {
		ends := *v.ends
		brought.ends = &ends
		sizes = append(sizes, &ends[0], &ends[1])
	}
	var err error
	for _, n := range sizes {
		if *n, err = w.at20(*n); err != nil {
			in.Note = fmt.Sprintf("read at %s and left so: %v", c.Temperature, err)
			return
		}
	}
	in.Note = w.note(c, brought.SI)
	in.warmth = w.canonical()
	in.SI = brought.SI
	if in.Spread != nil {
		in.Spread.Own = rotary.CombineUncertainties(in.Spread.Own, v.SI*w.size.Expansion*w.off)
	}
	*v = brought
}

// warmth tells how warm a reading's part was and how it expands; known is false
// where its expansion is not.
func (r *reader) warmth(c record.Counted, part string) (w warmth, known bool) {
	w.size.Expansion, w.of, known = r.expansion(part)
	w.size.PartTemp = c.Temperature.SI()
	w.size.Instrument, w.size.InstTemp = gauge(c)
	w.off = temperatureOff / coverage
	if c.TemperatureError != nil {
		w.off = c.TemperatureError.SI() / coverage
	}
	return w, known
}

// expansion is the linear expansion of a part, 1/K: its own, where the spec
// writes one, else that of its material.
func (r *reader) expansion(part string) (perKelvin float64, of string, known bool) {
	if q, _, ok := r.engine.Spec.Quantity("parts." + part + ".expansion"); ok {
		return q.SI(), part, true
	}
	material := strings.ToLower(r.engine.Spec.Text("parts." + part + ".material"))
	ppm, known := expansions[material]
	return ppm * 1e-6, material, known
}

// gauge is the expansion, 1/K, and the temperature, K, of what a length was read
// with: what the session says of it, else steel as warm as the part.
func gauge(c record.Counted) (perKelvin, temperature float64) {
	perKelvin, temperature = steel*1e-6, c.Temperature.SI()
	n := c.Session.Node("instruments")
	if n == nil || c.Instrument == "" {
		return perKelvin, temperature
	}
	if q, ok := quantityOf(n.At(c.Instrument, "expansion"), quantity.Expansion, "1e-6/K"); ok {
		perKelvin = q.SI()
	}
	if q, ok := quantityOf(n.At(c.Instrument, "temperature"), quantity.Temperature, "degC"); ok {
		temperature = q.SI()
	}
	return perKelvin, temperature
}

func quantityOf(n *source.Node, dim quantity.Dimension, unit string) (quantity.Quantity, bool) {
	if n == nil || n.IsNull() {
		return quantity.Quantity{}, false
	}
	q, err := quantity.Parse(n.Text(), dim, unit)
	return q, err == nil
}

// at20 is a length at 20 degC. What the correction does not move stays the exact
// decimal it was written as (R6); the ends of no interval are nought and stay so.
func (w warmth) at20(n Num) (Num, error) {
	if n.exact == nil {
		return n, nil
	}
	size := w.size
	size.Length = n.SI
	length, err := rotary.LengthAt20(size)
	if err != nil || math.Abs(length-n.SI) <= 1e-12*n.SI {
		return n, err
	}
	return Num{SI: length, chosen: length}, nil
}

// note says what was done to a reading, in the unit it was written in.
func (w warmth) note(c record.Counted, at20 float64) string {
	q, _ := c.Mean()
	unit := q.Unit()
	size := quantity.Format(quantity.FromSI(at20, unit), DecimalsFor(Step(c.Reading)/10, unit))
	return fmt.Sprintf("read at %s, is %s %s at 20 degC: %s grows by %s, the gauge by %s", c.Temperature, size, unit.Symbol(), w.of, inUnit(w.size.Expansion, "1e-6/K", 1), inUnit(w.size.Instrument, "1e-6/K", 1))
}

// canonical is all of it that moves a figure, for the digest.
func (w warmth) canonical() string {
	return fmt.Sprintf("%.12g K, %.12g 1/K; %.12g K, %.12g 1/K; %.12g K", w.size.PartTemp, w.size.Expansion, w.size.InstTemp, w.size.Instrument, w.off)
}
