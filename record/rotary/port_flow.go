package rotary

// PortFlow is one port in use: swept volume of a chamber (m3), smallest section
// normal to the flow (m2; not the opening in the bore of a slanted port), and
// for how long it is open (rad of the shaft) at a shaft speed (rad/s).
type PortFlow struct{ Swept, Area, Duration, Speed float64 }

// openTime refuses what is no flow, and returns the time the port is open, in s.
func (p PortFlow) openTime(formula string) (float64, error) {
	err := positive(formula, arg{"swept-volume", p.Swept}, arg{"area", p.Area}, arg{"open-angle", p.Duration}, arg{"speed", p.Speed})
	return p.Duration / p.Speed, err
}

// PortGasSpeed returns the mean speed of the gas in the port in m/s:
//
//	v = V_s eta_v/(A t_open),   t_open = theta/omega
//
// over the open period, incompressible. eta_v is the volumetric efficiency.
// Own derivation. Range: all > 0.
func PortGasSpeed(p PortFlow, efficiency float64) (float64, error) {
	const id = "port-gas-speed"
	open, err := p.openTime(id)
	if err != nil {
		return 0, err
	}
	if err := positive(id, arg{"volumetric-efficiency", efficiency}); err != nil {
		return 0, err
	}
	return p.Swept * efficiency / (p.Area * open), nil
}

// MachIndex returns the rotary form of Taylor's inlet Mach index (C. F. Taylor,
// The Internal-Combustion Engine in Theory and Practice, from memory):
//
//	Z = V_s/(A C t_open c)
//
// C the mean flow coefficient of the port, c the speed of sound in m/s.
// Volumetric efficiency falls quickly above about 0.5 to 0.6 (from memory).
// Range: all > 0.
func MachIndex(p PortFlow, coefficient, sound float64) (float64, error) {
	const id = "port-gas-speed"
	open, err := p.openTime(id)
	if err != nil {
		return 0, err
	}
	if err := positive(id, arg{"flow-coefficient", coefficient}, arg{"sound-speed", sound}); err != nil {
		return 0, err
	}
	return p.Swept / (p.Area * coefficient * open * sound), nil
}

func registerPortGasSpeed(r registry) {
	r.register(&Formula{
		ID:     "port-gas-speed",
		Topic:  topicPort,
		Title:  "mean gas speed in a port and inlet Mach index",
		Words:  "v = V_s eta_v/(A t); Z = V_s/(A C t c); t = theta/(6 n), theta in deg, n in 1/min",
		Range:  "means over the open period; Z above 0.5 to 0.6 costs volumetric efficiency (from memory)",
		Source: "own derivation; Mach index after C. F. Taylor (from memory)",
		In: []Param{
			paramSwept,
			{Name: "volumetric-efficiency", Symbol: "eta_v", Unit: "1", Title: "volumetric efficiency"},
			paramSpeed,
			{Name: "area", Symbol: "A", Unit: "mm2", Title: "smallest section normal to the flow"},
			{Name: "open-angle", Symbol: "theta", Unit: "deg", Title: "shaft angle the port is open"},
			{Name: "flow-coefficient", Symbol: "C_i", Unit: "1", Title: "mean flow coefficient", Optional: true, Default: 0.6},
			{Name: "temperature", Symbol: "t", Unit: "degC", Title: "gas temperature", Optional: true, Default: zeroCelsius + 20},
		},
		Out: []Param{
			{Name: "gas-speed", Symbol: "v_mean", Unit: "m/s", Title: "mean speed of the gas"},
			{Name: "mach-index", Symbol: "Z", Unit: "1", Title: "inlet Mach index"},
		},
		Work: func(in []Value) ([]Value, error) {
			p := PortFlow{Swept: in[0].Number, Speed: in[2].Number, Area: in[3].Number, Duration: in[4].Number}
			v, err := PortGasSpeed(p, in[1].Number)
			if err != nil {
				return nil, err
			}
			c, err := SoundSpeed(in[6].Number)
			if err != nil {
				return nil, err
			}
			z, err := MachIndex(p, in[5].Number, c)
			return numbers(v, z), err
		},
	})
}
