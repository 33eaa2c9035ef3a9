package schema

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"sync"
)

// A Pattern describes the positions of one kind, one segment after the other:
//
//	rotor       the word itself
//	front|rear  one of the words
//	*r          the number of a rotor, 1 to the engine's rotors
//	*p          the number of a side plate, 1 to rotors + 1
//	*n          any number from 1 to 99
//	1-3, 1-4    a number in that range
//	joint words such as housing-*r carry the number behind their hyphen
type Pattern string

// PositionKind is a kind of position with what it means.
type PositionKind struct {
	Pattern Pattern
	Title   string
}

// Positions lists every kind of position, front to rear and outside to inside.
// Everything is counted from the front, the accessory or pulley end; apex 1 is
// at the rotor's witness mark and the count runs in the direction of rotation;
// face 1 lies between apex 1 and apex 2. Common practice, no source.
var Positions = []PositionKind{
	{"engine", "the engine as a whole"},
	{"housing/*r", "rotor housing"},
	{"plate/*p", "side plate, counted from the front"},
	{"plate/*p/front|rear", "one face of a side plate"},
	{"joint/housing-*r/front|rear/inner|outer", "coolant seal between a rotor housing and a plate"},
	{"rotor/*r", "rotor"},
	{"rotor/*r/face/1-3", "rotor face: face 1 lies between apex 1 and apex 2"},
	{"rotor/*r/apex/1-3", "apex seal and its groove: apex 1 is at the witness mark"},
	{"rotor/*r/front|rear", "one side of a rotor"},
	{"rotor/*r/front|rear/corner/1-3", "corner seal and its bore"},
	{"rotor/*r/front|rear/side-seal/1-3", "side seal and its groove, beside the face of the same number"},
	{"rotor/*r/front|rear/oil-ring/inner|outer", "oil ring and its groove"},
	{"rotor/*r/gear", "internal gear of a rotor"},
	{"shaft", "eccentric shaft"},
	{"shaft/main/front|centre|rear", "main journal"},
	{"shaft/main/*n", "main journal of a shaft with more than three, from the front"},
	{"shaft/lobe/*r", "lobe, the journal a rotor turns on"},
	{"bearing/main/front|centre|rear", "main bearing"},
	{"bearing/main/*n", "main bearing of an engine with more than three, from the front"},
	{"bearing/rotor/*r", "rotor bearing"},
	{"bearing/thrust/front|rear", "thrust bearing"},
	{"spacer", "spacer that sets the end float"},
	{"gear/front|centre|rear", "stationary gear"},
	{"gear/*n", "stationary gear of an engine with more than three, from the front"},
	{"counterweight/front|rear", "counterweight and its plane"},
	{"flywheel", "flywheel or drive hub"},
	{"pulley", "pulley on the accessory end"},
	{"bolt/*n", "tension bolt, numbered on the bolt plan"},
	{"dowel/*n", "dowel or ring dowel"},
	{"port/*r/intake/primary|secondary|auxiliary|peripheral", "intake port of a rotor"},
	{"port/*r/exhaust/side|peripheral", "exhaust port of a rotor"},
	{"plug/*r/leading|trailing", "spark plug and its hole"},
	{"injector/*n", "fuel injector"},
	{"oil/pump|pressure|scavenge|filter|cooler|tank|regulator|jet", "a part of the oil system"},
	{"coolant/pump|thermostat|radiator|cap|strainer|feed|return", "a part of the cooling system"},
	{"intake/manifold|throttle|runner", "a part of the induction"},
	{"exhaust/manifold|runner|system", "a part of the exhaust"},
	{"ignition/box|coil|sensor", "a part of the ignition"},
	{"map", "the map in the engine controller"},
}

// MostRotors is the greatest number of rotors a spec may name.
const MostRotors = 12

// Match tells whether a position is of this pattern for an engine of that many
// rotors; rotors 0 means not known yet, and any number up to MostRotors will do.
func (p Pattern) Match(position string, rotors int) bool {
	pattern, more := string(p), true
	for more {
		var want, got string
		var longer bool
		want, pattern, more = strings.Cut(pattern, "/")
		got, position, longer = strings.Cut(position, "/")
		if more != longer || !matchSegment(want, got, rotors) {
			return false
		}
	}
	return true
}

func matchSegment(want, got string, rotors int) bool {
	if rotors == 0 {
		rotors = MostRotors
	}
	if head, tail, ok := strings.Cut(want, "-*"); ok {
		rest, found := strings.CutPrefix(got, head+"-")
		return found && matchSegment("*"+tail, rest, rotors)
	}
	switch want {
	case "*r":
		return isNumber(got, 1, rotors)
	case "*p":
		return isNumber(got, 1, rotors+1)
	case "*n":
		return isNumber(got, 1, 99)
	case "1-3":
		return isNumber(got, 1, 3)
	case "1-4":
		return isNumber(got, 1, 4)
	}
	for word := range strings.SplitSeq(want, "|") {
		if got == word {
			return true
		}
	}
	return false
}

