package record

import (
	"cmp"
	"math"
	"slices"

	"stackbook/schema"
)

// Slip is a reading that is ten, a hundred or a thousand times what the same
// session reads at every other place of its point, or that part of it: a decimal
// point that slipped, most likely. It is no problem, since nobody but who measured
// knows.
type Slip struct {
	Point  string  // rotor_width
	At     string  // rotor/1/corner/2
	Text   string  // as written, or the mean of repeats
	Others string  // what is read at the place in the middle of the others
	Times  float64 // 10, or 0.1
	Ref    Ref
}

// alike is how far apart the other places may be, over the one in their middle,
// for a reading to be unlike them: sizes that are made alike are, wear and
// clearances often are not.
const alike = 0.2

// slipped is how far from a power of ten a slip may be.
const slipped = 0.1

// Slips lists them, of the sessions of the engine's build in their order.
func (e *Engine) Slips() []Slip {
	var list []Slip
	for _, s := range e.Sessions {
		if s.Build != e.Build {
			continue
		}
		of := map[*schema.Point][]*schema.Reading{}
		var points []*schema.Point
		for i := range s.Readings {
			r := &s.Readings[i]
			if _, ok := Mean(r); !ok || r.Between != nil {
				continue
			}
			if of[r.Point] == nil {
				points = append(points, r.Point)
			}
			of[r.Point] = append(of[r.Point], r)
		}
		for _, p := range points {
			list = append(list, s.slips(of[p])...)
		}
	}
	return list
}

// slips looks at the readings of one point. It takes three others to know what is
// usual.
func (s *Session) slips(readings []*schema.Reading) []Slip {
	si := make([]float64, len(readings))
	for i, r := range readings {
		q, _ := Mean(r)
		si[i] = q.SI()
	}
	if len(si) < 4 || slices.Min(si) <= 0 || slices.Max(si) < 2*slices.Min(si) {
		return nil
	}
	var list []Slip
	for i, r := range readings {
		order := make([]int, 0, len(si)) // of the others, by size
		for k := range si {
			if k != i {
				order = append(order, k)
			}
		}
		slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(si[a], si[b]) })
		low, middle, high := si[order[0]], order[len(order)/2], si[order[len(order)-1]]
		times := si[i] / si[middle]
		power := math.Round(math.Log10(times))
		if high-low > alike*si[middle] || power == 0 || math.Abs(power) > 3 || math.Abs(times/math.Pow(10, power)-1) > slipped {
			continue
		}
		own, _ := Mean(r)
		usual, _ := Mean(readings[middle])
		list = append(list, Slip{Point: r.Point.ID, At: r.Key, Text: own.String(), Others: usual.String(), Times: math.Pow(10, power), Ref: s.Ref(r.Node)})
	}
	return list
}
