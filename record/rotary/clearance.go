package rotary

import "slices"

const topicClearance = "clearance"

// referenceTemperature is 20 degC in K, the temperature that dimensions are
// stated at (ISO 1, from memory).
const referenceTemperature = 293.15

// RunningClearance returns the diametral clearance of a journal in a bore, in
// m, and as a ratio of the journal: c = bore - journal. Negative is
// interference. Range: both diameters above zero.
func RunningClearance(bore, journal float64) (clearance, ratio float64, err error) {
	if err := positive("running-clearance", arg{"bore", bore}, arg{"journal", journal}); err != nil {
		return 0, 0, err
	}
	return bore - journal, (bore - journal) / journal, nil
}

// SideClearance returns the axial play of a rotor in its housing, in m, both
// sides together: the housing's width less the LARGEST width of the rotor.
// Negative means the rotor is too wide. Range: at least one rotor width, all
// above zero.
func SideClearance(housing float64, rotor []float64) (float64, error) {
	const id = "side-clearance"
	if err := positive(id, arg{"housing-width", housing}); err != nil {
		return 0, err
	}
	if len(rotor) == 0 {
		return 0, &RangeError{Formula: id, Input: "rotor-widths", Why: "must have at least one value"}
	}
	for _, width := range rotor {
		if err := positive(id, arg{"rotor-widths", width}); err != nil {
			return 0, err
		}
	}
	return housing - slices.Max(rotor), nil
}

// Reading is a length as an instrument indicates it.
type Reading struct {
	Length                float64 // m
	Expansion, Instrument float64 // linear expansion of part and of instrument or setting standard, 1/K
	PartTemp, InstTemp    float64 // K
}

// LengthAt20 returns the length, in m, that a part has at 20 degC:
//
//	L20 = L (1 + a_inst (T_inst - 20))/(1 + a_part (T_part - 20))
//
// An instrument that compensates its own temperature has the expansion 0. Own
// derivation; near room temperature, as the expansion counts as constant.
// Range: length above zero, expansions not negative, temperatures above
// absolute zero and near enough to 20 degC that nothing shrinks away.
func LengthAt20(r Reading) (float64, error) {
	const id = "length-at-20C"
	if err := positive(id, arg{"length", r.Length}); err != nil {
		return 0, err
	}
	part, err := expansion(id, "part", r.Expansion, r.PartTemp)
	if err != nil {
		return 0, err
	}
	instrument, err := expansion(id, "instrument", r.Instrument, r.InstTemp)
	return r.Length * instrument / part, err
}

// Fit is two parts of which one goes into the other, with their sizes at 20
// degC in m, linear expansions in 1/K and temperatures in K.
type Fit struct {
	Outer, OuterExpansion, OuterTemp float64
	Inner, InnerExpansion, InnerTemp float64
}

// HotClearance returns the clearance of a fit at 20 degC and at working
// temperature, in m:
//
//	c_hot = H20(1 + a_H(T_H - 20)) - W20(1 + a_W(T_W - 20))
//
// An estimate: it leaves out clamping by the through bolts and differences of
// temperature within a part, and mean expansions up to 100 or 200 degC are a
// few per cent above those at room temperature for aluminium (from memory).
// Range as for LengthAt20.
func HotClearance(f Fit) (cold, hot float64, err error) {
	const id = "hot-clearance"
	if err := positive(id, arg{"outer-size", f.Outer}, arg{"inner-size", f.Inner}); err != nil {
		return 0, 0, err
	}
	outer, err := expansion(id, "outer", f.OuterExpansion, f.OuterTemp)
	if err != nil {
		return 0, 0, err
	}
	inner, err := expansion(id, "inner", f.InnerExpansion, f.InnerTemp)
	return f.Outer - f.Inner, float64(f.Outer*outer) - float64(f.Inner*inner), err
}

// expansion is the factor by which a length at 20 degC has grown; what begins
// the names of the two inputs.
func expansion(formula, what string, coefficient, temperature float64) (float64, error) {
	if err := notNegative(formula, arg{what + "-expansion", coefficient}); err != nil {
		return 0, err
	}
	factor := 1 + float64(coefficient*(temperature-referenceTemperature))
	if !(temperature > 0) || factor <= 0 {
		return 0, &RangeError{Formula: formula, Input: what + "-temperature", Why: "must be above absolute zero, and no length may shrink to nothing"}
	}
	return factor, nil
}
