package merge

import "slices"

// A clash is one value that the person must decide; the merged text keeps our
// side of it.
type clash struct {
	ids           []string
	message, mend string // empty: both sides changed it
}

// A plan is what a merge decided, before a byte is written.
type plan struct {
	put    []*value          // of theirs: to be written into our text
	remove []*value          // of ours: to be taken out of it
	lines  []*value          // readings as they should mean, whatever their point gives to all
	want   map[string]string // what the merged record should say
	clash  []clash
}

// decide merges three states of one value.
func decide(base, ours, theirs *value) *plan {
	p := &plan{want: map[string]string{}}
	p.value(base, ours, theirs)
	return p
}

// value decides about one value; at least one of the sides is there.
func (p *plan) value(base, ours, theirs *value) {
	switch {
	case same(ours, theirs), same(base, theirs):
		p.keep(ours)
	case mergeable(base, ours, theirs):
		p.descend(base, ours, theirs)
	case same(base, ours):
		p.take(ours, theirs)
	default:
		p.conflict(ours, theirs)
	}
}

// mergeable tells whether two states can be merged by what is in them: of one
// shape, and of one thing.
func mergeable(base, ours, theirs *value) bool {
	if ours == nil || theirs == nil || ours.shape == leaf || ours.shape != theirs.shape || base != nil && base.shape != ours.shape {
		return false
	}
	switch {
	case ours.entity && !same(base, ours) && !oneThing(base, ours, theirs):
		return false
	case isPoint(ours):
		return readAlike(base, ours) && readAlike(ours, theirs) && readAlike(base, theirs)
	case isTable(ours) && !same(base, ours):
		return same(ours.kid("columns"), theirs.kid("columns")) && (base == nil || same(base.kid("columns"), ours.kid("columns")))
	}
	return true
}

// isPoint tells whether a value is all readings of one point.
func isPoint(v *value) bool { return len(v.ids) == 2 && v.ids[0] == "readings" }

// readAlike tells whether what two sides both have of a point can be read on
// both: not where one of them lost the unit.
func readAlike(a, b *value) bool {
	return a == nil || !slices.ContainsFunc(a.kids, func(k *value) bool {
		other := b.kid(k.key())
		return other != nil && other.shape != k.shape
	})
}

// isTable tells whether a value is a table, whose rows stand and fall with
// their columns.
func isTable(v *value) bool { return len(v.path) == 2 && v.path[0] == "tables" }

// whoKeys are the keys that say which thing an entry is about: another serial
// is another part, another value another reading.
var whoKeys = []string{"serial", "lot", "part", "kind", measured}

// oneThing tells whether both sides, where each altered it, still speak of one
// thing. One that both added is not; nor is a part that one side exchanged
// while the other wrote on about the old one. Where the sides differ in one
// value alone, nothing could be blended.
func oneThing(base, ours, theirs *value) bool {
	differ := map[string]bool{}
	for _, k := range slices.Concat(ours.kids, theirs.kids) {
		if key := k.key(); !same(ours.kid(key), theirs.kid(key)) {
			differ[key] = true
			if base == nil && (ours.kid(key) == nil || theirs.kid(key) == nil) {
				return false
			}
		}
	}
	exchanged := slices.ContainsFunc(whoKeys, func(key string) bool { return differ[key] })
	return len(differ) == 1 || base != nil && !exchanged
}

// descend decides about each value of a mapping or list, or about a reading.
func (p *plan) descend(base, ours, theirs *value) {
	if ours.shape == reading {
		p.reading(base, ours, theirs)
		return
	}
	clashing := clashing(base, ours, theirs)
	seen := map[string]bool{}
	for _, k := range slices.Concat(ours.kids, theirs.kids) {
		key := k.key()
		if seen[key] {
			continue
		}
		seen[key] = true
		b, o, t := base.kid(key), ours.kid(key), theirs.kid(key)
		p.value(as(b, o, clashing), o, as(t, o, clashing))
	}
}

// reading merges two states of one reading: each particular comes from the side
// that altered it.
func (p *plan) reading(base, ours, theirs *value) {
	merged := *ours
	merged.kids, merged.index = nil, nil
	for _, key := range slices.Concat([]string{measured}, particulars) {
		b, o, t := base.kid(key), ours.kid(key), theirs.kid(key)
		if same(b, o) {
			o = t
		} else if !same(b, t) && !same(o, t) {
			p.conflict(ours, theirs)
			return
		}
		if o != nil {
			merged.kids = append(merged.kids, o)
		}
	}
	p.keep(&merged)
}

// clashing lists the particulars that both sides gave to all readings of a
// point, each in its way: one conflict, and not one more a reading.
func clashing(base, ours, theirs *value) []string {
	if !isPoint(ours) {
		return nil
	}
	return slices.DeleteFunc(slices.Clone(particulars), func(key string) bool {
		b, o, t := base.kid(key), ours.kid(key), theirs.kid(key)
		return same(o, t) || same(b, o) || same(b, t)
	})
}

// as is a reading as if its point gave the clashing particulars as ours does.
func as(v, ours *value, clashing []string) *value {
	if len(clashing) == 0 || v == nil || ours == nil || v.shape != reading || ours.shape != reading {
		return v
	}
	c := *v
	c.kids, c.index = slices.Clone(v.kids), nil
	for _, key := range clashing {
		mine, ok := v.kid(key), ours.kid(key)
		if mine != nil && mine.inherited && ok != nil && ok.inherited {
			c.kids[slices.Index(c.kids, mine)] = ok
		}
	}
	return &c
}

// keep settles what a value should say. Readings are noted one by one: what
// their point gives to all of them may alter.
func (p *plan) keep(v *value) {
	v.each(func(k *value) {
		if k.shape == reading {
			p.lines = append(p.lines, k)
		}
	})
	for fact, canonical := range v.facts() {
		p.want[fact] = canonical
	}
}

// take puts their side in place of ours.
func (p *plan) take(ours, theirs *value) {
	p.keep(theirs)
	switch {
	case theirs == nil:
		p.remove = append(p.remove, ours)
	case theirs.shape != reading: // which is written with its particulars
		p.put = append(p.put, theirs)
	}
}

// conflict notes a value for the person to decide; the text keeps ours.
func (p *plan) conflict(ours, theirs *value) {
	p.keep(ours)
	p.clash = append(p.clash, clash{ids: either(ours, theirs).ids})
}

// either is the first of two values, or the second where that is missing.
func either(a, b *value) *value {
	if a != nil {
		return a
	}
	return b
}
