package act

import "stackbook/record"

// FleetOfAll tells a fleet as nothing that is kept can tell it: every engine is
// loaded, and all of them are held against each other.
func (s *Shop) FleetOfAll(state string) (*Fleet, error) {
	o, err := s.open(state)
	if err != nil {
		return nil, err
	}
	f := o.fleet()
	var outlines []*record.Engine
	for i, place := range o.places {
		l, err := o.rules.load(o.tree, place, place.Number)
		if err != nil {
			return nil, err
		}
		f.Engines[i] = inFleet(l, o.rules.book, o.today)
		if l.Engine != nil {
			outlines = append(outlines, l.Engine.Outline())
		}
	}
	shop, _, err := shopOf(o.tree, outlines)
	if err != nil {
		return nil, err
	}
	for i, one := range f.Engines {
		if !one.Read {
			continue
		}
		e, err := readEngine(o.tree, o.places[i])
		if err != nil {
			return nil, err
		}
		if shop.Elsewhere(e) {
			one.stand(e, shop.Guards(e), o.rules.book, f.Today)
		}
	}
	if state == "" {
		err = s.addAbsent(f)
	}
	return f, err
}
