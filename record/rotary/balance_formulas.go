package rotary

var (
	paramMass  = Param{Name: "mass", Symbol: "m", Unit: "kg", Title: "mass of the rotor with all it carries"}
	paramFront = Param{Name: "front-plane", Symbol: "zF", Unit: "mm", Title: "station of the front counterweight's centre of mass"}
	paramRear  = Param{Name: "rear-plane", Symbol: "zR", Unit: "mm", Title: "station of the rear counterweight's centre of mass"}
	paramGrade = Param{Name: "grade", Symbol: "G", Unit: "mm/s", Title: "balance quality grade"}
	paramBody  = Param{Name: "mass", Symbol: "m", Unit: "kg", Title: "mass of all that is balanced together"}
)

func registerShaftLoad(r registry) {
	r.register(&Formula{
		ID:     "shaft-load",
		Topic:  topicBalance,
		Title:  "force of one rotor on the eccentric shaft",
		Words:  "F = m e omega^2",
		Source: "own derivation; two values in a balancing machine's manual agree [S14]",
		In:     []Param{paramMass, paramEccentricity, paramSpeed},
		Out:    []Param{{Name: "force", Symbol: "F", Unit: "N", Title: "force turning with the shaft"}},
		Work: func(in []Value) ([]Value, error) {
			return one(RotatingLoad(in[0].Number, in[1].Number, in[2].Number))
		},
	}, &Formula{
		ID:    "counterweights",
		Topic: topicBalance,
		Title: "unbalance to add in two planes",
		Words: "U_i = m_i e + U_lobe,i; U_R = -sum U_i exp(i phi_i)(z_i - zF)/(zR - zF); U_F = -sum U_i exp(i phi_i) - U_R",
		Range: "lists of one length; the planes must not coincide; of a vector of no size the angle is 0",
		In: []Param{
			{Name: "masses", Symbol: "m", Unit: "kg", Title: "of the rotors with all they carry, from the front", Kind: List},
			{Name: "phases", Symbol: "phase", Unit: "deg", Title: "of the eccentrics, in the direction of rotation", Kind: List},
			{Name: "stations", Symbol: "z", Unit: "mm", Title: "of the rotors along the shaft", Kind: List},
			paramEccentricity, paramFront, paramRear,
			{Name: "lobe-unbalances", Symbol: "U_lobe", Unit: "g mm", Title: "of the lobes themselves, at the rotors' phases and stations",
				Kind: List, Optional: true},
		},
		Source: ownDerivation,
		Out: []Param{
			{Name: "front", Symbol: "U_F", Unit: "g mm", Title: "to add in the front plane, mass times radius"},
			{Name: "front-angle", Symbol: "ang_F", Unit: "deg", Title: "its direction"},
			{Name: "rear", Symbol: "U_R", Unit: "g mm", Title: "to add in the rear plane, mass times radius"},
			{Name: "rear-angle", Symbol: "ang_R", Unit: "deg", Title: "its direction"},
		},
		Work: counterweights,
	})
}

func registerRotorCouple(r registry) {
	r.register(&Formula{
		ID:     "rotor-couple",
		Topic:  topicBalance,
		Title:  "force and couple that equal rotors at one pitch leave",
		Words:  "static = |sum m e exp(i phi_i)|; couple = |sum m e i s exp(i phi_i)|, i = 0, 1, 2 ...",
		Source: ownDerivation,
		In: []Param{
			{Name: "phases", Symbol: "phases", Unit: "deg", Title: "of the eccentrics, from the front", Kind: List},
			{Name: "pitch", Symbol: "s", Unit: "mm", Title: "distance from rotor to rotor"},
			paramMass, paramEccentricity,
		},
		Out: []Param{
			{Name: "static", Symbol: "static", Unit: "g mm", Title: "what is left of the force, as mass times radius"},
			{Name: "couple", Symbol: "couple", Unit: "g mm2", Title: "what is left of the couple, about the first rotor"},
		},
		Work: rotorCouple,
	}, &Formula{
		ID:     "rotor-mass-change",
		Topic:  topicBalance,
		Title:  "what a change of one rotor's mass asks of the counterweights",
		Words:  "dU_F = -dm e(zR - z)/(zR - zF); dU_R = -dm e(z - zF)/(zR - zF), along the rotor's phase",
		Range:  "the planes must not coincide",
		Source: ownDerivation,
		In: []Param{
			{Name: "mass-change", Symbol: "dm", Unit: "g", Title: "by how much the rotor became heavier"},
			paramEccentricity,
			{Name: "station", Symbol: "z", Unit: "mm", Title: "of that rotor along the shaft"},
			paramFront, paramRear,
		},
		Out: []Param{
			{Name: "front", Symbol: "dU_F", Unit: "g mm", Title: "to add in the front plane along the rotor's phase; negative: against it"},
			{Name: "rear", Symbol: "dU_R", Unit: "g mm", Title: "the same in the rear plane"},
		},
		Work: func(in []Value) ([]Value, error) {
			front, rear, err := MassChange(in[0].Number, in[1].Number, in[2].Number, in[3].Number, in[4].Number)
			return numbers(front, rear), err
		},
	})
}

