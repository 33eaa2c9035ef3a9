package rotary

import "math"

const topicOil = "oil"

// PumpFlow returns the speed of a belt- or gear-driven pump (rad/s) and its
// capacity (m3/s):
//
//	n_p = n z_drive/z_pump,   Q = D n_p eta_v
//
// n in rad/s, D the displacement in m3 a turn, eta_v the volumetric
// efficiency. Capacity, not delivery: no relief valve, no aeration. Range:
// n >= 0, tooth numbers and D > 0, 0 < eta_v <= 1. Own derivation.
func PumpFlow(speed, driveTeeth, pumpTeeth, displacement, efficiency float64) (pumpSpeed, flow float64, err error) {
	const id = "pump-flow"
	if err := notNegative(id, arg{"speed", speed}); err != nil {
		return 0, 0, err
	}
	err = positive(id, arg{"drive-teeth", driveTeeth}, arg{"pump-teeth", pumpTeeth}, arg{"displacement", displacement})
	if err != nil {
		return 0, 0, err
	}
	if !(efficiency > 0 && efficiency <= 1) {
		return 0, 0, &RangeError{Formula: id, Input: "efficiency", Why: "must be above 0 and at most 1"}
	}
	pumpSpeed = speed * driveTeeth / pumpTeeth
	return pumpSpeed, displacement * pumpSpeed / (2 * math.Pi) * efficiency, nil
}

func registerPumpFlow(r registry) {
	r.register(&Formula{
		ID:     "pump-flow",
		Topic:  topicOil,
		Title:  "speed and capacity of a driven pump",
		Words:  "n_p = n z_drive/z_pump; Q = D n_p eta_v",
		Range:  "capacity: no relief valve, no aeration",
		Source: ownDerivation,
		In: []Param{
			paramSpeed,
			{Name: "drive-teeth", Symbol: "z_drive", Unit: "1", Title: "teeth on the shaft"},
			{Name: "pump-teeth", Symbol: "z_pump", Unit: "1", Title: "teeth on the pump"},
			{Name: "displacement", Symbol: "Disp", Unit: "cm3/rev", Title: "displacement of the pump a turn"},
			{Name: "efficiency", Symbol: "eta_v", Unit: "1", Title: "volumetric efficiency"},
		},
		Out: []Param{
			{Name: "pump-speed", Symbol: "n_p", Unit: "rpm", Title: "speed of the pump"},
			{Name: "flow", Symbol: "Q", Unit: "L/min", Title: "capacity of the pump"},
		},
		Work: func(in []Value) ([]Value, error) {
			n, q, err := PumpFlow(in[0].Number, in[1].Number, in[2].Number, in[3].Number, in[4].Number)
			return numbers(n, q), err
		},
	})
}

// ScavengeRatio compares what the scavenge stages can lift with what the
// pressure stage delivers, both in m3/s: the sum of the one over the other.
// 1.5 to 2 and more is common practice, no source. Range: scavenge >= 0,
// pressure > 0.
func ScavengeRatio(scavenge, pressure float64) (float64, error) {
	const id = "scavenge-ratio"
	if err := notNegative(id, arg{"scavenge-flow", scavenge}); err != nil {
		return 0, err
	}
	if err := positive(id, arg{"pressure-flow", pressure}); err != nil {
		return 0, err
	}
	return scavenge / pressure, nil
}

func registerScavengeRatio(r registry) {
	r.register(&Formula{
		ID:     "scavenge-ratio",
		Topic:  topicOil,
		Title:  "scavenge against pressure flow of a dry sump",
		Words:  "ratio = sum of scavenge flows/pressure flow",
		Range:  "1.5 to 2 and more is common practice",
		Source: "common practice, no source",
		In: []Param{
			{Name: "scavenge-flow", Symbol: "Q_s", Unit: "L/min", Title: "capacity of all scavenge stages together"},
			{Name: "pressure-flow", Symbol: "Q_p", Unit: "L/min", Title: "capacity of the pressure stage"},
		},
		Out: []Param{{Name: "ratio", Symbol: "ratio", Unit: "1", Title: "scavenge ratio"}},
		Work: func(in []Value) ([]Value, error) {
			return one(ScavengeRatio(in[0].Number, in[1].Number))
		},
	})
}
