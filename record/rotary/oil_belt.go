package rotary

import "math"

// BeltSpeed returns the speed of a toothed belt (m/s) and the pitch diameter
// of its pulley (m):
//
//	v = p z omega/2pi,   D = p z/pi
//
// pitch p in m, z teeth, omega of that pulley in rad/s. Range: p, z > 0,
// omega >= 0. Pitches of ISO 5296 [S37]: MXL 2.032, XL 5.08, L 9.525, H 12.7,
// XH 22.225, XXH 31.75 mm; curvilinear 3M, 5M, 8M, 14M by their number in mm.
func BeltSpeed(pitch, teeth, speed float64) (velocity, diameter float64, err error) {
	const id = "belt-speed"
	if err := positive(id, arg{"pitch", pitch}, arg{"teeth", teeth}); err != nil {
		return 0, 0, err
	}
	if err := notNegative(id, arg{"speed", speed}); err != nil {
		return 0, 0, err
	}
	return pitch * teeth * speed / (2 * math.Pi), pitch * teeth / math.Pi, nil
}

func registerBeltSpeed(r registry) {
	r.register(&Formula{
		ID:     "belt-speed",
		Topic:  topicOil,
		Title:  "speed of a toothed belt",
		Words:  "v = p z n/60000, p in mm, n in 1/min; D = p z/pi",
		Source: "own derivation; pitches ISO 5296 [S37]",
		In: []Param{
			{Name: "pitch", Symbol: "p", Unit: "mm", Title: "pitch of the belt"},
			{Name: "teeth", Symbol: "z", Unit: "1", Title: "teeth of the pulley"},
			retitled(paramSpeed, "speed of that pulley"),
		},
		Out: []Param{
			{Name: "velocity", Symbol: "v", Unit: "m/s", Title: "belt speed"},
			{Name: "pitch-diameter", Symbol: "D_pitch", Unit: "mm", Title: "pitch diameter of the pulley"},
		},
		Work: func(in []Value) ([]Value, error) {
			v, d, err := BeltSpeed(in[0].Number, in[1].Number, in[2].Number)
			return numbers(v, d), err
		},
	})
}

// BeltDrive is a toothed belt round two pulleys: the pitch in m and the tooth
// numbers, in either order.
type BeltDrive struct{ Pitch, Teeth1, Teeth2 float64 }

// check refuses what is no drive at all.
func (b BeltDrive) check(formula string) error {
	if err := positive(formula, arg{"pitch", b.Pitch}); err != nil {
		return err
	}
	if err := wholeNumber(formula, arg{"teeth-1", b.Teeth1}); err != nil {
		return err
	}
	return wholeNumber(formula, arg{"teeth-2", b.Teeth2})
}

// diameters returns the pitch diameters, larger first.
func (b BeltDrive) diameters() (large, small float64) {
	large, small = b.Pitch*b.Teeth1/math.Pi, b.Pitch*b.Teeth2/math.Pi
	return max(large, small), min(large, small)
}

// touching is the centre distance at which the two pitch circles touch.
func (b BeltDrive) touching() float64 {
	large, small := b.diameters()
	return (large + small) / 2
}

// length of the belt at a centre distance of at least touching.
func (b BeltDrive) length(centre float64) float64 {
	large, small := b.diameters()
	lean := math.Asin((large - small) / (2 * centre))
	return float64(2*centre*math.Cos(lean)) + float64(math.Pi*(large+small)/2) + float64(lean*(large-small))
}

// Belt is what follows from a centre distance.
type Belt struct {
	Length      float64 // m, exact
	Approximate float64 // m, the usual approximation
	Wrap        float64 // rad, on the smaller pulley
	Mesh        float64 // whole teeth of the smaller pulley in mesh
}

