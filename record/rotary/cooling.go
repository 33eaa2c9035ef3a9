package rotary

import "math"

const topicCooling = "cooling"

// Density (kg/m3) and specific heat (J/(kg K)) of water with 50 % by mass of
// ethylene glycol near 80 degC: density [S31]; specific heat from memory,
// [S32] gives about 3500 near 20 degC.
const (
	glycolDensity = 1042.0
	glycolHeat    = 3550.0
)

// PassageArea returns the area in m2 of n round passages of diameter d (m),
// n pi d^2/4. Range: n >= 0, d > 0.
func PassageArea(count, diameter float64) (float64, error) {
	const id = "passage-area"
	if err := notNegative(id, arg{"count", count}); err != nil {
		return 0, err
	}
	if err := positive(id, arg{"diameter", diameter}); err != nil {
		return 0, err
	}
	return count * math.Pi / 4 * diameter * diameter, nil
}

func registerPassageArea(r registry) {
	r.register(&Formula{
		ID:     "passage-area",
		Topic:  topicCooling,
		Title:  "area of round coolant passages",
		Words:  "A = n pi d^2/4",
		Source: ownDerivation,
		In: []Param{
			{Name: "count", Symbol: "n", Unit: "1", Title: "number of passages"},
			{Name: "diameter", Symbol: "d", Unit: "mm", Title: "their diameter"},
		},
		Out: []Param{{Name: "area", Symbol: "A", Unit: "mm2", Title: "area of all"}},
		Work: func(in []Value) ([]Value, error) {
			return one(PassageArea(in[0].Number, in[1].Number))
		},
	})
}

// Coolant is a liquid and how much of it flows: flow in m3/s, density in
// kg/m3, specific heat in J/(kg K).
type Coolant struct{ Flow, Density, Heat float64 }

// capacity is the heat it carries a kelvin, W/K.
func (c Coolant) capacity() float64 { return c.Density * c.Flow * c.Heat }

func (c Coolant) check(formula string) error {
	return positive(formula, arg{"flow", c.Flow}, arg{"density", c.Density}, arg{"specific-heat", c.Heat})
}

// HeatToCoolant returns the heat in W that a coolant takes up while it warms by
// rise (K; negative where it cools): Q = rho V c_p dT. Range: flow, density and
// specific heat > 0.
func HeatToCoolant(c Coolant, rise float64) (float64, error) {
	if err := c.check("heat-to-coolant"); err != nil {
		return 0, err
	}
	return c.capacity() * rise, nil
}

func registerHeatToCoolant(r registry) {
	r.register(&Formula{
		ID:     "heat-to-coolant",
		Topic:  topicCooling,
		Title:  "heat taken up by the coolant",
		Words:  "Q = rho V c_p dT",
		Source: "energy balance",
		In: []Param{
			flowParam,
			{Name: "density", Symbol: "rho", Unit: "kg/m3", Title: "density of the coolant"},
			{Name: "specific-heat", Symbol: "cp", Unit: "kJ/(kg K)", Title: "specific heat of the coolant"},
			{Name: "rise", Symbol: "dT", Unit: "K", Title: "rise from inlet to outlet"},
		},
		Out: []Param{{Name: "heat", Symbol: "Qdot", Unit: "kW", Title: "heat to the coolant"}},
		Work: func(in []Value) ([]Value, error) {
			return one(HeatToCoolant(Coolant{in[0].Number, in[1].Number, in[2].Number}, in[3].Number))
		},
	})
}

var flowParam = Param{Name: "flow", Symbol: "V_dot", Unit: "L/min", Title: "coolant flow"}

// Housing is what one rotor housing adds to the coolant: heat in W, and h A in
// W/K, heat transfer coefficient times wetted area.
type Housing struct{ Heat, Transfer float64 }

// Warmed is what comes of it, in K: the coolant leaving the housing and the
// metal's mean temperature.
type Warmed struct{ Outlet, Metal float64 }

