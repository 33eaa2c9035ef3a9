package rotary

import "math"

// The parameters that many formulas share.
var (
	paramEccentricity = Param{Name: "eccentricity", Symbol: "e", Unit: "mm", Title: "throw of the eccentric shaft"}
	paramRadius       = Param{Name: "generating-radius", Symbol: "R", Unit: "mm",
		Title: "rotor centre to the centre of the rounded seal tip"}
	paramTip = Param{Name: "seal-tip-radius", Symbol: "a", Unit: "mm", Title: "radius of the seal's rounded tip; none: sharp",
		Optional: true}
	paramWidth = Param{Name: "chamber-width", Symbol: "b", Unit: "mm", Title: "width of the rotor housing"}
	paramAlpha = Param{Name: "shaft-angle", Symbol: "alpha", Unit: "deg", Title: "shaft angle after the chamber's top dead centre"}
	paramSpeed = Param{Name: "speed", Symbol: "n", Unit: "rpm", Title: "speed of the eccentric shaft"}
	paramSwept = Param{Name: "swept-volume", Symbol: "V_s", Unit: "cm3", Title: "swept volume of one chamber"}
	paramCount = Param{Name: "rotors", Symbol: "N", Unit: "1", Title: "number of rotors"}
)

// retitled is the parameter with another title, where a formula means it more
// narrowly.
func retitled(p Param, title string) Param {
	p.Title = title
	return p
}

// wholeNumber refuses a count that is not 1, 2, 3 ... up to a thousand, more
// than any count here.
func wholeNumber(formula string, a arg) error {
	if !(a.x >= 1 && a.x <= 1000) || a.x != math.Trunc(a.x) {
		return &RangeError{Formula: formula, Input: a.name, Why: "must be a whole number from 1 to 1000"}
	}
	return nil
}

// one makes the single result of a formula, or passes its error on.
func one(x float64, err error) ([]Value, error) {
	if err != nil {
		return nil, err
	}
	return numbers(x), nil
}
