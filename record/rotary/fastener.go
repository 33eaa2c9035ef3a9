package rotary

import (
	"fmt"
	"math"
)

const topicFastener = "fasteners"

// Preload estimates the clamp load of a bolt from its tightening torque:
//
//	F = T/(K d)
//
// T in N m, K the nut factor, d the nominal diameter in m, F in N. K is about
// 0.20 dry and 0.15 oiled (from memory); the load scatters by 35 % dry and
// 25 % lubricated [S33]. Range: T >= 0, K, d > 0.
func Preload(torque, nutFactor, diameter float64) (float64, error) {
	const id = "preload"
	if err := notNegative(id, arg{"torque", torque}); err != nil {
		return 0, err
	}
	if err := positive(id, arg{"nut-factor", nutFactor}, arg{"diameter", diameter}); err != nil {
		return 0, err
	}
	return torque / (nutFactor * diameter), nil
}

func registerPreload(r registry) {
	r.register(&Formula{
		ID:     "preload",
		Topic:  topicFastener,
		Title:  "clamp load from tightening torque",
		Words:  "F = T/(K d); F_min, F_max = F (1 -+ scatter)",
		Range:  "K about 0.20 dry, 0.15 oiled (from memory)",
		Source: "J. Fail. Anal. Prev. (2019) [S33]: scatter 35 % dry, 25 % lubricated",
		In: []Param{
			{Name: "torque", Symbol: "T", Unit: "N m", Title: "tightening torque"},
			{Name: "nut-factor", Symbol: "K", Unit: "1", Title: "nut factor"},
			{Name: "diameter", Symbol: "d", Unit: "mm", Title: "nominal diameter"},
			{Name: "scatter", Symbol: "scatter", Unit: "1", Title: "scatter of the load either way", Optional: true, Default: 0.35},
		},
		Out: []Param{
			{Name: "preload", Symbol: "F", Unit: "N", Title: "clamp load"},
			{Name: "lowest", Symbol: "F_min", Unit: "N", Title: "lowest to expect"},
			{Name: "highest", Symbol: "F_max", Unit: "N", Title: "highest to expect"},
		},
		Work: func(in []Value) ([]Value, error) {
			scatter := in[3].Number
			if !(scatter >= 0 && scatter < 1) {
				return nil, &RangeError{Formula: "preload", Input: "scatter", Why: "must be at least 0 and below 1"}
			}
			f, err := Preload(in[0].Number, in[1].Number, in[2].Number)
			return numbers(f, f*(1-scatter), f*(1+scatter)), err
		},
	})
}

// StressArea returns the stress area in m2 of a metric thread of nominal
// diameter d and pitch P in m (ISO 898-1, formula from memory; printed values
// [S29] agree to the three figures they are rounded to):
//
//	A_s = (pi/4)(d - 0.9382 P)^2
//
// Range: P > 0 and d > 0.9382 P.
func StressArea(diameter, pitch float64) (float64, error) {
	const id = "stress-area"
	if err := positive(id, arg{"diameter", diameter}, arg{"pitch", pitch}); err != nil {
		return 0, err
	}
	d := diameter - float64(0.9382*pitch)
	if d <= 0 {
		return 0, &RangeError{Formula: id, Input: "pitch", Why: "must be smaller than the diameter"}
	}
	return math.Pi / 4 * d * d, nil
}

func registerStressArea(r registry) {
	r.register(&Formula{
		ID:     "stress-area",
		Topic:  topicFastener,
		Title:  "stress area of a metric thread",
		Words:  "A_s = (pi/4)(d - 0.9382 P)^2",
		Source: "ISO 898-1, formula from memory; values [S29]",
		In: []Param{
			{Name: "diameter", Symbol: "d", Unit: "mm", Title: "nominal diameter"},
			{Name: "pitch", Symbol: "P", Unit: "mm", Title: "pitch of the thread"},
		},
		Out: []Param{{Name: "stress-area", Symbol: "As", Unit: "mm2", Title: "stress area"}},
		Work: func(in []Value) ([]Value, error) {
			return one(StressArea(in[0].Number, in[1].Number))
		},
	})
}

// MinimumUltimateLoad returns the load in N a bolt must bear before it breaks,
// F_m = A_s R_m: nominal stress area in m2 times minimum tensile strength in Pa
// (ISO 898-1 [S29]). Range: both > 0.
func MinimumUltimateLoad(area, strength float64) (float64, error) {
	if err := positive("minimum-ultimate-load", arg{"stress-area", area}, arg{"strength", strength}); err != nil {
		return 0, err
	}
	return area * strength, nil
}

