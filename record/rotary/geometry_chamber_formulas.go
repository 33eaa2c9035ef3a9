package rotary

var (
	paramRelief = Param{Name: "flank-clearance", Symbol: "c", Unit: "mm",
		Title: "how far the flank is cut back along its normal", Optional: true}
	paramPocket = Param{Name: "pocket-volume", Symbol: "V_pocket", Unit: "cm3", Title: "liquid volume of one rotor pocket"}
	paramExtra  = Param{Name: "extra-volume", Symbol: "V_extra", Unit: "cm3", Title: "plug holes and other recesses", Optional: true}
	paramLeast  = Param{Name: "least-volume", Symbol: "V_min", Unit: "cm3", Title: "chamber volume at top dead centre"}
	paramRatio  = Param{Name: "compression-ratio", Symbol: "eps", Unit: "1", Title: "largest over least chamber volume"}
)

// chamberFormula registers a formula that begins with the sizes of a bore and
// its width; more says what else it takes.
func (r registry) chamberFormula(f *Formula, more []Param, work func(c Chamber, in []Value) ([]Value, error)) {
	r.boreFormula(f, append([]Param{paramWidth}, more...), func(b Bore, in []Value) ([]Value, error) {
		c, err := NewChamber(f.ID, b, in[0].Number)
		if err != nil {
			return nil, err
		}
		return work(c, in[1:])
	})
}

func registerSweptVolume(r registry) {
	r.chamberFormula(&Formula{
		ID:     "swept-volume",
		Topic:  topicGeometry,
		Title:  "swept volume of one chamber, exact",
		Words:  "V_s = b(3 sqrt(3) e R + a(L(0) - L(90 deg))); L(t) = (R + 3e)(E(t + 60 deg|m) - E(t - 60 deg|m)), m = 12eR/(R + 3e)^2",
		Source: ownDerivation,
		Out:    []Param{paramSwept},
	}, nil, func(c Chamber, _ []Value) ([]Value, error) {
		return numbers(c.SweptVolume()), nil
	})

	r.chamberFormula(&Formula{
		ID:     "swept-volume-approximate",
		Topic:  topicGeometry,
		Title:  "swept volume of one chamber, first terms of a series",
		Words:  "V_s = 3 sqrt(3) e b(R + a(1 - (9/8)(e/R)^2))",
		Range:  boreRange + "; within 3e-5 of the exact value for R/e near 7 and a/R up to 0.03",
		Source: ownDerivation,
		Out:    []Param{paramSwept},
	}, nil, func(c Chamber, _ []Value) ([]Value, error) {
		return numbers(c.width * c.approximateSweptArea()), nil
	})

	r.register(&Formula{
		ID:     "swept-volume-sharp",
		Topic:  topicGeometry,
		Title:  "swept volume of one chamber with a sharp seal",
		Words:  "V_s = 3 sqrt(3) e R b",
		Range:  "R > 3e; exact for a seal tip without radius",
		Source: "own derivation; the same formula stands in the literature [S1, S5]",
		In:     []Param{paramEccentricity, paramRadius, paramWidth},
		Out:    []Param{paramSwept},
		Work: func(in []Value) ([]Value, error) {
			const id = "swept-volume-sharp"
			b, err := NewBore(id, in[0].Number, in[1].Number, 0)
			if err != nil {
				return nil, err
			}
			c, err := NewChamber(id, b, in[2].Number)
			return numbers(c.SweptVolume()), err
		},
	})
}

