package act

import (
	"errors"

	"stackbook/record"
)

// Handover is what goes with an engine to its owner.
type Handover struct {
	*Loaded
	Delivery *record.Change // nil: the build is not delivered yet
	Proof    *Verified      // nil: the same
	Opening  string         // the shop's interval from delivery to opening, as written; "" where it has none
}

// Handover gathers what goes with a build: one that was delivered, or one that
// is about to be.
func (s *Shop) Handover(text string) (*Handover, error) {
	l, err := s.State(text)
	if err != nil {
		return nil, err
	}
	if l.Engine == nil {
		return nil, l.Problems
	}
	h := &Handover{Loaded: l, Delivery: l.Engine.Delivered(l.Engine.Build)}
	tree, err := s.treeOf(l)
	if err != nil {
		return nil, err
	}
	bookRecord, _, err := readBook(tree)
	if err != nil {
		return nil, err
	}
	if bookRecord != nil {
		h.Opening = bookRecord.Text("intervals.opening")
	}
	if h.Delivery == nil {
		return h, nil
	}
	h.Proof, err = s.Verify(BuildName(l.Engine.Number, l.Engine.Build), "")
	var unknown *UsageError
	if errors.As(err, &unknown) {
		return h, nil // its delivery is written and not committed yet
	}
	return h, err
}
