package record

import (
	"slices"

	"stackbook/schema"
)

// OpenConcessions lists what was accepted although it did not conform and has
// not been closed, oldest first. A concession is closed by its own closed, or,
// once its build was delivered and its file stays as it is (R18), by a later
// concession that is closed and touches all that it touched.
func (e *Engine) OpenConcessions() []*Change {
	var open []*Change
	for _, c := range e.Changes { // by date
		switch {
		case c.Kind == nil || c.Kind.Name != "concession":
		case c.Text("concession.closed") == "":
			open = append(open, c)
		default:
			open = slices.DeleteFunc(open, c.covers)
		}
	}
	return open
}

// covers tells whether a change touches all that an earlier one did; one that
// touched nothing is covered by none.
func (c *Change) covers(earlier *Change) bool {
	for _, position := range earlier.Touches {
		if !slices.ContainsFunc(c.Touches, func(touched string) bool { return schema.Below(position, touched) }) {
			return false
		}
	}
	return len(earlier.Touches) > 0
}