// BeltLength returns the belt for a centre distance C in m:
//
//	L = 2C cos b + pi(D1+D2)/2 + b(D1-D2),   b = asin((D1-D2)/2C), D1 >= D2    (exact, own)
//	L ~ 2C + pi(D1+D2)/2 + (D1-D2)^2/4C                                        [S38]
//	wrap on the smaller pulley = pi - 2b;   teeth in mesh = floor(z wrap/2pi)
//
// The approximation is out by less than 1e-5 for usual drives. L must be a
// whole number of pitches for a belt that can be bought: see BeltCentre.
// Range: sizes > 0, pulleys not overlapping.
func BeltLength(drive BeltDrive, centre float64) (Belt, error) {
	const id = "belt-length"
	if err := drive.check(id); err != nil {
		return Belt{}, err
	}
	if !(centre >= drive.touching()) || !isFinite(centre) {
		return Belt{}, &RangeError{Formula: id, Input: "centre-distance", Why: "must keep the pulleys apart: at least (D1+D2)/2"}
	}
	large, small := drive.diameters()
	step := large - small
	wrap := math.Pi - float64(2*math.Asin(step/(2*centre)))
	return Belt{
		Length:      drive.length(centre),
		Approximate: float64(2*centre) + float64(math.Pi*(large+small)/2) + step*step/(4*centre),
		Wrap:        wrap,
		Mesh:        math.Floor(min(drive.Teeth1, drive.Teeth2)*wrap/(2*math.Pi) + 1e-9),
	}, nil
}

func registerBeltLength(r registry) {
	r.register(&Formula{
		ID:     "belt-length",
		Topic:  topicOil,
		Title:  "length of a toothed belt round two pulleys",
		Words:  "L = 2C cos b + pi(D1+D2)/2 + b(D1-D2), b = asin((D1-D2)/2C), D = p z/pi",
		Range:  "pulleys not overlapping",
		Source: "own derivation; approximate form [S38]",
		In: append(beltParams(),
			Param{Name: "centre-distance", Symbol: "C", Unit: "mm", Title: "distance of the pulley centres"}),
		Out: []Param{
			{Name: "length", Symbol: "L", Unit: "mm", Title: "length of the belt at the pitch line"},
			{Name: "approximate-length", Symbol: "L_approx", Unit: "mm", Title: "by the usual approximation"},
			{Name: "wrap", Symbol: "wrap_small", Unit: "deg", Title: "wrap on the smaller pulley"},
			{Name: "teeth-in-mesh", Symbol: "z_mesh", Unit: "1", Title: "whole teeth in mesh on the smaller pulley"},
		},
		Work: func(in []Value) ([]Value, error) {
			b, err := BeltLength(beltOf(in), in[3].Number)
			return numbers(b.Length, b.Approximate, b.Wrap, b.Mesh), err
		},
	})
}

// BeltCentre returns the centre distance in m at which a stock belt of so many
// teeth fits: BeltLength solved for C by bisection, down to neighbouring
// numbers (the length grows steadily with C). Range: sizes > 0 and a belt long
// enough to go round pulleys that do not overlap.
func BeltCentre(drive BeltDrive, beltTeeth float64) (float64, error) {
	const id = "belt-centre"
	if err := drive.check(id); err != nil {
		return 0, err
	}
	if err := wholeNumber(id, arg{"belt-teeth", beltTeeth}); err != nil {
		return 0, err
	}
	length := drive.Pitch * beltTeeth
	low, high := drive.touching(), length
	if !(drive.length(low) <= length) {
		return 0, &RangeError{Formula: id, Input: "belt-teeth", Why: "is too few to go round both pulleys"}
	}
	return bisect(low, high, func(c float64) bool { return drive.length(c) <= length }), nil
}

func registerBeltCentre(r registry) {
	r.register(&Formula{
		ID:     "belt-centre",
		Topic:  topicOil,
		Title:  "centre distance for a stock belt",
		Words:  "C such that the exact belt length is p z_belt",
		Range:  "pulleys not overlapping",
		Source: ownDerivation,
		In: append(beltParams(),
			Param{Name: "belt-teeth", Symbol: "z_belt", Unit: "1", Title: "teeth of the belt"}),
		Out: []Param{{Name: "centre-distance", Symbol: "C", Unit: "mm", Title: "distance of the pulley centres"}},
		Work: func(in []Value) ([]Value, error) {
			return one(BeltCentre(beltOf(in), in[3].Number))
		},
	})
}

func beltParams() []Param {
	return []Param{
		{Name: "pitch", Symbol: "p", Unit: "mm", Title: "pitch of the belt"},
		{Name: "teeth-1", Symbol: "z1", Unit: "1", Title: "teeth of one pulley"},
		{Name: "teeth-2", Symbol: "z2", Unit: "1", Title: "teeth of the other"},
	}
}

func beltOf(in []Value) BeltDrive { return BeltDrive{in[0].Number, in[1].Number, in[2].Number} }
