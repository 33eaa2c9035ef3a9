package figure

import (
	"math"

	"stackbook/record"
	"stackbook/schema/quantity"
)

const capacity = "capacity, no relief, no aeration"

func oil() []*Figure {
	return []*Figure{
		{
			ID: "oil.pump_speed", Topic: TopicOil, Title: "oil pump speed", Unit: "rpm", Decimals: 0, At: at("engine"), Words: "n_p = n z_drive/z_pump", Source: "own derivation",
			Note: topSpeedNote, Only: hasPumpDrive,
			Work: func(l *Look, _ string) float64 {
				return l.topSpeed() * l.Count("lubrication.drive_teeth") / l.Count("lubrication.pump_teeth")
			},
		},
		{
			ID: "oil.pressure_capacity", Rotors: Summed, Mark: capacity, Topic: TopicOil, Title: "pressure stage", Unit: "L/min", Decimals: 1, At: at("engine"), Formula: "pump-flow",
			Note: capacity + "; " + topSpeedNote, Only: has("lubrication.pressure_displacement"),
			Work: func(l *Look, _ string) float64 { return l.pumpFlow("lubrication.pressure_displacement") },
		},
		{
			ID: "oil.scavenge_capacity", Rotors: Summed, Mark: capacity, Topic: TopicOil, Title: "scavenge stages together", Unit: "L/min", Decimals: 1, At: at("engine"), Formula: "pump-flow",
			Note: capacity + "; " + topSpeedNote, Only: has("lubrication.scavenge_displacement"),
			Work: func(l *Look, _ string) float64 { return l.pumpFlow("lubrication.scavenge_displacement") },
		},
		{
			ID: "oil.scavenge_ratio", Topic: TopicOil, Title: "scavenge over pressure", Unit: "1", Decimals: 2, At: at("engine"), Formula: "scavenge-ratio",
			Words: "displacement of all scavenge stages over that of the pressure stage, on one shaft and with one efficiency", Note: "1.5 to 2 and more is common practice, no source", Only: has("lubrication.scavenge_displacement"),
			Work: func(l *Look, _ string) float64 {
				args := in{{"scavenge-flow", l.Spec("lubrication.scavenge_displacement").SI}, {"pressure-flow", l.Spec("lubrication.pressure_displacement").SI}}
				return l.Formula("scavenge-ratio", "ratio", args, nil)
			},
		},
		{
			ID: "oil.belt_speed", Topic: TopicOil, Title: "speed of the pump belt", Unit: "m/s", Decimals: 1, At: at("engine"), Formula: "belt-speed",
			Note: topSpeedNote, Only: has("lubrication.belt_pitch"),
			Work: func(l *Look, _ string) float64 {
				args := in{{"pitch", l.Spec("lubrication.belt_pitch").SI}, {"teeth", l.Count("lubrication.drive_teeth")}, {"speed", l.topSpeed()}}
				return l.Formula("belt-speed", "velocity", args, nil)
			},
		},
		{
			ID: "oil.belt_length", Topic: TopicOil, Title: "belt the pulley centres call for", Unit: "mm", Decimals: 2, At: at("engine"), Formula: "belt-length",
			Only: has("lubrication.belt_centres"), Work: func(l *Look, _ string) float64 { return l.beltLength("length") },
		},
		{
			ID: "oil.belt_difference", Topic: TopicOil, Title: "belt fitted, less what is called for", Unit: "mm", Decimals: 2, At: at("engine"), Formula: "belt-length",
			Words: "pitch · teeth of the belt − length the pulley centres call for; positive: slack", Only: hasBelt("lubrication.belt_centres"),
			Work: func(l *Look, _ string) float64 {
				fitted := float64(l.Spec("lubrication.belt_pitch").SI * l.Count("lubrication.belt_teeth"))
				return fitted - l.beltLength("length")
			},
		},
		{
			ID: "oil.belt_centres", Topic: TopicOil, Title: "pulley centres the belt fits", Unit: "mm", Decimals: 2, At: at("engine"), Formula: "belt-centre",
			Only: hasBelt("lubrication.belt_pitch"),
			Work: func(l *Look, _ string) float64 {
				return l.Formula("belt-centre", "centre-distance", l.belt().and("belt-teeth", l.Count("lubrication.belt_teeth")), nil)
			},
		},
		{
			ID: "oil.belt_teeth_in_mesh", Topic: TopicOil, Title: "teeth in mesh on the smaller pulley", Unit: "1", Decimals: 0, At: at("engine"), Formula: "belt-length",
			Words: "floor(z wrap/360 deg)", Only: has("lubrication.belt_centres"), Work: func(l *Look, _ string) float64 { return l.beltLength("teeth-in-mesh") },
		},
		{
			ID: "oil.stock_pump_speed", Stated: true, Topic: TopicOil, Title: "speed limit, for a stock wet-sump pump", Unit: "rpm", Decimals: 0, At: at("engine"), Words: "the greatest speed the customer was told, momentary before continuous", Source: commonPractice,
			Note: "about 7500 rpm is common practice for it, no source", Only: hasStockPump, Limit: stockPumpLimit,
			Work: func(l *Look, _ string) float64 { return l.topSpeed() },
		},
	}
}

var hasPumpDrive = anyOf("lubrication.drive_teeth", "lubrication.pump_teeth")

// hasBelt tells whether the belt's teeth are written, and what is to be held
// against them.
func hasBelt(path string) func(e *record.Engine) bool {
	return func(e *record.Engine) bool { return has("lubrication.belt_teeth")(e) && has(path)(e) }
}

func hasStockPump(e *record.Engine) bool {
	return e.Spec.Text("lubrication.kind") == "wet sump" && e.Spec.Text("lubrication.stock_pump") == "yes"
}

// stockPumpLimit is the speed a stock pump in a wet sump is run to. Common
// practice, no source.
func stockPumpLimit(*Look, string) (Limit, bool) {
	const most = 7500 // rpm
	return Limit{Low: math.NaN(), High: quantity.ToSI(most, quantity.MustLookup("rpm")), Kind: "common practice", Source: commonPractice}, true
}

func (l *Look) pumpFlow(displacement string) float64 {
	args := in{{"speed", l.topSpeed()}, {"drive-teeth", l.Count("lubrication.drive_teeth")}, {"pump-teeth", l.Count("lubrication.pump_teeth")},
		{"displacement", l.Spec(displacement).SI}, {"efficiency", l.Spec("lubrication.pump_efficiency").SI}}
	return l.Formula("pump-flow", "flow", args, nil)
}

// belt reads the belt drive.
func (l *Look) belt() in {
	return in{{"pitch", l.Spec("lubrication.belt_pitch").SI}, {"teeth-1", l.Count("lubrication.drive_teeth")}, {"teeth-2", l.Count("lubrication.pump_teeth")}}
}

func (l *Look) beltLength(result string) float64 {
	return l.Formula("belt-length", result, l.belt().and("centre-distance", l.Spec("lubrication.belt_centres").SI), nil)
}
