// Package quantity is numbers with their units: read, converted, compared and
// printed.
//
// A quantity is a number and a unit, "12.5 mm" or "1 3/4 in"; a number without
// a unit is an error, not a guess. What was read is kept as the fraction it is,
// so that converting, adding and comparing never round: 1.75 in equals
// 44.45 mm, and ten times 0.1 mm is 1 mm. Formulas get a float64 in coherent SI
// units, rounded once.
//
// The package promises that a text it has accepted keeps its value in every
// later version, that the text is handed back as it was written, and that equal
// quantities have one Canonical text, whatever unit they were written in.
package quantity

import (
	"fmt"
	"math/big"
)

// Quantity is a number with its unit. It never changes once made; compare two
// with Equal or Cmp, not with ==. The zero Quantity is the pure number 0.
type Quantity struct {
	number    *big.Rat // in unit; nil: 0
	unit      Unit
	text      string // as written
	decimals  int    // -1: not a decimal number; of one reckoned, the least
	lastDigit float64
	reckoned  bool // nobody wrote it: its text and decimals follow from the number
}

// String gives the quantity as it was written, without blanks around it; one
// that was computed is written exactly, as a quotient if need be.
func (q Quantity) String() string {
	if q.number == nil {
		return "0"
	}
	if q.reckoned {
		return withSymbol(exactText(q.number, q.decimals), q.unit.Symbol())
	}
	return q.text
}

// Unit gives the unit the quantity was written in.
func (q Quantity) Unit() Unit { return q.unit }

// Rat gives the exact number in the quantity's own unit; it is the caller's to
// change.
func (q Quantity) Rat() *big.Rat { return new(big.Rat).Set(q.value()) }

// Decimals counts the decimals as written: 2 for "12.50 mm", 0 for "12 mm" and
// for "1e3 m", 3 for "1e-3 m"; -1 for a fraction.
func (q Quantity) Decimals() int {
	if !q.reckoned {
		return q.decimals
	}
	if needed, exact := q.value().FloatPrec(); exact {
		return max(needed, q.decimals)
	}
	return -1
}

// LastDigit gives what one step of the last digit written is worth, in coherent
// SI units: 1e-5 for "12.50 mm", 1/8 in for "1 3/8 in". For a sum or difference
// it is the coarser of the two.
func (q Quantity) LastDigit() float64 {
	if q.number == nil {
		return 1
	}
	return q.lastDigit
}

// SI gives the value in coherent SI units (m, kg, s, K, Pa, rad, rad/s; a
// displacement per turn in m3 for each turn), rounded once to the nearest
// float64. A gauge pressure stays one: its zero is the air around.
func (q Quantity) SI() float64 {
	if si, ok := q.quickSI(); ok {
		return si
	}
	return q.slowSI()
}

func (q Quantity) slowSI() float64 {
	si := q.base()
	si.Mul(si, q.unit.dim.baseSI())
	f, _ := si.Float64()
	return f
}

// As reads the quantity for a field of dimension d, which decides what the text
// leaves open: a plain pressure becomes gauge or absolute, degC or K a point or
// a difference. What the text does say may confirm the field, never override
// it: "98 kPa abs" for a gauge pressure is an error, as is a mass for a length.
func (q Quantity) As(d Dimension) (Quantity, error) {
	if !q.unit.dim.may(d) {
		return Quantity{}, &RefusedError{What: ofAnother(q, d), Like: d.Example()}
	}
	q.unit.dim = d
	return q, nil
}

// In converts the quantity to unit u, exactly. Both must be of one dimension.
func (q Quantity) In(u Unit) (Quantity, error) {
	if q.unit.dim != u.dim {
		return Quantity{}, fmt.Errorf("%s is %s and cannot be given in %s, a unit of %s", q, q.unit.dim, u.Symbol(), u.dim)
	}
	if q.unit.def() == u.def() {
		return q, nil
	}
	return computed(fromBase(q.base(), u), u, 0, q.LastDigit()), nil
}

// Cmp compares exactly, across units: -1 when q is less than other, 0 when they
// are equal, +1 when q is more. Quantities of two dimensions are an error.
func (q Quantity) Cmp(other Quantity) (int, error) {
	if q.unit.dim != other.unit.dim {
		return 0, fmt.Errorf("%s and %s cannot be compared: %s and %s", q, other, q.unit.dim, other.unit.dim)
	}
	if q.unit.def() == other.unit.def() {
		return q.value().Cmp(other.value()), nil
	}
	return q.base().Cmp(other.base()), nil
}

// Equal tells whether two quantities are the same, whatever unit or spelling
// they are written in: 1.75 in equals 44.45 mm. Those of two dimensions never
// are; As settles the dimension first.
func (q Quantity) Equal(other Quantity) bool {
	order, err := q.Cmp(other)
	return err == nil && order == 0
}

// Canonical gives an exact text in the base unit of the dimension, the same for
// equal quantities whatever unit and spelling they were written in.
func (q Quantity) Canonical() string {
	if text, ok := q.quickCanonical(); ok {
		return text
	}
	return q.slowCanonical()
}

func (q Quantity) slowCanonical() string {
	return withSymbol(exactText(q.base(), 0), q.unit.dim.row().base)
}

// computed makes a quantity that nobody wrote, with at least so many decimals
// where its number can be given in decimals. Its text is made when it is asked
// for.
func computed(number *big.Rat, u Unit, decimals int, lastDigit float64) Quantity {
	return Quantity{number: number, unit: u, decimals: decimals, lastDigit: lastDigit, reckoned: true}
}

// withSymbol puts a unit behind a number; a pure number stands alone.
func withSymbol(number, symbol string) string {
	if symbol == pureNumber {
		return number
	}
	return number + " " + symbol
}

func (q Quantity) value() *big.Rat {
	if q.number == nil {
		return new(big.Rat)
	}
	return q.number
}

// base gives a new fraction: the value in the base unit of its dimension.
func (q Quantity) base() *big.Rat {
	b := new(big.Rat).Mul(q.value(), q.unit.def().factor)
	if zero := q.unit.zero(); zero != nil {
		b.Add(b, zero)
	}
	return b
}

// fromBase changes b, a value in the base unit, to one in unit u.
func fromBase(b *big.Rat, u Unit) *big.Rat {
	if zero := u.zero(); zero != nil {
		b.Sub(b, zero)
	}
	return b.Quo(b, u.def().factor)
}