func registerIdealVolumes(r registry) {
	r.chamberFormula(&Formula{
		ID:     "ideal-volumes",
		Topic:  topicGeometry,
		Title:  "least and largest chamber volume and compression ratio of the ideal flank",
		Words:  "V = b A; A_max = A_min + 3 sqrt(3) e R; A_min as in ideal-areas",
		Range:  boreRange + "; no pocket, no clearance",
		Source: "closed form known from the literature (from memory), confirmed by own quadrature",
		Out: []Param{
			retitled(paramLeast, "ideal chamber volume at top dead centre"),
			{Name: "largest-volume", Symbol: "V_max", Unit: "cm3", Title: "ideal chamber volume at bottom dead centre"},
			{Name: "theoretical-ratio", Symbol: "eps_th", Unit: "1", Title: "largest over least volume"},
		},
	}, nil, func(c Chamber, _ []Value) ([]Value, error) {
		least, most := c.IdealVolumes()
		return numbers(least, most, most/least), nil
	})

	r.boreFormula(&Formula{
		ID:    "ideal-areas",
		Topic: topicGeometry,
		Title: "least and largest chamber area and compression ratio of the ideal flank",
		Words: "A_min = (pi/3)e^2 + 2eR cos phi + (2R^2/9 + 4e^2)phi - (3 sqrt(3)/2)eR + a(L(90 deg) - L_flank), phi = asin(3e/R); " +
			"A_max = A_min + swept area",
		Range:  boreRange + "; no pocket, no clearance",
		Source: "closed form known from the literature (from memory), confirmed by own quadrature; the term with a: own derivation",
		Out: []Param{
			{Name: "least-area", Symbol: "A_min", Unit: "mm2", Title: "chamber area at top dead centre"},
			{Name: "largest-area", Symbol: "A_max", Unit: "mm2", Title: "chamber area at bottom dead centre"},
			{Name: "theoretical-ratio", Symbol: "eps_th", Unit: "1", Title: "largest over least area"},
		},
	}, nil, func(b Bore, _ []Value) ([]Value, error) {
		least, most := b.idealAreas()
		return numbers(least, most, most/least), nil
	})
}

func registerChamberVolume(r registry) {
	r.chamberFormula(&Formula{
		ID:     "chamber-volume",
		Topic:  topicGeometry,
		Title:  "chamber volume at a shaft angle, ideal flank",
		Words:  "V = V_min + b((3 sqrt(3)/2) e R(1 - cos(2 alpha/3)) + a(L(90 deg + alpha/3) - L(90 deg)))",
		Source: ownDerivation,
		Out:    []Param{{Name: "volume", Symbol: "V", Unit: "cm3", Title: "chamber volume"}},
	}, []Param{paramAlpha}, func(c Chamber, in []Value) ([]Value, error) {
		least, _ := c.IdealVolumes()
		return numbers(c.Volume(least, in[0].Number)), nil
	})

	r.chamberFormula(&Formula{
		ID:     "chamber-volume-slope",
		Topic:  topicGeometry,
		Title:  "change of chamber volume with the shaft angle",
		Words:  "dV/dalpha = b(sqrt(3) e R sin(2 alpha/3) + (a/3)(s(t + 60 deg) - s(t - 60 deg))), t = 90 deg + alpha/3, s(t) = sqrt(R^2 + 9e^2 + 6eR cos 2t)",
		Source: ownDerivation,
		Out:    []Param{{Name: "slope", Symbol: "dV", Unit: "cm3/deg", Title: "change of volume per shaft angle"}},
	}, []Param{paramAlpha}, func(c Chamber, in []Value) ([]Value, error) {
		return numbers(c.VolumeSlope(in[0].Number)), nil
	})

	r.register(&Formula{
		ID:     "stroke-angle",
		Topic:  topicGeometry,
		Title:  "shaft angle of one stroke and of all four",
		Words:  "a quarter turn of the rotor, 3 * 90 deg; one turn of the rotor, 3 * 360 deg",
		Source: "own derivation; 270 deg for a stroke is in a training booklet too [S2]",
		Out: []Param{
			{Name: "stroke", Symbol: "stroke", Unit: "deg", Title: "from top to bottom dead centre"},
			{Name: "cycle", Symbol: "cycle", Unit: "deg", Title: "until the chamber repeats"},
		},
		Work: func([]Value) ([]Value, error) { return numbers(StrokeAngle, CycleAngle), nil },
	})
}