// counterweights works the formula of that name.
func counterweights(in []Value) ([]Value, error) {
	const id = "counterweights"
	masses, phases, stations, lobes := in[0].List, in[1].List, in[2].List, in[6].List
	e := in[3].Number
	if err := positive(id, arg{paramEccentricity.Name, e}); err != nil {
		return nil, err
	}
	if len(masses) == 0 {
		return nil, &RangeError{Formula: id, Input: "masses", Why: "must name at least one rotor"}
	}
	for _, l := range []struct {
		name   string
		length int
	}{{"phases", len(phases)}, {"stations", len(stations)}, {"lobe-unbalances", len(lobes)}} {
		leftOut := l.name == "lobe-unbalances" && l.length == 0
		if l.length != len(masses) && !leftOut {
			return nil, &RangeError{Formula: id, Input: l.name, Why: "must have one value for each rotor"}
		}
	}
	var items []UnbalanceItem
	for i, mass := range masses {
		if err := positive(id, arg{"masses", mass}); err != nil {
			return nil, err
		}
		items = append(items, UnbalanceItem{Size: mass * e, Phase: phases[i], Station: stations[i]})
	}
	for i, size := range lobes {
		items = append(items, UnbalanceItem{Size: size, Phase: phases[i], Station: stations[i]})
	}
	front, rear, err := CounterweightsFor(items, in[4].Number, in[5].Number)
	return numbers(front.Size, front.Angle, rear.Size, rear.Angle), err
}

// rotorCouple works the formula rotor-couple.
func rotorCouple(in []Value) ([]Value, error) {
	const id = "rotor-couple"
	pitch, mass, e := in[1].Number, in[2].Number, in[3].Number
	if err := positive(id, arg{"pitch", pitch}, arg{"mass", mass}, arg{paramEccentricity.Name, e}); err != nil {
		return nil, err
	}
	var items []UnbalanceItem
	for i, phase := range in[0].List {
		items = append(items, UnbalanceItem{Size: mass * e, Phase: phase, Station: float64(i) * pitch})
	}
	if len(items) == 0 {
		return nil, &RangeError{Formula: id, Input: "phases", Why: "must name at least one rotor"}
	}
	return numbers(ResidualOf(items)), nil
}

func registerPermissibleUnbalance(r registry) {
	const standard = "ISO 21940-11, formerly ISO 1940-1: formula and grades as in a table of grades [S12]"
	permissible := Param{Name: "permissible", Symbol: "U_per", Unit: "g mm", Title: "permissible residual unbalance"}
	offset := Param{Name: "offset", Symbol: "e_per", Unit: "um", Title: "permissible offset of the centre of mass"}

	r.register(&Formula{
		ID:     "permissible-unbalance",
		Topic:  topicBalance,
		Title:  "permissible residual unbalance of a balance quality grade",
		Words:  "e_per = G/omega; U_per = m G/omega",
		Source: standard,
		In:     []Param{paramGrade, paramBody, paramSpeed},
		Out:    []Param{offset, permissible},
		Work: func(in []Value) ([]Value, error) {
			e, u, err := PermissibleUnbalance("permissible-unbalance", in[0].Number, in[1].Number, in[2].Number)
			return numbers(e, u), err
		},
	}, &Formula{
		ID:     "balance-grade",
		Topic:  topicBalance,
		Title:  "grade that a residual unbalance amounts to",
		Words:  "e = U/m; G = e omega",
		Source: standard,
		In: []Param{
			{Name: "unbalance", Symbol: "U", Unit: "g mm", Title: "residual unbalance"},
			paramBody, paramSpeed,
		},
		Out: []Param{{Name: "offset", Symbol: "e", Unit: "um", Title: "offset of the centre of mass"}, paramGrade},
		Work: func(in []Value) ([]Value, error) {
			e, g, err := BalanceGrade(in[0].Number, in[1].Number, in[2].Number)
			return numbers(e, g), err
		},
	}, &Formula{
		ID:     "unbalance-split",
		Topic:  topicBalance,
		Title:  "permissible residual unbalance in the two bearing planes",
		Words:  "U_per = m G/omega; U_A = U_per L_B/(L_A + L_B); U_B = U_per L_A/(L_A + L_B)",
		Range:  "the centre of mass lies between the bearings",
		Source: standard + "; the division by distances from memory",
		In: []Param{
			paramGrade, paramBody, paramSpeed,
			{Name: "distance-a", Symbol: "LA", Unit: "mm", Title: "from bearing A to the centre of mass"},
			{Name: "distance-b", Symbol: "LB", Unit: "mm", Title: "from bearing B to the centre of mass"},
		},
		Out: []Param{
			permissible,
			{Name: "plane-a", Symbol: "U_A", Unit: "g mm", Title: "permissible in the plane of bearing A"},
			{Name: "plane-b", Symbol: "U_B", Unit: "g mm", Title: "permissible in the plane of bearing B"},
		},
		Work: func(in []Value) ([]Value, error) {
			_, u, err := PermissibleUnbalance("unbalance-split", in[0].Number, in[1].Number, in[2].Number)
			if err != nil {
				return nil, err
			}
			a, b, err := SplitUnbalance(u, in[3].Number, in[4].Number)
			return numbers(u, a, b), err
		},
	})
}
