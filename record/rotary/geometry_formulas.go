package rotary

import "math"

const topicGeometry = "geometry"

const (
	ownDerivation = "own derivation"
	boreRange     = "R > 3e; where R < 9e, a < (R-3e)^2/(9e-R)"
)

// boreFormula registers a formula that begins with the three sizes of a bore;
// more says what else it takes, and work gets the bore and those.
func (r registry) boreFormula(f *Formula, more []Param, work func(b Bore, in []Value) ([]Value, error)) {
	f.In = append([]Param{paramEccentricity, paramRadius, paramTip}, more...)
	f.Work = func(in []Value) ([]Value, error) {
		b, err := NewBore(f.ID, in[0].Number, in[1].Number, in[2].Number)
		if err != nil {
			return nil, err
		}
		return work(b, in[3:])
	}
	if f.Range == "" {
		f.Range = boreRange
	}
	r.register(f)
}

func registerBorePoint(r registry) {
	r.boreFormula(&Formula{
		ID:     "bore-point",
		Topic:  topicGeometry,
		Title:  "point of the bore at a parameter",
		Words:  "x = e cos 3t + R cos t + a cos psi; y = e sin 3t + R sin t + a sin psi; psi = atan2(3e sin 3t + R sin t, 3e cos 3t + R cos t)",
		Source: ownDerivation,
		Out: []Param{
			{Name: "x", Symbol: "x", Unit: "mm", Title: "along the major axis"},
			{Name: "y", Symbol: "y", Unit: "mm", Title: "along the minor axis"},
		},
	}, []Param{
		{Name: "parameter", Symbol: "t", Unit: "deg", Title: "trochoid parameter, a third of the shaft angle; 0 on the major axis"},
	}, func(b Bore, in []Value) ([]Value, error) {
		return numbers(b.Point(in[0].Number)), nil
	})

	r.boreFormula(&Formula{
		ID:     "bore-axes",
		Topic:  topicGeometry,
		Title:  "longest and shortest diameter of the bore",
		Words:  "major = 2(R + a + e); minor = 2(R + a - e)",
		Source: ownDerivation,
		Out: []Param{
			{Name: "major-axis", Symbol: "major", Unit: "mm", Title: "longest diameter"},
			{Name: "minor-axis", Symbol: "minor", Unit: "mm", Title: "shortest diameter, across the waist"},
		},
	}, nil, func(b Bore, _ []Value) ([]Value, error) {
		return numbers(b.Axes()), nil
	})

	r.boreFormula(&Formula{
		ID:     "bore-perimeter",
		Topic:  topicGeometry,
		Title:  "length once round the bore",
		Words:  "P = 4(R + 3e) E(m) + 2 pi a; m = 12eR/(R + 3e)^2, E the complete elliptic integral of the second kind",
		Source: ownDerivation,
		Out:    []Param{{Name: "perimeter", Symbol: "P", Unit: "mm", Title: "length once round the bore"}},
	}, nil, func(b Bore, _ []Value) ([]Value, error) {
		return numbers(b.Perimeter()), nil
	})

	r.boreFormula(&Formula{
		ID:     "waist-curvature",
		Topic:  topicGeometry,
		Title:  "curvature of the bore at the waist",
		Words:  "kappa = (R - 9e)/((R - 3e)^2 + a(R - 9e)); negative: hollow, which it is for R < 9e",
		Source: "own derivation; the limit R = 9e: E. Molnar, J. Szirmai, Periodica Polytechnica Transp. Eng. (2009) [S42]",
		Out:    []Param{{Name: "curvature", Symbol: "kappa_waist", Unit: "1/mm", Title: "curvature at the waist"}},
	}, nil, func(b Bore, _ []Value) ([]Value, error) {
		return numbers(b.WaistCurvature()), nil
	})
}

