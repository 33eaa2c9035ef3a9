package rotary

import (
	"errors"
	"fmt"
	"math"
)

// guarded wraps a formula's Work so that the promise of Formula.Work holds
// whatever the formula does inside: as many inputs as declared, every number
// going in finite, every number coming out finite, and every *RangeError in the
// formula's own name. Inputs so large or small that a result leaves the range
// of a float64 are a *RangeError too.
func guarded(f *Formula) func([]Value) ([]Value, error) {
	work := f.Work
	return func(in []Value) ([]Value, error) {
		if len(in) != len(f.In) {
			return nil, &RangeError{Formula: f.ID, Why: fmt.Sprintf("takes %d inputs, got %d", len(f.In), len(in))}
		}
		for i, p := range f.In {
			if !finiteValue(p.Kind, in[i]) {
				return nil, &RangeError{Formula: f.ID, Input: p.Name, Why: "must be a finite number"}
			}
		}
		out, err := work(in)
		var fault *RangeError
		if errors.As(err, &fault) { // of a formula this one is built on, perhaps
			return nil, &RangeError{Formula: f.ID, Input: fault.Input, Why: fault.Why}
		}
		if err != nil {
			return nil, err
		}
		for i, p := range f.Out {
			if !finiteValue(p.Kind, out[i]) {
				return nil, &RangeError{Formula: f.ID, Why: p.Name + " is out of all bounds for these inputs"}
			}
		}
		return out, nil
	}
}

func finiteValue(k Kind, v Value) bool {
	switch k {
	case Number:
		return isFinite(v.Number)
	case List:
		for _, x := range v.List {
			if !isFinite(x) {
				return false
			}
		}
	}
	return true
}

func isFinite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }

// arg is an input with the name a person typed it by, for error messages.
type arg struct {
	name string
	x    float64
}

// positive is the commonest range: every input above zero and finite.
func positive(formula string, args ...arg) error {
	for _, a := range args {
		if !(a.x > 0) || !isFinite(a.x) {
			return &RangeError{Formula: formula, Input: a.name, Why: "must be greater than zero"}
		}
	}
	return nil
}

// notNegative is the range of what may be absent: zero or more, and finite.
func notNegative(formula string, args ...arg) error {
	for _, a := range args {
		if !(a.x >= 0) || !isFinite(a.x) {
			return &RangeError{Formula: formula, Input: a.name, Why: "must not be negative"}
		}
	}
	return nil
}

// numbers makes results of plain numbers.
func numbers(xs ...float64) []Value {
	vs := make([]Value, len(xs))
	for i, x := range xs {
		vs[i].Number = x
	}
	return vs
}
