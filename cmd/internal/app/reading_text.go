package app

import (
	"stackbook/cmd/internal/act"
	"stackbook/record"
	"stackbook/record/figure"
	"stackbook/schema/quantity"
)

// readingText prints a reading in a unit: with the digits it was written with
// where that is the unit of the writing, else with those it is worth; of an
// interval both ends.
func readingText(c record.Counted, q quantity.Quantity, shown quantity.Unit) string {
	decimals := act.Decimals(figure.DecimalsIn(c.Point, c.Reading), figure.Step(c.Reading), c.Point.Unit, shown)
	print := func(q quantity.Quantity) string { return quantity.Format(quantity.FromSI(q.SI(), shown), decimals) }
	if len(c.Between) == 2 {
		return print(c.Between[0]) + " to " + print(c.Between[1])
	}
	return print(q)
}
