package rotary

func registerReliefVolume(r registry) {
	r.chamberFormula(&Formula{
		ID:    "relief-volume",
		Topic: topicGeometry,
		Title: "volume gained by a flank cut back",
		Words: "V_relief = b(c L_flank - (c^2/2)(2 pi/3 - 2 phi_max))",
		Range: boreRange + "; exact for a parallel flank and a sharp seal, L_flank that of a sharp seal, " +
			"so that c a(2 pi/3 - 2 phi_max) b is left out for a rounded one",
		Source: ownDerivation,
		Out:    []Param{{Name: "relief-volume", Symbol: "V_relief", Unit: "cm3", Title: "volume gained"}},
	}, []Param{paramRelief}, func(c Chamber, in []Value) ([]Value, error) {
		area, err := c.reliefArea("relief-volume", in[0].Number)
		return one(c.width*area, err)
	})

	r.chamberFormula(&Formula{
		ID:     "compression-ratio",
		Topic:  topicGeometry,
		Title:  "compression ratio from a pocket's volume and the flank clearance",
		Words:  "V_min = V_min,ideal + V_relief + V_pocket + V_extra; eps = (V_min + V_s)/V_min",
		Source: "own derivation; swept volume over pocket volume plus 1 is wrong: the ideal flank alone leaves a good part",
		Out:    []Param{paramLeast, paramRatio},
	}, []Param{paramRelief, paramPocket, paramExtra}, func(c Chamber, in []Value) ([]Value, error) {
		const id = "compression-ratio"
		least, err := c.LeastVolume(id, Recess{Relief: in[0].Number, Pocket: in[1].Number, Extra: in[2].Number})
		if err != nil {
			return nil, err
		}
		ratio, err := c.CompressionRatio(id, least)
		return numbers(least, ratio), err
	})
}

func registerCompressionRatioMeasured(r registry) {
	r.chamberFormula(&Formula{
		ID:     "compression-ratio-measured",
		Topic:  topicGeometry,
		Title:  "compression ratio from a burette measurement at top dead centre",
		Words:  "V_min = V_measured + V_extra; eps = (V_min + V_s)/V_min",
		Source: ownDerivation,
		Out:    []Param{paramLeast, paramRatio},
	}, []Param{
		{Name: "measured-volume", Symbol: "V_measured", Unit: "cm3", Title: "liquid the whole chamber takes at top dead centre"},
		retitled(paramExtra, "recesses that the liquid did not fill"),
	}, func(c Chamber, in []Value) ([]Value, error) {
		const id = "compression-ratio-measured"
		if err := positive(id, arg{"measured-volume", in[0].Number}); err != nil {
			return nil, err
		}
		if err := notNegative(id, arg{paramExtra.Name, in[1].Number}); err != nil {
			return nil, err
		}
		least := in[0].Number + in[1].Number
		ratio, err := c.CompressionRatio(id, least)
		return numbers(least, ratio), err
	})

	r.chamberFormula(&Formula{
		ID:     "pocket-volume",
		Topic:  topicGeometry,
		Title:  "pocket volume for a wanted compression ratio",
		Words:  "V_pocket = V_s/(eps - 1) - V_min,ideal - V_relief - V_extra",
		Range:  boreRange + "; eps > 1 and within reach",
		Source: ownDerivation,
		Out:    []Param{paramPocket},
	}, []Param{paramRelief, paramRatio, paramExtra}, func(c Chamber, in []Value) ([]Value, error) {
		return one(c.PocketVolume("pocket-volume", in[1].Number, Recess{Relief: in[0].Number, Extra: in[2].Number}))
	})
}

func registerEffectiveCompressionRatio(r registry) {
	r.chamberFormula(&Formula{
		ID:     "effective-compression-ratio",
		Topic:  topicGeometry,
		Title:  "compression ratio from the closing of the intake on",
		Words:  "eps_eff = V(270 deg - IC)/V_min",
		Range:  boreRange + "; IC within 270 deg of bottom dead centre; ram and leakage are outside this number",
		Source: ownDerivation,
		Out: []Param{
			{Name: "effective-ratio", Symbol: "eps_eff", Unit: "1", Title: "volume at intake closing over least volume"},
			paramRatio,
		},
	}, []Param{
		paramLeast,
		{Name: "intake-closing", Symbol: "IC", Unit: "deg", Title: "shaft angle after intake bottom dead centre"},
	}, func(c Chamber, in []Value) ([]Value, error) {
		const id = "effective-compression-ratio"
		effective, err := c.EffectiveCompressionRatio(id, in[0].Number, in[1].Number)
		if err != nil {
			return nil, err
		}
		ratio, err := c.CompressionRatio(id, in[0].Number)
		return numbers(effective, ratio), err
	})

	r.register(&Formula{
		ID:     "equivalent-displacement",
		Topic:  topicGeometry,
		Title:  "displacement of an engine by several conventions",
		Words:  "V = f N V_s; f = 1 nominal, 2 four-stroke equivalent, 3 all faces, 1.8 and 1.5 class rules",
		Range:  "conventions, not physics: a factor belongs to the rule book that set it",
		Source: "factor 3: US regulations 40 CFR 205.153 and 86.419-78 [S6, S7]; 1.8: class rules [S8]; 1, 1.5, 2: usage as reported [S9, S10, S11]",
		In:     []Param{paramSwept, paramCount},
		Out: []Param{
			{Name: "nominal", Symbol: "V_nom", Unit: "cm3", Title: "one chamber per rotor"},
			{Name: "four-stroke-equivalent", Symbol: "V_4s", Unit: "cm3", Title: "air taken in two turns of the shaft"},
			{Name: "all-faces", Symbol: "V_3", Unit: "cm3", Title: "three chambers per rotor"},
			{Name: "class-factor-1-8", Symbol: "V_18", Unit: "cm3", Title: "class rules with the factor 1.8"},
			{Name: "class-factor-1-5", Symbol: "V_15", Unit: "cm3", Title: "class rules with the factor 1.5"},
		},
		Work: func(in []Value) ([]Value, error) {
			v, err := Displacement("equivalent-displacement", in[0].Number, in[1].Number)
			return numbers(v, 2*v, 3*v, 1.8*v, 1.5*v), err
		},
	})
}

// Displacement returns the nominal displacement of an engine, rotors times the
// swept volume of one chamber, in m3. Range: V_s > 0, a whole number of rotors.
func Displacement(formula string, swept, rotors float64) (float64, error) {
	if err := positive(formula, arg{paramSwept.Name, swept}); err != nil {
		return 0, err
	}
	if err := wholeNumber(formula, arg{paramCount.Name, rotors}); err != nil {
		return 0, err
	}
	return rotors * swept, nil
}
