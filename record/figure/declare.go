package figure

import (
	"strconv"
	"strings"
	"sync"

	"stackbook/schema"
)

// The topics, in the order a builder reads them.
const (
	TopicFits        = "fits"
	TopicSeals       = "seals"
	TopicFasteners   = "fasteners"
	TopicGeometry    = "geometry"
	TopicCompression = "compression"
	TopicPorts       = "ports"
	TopicCranking    = "cranking"
	TopicInduction   = "induction"
	TopicFuel        = "fuel"
	TopicOil         = "oil"
	TopicCooling     = "cooling"
	TopicMotion      = "motion"
	TopicBalance     = "balance"
	TopicPower       = "power"
	TopicMeasured    = "as measured"
)

const commonPractice = "common practice, no source"

// at is a list of patterns of positions.
func at(patterns ...schema.Pattern) []schema.Pattern { return patterns }

var all = sync.OnceValue(func() []*Figure {
	var list []*Figure
	for _, part := range [][]*Figure{fits(), endFloat(), felt(), measured(), seals(), fasteners(), compression(), ports(), cranking(), balance(),
		power(), weather(), induction(), fuel(), oil(), cooling(), geometry(), motion()} {
		list = append(list, part...)
	}
	return list
})

// All lists every figure in the order it is shown.
func All() []*Figure { return all() }

var index = sync.OnceValue(func() map[string]*Figure {
	byID := map[string]*Figure{}
	for _, f := range All() {
		byID[f.ID] = f
	}
	return byID
})

// ByID returns the figure of that id, or nil.
func ByID(id string) *Figure { return index()[id] }

// measured makes a figure of every point that is judged as it was read: the
// worst of its places.
func measured() []*Figure {
	var list []*Figure
	for i := range schema.Points() {
		p := &schema.Points()[i]
		if p.Text || p.Judge == schema.NotJudged {
			continue
		}
		list = append(list, pointFigure(p))
	}
	return list
}

// pointFigure shows a point as it was read: a size of a warm part is not
// brought to 20 degC for it.
func pointFigure(p *schema.Point) *Figure {
	f := &Figure{ID: p.ID, Topic: TopicMeasured, Title: p.Title, Unit: p.Unit, At: p.At, Source: "the reading itself", point: p}
	f.Words, f.Work = "the largest reading", func(l *Look, at string) float64 { return pick(l.asRead(p.ID, at), 1).SI }
	if p.Judge == schema.Smallest {
		f.Words, f.Work = "the smallest reading", func(l *Look, at string) float64 { return pick(l.asRead(p.ID, at), -1).SI }
	}
	return f
}

// segment is the nth part of a position: segment("rotor/2/apex/3", 1) is "2".
func segment(position string, n int) string {
	for part := range strings.SplitSeq(position, "/") {
		if n == 0 {
			return part
		}
		n--
	}
	return ""
}

// everyHousing are the positions of the housings of the longest engine.
var everyHousing = sync.OnceValue(func() []string { return schema.Pattern("housing/*r").Expand(schema.MostRotors) })

// housingOf is the housing a rotor, or anything on it, turns in.
func housingOf(position string) string {
	if every, n := everyHousing(), indexOf(position); n > 0 && n <= len(every) {
		return every[n-1]
	}
	return "housing/" + segment(position, 1)
}

// perRotor calls f with the position of each rotor.
func (l *Look) perRotor(f func(i int, rotor string)) {
	for i, rotor := range schema.Pattern("rotor/*r").Expand(l.Rotors()) {
		f(i, rotor)
	}
}

// indexOf is the number in a position: of rotor/2/apex/3, 2.
func indexOf(position string) int {
	n, _ := strconv.Atoi(segment(position, 1))
	return n
}

// housingNumber is the position of the nth housing.
func housingNumber(n int) string { return "housing/" + strconv.Itoa(n) }
