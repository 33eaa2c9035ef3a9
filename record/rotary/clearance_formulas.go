package rotary

func registerRunningClearance(r registry) {
	diametral := Param{Name: "clearance", Symbol: "c", Unit: "mm", Title: "diametral clearance; negative: interference"}

	r.register(&Formula{
		ID:     "running-clearance",
		Topic:  topicClearance,
		Title:  "clearance of a journal in its bearing",
		Words:  "c = bore - journal; c/journal",
		Source: ownDerivation,
		In: []Param{
			{Name: "bore", Symbol: "bore", Unit: "mm", Title: "inside diameter"},
			{Name: "journal", Symbol: "journal", Unit: "mm", Title: "outside diameter"},
		},
		Out: []Param{
			diametral,
			{Name: "relative", Symbol: "c_per_mille", Unit: "1e-3", Title: "clearance over journal"},
		},
		Work: func(in []Value) ([]Value, error) {
			c, ratio, err := RunningClearance(in[0].Number, in[1].Number)
			return numbers(c, ratio), err
		},
	}, &Formula{
		ID:     "side-clearance",
		Topic:  topicClearance,
		Title:  "axial play of a rotor in its housing",
		Words:  "c = housing width - largest rotor width, both sides together",
		Source: "rule of a workshop manual [S16a]",
		In: []Param{
			{Name: "housing-width", Symbol: "H", Unit: "mm", Title: "width of the rotor housing"},
			{Name: "rotor-widths", Symbol: "W", Unit: "mm", Title: "of the rotor, wherever measured", Kind: List},
		},
		Out: []Param{{Name: "clearance", Symbol: "c", Unit: "mm", Title: "total of both sides"}},
		Work: func(in []Value) ([]Value, error) {
			return one(SideClearance(in[0].Number, in[1].List))
		},
	})
}

func registerLengthAt20C(r registry) {
	r.register(&Formula{
		ID:     "length-at-20C",
		Topic:  topicClearance,
		Title:  "length at 20 degC from a reading at another temperature",
		Words:  "L20 = L(1 + a_inst(T_inst - 20 degC))/(1 + a_part(T_part - 20 degC))",
		Range:  "near room temperature",
		Source: "own derivation; reference temperature ISO 1 (from memory)",
		In: []Param{
			{Name: "length", Symbol: "L_ind", Unit: "mm", Title: "as indicated"},
			{Name: "part-expansion", Symbol: "a_part", Unit: "1e-6/K", Title: "linear expansion of the part"},
			{Name: "part-temperature", Symbol: "T_part", Unit: "degC", Title: "of the part"},
			{Name: "instrument-expansion", Symbol: "a_inst", Unit: "1e-6/K", Title: "of gauge or setting standard; 0 if compensated"},
			{Name: "instrument-temperature", Symbol: "T_inst", Unit: "degC", Title: "of the instrument"},
		},
		Out: []Param{{Name: "reference-length", Symbol: "L20", Unit: "mm", Title: "at 20 degC"}},
		Work: func(in []Value) ([]Value, error) {
			return one(LengthAt20(Reading{Length: in[0].Number, Expansion: in[1].Number, PartTemp: in[2].Number,
				Instrument: in[3].Number, InstTemp: in[4].Number}))
		},
	}, &Formula{
		ID:     "hot-clearance",
		Topic:  topicClearance,
		Title:  "clearance at working temperature, an estimate",
		Words:  "c_hot = H20(1 + a_H(T_H - 20 degC)) - W20(1 + a_W(T_W - 20 degC))",
		Range:  "leaves out clamping and differences of temperature within a part",
		Source: ownDerivation,
		In: []Param{
			{Name: "outer-size", Symbol: "H20", Unit: "mm", Title: "of the outer part at 20 degC"},
			{Name: "outer-expansion", Symbol: "a_H", Unit: "1e-6/K", Title: "its linear expansion"},
			{Name: "outer-temperature", Symbol: "T_H", Unit: "degC", Title: "its temperature"},
			{Name: "inner-size", Symbol: "W20", Unit: "mm", Title: "of the inner part at 20 degC"},
			{Name: "inner-expansion", Symbol: "a_W", Unit: "1e-6/K", Title: "its linear expansion"},
			{Name: "inner-temperature", Symbol: "T_W", Unit: "degC", Title: "its temperature"},
		},
		Out: []Param{
			{Name: "cold", Symbol: "c20", Unit: "mm", Title: "clearance at 20 degC"},
			{Name: "hot", Symbol: "c_hot", Unit: "mm", Title: "clearance at these temperatures"},
		},
		Work: func(in []Value) ([]Value, error) {
			cold, hot, err := HotClearance(Fit{
				Outer: in[0].Number, OuterExpansion: in[1].Number, OuterTemp: in[2].Number,
				Inner: in[3].Number, InnerExpansion: in[4].Number, InnerTemp: in[5].Number})
			return numbers(cold, hot), err
		},
	})
}
