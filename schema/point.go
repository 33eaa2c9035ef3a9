package schema

import (
	"strconv"
	"strings"
	"sync"

	"stackbook/schema/quantity"
)

// Judge says which of several readings at one position is held against a
// limit. A verdict uses the worst place: averaging places hides taper and
// bell-mouth.
type Judge int

// The ways a point is judged.
const (
	NotJudged Judge = iota // feeds other figures only
	Largest                // the largest place is the worst
	Smallest               // the smallest place is the worst
)

// Point is a named thing to measure.
type Point struct {
	ID       string
	Title    string
	Dim      quantity.Dimension // zero value with Text set: no number at all
	Unit     string             // the dictionary's unit
	Text     bool               // the reading is words: a state, a result
	Words    []string           // the words it may be, where they are few
	At       []Pattern          // the kinds of position it is taken at
	Places   []Pattern          // the places there, after the position; none: the position itself
	Part     int                // segments of the position that name the part read, at most; 0: the assembly, never carried to another build
	Size     bool               // a size of that part, which grows with its temperature
	Nominal  string             // the spec's field that stands in where nothing was read; "{part}" is the part's entry under parts
	Ask      []Pattern          // the kinds of position a missing reading is missed at; none: all of At
	Sequence bool               // its places are the order readings came in and name nothing: they are compared sorted
	Judge    Judge
	Low      string // least and greatest sensible value: a slip of the pen lies outside
	High     string
	Stages   []string // where it is asked for
	With     string   // the instrument that suits
	How      string   // how to measure, in a sentence
	Caution  string   // what misleads or hurts
	Priority int      // its place in the list of the points that matter most, 1 to 25; 0: none
}

// PointIDs lists the ids of all points in the order of the dictionary.
func PointIDs() []string {
	points := Points()
	ids := make([]string, len(points))
	for i := range points {
		ids[i] = points[i].ID
	}
	return ids
}

var pointIndex = sync.OnceValue(func() map[string]*Point {
	points := Points()
	index := make(map[string]*Point, len(points))
	for i := range points {
		index[points[i].ID] = &points[i]
	}
	return index
})

// FindPoint returns the point of that id, or nil.
func FindPoint(id string) *Point { return pointIndex()[id] }

// Split parts the key of a reading, such as housing/1/at/A, into its position
// and its place; ok is false when the point is not taken there in an engine of
// that many rotors (0: not known).
func (p *Point) Split(key string, rotors int) (position, place string, ok bool) {
	segments := strings.Split(key, "/")
	for _, kind := range p.At {
		n := strings.Count(string(kind), "/") + 1
		if len(segments) < n {
			continue
		}
		head, tail := strings.Join(segments[:n], "/"), strings.Join(segments[n:], "/")
		if !kind.Match(head, rotors) {
			continue
		}
		if tail == "" || p.hasPlace(tail) {
			return head, tail, true
		}
	}
	return "", "", false
}

func (p *Point) hasPlace(place string) bool {
	for _, pattern := range p.Places {
		if pattern.Match(place, 0) {
			return true
		}
	}
	return false
}

// Keys lists every key under which this point is read in an engine of that
// many rotors, to name the nearest one to a mistake.
func (p *Point) Keys(rotors int) []string {
	var keys []string
	for _, kind := range p.At {
		for _, position := range kind.Expand(rotors) {
			if len(p.Places) == 0 {
				keys = append(keys, position)
				continue
			}
			for _, place := range p.Places {
				for _, tail := range place.Expand(0) {
					keys = append(keys, position+"/"+tail)
				}
			}
		}
	}
	return keys
}

// Asked lists the positions at which a reading that is missing is missed, in
// an engine of that many rotors: of side plates only the faces a rotor runs
// against.
func (p *Point) Asked(rotors int) []string {
	kinds := p.Ask
	if kinds == nil {
		kinds = p.At
	}
	const first = "plate/1/front"
	last := "plate/" + strconv.Itoa(rotors+1) + "/rear"
	var asked []string
	for _, kind := range kinds {
		for _, position := range kind.Expand(rotors) {
			if position != first && position != last {
				asked = append(asked, position)
			}
		}
	}
	return asked
}

// PartOf gives the position of the part a reading at this position belongs
// to, or "" for a reading of the assembly. A position of fewer segments names
// the part itself: of a crack test both the shaft and a rotor's gear.
func (p *Point) PartOf(position string) string {
	if p.Part == 0 {
		return ""
	}
	slashes := 0
	for i := range len(position) {
		if position[i] != '/' {
			continue
		}
		if slashes++; slashes == p.Part {
			return position[:i]
		}
	}
	return position
}