// isNumber accepts plain decimal numbers without sign or leading zero.
func isNumber(text string, low, high int) bool {
	n, err := strconv.Atoi(text)
	return err == nil && text == strconv.Itoa(n) && n >= low && n <= high
}

// Expand lists the positions of this pattern in an engine of that many rotors,
// in order. A pattern with *n has no known number of positions and gives none.
// The list is shared: it may be added to, not altered.
func (p Pattern) Expand(rotors int) []string {
	key := expansion{p, rotors}
	if known, ok := expansions.Load(key); ok {
		return known.([]string)
	}
	all := slices.Clip(p.expand(rotors)) // so that an append makes a list of its own
	expansions.Store(key, all)
	return all
}

// expansion is a pattern for a number of rotors; expansions keeps those asked
// for, of which a program knows a few hundred.
type expansion struct {
	pattern Pattern
	rotors  int
}

var expansions sync.Map

func (p Pattern) expand(rotors int) []string {
	all := []string{""}
	for _, want := range strings.Split(string(p), "/") {
		words := expandSegment(want, rotors)
		next := make([]string, 0, len(all)*len(words))
		for _, head := range all {
			for _, w := range words {
				next = append(next, strings.TrimPrefix(head+"/"+w, "/"))
			}
		}
		all = next
	}
	return all
}

func expandSegment(want string, rotors int) []string {
	if head, tail, ok := strings.Cut(want, "-*"); ok {
		words := expandSegment("*"+tail, rotors)
		for i := range words {
			words[i] = head + "-" + words[i]
		}
		return words
	}
	switch want {
	case "*r":
		return numbers(rotors)
	case "*p":
		return numbers(rotors + 1)
	case "*n":
		return nil
	case "1-3":
		return numbers(3)
	case "1-4":
		return numbers(4)
	}
	return strings.Split(want, "|")
}

func numbers(n int) []string {
	out := make([]string, n)
	for i := range out {
		out[i] = strconv.Itoa(i + 1)
	}
	return out
}

// CheckPosition tells what is wrong with the name of a position, for an engine
// of that many rotors (0: not known); nil when nothing is.
func CheckPosition(position string, rotors int) error {
	for _, kind := range Positions {
		if kind.Pattern.Match(position, rotors) {
			return nil
		}
	}
	for _, kind := range Positions {
		if rotors > 0 && kind.Pattern.Match(position, 0) {
			return fmt.Errorf("there is no %s in an engine of %s", position, countRotors(rotors))
		}
	}
	return fmt.Errorf("%s is no position", quoted(position))
}

func countRotors(n int) string {
	if n == 1 {
		return "one rotor"
	}
	return strconv.Itoa(n) + " rotors"
}

// PositionMend is what to write instead of a position that there is none of, in an
// engine of that many rotors; 0 is any number of them.
func PositionMend(position string, rotors int) string {
	known := positionsOf(rotors)
	if near := Nearest(position, known); near != "" {
		return oneOf(position, near, known)
	}
	return "positions look like rotor/2/apex/3, housing/1, plate/1/rear"
}

// positionsOf lists every position of an engine of that many rotors, 0 for the
// largest.
func positionsOf(rotors int) []string {
	if rotors == 0 {
		rotors = MostRotors
	}
	var all []string
	for _, kind := range Positions {
		all = append(all, kind.Pattern.Expand(rotors)...)
	}
	return all
}

// Below tells whether a position is the given one or lies within it:
// rotor/2/apex/1 is below rotor/2 and below itself; everything is below engine.
func Below(position, within string) bool {
	return within == "engine" || position == within || len(position) > len(within) && position[len(within)] == '/' && strings.HasPrefix(position, within)
}

// wordOrder is the order of words that do not follow the alphabet.
var wordOrder = map[string]int{
	"front": 1, "centre": 2, "middle": 2, "rear": 3,
	"primary": 1, "secondary": 2, "auxiliary": 3, "peripheral": 4,
	"lowest": 1, "highest": 3,
	"leading": 1, "trailing": 2, "mouth": 1, "root": 2, "in": 1, "out": 2,
}

// Less orders positions and places front to rear: numbers by their value, so
// that bolt/10 follows bolt/9, words in the trade's order, all else by letters.
func Less(a, b string) bool {
	x, y := strings.Split(a, "/"), strings.Split(b, "/")
	for i := 0; i < len(x) && i < len(y); i++ {
		if x[i] == y[i] {
			continue
		}
		m, err1 := strconv.Atoi(x[i])
		n, err2 := strconv.Atoi(y[i])
		if err1 == nil && err2 == nil {
			return m < n
		}
		m, n = wordOrder[x[i]], wordOrder[y[i]]
		switch {
		case (m > 0) != (n > 0):
			return m > 0 // so that the order of all words stays one order
		case m != n:
			return m < n
		}
		return x[i] < y[i]
	}
	return len(x) < len(y)
}