func registerLeaningAngle(r registry) {
	r.register(&Formula{
		ID:     "leaning-angle",
		Topic:  topicGeometry,
		Title:  "K factor and largest leaning angle of the seal",
		Words:  "K = R/e; phi_max = asin(3e/R)",
		Range:  "R > 3e; R is the generating radius, not the tip radius",
		Source: ownDerivation,
		In:     []Param{paramEccentricity, paramRadius},
		Out: []Param{
			{Name: "k-factor", Symbol: "K", Unit: "1", Title: "generating radius over eccentricity"},
			{Name: "leaning-angle", Symbol: "phi_max", Unit: "deg", Title: "largest angle between the bore's normal and the rotor radius"},
		},
		Work: func(in []Value) ([]Value, error) {
			b, err := NewBore("leaning-angle", in[0].Number, in[1].Number, 0)
			if err != nil {
				return nil, err
			}
			return numbers(b.r/b.e, b.MaxLeaning()), nil
		},
	}, &Formula{
		ID:     "eccentricity-from-axes",
		Topic:  topicGeometry,
		Title:  "eccentricity and tip radius from the measured axes of a bore",
		Words:  "e = (major - minor)/4; R + a = (major + minor)/4",
		Range:  "major > minor > major/2; the axes do not tell R from a",
		Source: "own derivation; the same rule is in an encyclopaedia [S5]",
		In: []Param{
			{Name: "major-axis", Symbol: "major", Unit: "mm", Title: "longest diameter"},
			{Name: "minor-axis", Symbol: "minor", Unit: "mm", Title: "shortest diameter, across the waist"},
		},
		Out: []Param{
			{Name: "eccentricity", Symbol: "e", Unit: "mm", Title: "throw of the eccentric shaft"},
			{Name: "tip-radius", Symbol: "R_tip", Unit: "mm", Title: "rotor centre to the outermost point of the seal, R + a"},
		},
		Work: func(in []Value) ([]Value, error) {
			e, tip, err := FromAxes(in[0].Number, in[1].Number)
			return numbers(e, tip), err
		},
	})
}

func registerFlankPoint(r registry) {
	r.boreFormula(&Formula{
		ID:     "flank-point",
		Topic:  topicGeometry,
		Title:  "point of the ideal rotor flank",
		Words:  "X + iY = exp(i 2 beta/3)(R - 2e sin beta sqrt(1 - (9e^2/R^2) cos^2 beta) - i (3e^2/R) sin 2 beta) + a times the unit normal",
		Range:  boreRange + "; 0 <= beta <= 180 deg",
		Source: ownDerivation,
		Out: []Param{
			{Name: "x", Symbol: "X", Unit: "mm", Title: "in the rotor's frame, towards the first apex"},
			{Name: "y", Symbol: "Y", Unit: "mm", Title: "in the rotor's frame, square to that"},
			{Name: "radius", Symbol: "r", Unit: "mm", Title: "distance from the rotor centre"},
		},
	}, []Param{
		{Name: "flank-parameter", Symbol: "beta", Unit: "deg", Title: "0 at one apex, 90 in the middle of the flank, 180 at the next apex"},
	}, flankPoint)

	r.boreFormula(&Formula{
		ID:     "flank-length",
		Topic:  topicGeometry,
		Title:  "length of the ideal rotor flank",
		Words:  "integral of |dw/dbeta| over the flank w(beta), plus a(2 pi/3 - 2 phi_max)",
		Source: ownDerivation,
		Out:    []Param{{Name: "flank-length", Symbol: "L_flank", Unit: "mm", Title: "from apex to apex along the flank"}},
	}, nil, func(b Bore, _ []Value) ([]Value, error) {
		return numbers(b.FlankLength()), nil
	})
}

func flankPoint(b Bore, in []Value) ([]Value, error) {
	const rounding = 1e-12 // 180 deg may come out a last digit above pi
	beta := in[0].Number
	if beta < 0 || beta > math.Pi+rounding {
		return nil, &RangeError{Formula: "flank-point", Input: "flank-parameter", Why: "must lie between 0 and 180 deg"}
	}
	x, y := b.FlankPoint(beta)
	return numbers(x, y, math.Hypot(x, y)), nil
}
