package schema

import (
	"errors"

	"stackbook/schema/quantity"
	"stackbook/schema/source"
)

// number reads one value: a bare number in the unit given for it, or a
// quantity with its own.
func (r *pointReader) number(n *source.Node, unit *quantity.Unit) (quantity.Quantity, bool) {
	if n.Kind() != source.Scalar {
		r.add(n, "wrong-shape", r.point.ID+": "+n.Kind().String()+" stands where one number is due", "write it like "+r.point.example(unit))
		return quantity.Quantity{}, false
	}
	if IsEmpty(n) {
		r.add(n, "quantity", r.point.ID+": a value is missing here", "write a number, or leave the whole reading empty")
		return quantity.Quantity{}, false
	}
	q, err := r.point.value(n.Text(), unit)
	if err != nil {
		why := r.point.refusal(err, unit)
		r.add(n, "quantity", r.point.ID+": "+why.What, why.Mend+r.point.inOther(n.Text(), err, unit))
		return quantity.Quantity{}, false
	}
	return q, true
}

// value reads one value of the point, alone where its unit is given elsewhere
// (nil: it is not), and sees that it makes sense.
func (p *Point) value(text string, unit *quantity.Unit) (q quantity.Quantity, err error) {
	if unit != nil {
		q, err = quantity.ParseUnder(text, *unit)
	} else {
		q, err = quantity.Parse(text, p.Dim, p.Unit)
	}
	if err != nil {
		return q, err
	}
	return q, sensible(q, p.Low, p.High, p.Dim)
}

// refusal says what is wrong with a value and what to write instead.
func (p *Point) refusal(err error, unit *quantity.Unit) *Refusal {
	read := func(text string) bool { _, err := p.value(text, unit); return err == nil }
	example := p.example(unit)
	if refused := new(quantity.RefusedError); errors.As(err, &refused) && refused.Unit != "" {
		example = p.example(nil) // with a unit that is known
	}
	return refusal(err, read, example)
}
