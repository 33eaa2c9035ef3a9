package figure

import "math"

// Extent is how far a figure may lie apart because readings it rests on are
// intervals: a feeler tells what enters and what does not (R20). SI.
type Extent struct{ Low, High float64 }

// interval is a reading that has two ends and no value.
type interval struct{ path, point string }

// mostApart is how many intervals are taken each by itself, in all combinations
// of their ends. Of more, those of one point go together.
const mostApart = 8

// extent works the figure again with every combination of the ends of the
// intervals it read; nil where it read none. That finds its ends where it rises
// or falls with each reading all the way, as clearances, sums, means and extremes
// do.
func extent(r values, f *Figure, l *Look, at string, value float64) *Extent {
	if len(l.intervals) == 0 {
		return nil
	}
	unit := func(i interval) string { return i.path }
	if len(l.intervals) > mostApart {
		unit = func(i interval) string { return i.point }
	}
	number := map[string]int{}
	for _, i := range l.intervals {
		if _, known := number[unit(i)]; !known {
			number[unit(i)] = len(number)
		}
	}
	e := Extent{value, value}
	for combination := range 1 << len(number) {
		corner := newLook(r, at)
		corner.atEnd = func(i interval) int { return combination >> number[unit(i)] & 1 }
		v := f.Work(corner, at)
		if corner.failed == nil && !math.IsNaN(v) && !math.IsInf(v, 0) {
			e.Low, e.High = math.Min(e.Low, v), math.Max(e.High, v)
		}
	}
	return &e
}

// judge holds the extent against a limit: it conforms with both ends inside and
// fails with both beyond the same end of the band; with one of them nobody
// knows (R20).
func (e Extent) judge(l *Limit) Verdict {
	low, high := l.holds(e.Low), l.holds(e.High)
	below := Limit{Low: l.Low, High: math.NaN()}
	above := Limit{Low: math.NaN(), High: l.High}
	switch {
	case low && high:
		return Conforms
	case !below.holds(e.High), !above.holds(e.Low):
		return Fails
	}
	return Undecided
}
