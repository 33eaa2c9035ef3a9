package quantity

import (
	"math"
	"math/bits"
	"strconv"
)

// wholeInFloat is the bound up to which a float64 holds every whole number.
const wholeInFloat = 1 << 53

// quickSI gives the value in SI without arithmetic on long numbers: a fraction
// of two whole numbers that float64 holds, times one of two more, is rounded
// once, by its division, and so to the nearest float64. ok is false where one
// of them is too large, or the unit has a zero of its own.
func (q Quantity) quickSI() (si float64, ok bool) {
	num, den, ok := q.fraction()
	if !ok {
		return 0, false
	}
	return q.unit.quick(num, den)
}

// DifferenceSI gives a - b in SI, rounded once; ok is false for quantities of
// two dimensions.
func DifferenceSI(a, b Quantity) (si float64, ok bool) {
	if a.unit == b.unit {
		x, den1, ok1 := a.fraction()
		y, den2, ok2 := b.fraction()
		if ok1 && ok2 {
			left, right, den := float64(x*den2), float64(y*den1), den1*den2
			if math.Abs(left) < wholeInFloat && math.Abs(right) < wholeInFloat {
				if si, ok := a.unit.quick(left-right, den); ok {
					return si, true
				}
			}
		}
	}
	d, err := Sub(a, b)
	if err != nil {
		return 0, false
	}
	return d.SI(), true
}

// fraction gives the number as a quotient of two whole numbers that float64
// holds.
func (q Quantity) fraction() (num, den float64, ok bool) {
	if q.number == nil {
		return 0, 1, true
	}
	n := q.number.Num()
	if !n.IsInt64() {
		return 0, 0, false
	}
	num, den = float64(n.Int64()), 1
	if !q.number.IsInt() {
		d := q.number.Denom()
		if !d.IsInt64() {
			return 0, 0, false
		}
		den = float64(d.Int64())
	}
	return num, den, math.Abs(num) < wholeInFloat && den < wholeInFloat
}

// quick gives num/den of the unit in SI, where whole numbers do.
func (u Unit) quick(num, den float64) (si float64, ok bool) {
	r := u.def()
	if u.zero() != nil || r.siNum != math.Trunc(r.siNum) {
		return 0, false
	}
	num, den = float64(num*r.siNum), float64(den*r.siDen)
	return num / den, math.Abs(num) < wholeInFloat && den < wholeInFloat
}

// quickCanonical gives the canonical text without arithmetic on long numbers;
// ok is false where a number is too large for that, the value is no decimal
// number in the base unit, or the unit has a zero of its own.
func (q Quantity) quickCanonical() (text string, ok bool) {
	num, den, ok := q.fraction()
	r := q.unit.def()
	if !ok || q.unit.zero() != nil || r.factor == nil || !r.factor.Num().IsInt64() || !r.factor.Denom().IsInt64() {
		return "", false
	}
	high, upper := bits.Mul64(uint64(math.Abs(num)), uint64(r.factor.Num().Int64()))
	over, lower := bits.Mul64(uint64(den), uint64(r.factor.Denom().Int64()))
	if high != 0 || over != 0 {
		return "", false
	}
	return decimalText(num < 0, upper, lower, q.unit.dim.row().base)
}

// decimalText writes a quotient of whole numbers as a decimal number with its
// unit, without zeros at its end; ok is false where it is none, or has too many
// digits.
func decimalText(minus bool, upper, lower uint64, symbol string) (text string, ok bool) {
	decimals := 0
	for ; lower%10 == 0; lower /= 10 {
		decimals++
	}
	for _, prime := range [2]uint64{2, 5} {
		for ; lower%prime == 0; lower /= prime {
			high, scaled := bits.Mul64(upper, 10/prime)
			if high != 0 {
				return "", false
			}
			upper, decimals = scaled, decimals+1
		}
	}
	if lower != 1 {
		return "", false
	}
	for ; decimals > 0 && upper%10 == 0; upper /= 10 {
		decimals--
	}
	var space [64]byte
	b := space[:0]
	if minus {
		b = append(b, '-')
	}
	b = appendDecimal(b, upper, decimals)
	if symbol != pureNumber {
		b = append(append(b, ' '), symbol...)
	}
	return string(b), true
}

// appendDecimal writes a whole number with its point so many digits from the end.
func appendDecimal(b []byte, number uint64, decimals int) []byte {
	var space [20]byte
	digits := strconv.AppendUint(space[:0], number, 10)
	whole := max(0, len(digits)-decimals)
	if whole == 0 {
		b = append(b, '0')
	}
	b = append(b, digits[:whole]...)
	if decimals == 0 {
		return b
	}
	b = append(b, '.')
	for range decimals - (len(digits) - whole) {
		b = append(b, '0')
	}
	return append(b, digits[whole:]...)
}
