package rotary

// ShaftPower estimates the power at the eccentric shaft from that measured at
// the wheels, propeller shaft or chain:
//
//	P_shaft = P_wheel/eta + P_0
//
// all in W. No standard; eta of 0.82 to 0.90 and a constant loss P_0 from a
// coast-down are common practice. A derived power never stands in the field of
// a measured one. Range: P_wheel >= 0, 0 < eta <= 1, P_0 >= 0.
func ShaftPower(wheel, efficiency, constantLoss float64) (float64, error) {
	const id = "driveline-loss"
	if err := notNegative(id, arg{"wheel-power", wheel}, arg{"constant-loss", constantLoss}); err != nil {
		return 0, err
	}
	if !(efficiency > 0 && efficiency <= 1) {
		return 0, &RangeError{Formula: id, Input: "efficiency", Why: "must be above 0 and at most 1"}
	}
	return wheel/efficiency + constantLoss, nil
}

func registerDrivelineLoss(r registry) {
	r.register(&Formula{
		ID:     "driveline-loss",
		Topic:  "power",
		Title:  "shaft power from power behind the driveline",
		Words:  "P_shaft = P_wheel/eta + P_0",
		Range:  "0 < eta <= 1; an estimate",
		Source: "common practice, no source",
		In: []Param{
			{Name: "wheel-power", Symbol: "P_wheel", Unit: "kW", Title: "power measured behind the driveline"},
			{Name: "efficiency", Symbol: "eta", Unit: "1", Title: "efficiency of the driveline, 0.82 to 0.90 as a rule"},
			{Name: "constant-loss", Symbol: "P_0", Unit: "kW", Title: "loss that does not depend on load", Optional: true},
		},
		Out: []Param{{Name: "shaft-power", Symbol: "P_shaft", Unit: "kW", Title: "estimated power at the eccentric shaft"}},
		Work: func(in []Value) ([]Value, error) {
			return one(ShaftPower(in[0].Number, in[1].Number, in[2].Number))
		},
	})
}
