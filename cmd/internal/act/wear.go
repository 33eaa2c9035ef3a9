package act

import (
	"slices"

	"stackbook/diff/history"
	"stackbook/record"
	"stackbook/record/travel"
)

// WearOf is how the sizes of an engine's parts move over their hours.
type WearOf struct {
	*Loaded
	Sizes    []*history.Wear
	Interval *travel.Interval // from one opening to the next; nil: none is set
}

// Wear reads the wear of an engine's parts in a named state: its own sessions,
// and those of other engines that read a part of the same serial.
func (s *Shop) Wear(state string) (*WearOf, error) {
	l, err := s.State(state)
	if err != nil {
		return nil, err
	}
	return s.WearIn(l)
}

// WearIn is Wear for a state that is loaded already.
func (s *Shop) WearIn(l *Loaded) (*WearOf, error) {
	if l.Engine == nil {
		return &WearOf{Loaded: l}, nil
	}
	tree, err := s.treeOf(l)
	if err != nil {
		return nil, err
	}
	engines, err := naming(tree, serialsRead(l.Engine), l.Place)
	if err != nil {
		return nil, err
	}
	shop, _, err := shopOf(tree, append(engines, l.Engine))
	if err != nil {
		return nil, err
	}
	bookRecord, _, err := readBook(tree)
	if err != nil {
		return nil, err
	}
	return wearOf(l, shop, bookRecord), nil
}

// wearOf reads the wear of an engine's parts, of a shop that holds it with the
// other engines that had one of them.
func wearOf(l *Loaded, shop *travel.Shop, bookRecord *record.Record) *WearOf {
	w := &WearOf{Loaded: l, Interval: openingInterval(bookRecord, l.Engine)}
	var interval *float64
	if w.Interval != nil {
		interval = &w.Interval.Hours
	}
	w.Sizes = history.WearOf(shop, l.Engine, l.Figures.Limits, interval)
	return w
}

// serialsRead lists the serials of an engine's parts, and those its sessions
// read.
func serialsRead(e *record.Engine) []string {
	var list []string
	take := func(serial string) {
		if serial != "" && !slices.Contains(list, serial) {
			list = append(list, serial)
		}
	}
	for _, p := range e.Parts() {
		take(p.Serial)
	}
	for _, session := range e.Sessions {
		if n := session.Node("parts"); n != nil {
			for _, entry := range n.Entries() {
				take(session.Serial(entry.Key))
			}
		}
	}
	return list
}

// openingInterval is how many hours lie between two openings of an engine: its
// own target, else the book's; nil where neither is set.
func openingInterval(bookRecord *record.Record, e *record.Engine) *travel.Interval {
	if own := travel.IntervalAt(e.Spec, "targets.service_interval"); own != nil {
		return own
	}
	return travel.IntervalAt(bookRecord, "intervals.opening")
}
