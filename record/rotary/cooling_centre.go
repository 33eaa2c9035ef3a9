package rotary

import (
	"math"
	"slices"
)

// branchFlows shares a flow over two parallel branches whose pressure drop is
// dp = k V^2, so that both drop alike:
//
//	V_b = V k_b^-1/2/sum(k^-1/2)
//
// in the unit of the flow; only the ratio of the k counts. Own derivation for
// turbulent flow. Range: both k > 0.
func branchFlows(formula string, flow, frontK, rearK float64) (front, rear float64, err error) {
	if err := positive(formula, arg{"resistances", frontK}, arg{"resistances", rearK}); err != nil {
		return 0, 0, err
	}
	ease, other := 1/math.Sqrt(frontK), 1/math.Sqrt(rearK)
	return flow * (ease / (ease + other)), flow * (other / (ease + other)), nil
}

// CoolantCentreFed follows coolant that enters between two housings and leaves
// by two branches, each a series path outwards from the feed: housings[:split]
// forwards, the rest backwards. housings are counted from the front; frontK and
// rearK are the branches' resistances (dp = k V^2, in any one scale). It returns the
// temperatures in the order of the housings and the two flows in m3/s.
//
// For equal branches the hottest outlet is that of the series path, but the
// metal spread shrinks; h falls with the flow of a branch (about its 0.8th
// power in turbulent flow, from memory), so a constant hA flatters this layout.
// Range as for CoolantSeries, and at least one housing in each branch.
func CoolantCentreFed(c Coolant, inlet float64, housings []Housing, split int, frontK, rearK float64) ([]Warmed, []float64, error) {
	const id = "coolant-centre-fed"
	if err := checkCooling(id, c, inlet, housings); err != nil {
		return nil, nil, err
	}
	if split < 1 || split >= len(housings) {
		return nil, nil, &RangeError{Formula: id, Input: "split", Why: "must leave at least one housing in each branch"}
	}
	frontFlow, rearFlow, err := branchFlows(id, c.Flow, frontK, rearK)
	if err != nil {
		return nil, nil, err
	}
	outwards := slices.Clone(housings[:split])
	slices.Reverse(outwards)
	front := along(Coolant{frontFlow, c.Density, c.Heat}, inlet, outwards)
	slices.Reverse(front)
	rear := along(Coolant{rearFlow, c.Density, c.Heat}, inlet, housings[split:])
	return append(front, rear...), []float64{frontFlow, rearFlow}, nil
}

func registerCoolantCentreFed(r registry) {
	r.register(&Formula{
		ID:     "coolant-centre-fed",
		Topic:  topicCooling,
		Title:  "coolant and metal temperatures, fed between the housings",
		Words:  "V_b = V k_b^-1/2/sum(k^-1/2); each branch a series path outwards from the feed",
		Range:  "an index for comparing layouts, not degrees to act on; constant hA flatters this layout",
		Source: "own derivation",
		In: append([]Param{
			{Name: "heat", Symbol: "q", Unit: "kW", Title: "heat of each housing, from the front", Kind: List},
			{Name: "split", Symbol: "split", Unit: "1", Title: "housings in front of the feed"},
			{Name: "resistances", Symbol: "k", Unit: "1", Title: "resistance of the front and the rear branch, in any one scale", Kind: List}},
			coolantParams()...),
		Out: append(warmedParams(),
			Param{Name: "branch-flows", Symbol: "V_b", Unit: "L/min", Title: "flow of the front and the rear branch", Kind: List}),
		Work: func(in []Value) ([]Value, error) {
			k := in[2].List
			if len(k) != 2 {
				return nil, &RangeError{Formula: "coolant-centre-fed", Input: "resistances", Why: "must be two, front and rear"}
			}
			split := in[1].Number
			if err := wholeNumber("coolant-centre-fed", arg{"split", split}); err != nil {
				return nil, err
			}
			warmed, flows, err := CoolantCentreFed(coolantOf(in[3:]), in[4].Number, housingsOf(in[0].List, in[5].Number), int(split), k[0], k[1])
			return append(warmedValues(warmed), Value{List: flows}), err
		},
	})
}