func registerMinimumUltimateLoad(r registry) {
	r.register(&Formula{
		ID:     "minimum-ultimate-load",
		Topic:  topicFastener,
		Title:  "least breaking load of a bolt",
		Words:  "F_m = A_s R_m",
		Source: "ISO 898-1 [S29]",
		In: []Param{
			{Name: "stress-area", Symbol: "As", Unit: "mm2", Title: "nominal stress area"},
			{Name: "strength", Symbol: "Rm", Unit: "MPa", Title: "minimum tensile strength"},
		},
		Out: []Param{{Name: "load", Symbol: "F_m", Unit: "N", Title: "minimum ultimate load"}},
		Work: func(in []Value) ([]Value, error) {
			return one(MinimumUltimateLoad(in[0].Number, in[1].Number))
		},
	})
}

// BoltSection is one stretch of a bolt: length in m, cross-section in m2.
type BoltSection struct{ Length, Area float64 }

// Stretch returns the elongation in m of a bolt of several sections under a
// load F (N), and the highest stress in it (Pa):
//
//	delta = (F/E) sum(L_i/A_i),   stress = F/min(A_i)
//
// E in Pa. Own derivation: the sections are springs in series. Add about 0.4
// to 0.5 diameters a side for head and nut (VDI 2230, from memory). Range:
// F >= 0, E > 0, at least one section, lengths >= 0, areas > 0.
func Stretch(load, modulus float64, sections []BoltSection) (elongation, stress float64, err error) {
	const id = "stretch"
	if err := notNegative(id, arg{"load", load}); err != nil {
		return 0, 0, err
	}
	if err := positive(id, arg{"modulus", modulus}); err != nil {
		return 0, 0, err
	}
	if len(sections) == 0 {
		return 0, 0, &RangeError{Formula: id, Why: "needs at least one section"}
	}
	slenderness, weakest := 0.0, math.Inf(1)
	for i, s := range sections {
		if err := notNegative(id, arg{fmt.Sprintf("length-%d", i+1), s.Length}); err != nil {
			return 0, 0, err
		}
		if err := positive(id, arg{fmt.Sprintf("area-%d", i+1), s.Area}); err != nil {
			return 0, 0, err
		}
		slenderness += s.Length / s.Area
		weakest = min(weakest, s.Area)
	}
	return load / modulus * slenderness, load / weakest, nil
}

func registerStretch(r registry) {
	r.register(&Formula{
		ID:     "stretch",
		Topic:  topicFastener,
		Title:  "stretch of a tension bolt with shank and thread",
		Words:  "delta = (F/E)(L1/A1 + L2/A2), A1 = pi d1^2/4; angle = 360 delta/P; stress = F/smallest area",
		Range:  "elastic; the angle for a rigid joint, add the joint's own compression",
		Source: "own derivation (springs in series)",
		In: []Param{
			{Name: "load", Symbol: "F", Unit: "N", Title: "clamp load"},
			{Name: "length-1", Symbol: "L1", Unit: "mm", Title: "length of the shank"},
			{Name: "diameter-1", Symbol: "d1", Unit: "mm", Title: "diameter of the shank"},
			{Name: "length-2", Symbol: "L2", Unit: "mm", Title: "length of free thread"},
			{Name: "area-2", Symbol: "A2", Unit: "mm2", Title: "stress area of the thread"},
			{Name: "modulus", Symbol: "E", Unit: "GPa", Title: "modulus of elasticity, 205 GPa for steel (from memory)"},
			{Name: "pitch", Symbol: "P", Unit: "mm", Title: "pitch of the thread"},
		},
		Out: []Param{
			{Name: "elongation", Symbol: "delta", Unit: "mm", Title: "stretch of the bolt"},
			{Name: "angle", Symbol: "angle", Unit: "deg", Title: "turn of the nut for it, rigid joint"},
			{Name: "stress", Symbol: "stress", Unit: "MPa", Title: "highest stress"},
		},
		Work: func(in []Value) ([]Value, error) {
			d, pitch := in[2].Number, in[6].Number
			if err := positive("stretch", arg{"diameter-1", d}, arg{"pitch", pitch}); err != nil {
				return nil, err
			}
			delta, stress, err := Stretch(in[0].Number, in[5].Number, []BoltSection{
				{in[1].Number, math.Pi / 4 * d * d}, {in[3].Number, in[4].Number}})
			return numbers(delta, 2*math.Pi*delta/pitch, stress), err
		},
	})
}
