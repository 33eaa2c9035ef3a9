package quantity

import "math"

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
