package figure

import (
	"math"

	"stackbook/record"
)

const (
	fuelNote = "at the greatest power measured, else the wanted power; below 80 to 85 % is common practice, no source"
)

// canFull is the fuel an amount of oil is given for.
const canFull = 0.020 // m3

func fuel() []*Figure {
	return []*Figure{
		{
			ID: "fuel.injector_flow", Topic: TopicFuel, Title: "injector flow at rail pressure", Unit: "cm3/min", Decimals: 0, At: at("engine"), Formula: "injector-flow",
			Only: has("fuel.injector_flow"), Work: func(l *Look, _ string) float64 { return l.injectorFlow() },
		},
		{
			ID: "fuel.duty", Topic: TopicFuel, Title: "injectors open for", Unit: "%", Decimals: 1, At: at("engine"), Formula: "injector-duty",
			Note: fuelNote, Only: hasInjectors, Work: func(l *Look, _ string) float64 { return l.duty("duty") },
		},
		{
			ID: "fuel.duty_energised", Topic: TopicFuel, Title: "injectors energised for, dead time with it", Unit: "%", Decimals: 1, At: at("engine"), Formula: "pulse-width",
			Words: "(pulse + t_dead) n/60, the pulse being the share of a turn the injectors must be open", Note: fuelNote + "; one injection a rotor and turn",
			Only: func(e *record.Engine) bool { return hasInjectors(e) && has("fuel.dead_time")(e) }, Work: energised,
		},
		{
			ID: "fuel.flow", Rotors: Summed, Topic: TopicFuel, Title: "fuel used", Unit: "L/h", Decimals: 1, At: at("engine"), Formula: "injector-duty",
			Words: "fuel = P b/rho", Note: "at the greatest power measured, else the wanted power", Only: has("fuel.consumption"),
			Work: func(l *Look, _ string) float64 {
				power, _ := l.powerForFuel()
				return power * l.Spec("fuel.consumption").SI / l.Spec("fuel.density").SI
			},
		},
		{
			ID: "fuel.premix_oil", Topic: TopicFuel, Title: "oil for 20 L of fuel", Unit: "mL", Decimals: 0, At: at("engine"), Formula: "premix",
			Only: has("fuel.premix"),
			Work: func(l *Look, _ string) float64 {
				return l.Formula("premix", "oil", in{{"fuel", canFull}, {"ratio", l.Spec("fuel.premix").SI}}, nil)
			},
		},
	}
}

// hasInjectors tells whether somebody asks for duty: a carburettor has none.
var hasInjectors = anyOf("fuel.injectors", "fuel.injector_flow")

func (l *Look) injectorFlow() float64 {
	args := in{{"flow", l.Spec("fuel.injector_flow").SI}, {"difference-1", l.Spec("fuel.injector_test_pressure").SI}, {"difference-2", l.Spec("fuel.rail_pressure").SI}}
	return l.Formula("injector-flow", "flow-2", args, nil)
}

// powerForFuel is the power the injectors must feed and its speed: the greatest
// measured one, else the wanted one.
func (l *Look) powerForFuel() (power, speed float64) {
	if e := l.ask(what{run, "", ""}); len(e.rows) > 0 {
		b := l.bestPower()
		return b.value, b.speed
	}
	return l.Spec("targets.power").SI, l.orElse("targets.power_speed", 0)
}

func (l *Look) duty(result string) float64 {
	power, _ := l.powerForFuel()
	args := in{{"power", power}, {"consumption", l.Spec("fuel.consumption").SI}, {"injectors", l.Count("fuel.injectors")}, {"flow", l.injectorFlow()}, {"density", l.Spec("fuel.density").SI}}
	return l.Formula("injector-duty", result, args, nil)
}

func energised(l *Look, _ string) float64 {
	_, speed := l.powerForFuel()
	if speed == 0 {
		l.miss("targets.power_speed in spec.yaml")
		return 0
	}
	dead := l.Spec("fuel.dead_time").SI
	pulse := float64(l.duty("duty")*2*math.Pi/speed) + dead
	return l.Formula("pulse-width", "duty", in{{"speed", speed}, {"pulse", pulse}, {"dead-time", dead}}, nil)
}
