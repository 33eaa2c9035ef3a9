package rotary

import "math"

const topicFuel = "fuel"

// InjectorDuty returns the share of the time the injectors must be open for a
// power, and the fuel flow in m3/s:
//
//	duty = P b/(n q rho),   flow = P b/rho
//
// P in W, b the specific consumption in kg/J, n the number of injectors, q the
// static flow of one in m3/s at the pressure it works at, rho the fuel density
// in kg/m3. Own derivation (mass balance). Duty above 1 means the injectors
// are too small; below 0.80 to 0.85 is common practice. A flow measured with a
// test fluid of another density goes as 1/sqrt(rho) (from memory). Range:
// P >= 0, the rest > 0.
func InjectorDuty(power, consumption, injectors, flow, density float64) (duty, fuel float64, err error) {
	const id = "injector-duty"
	if err := notNegative(id, arg{"power", power}); err != nil {
		return 0, 0, err
	}
	err = positive(id, arg{"consumption", consumption}, arg{"injectors", injectors}, arg{"flow", flow}, arg{"density", density})
	if err != nil {
		return 0, 0, err
	}
	fuel = power * consumption / density
	return fuel / (injectors * flow), fuel, nil
}

func registerInjectorDuty(r registry) {
	r.register(&Formula{
		ID:     "injector-duty",
		Topic:  topicFuel,
		Title:  "injector duty for a power",
		Words:  "duty = P b/(n q rho)",
		Range:  "keep below 80 to 85 % (common practice)",
		Source: "own derivation (mass balance)",
		In: []Param{
			{Name: "power", Symbol: "P", Unit: "kW", Title: "power of the engine"},
			{Name: "consumption", Symbol: "BSFC", Unit: "g/kWh", Title: "specific fuel consumption"},
			{Name: "injectors", Symbol: "n_inj", Unit: "1", Title: "number of injectors"},
			{Name: "flow", Symbol: "q", Unit: "cm3/min", Title: "static flow of one injector at its pressure"},
			{Name: "density", Symbol: "rho", Unit: "g/cm3", Title: "fuel density"},
		},
		Out: []Param{
			{Name: "duty", Symbol: "duty", Unit: "%", Title: "share of the time open"},
			{Name: "fuel", Symbol: "fuel", Unit: "L/h", Title: "fuel used"},
		},
		Work: func(in []Value) ([]Value, error) {
			duty, fuel, err := InjectorDuty(in[0].Number, in[1].Number, in[2].Number, in[3].Number, in[4].Number)
			return numbers(duty, fuel), err
		},
	})
}

// InjectorFlow brings an injector's static flow q1 to another pressure
// difference (rail less manifold), as an orifice flows:
//
//	q2 = q1 sqrt(dp2/dp1)
//
// Flows in one unit, pressures in another. Range: q1 >= 0, dp1 > 0, dp2 >= 0.
func InjectorFlow(flow, dp1, dp2 float64) (float64, error) {
	const id = "injector-flow"
	if err := notNegative(id, arg{"flow", flow}, arg{"difference-2", dp2}); err != nil {
		return 0, err
	}
	if err := positive(id, arg{"difference-1", dp1}); err != nil {
		return 0, err
	}
	return flow * math.Sqrt(dp2/dp1), nil
}

func registerInjectorFlow(r registry) {
	r.register(&Formula{
		ID:     "injector-flow",
		Topic:  topicFuel,
		Title:  "injector flow at another fuel pressure",
		Words:  "q2 = q1 sqrt(dp2/dp1)",
		Range:  "dp is rail less manifold pressure",
		Source: "orifice (Bernoulli) scaling",
		In: []Param{
			{Name: "flow", Symbol: "q1", Unit: "cm3/min", Title: "static flow as tested"},
			{Name: "difference-1", Symbol: "dp1", Unit: "kPa", Title: "pressure difference at the test"},
			{Name: "difference-2", Symbol: "dp2", Unit: "kPa", Title: "pressure difference in the engine"},
		},
		Out: []Param{{Name: "flow-2", Symbol: "q2", Unit: "cm3/min", Title: "static flow in the engine"}},
		Work: func(in []Value) ([]Value, error) {
			return one(InjectorFlow(in[0].Number, in[1].Number, in[2].Number))
		},
	})
}

