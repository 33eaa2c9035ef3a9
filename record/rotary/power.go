package rotary

import "math"

const topicPower = "power"

// Power returns the power of a torque (N m) at a shaft speed (rad/s), in W:
// T omega, the definition. Any sign: negative where the engine is driven.
func Power(torque, omega float64) float64 { return torque * omega }

// BMEP returns the brake mean effective pressure, in Pa, of a torque (N m) on an
// engine of so many rotors with this swept volume of one chamber (m3):
//
//	bmep = 2 pi T/(N V_s)
//
// Each rotor has one power stroke per turn of the SHAFT, so it is not the
// 4 pi T of a four-stroke piston engine. Own derivation. Range: V_s > 0, a whole
// number of rotors.
func BMEP(torque, rotors, swept float64) (float64, error) {
	displacement, err := Displacement("bmep", swept, rotors)
	if err != nil {
		return 0, err
	}
	return 2 * math.Pi * torque / displacement, nil
}

// AirFlow returns the mass of air an engine takes, in kg/s:
//
//	m_dot = eta_v rho N V_s n,   n = omega/(2 pi)
//
// The volumetric efficiency eta_v means nothing without the density rho (kg/m3)
// it refers to, ambient or manifold. V_s in m3, omega in rad/s. Own derivation.
// Range: eta_v, rho, V_s above zero, omega not negative, a whole number of
// rotors.
func AirFlow(efficiency, density, rotors, swept, omega float64) (float64, error) {
	const id = "air-flow"
	if err := positive(id, arg{"volumetric-efficiency", efficiency}, arg{"density", density}); err != nil {
		return 0, err
	}
	if err := notNegative(id, arg{paramSpeed.Name, omega}); err != nil {
		return 0, err
	}
	displacement, err := Displacement(id, swept, rotors)
	return efficiency * density * displacement * omega / (2 * math.Pi), err
}

func registerPower(r registry) {
	torque := Param{Name: "torque", Symbol: "T", Unit: "N m", Title: "at the shaft"}
	power := Param{Name: "power", Symbol: "P", Unit: "kW", Title: "at the shaft"}

	r.register(&Formula{
		ID:     "power",
		Topic:  topicPower,
		Title:  "power from torque and speed",
		Words:  "P = T omega, omega = 2 pi n",
		Source: "definition",
		In:     []Param{torque, paramSpeed},
		Out:    []Param{power},
		Work: func(in []Value) ([]Value, error) {
			return numbers(Power(in[0].Number, in[1].Number)), nil
		},
	}, &Formula{
		ID:     "torque",
		Topic:  topicPower,
		Title:  "torque from power and speed",
		Words:  "T = P/omega, omega = 2 pi n",
		Range:  "n > 0",
		Source: "definition",
		In:     []Param{power, paramSpeed},
		Out:    []Param{torque},
		Work: func(in []Value) ([]Value, error) {
			return numbers(in[0].Number / in[1].Number), positive("torque", arg{paramSpeed.Name, in[1].Number})
		},
	}, &Formula{
		ID:     "bmep",
		Topic:  topicPower,
		Title:  "brake mean effective pressure",
		Words:  "bmep = 2 pi T/(N V_s); one power stroke per rotor and turn of the shaft",
		Source: ownDerivation,
		In:     []Param{torque, paramCount, paramSwept},
		Out:    []Param{{Name: "bmep", Symbol: "bmep", Unit: "bar", Title: "brake mean effective pressure"}},
		Work: func(in []Value) ([]Value, error) {
			return one(BMEP(in[0].Number, in[1].Number, in[2].Number))
		},
	}, &Formula{
		ID:     "air-flow",
		Topic:  topicPower,
		Title:  "air taken by the engine",
		Words:  "m_dot = eta_v rho N V_s n",
		Range:  "eta_v refers to the density given",
		Source: ownDerivation,
		In: []Param{
			{Name: "volumetric-efficiency", Symbol: "eta_v", Unit: "1", Title: "referred to this density"},
			{Name: "density", Symbol: "rho", Unit: "kg/m3", Title: "of the air the efficiency refers to"},
			paramCount, paramSwept, paramSpeed,
		},
		Out: []Param{{Name: "air-flow", Symbol: "m_dot", Unit: "kg/s", Title: "mass of air per time"}},
		Work: func(in []Value) ([]Value, error) {
			return one(AirFlow(in[0].Number, in[1].Number, in[2].Number, in[3].Number, in[4].Number))
		},
	})
}
