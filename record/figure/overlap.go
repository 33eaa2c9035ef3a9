package figure

import "strings"

// Overlap is a clearance below nought: two sizes that cannot go together, such
// as a bearing smaller than its journal. It is the person's slip or the person's
// trouble, and no limit set is needed to see it.
type Overlap struct {
	Result       *Result
	Outer, Inner *Input // the smallest outer and the greatest inner size it read
}

// Overlaps lists the clearances below nought, in the order of the results. Of
// the largest and the smallest clearance of one fit only the smallest is told.
func (s *Set) Overlaps() []Overlap {
	var list []Overlap
	for _, r := range s.Results {
		if r.Figure.Outer == "" || r.Value >= 0 {
			continue
		}
		outer, ok1 := r.extreme(r.Figure.Outer, -1)
		inner, ok2 := r.extreme(r.Figure.Inner, 1)
		if ok1 && ok2 {
			list = append(list, Overlap{r, outer, inner})
		}
	}
	return list
}

// extreme is the greatest reading of a point among a figure's inputs, or with
// the opposite sign the smallest; ok is false where it read none.
func (r *Result) extreme(point string, sign float64) (best *Input, ok bool) {
	for _, in := range r.Inputs {
		if strings.HasPrefix(in.Name, point+" at ") && (!ok || sign*in.SI > sign*best.SI) {
			best, ok = in, true
		}
	}
	return best, ok
}
