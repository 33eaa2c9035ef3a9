package quantity

import (
	"fmt"
	"math/big"
)

// Add gives a + b exactly, in the unit of a. Temperatures and gauge or absolute
// pressures are points on a scale: a difference can be added to one, but two of
// them have no sum.
func Add(a, b Quantity) (Quantity, error) {
	switch {
	case b.unit.dim == a.unit.dim.difference():
		return combine(a, b, a.unit.dim, (*big.Rat).Add), nil
	case a.unit.dim == b.unit.dim:
		return Quantity{}, fmt.Errorf("%s and %s have no sum: each is %s", a, b, a.unit.dim)
	}
	return Quantity{}, fmt.Errorf("%s and %s cannot be added: %s and %s", a, b, a.unit.dim, b.unit.dim)
}

// Sub gives a - b exactly, in the unit of a. The difference of two temperatures
// is a temperature difference, that of two gauge or two absolute pressures a
// plain pressure; a point less a difference is a point.
func Sub(a, b Quantity) (Quantity, error) {
	switch {
	case a.unit.dim == b.unit.dim:
		return combine(a, b, a.unit.dim.difference(), (*big.Rat).Sub), nil
	case b.unit.dim == a.unit.dim.difference():
		return combine(a, b, a.unit.dim, (*big.Rat).Sub), nil
	}
	return Quantity{}, fmt.Errorf("%s cannot be taken from %s: %s and %s", b, a, b.unit.dim, a.unit.dim)
}

// combine does the sum or difference in base units and gives it in the unit of
// a, read for dimension d.
func combine(a, b Quantity, d Dimension, op func(z, x, y *big.Rat) *big.Rat) Quantity {
	u := Unit{row: a.unit.row, dim: d}
	decimals := 0
	if a.unit.def() == b.unit.def() {
		decimals = max(a.decimals, b.decimals)
	}
	total := op(new(big.Rat), a.base(), b.base())
	return computed(fromBase(total, u), u, decimals, max(a.LastDigit(), b.LastDigit()))
}