// CoolantSeries follows the coolant through housings one after the other:
//
//	T_out,i = T_in,i + q_i/(rho V c_p),   T_in,i+1 = T_out,i
//	T_metal,i = (T_in,i + T_out,i)/2 + q_i/(hA)_i
//
// inlet in K. Own derivation. The metal temperatures are an index for comparing
// layouts, not degrees to act on: h is taken as constant, the oil's share is
// left out. q_i is about 0.3 to 0.4 of brake power shared over the rotors
// (common practice). Range: inlet, flow, density, specific heat, hA > 0.
func CoolantSeries(c Coolant, inlet float64, housings []Housing) ([]Warmed, error) {
	const id = "coolant-series"
	if err := checkCooling(id, c, inlet, housings); err != nil {
		return nil, err
	}
	return along(c, inlet, housings), nil
}

// along is CoolantSeries after its checks.
func along(c Coolant, inlet float64, housings []Housing) []Warmed {
	warmed := make([]Warmed, len(housings))
	for i, h := range housings {
		outlet := inlet + h.Heat/c.capacity()
		warmed[i] = Warmed{Outlet: outlet, Metal: float64((inlet+outlet)/2) + h.Heat/h.Transfer}
		inlet = outlet
	}
	return warmed
}

func checkCooling(formula string, c Coolant, inlet float64, housings []Housing) error {
	if err := c.check(formula); err != nil {
		return err
	}
	if err := positive(formula, arg{"inlet-temperature", inlet}); err != nil {
		return err
	}
	if len(housings) == 0 {
		return &RangeError{Formula: formula, Input: "heat", Why: "needs a value for at least one housing"}
	}
	for _, h := range housings {
		if err := positive(formula, arg{"heat-transfer", h.Transfer}); err != nil {
			return err
		}
	}
	return nil
}

func registerCoolantSeries(r registry) {
	r.register(&Formula{
		ID:     "coolant-series",
		Topic:  topicCooling,
		Title:  "coolant and metal temperatures, housings in series",
		Words:  "T_out = T_in + q/(rho V c_p); T_metal = (T_in + T_out)/2 + q/hA; each outlet is the next inlet",
		Range:  "an index for comparing layouts, not degrees to act on",
		Source: ownDerivation,
		In: append([]Param{
			{Name: "heat", Symbol: "q", Unit: "kW", Title: "heat of each housing, in the order of flow", Kind: List}},
			coolantParams()...),
		Out: warmedParams(),
		Work: func(in []Value) ([]Value, error) {
			warmed, err := CoolantSeries(coolantOf(in[1:]), in[2].Number, housingsOf(in[0].List, in[3].Number))
			return warmedValues(warmed), err
		},
	})
}

// coolantParams are the inputs every layout takes; the last two default to
// 50 % glycol at 80 degC.
func coolantParams() []Param {
	return []Param{
		flowParam,
		{Name: "inlet-temperature", Symbol: "T_in", Unit: "degC", Title: "coolant temperature at the inlet"},
		{Name: "heat-transfer", Symbol: "hA", Unit: "kW/K", Title: "heat transfer coefficient times area of a housing"},
		{Name: "density", Symbol: "rho", Unit: "kg/m3", Title: "density of the coolant", Optional: true, Default: glycolDensity},
		{Name: "specific-heat", Symbol: "cp", Unit: "kJ/(kg K)", Title: "specific heat of the coolant", Optional: true, Default: glycolHeat},
	}
}

// coolantOf reads the inputs declared by coolantParams.
func coolantOf(in []Value) Coolant { return Coolant{in[0].Number, in[3].Number, in[4].Number} }

func warmedParams() []Param {
	return []Param{
		{Name: "outlets", Symbol: "T_out", Unit: "degC", Title: "coolant leaving each housing", Kind: List},
		{Name: "metal", Symbol: "T_metal", Unit: "degC", Title: "mean metal temperature of each housing", Kind: List},
	}
}

func warmedValues(warmed []Warmed) []Value {
	vs := make([]Value, 2)
	for _, w := range warmed {
		vs[0].List = append(vs[0].List, w.Outlet)
		vs[1].List = append(vs[1].List, w.Metal)
	}
	return vs
}

func housingsOf(heat []float64, transfer float64) []Housing {
	hs := make([]Housing, len(heat))
	for i, q := range heat {
		hs[i] = Housing{q, transfer}
	}
	return hs
}
