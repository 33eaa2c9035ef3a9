package rotary

// paramApexAngle is the shaft angle as a single apex sees it.
var paramApexAngle = retitled(paramAlpha, "shaft angle after this apex was on the major axis")

func registerSlidingSpeed(r registry) {
	r.boreFormula(&Formula{
		ID:     "sliding-speed",
		Topic:  topicMotion,
		Title:  "speed of an apex seal over the bore",
		Words:  "v = omega(sqrt(e^2 + R^2/9 + (2eR/3) cos(2 alpha/3)) + a/3)",
		Source: ownDerivation,
		Out:    []Param{{Name: "sliding-speed", Symbol: "v", Unit: "m/s", Title: "speed of the seal's material over the bore"}},
	}, []Param{paramSpeed, paramApexAngle}, func(b Bore, in []Value) ([]Value, error) {
		omega := in[0].Number
		return numbers(b.SlidingSpeed(omega, in[1].Number)), notNegative("sliding-speed", arg{paramSpeed.Name, omega})
	})

	r.boreFormula(&Formula{
		ID:     "sliding-speed-range",
		Topic:  topicMotion,
		Title:  "highest, lowest and mean speed of an apex seal over the bore",
		Words:  "v_max = omega((R + a)/3 + e); v_min = omega((R + a)/3 - e); v_mean = P n/3, P the bore's perimeter",
		Source: ownDerivation,
		Out: []Param{
			{Name: "highest", Symbol: "v_max", Unit: "m/s", Title: "on the major axis"},
			{Name: "lowest", Symbol: "v_min", Unit: "m/s", Title: "at the waist"},
			{Name: "mean", Symbol: "v_mean", Unit: "m/s", Title: "over a turn of the rotor; times the hours, the distance slid"},
		},
	}, []Param{paramSpeed}, func(b Bore, in []Value) ([]Value, error) {
		omega := in[0].Number
		highest, lowest, mean := b.SlidingSpeedRange(omega)
		return numbers(highest, lowest, mean), notNegative("sliding-speed-range", arg{paramSpeed.Name, omega})
	})

	r.register(&Formula{
		ID:     "seal-acceleration",
		Topic:  topicMotion,
		Title:  "acceleration of an apex seal along the rotor radius",
		Words:  "a_r = omega^2(r/9 + e cos(2 alpha/3)), positive: thrown outward",
		Range:  "a rigid rotor, no chatter",
		Source: ownDerivation,
		In: []Param{
			paramEccentricity,
			{Name: "mass-radius", Symbol: "r", Unit: "mm", Title: "rotor centre to the seal's centre of mass"},
			paramSpeed,
			paramApexAngle,
		},
		Out: []Param{{Name: "acceleration", Symbol: "a_r", Unit: "m/s2", Title: "times the seal's mass, the force along the radius"}},
		Work: func(in []Value) ([]Value, error) {
			return one(SealAcceleration(in[0].Number, in[1].Number, in[2].Number, in[3].Number))
		},
	})
}

func registerContactAcceleration(r registry) {
	r.boreFormula(&Formula{
		ID:    "contact-acceleration",
		Topic: topicMotion,
		Title: "acceleration of the seal tip along the bore's normal, and radius of curvature",
		Words: "a_n = (omega^2/9)(R^2 + 27e^2 + 12eR cos 2t)/sqrt(R^2 + 9e^2 + 6eR cos 2t); " +
			"rho = (R^2 + 9e^2 + 6eR cos 2t)^1.5/(R^2 + 27e^2 + 12eR cos 2t)",
		Range:  boreRange + "; not where the trochoid is straight; both are those of the tip centre",
		Source: ownDerivation,
		Out: []Param{
			{Name: "acceleration", Symbol: "a_n", Unit: "m/s2", Title: "positive towards the inside of the bore"},
			{Name: "curvature-radius", Symbol: "rho", Unit: "mm", Title: "of the trochoid; negative where it is hollow"},
		},
	}, []Param{
		paramSpeed,
		{Name: "parameter", Symbol: "t", Unit: "deg", Title: "trochoid parameter, 0 on the major axis, 90 at the waist"},
	}, func(b Bore, in []Value) ([]Value, error) {
		acceleration, curvature, err := b.ContactAcceleration(in[0].Number, in[1].Number)
		return numbers(acceleration, curvature), err
	})

	r.register(&Formula{
		ID:     "gear",
		Topic:  topicMotion,
		Title:  "rotor speed and sizes of the timing gears",
		Words:  "n_rotor = n/3; r_ring = 3e; r_pinion = 2e; module = 6e/z_ring",
		Range:  "z_ring : z_pinion = 3 : 2",
		Source: ownDerivation,
		In: []Param{
			paramSpeed,
			{Name: "pinion-teeth", Symbol: "z_pinion", Unit: "1", Title: "teeth of the stationary pinion"},
			{Name: "ring-teeth", Symbol: "z_ring", Unit: "1", Title: "teeth of the rotor's internal ring"},
			paramEccentricity,
		},
		Out: []Param{
			{Name: "rotor-speed", Symbol: "n_rotor", Unit: "rpm", Title: "speed of the rotor"},
			{Name: "ring-radius", Symbol: "r_ring", Unit: "mm", Title: "pitch radius of the ring"},
			{Name: "pinion-radius", Symbol: "r_pinion", Unit: "mm", Title: "pitch radius of the pinion"},
			{Name: "module", Symbol: "module", Unit: "mm", Title: "pitch diameter over teeth"},
		},
		Work: func(in []Value) ([]Value, error) {
			g, err := Gear(in[0].Number, in[1].Number, in[2].Number, in[3].Number)
			return numbers(g.RotorSpeed, g.RingRadius, g.PinionRadius, g.Module), err
		},
	})
}
