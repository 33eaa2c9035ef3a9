package rotary

import "math"

var paramCoverage = Param{Name: "coverage-factor", Symbol: "k", Unit: "1", Title: "expanded over standard uncertainty",
	Optional: true, Default: 2}

// noLimit stands for a limit left out, in m: farther than any length measured.
const noLimit = 1e9

func registerMeanAndUncertainty(r registry) {
	r.register(&Formula{
		ID:     "mean-and-uncertainty",
		Topic:  topicUncertainty,
		Title:  "mean of repeated readings and its uncertainty",
		Words:  "u^2 = s^2/n + d^2/12 + u_cal^2; U = 2u; nu_eff = u^4/((s^2/n)^2/(n - 1)); U_95 = t(0.975, nu_eff) u",
		Range:  "two readings or more; nu_eff is given as at most 1e9, which stands for unlimited",
		Source: "JCGM 100:2008 [S44]; arithmetic own",
		In: []Param{
			{Name: "readings", Symbol: "readings", Unit: "mm", Title: "repeats at one place", Kind: List},
			{Name: "resolution", Symbol: "resolution", Unit: "mm", Title: "of the instrument"},
			{Name: "calibration-uncertainty", Symbol: "u_cal", Unit: "mm", Title: "standard uncertainty of its calibration"},
		},
		Out: []Param{
			{Name: "mean", Symbol: "mean", Unit: "mm", Title: "of the readings"},
			{Name: "deviation", Symbol: "s", Unit: "mm", Title: "standard deviation of one reading"},
			{Name: "standard-uncertainty", Symbol: "u", Unit: "mm", Title: "of the mean"},
			{Name: "expanded-uncertainty", Symbol: "U", Unit: "mm", Title: "with the coverage factor 2"},
			{Name: "degrees-of-freedom", Symbol: "nu_eff", Unit: "1", Title: "effective degrees of freedom"},
			{Name: "uncertainty-95", Symbol: "U_95", Unit: "mm", Title: "for 95 % coverage with so few readings"},
		},
		Work: func(in []Value) ([]Value, error) {
			e, err := MeanAndUncertainty(in[0].List, in[1].Number, in[2].Number)
			if err != nil {
				return nil, err
			}
			k95, err := StudentT(0.975, e.Freedom)
			return numbers(e.Mean, e.Deviation, e.Standard, 2*e.Standard, e.Freedom, k95*e.Standard), err
		},
	})
}

func registerDifferenceUncertainty(r registry) {
	r.register(&Formula{
		ID:     "difference-uncertainty",
		Topic:  topicUncertainty,
		Title:  "uncertainty of a difference, such as a clearance",
		Words:  "u^2 = u_bore^2 + u_journal^2 - 2 u_common^2; U = k u",
		Range:  "uncorrelated but for what both owe to one standard",
		Source: "JCGM 100:2008, law of propagation (from memory)",
		In: []Param{
			{Name: "first-uncertainty", Symbol: "u_bore", Unit: "mm", Title: "standard uncertainty of one value"},
			{Name: "second-uncertainty", Symbol: "u_journal", Unit: "mm", Title: "standard uncertainty of the other"},
			{Name: "common-uncertainty", Symbol: "u_common", Unit: "mm", Title: "part of both from the same standard", Optional: true},
			paramCoverage,
		},
		Out: []Param{
			{Name: "standard-uncertainty", Symbol: "u", Unit: "mm", Title: "of the difference"},
			{Name: "expanded-uncertainty", Symbol: "U", Unit: "mm", Title: "of the difference"},
		},
		Work: func(in []Value) ([]Value, error) {
			u, err := DifferenceUncertainty(in[0].Number, in[1].Number, in[2].Number)
			if err != nil {
				return nil, err
			}
			return numbers(u, in[3].Number*u), positive("difference-uncertainty", arg{paramCoverage.Name, in[3].Number})
		},
	}, &Formula{
		ID:    "decision",
		Topic: topicUncertainty,
		Title: "verdict on a measured value against its limits",
		Words: "g = k u; conforms: low + g <= y <= high - g; fails: y < low - g or y > high + g; else undecided; " +
			"p_c = Phi((high - y)/u) - Phi((low - y)/u)",
		Range:  "one limit or both; a normal distribution for p_c",
		Source: "ISO 14253-1 and JCGM 106:2012 (from memory; the gist in summaries [S45]); k is 2 in earlier editions, about 1.65 for one limit in that of 2017 (from memory)",
		In: []Param{
			{Name: "value", Symbol: "y", Unit: "mm", Title: "as measured"},
			{Name: "standard-uncertainty", Symbol: "u", Unit: "mm", Title: "of the value"},
			{Name: "lower-limit", Symbol: "LSL", Unit: "mm", Title: "lowest value allowed; left out: none", Optional: true, Default: -noLimit},
			{Name: "upper-limit", Symbol: "USL", Unit: "mm", Title: "highest value allowed; left out: none", Optional: true, Default: noLimit},
			paramCoverage,
		},
		Out: []Param{
			{Name: "verdict", Symbol: "verdict", Title: "conforms, undecided or fails", Kind: Text},
			{Name: "conformance-probability", Symbol: "p_c", Unit: "1", Title: "that the true value lies within the limits"},
		},
		Work: decision,
	})
}

// decision works the formula of that name.
func decision(in []Value) ([]Value, error) {
	const id = "decision"
	y, u, low, high, k := in[0].Number, in[1].Number, in[2].Number, in[3].Number, in[4].Number
	if err := notNegative(id, arg{"standard-uncertainty", u}); err != nil {
		return nil, err
	}
	if err := positive(id, arg{paramCoverage.Name, k}); err != nil {
		return nil, err
	}
	if low <= -noLimit {
		low = math.Inf(-1)
	}
	if high >= noLimit {
		high = math.Inf(1)
	}
	if math.IsInf(low, -1) && math.IsInf(high, 1) {
		return nil, &RangeError{Formula: id, Why: "needs a lower-limit or an upper-limit"}
	}
	if low > high {
		return nil, &RangeError{Formula: id, Input: "upper-limit", Why: "must not be below the lower limit"}
	}
	return []Value{{Text: string(Decide(y, u, k, low, high))}, {Number: ConformanceProbability(y, u, low, high)}}, nil
}
