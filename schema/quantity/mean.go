package quantity

import "math/big"

// Mean gives the exact mean of quantities of one dimension, in the unit of the
// first; none at all give the pure number 0. A single one comes back as it was
// written.
func Mean(values []Quantity) Quantity {
	if len(values) == 0 {
		return Quantity{}
	}
	first := values[0]
	if len(values) == 1 {
		return first
	}
	sum, decimals, last := new(big.Rat), 0, 0.0
	for _, v := range values {
		sum.Add(sum, v.base())
		decimals, last = max(decimals, v.decimals), max(last, v.LastDigit())
	}
	sum.Quo(sum, whole(int64(len(values))))
	return computed(fromBase(sum, first.unit), first.unit, decimals, last)
}