// PulseWidth returns the duty of an injection time, and the duty left after
// the injector's dead time, with one event a rotor and shaft turn:
//
//	duty = t omega/2pi,   useful = (t - t_dead) omega/2pi
//
// Times in s, omega in rad/s. Own derivation. Duty above 1 means the pulse is
// longer than the turn. Range: omega > 0, 0 <= t_dead <= t.
func PulseWidth(speed, pulse, dead float64) (duty, useful float64, err error) {
	const id = "pulse-width"
	if err := positive(id, arg{"speed", speed}, arg{"pulse", pulse}); err != nil {
		return 0, 0, err
	}
	if err := notNegative(id, arg{"dead-time", dead}); err != nil {
		return 0, 0, err
	}
	if dead > pulse {
		return 0, 0, &RangeError{Formula: id, Input: "dead-time", Why: "must not exceed the pulse"}
	}
	turns := speed / (2 * math.Pi)
	return pulse * turns, (pulse - dead) * turns, nil
}

func registerPulseWidth(r registry) {
	r.register(&Formula{
		ID:     "pulse-width",
		Topic:  topicFuel,
		Title:  "injector duty from the injection time",
		Words:  "duty = t n/60; useful = (t - t_dead) n/60",
		Range:  "one injection a rotor and shaft turn",
		Source: ownDerivation,
		In: []Param{
			paramSpeed,
			{Name: "pulse", Symbol: "t_inj", Unit: "ms", Title: "injection time"},
			{Name: "dead-time", Symbol: "t_dead", Unit: "ms", Title: "time from current to flow", Optional: true},
		},
		Out: []Param{
			{Name: "duty", Symbol: "duty", Unit: "%", Title: "share of the turn energised"},
			{Name: "useful", Symbol: "eff", Unit: "%", Title: "share of the turn flowing"},
		},
		Work: func(in []Value) ([]Value, error) {
			duty, useful, err := PulseWidth(in[0].Number, in[1].Number, in[2].Number)
			return numbers(duty, useful), err
		},
	})
}

// Premix returns the oil for a volume of fuel at a ratio r:1 by volume:
//
//	V_oil = V_fuel/r
//
// in the fuel's unit. 100:1 to 200:1 is common practice. Range: V_fuel >= 0,
// r > 0.
func Premix(fuel, ratio float64) (float64, error) {
	const id = "premix"
	if err := notNegative(id, arg{"fuel", fuel}); err != nil {
		return 0, err
	}
	if err := positive(id, arg{"ratio", ratio}); err != nil {
		return 0, err
	}
	return fuel / ratio, nil
}

func registerPremix(r registry) {
	r.register(&Formula{
		ID:     "premix",
		Topic:  topicFuel,
		Title:  "oil to mix into the fuel",
		Words:  "V_oil = V_fuel/r",
		Range:  "100:1 to 200:1 is common practice",
		Source: "common practice, no source",
		In: []Param{
			{Name: "fuel", Symbol: "V_fuel", Unit: "L", Title: "volume of fuel"},
			{Name: "ratio", Symbol: "r", Unit: "1", Title: "parts of fuel to one of oil, by volume"},
		},
		Out: []Param{{Name: "oil", Symbol: "V_oil", Unit: "mL", Title: "volume of oil"}},
		Work: func(in []Value) ([]Value, error) {
			return one(Premix(in[0].Number, in[1].Number))
		},
	})
}

func registerConsumptionUnits(r registry) {
	r.register(&Formula{
		ID:     "consumption-units",
		Topic:  topicFuel,
		Title:  "specific fuel consumption in the units met in print",
		Words:  "1 hp h = 745.69987 W h; 1 PS h = 735.49875 W h; 1 lb = 0.45359237 kg",
		Source: "definitions of the units",
		In:     []Param{{Name: "consumption", Symbol: "b", Unit: "g/kWh", Title: "specific fuel consumption, in any unit of it"}},
		Out: []Param{
			{Name: "per-kilowatt-hour", Symbol: "b_kwh", Unit: "g/kWh", Title: "per kilowatt hour"},
			{Name: "per-metric-horsepower-hour", Symbol: "b_psh", Unit: "g/(PS h)", Title: "per metric horsepower hour"},
			{Name: "per-horsepower-hour", Symbol: "b_lbhp", Unit: "lb/(hp h)", Title: "pounds per horsepower hour"},
		},
		Work: func(in []Value) ([]Value, error) {
			b := in[0].Number // one quantity: the units of Out do the converting
			return numbers(b, b, b), nil
		},
	})
}
