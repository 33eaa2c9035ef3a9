package rotary

import "math"

const topicUncertainty = "uncertainty"

// unlimitedFreedom stands for infinitely many degrees of freedom: readings that
// all agree leave nothing to count them by.
const unlimitedFreedom = 1e9

// ResolutionUncertainty returns the standard uncertainty that reading an
// instrument of resolution d adds: that of a uniform distribution of the width
// d, d/sqrt(12). Result in the unit of d; d >= 0. (JCGM 100:2008, 4.3.7, from
// memory; the variance d^2/12 is elementary.)
func ResolutionUncertainty(d float64) float64 { return d / math.Sqrt(12) }

// CombineUncertainties returns the root of the sum of squares: the standard
// uncertainty of a sum of uncorrelated parts (JCGM 100:2008 [S44]).
func CombineUncertainties(parts ...float64) float64 {
	sum := 0.0
	for _, u := range parts {
		sum = math.Hypot(sum, u)
	}
	return sum
}

// Estimate is what repeated readings tell of a value.
type Estimate struct {
	Mean      float64
	Deviation float64 // standard deviation of one reading, n-1
	Standard  float64 // standard uncertainty of the mean
	Freedom   float64 // its effective degrees of freedom; at most unlimitedFreedom
}

// MeanAndUncertainty returns the mean of repeated readings and its standard
// uncertainty from repeatability, resolution d and calibration u_cal, all in
// one unit:
//
//	u^2 = s^2/n + d^2/12 + u_cal^2,   nu_eff = u^4/((s^2/n)^2/(n-1))
//
// (JCGM 100:2008 [S44]; resolution and calibration count as known exactly.)
// Range: two readings or more, since one alone says nothing of repeatability;
// resolution and u_cal not negative.
func MeanAndUncertainty(readings []float64, resolution, calibration float64) (Estimate, error) {
	const id = "mean-and-uncertainty"
	if len(readings) < 2 {
		return Estimate{}, &RangeError{Formula: id, Input: "readings", Why: "must be two or more: one alone says nothing of repeatability"}
	}
	if err := notNegative(id, arg{"resolution", resolution}, arg{"calibration-uncertainty", calibration}); err != nil {
		return Estimate{}, err
	}
	n := float64(len(readings))
	e := Estimate{Mean: mean(readings), Freedom: unlimitedFreedom}
	squares := 0.0
	for _, x := range readings {
		squares += float64((x - e.Mean) * (x - e.Mean))
	}
	e.Deviation = math.Sqrt(squares / (n - 1))
	repeats := e.Deviation / math.Sqrt(n)
	e.Standard = CombineUncertainties(repeats, ResolutionUncertainty(resolution), calibration)
	if repeats > 0 {
		e.Freedom = math.Min((n-1)*math.Pow(e.Standard/repeats, 4), unlimitedFreedom)
	}
	return e, nil
}

// DifferenceUncertainty returns the standard uncertainty of the difference of
// two values, in their unit:
//
//	u^2 = u_1^2 + u_2^2 - 2 u_c^2
//
// u_c is the part that both owe to one and the same standard: fully correlated,
// it cancels (JCGM 100:2008, law of propagation, from memory). Range: none
// negative; u_c at most the smaller of the two.
func DifferenceUncertainty(first, second, common float64) (float64, error) {
	const id = "difference-uncertainty"
	err := notNegative(id, arg{"first-uncertainty", first}, arg{"second-uncertainty", second}, arg{"common-uncertainty", common})
	if err != nil {
		return 0, err
	}
	if common > math.Min(first, second) {
		return 0, &RangeError{Formula: id, Input: "common-uncertainty", Why: "must not exceed either of the two"}
	}
	// (u1-uc)(u1+uc) keeps its digits where u1^2 - uc^2 would lose them.
	return math.Sqrt(float64((first-common)*(first+common)) + float64((second-common)*(second+common))), nil
}

// Verdict is what a measured value proves about its limits.
type Verdict string

// The verdicts of Decide.
const (
	Conforms  Verdict = "conforms"
	Undecided Verdict = "undecided" // within the guard band of a limit
	Fails     Verdict = "fails"
)

// Decide judges a value y of standard uncertainty u by its limits, with the
// guard band g = k u:
//
//	conforms where low + g <= y <= high - g;  fails where y < low - g or y > high + g
//
// and undecided between. At a limit is inside it, up to 1e-9 of the limit (R6).
// The rule that uncertainty counts against whoever proves is that of ISO
// 14253-1 (from memory; the gist seen in summaries [S45]). k belongs to the
// edition agreed on: 2 in the earlier ones, about 1.65 for one limit in that
// of 2017 (both from memory). An infinite limit is none. Range: u and k not
// negative.
func Decide(y, u, k, low, high float64) Verdict {
	const rounding = 1e-9
	inside := math.Min(y-low+math.Abs(float64(rounding*low)), high-y+math.Abs(float64(rounding*high)))
	switch guard := k * u; {
	case inside >= guard:
		return Conforms
	case inside < -guard:
		return Fails
	}
	return Undecided
}

// ConformanceProbability returns the probability that a value estimated as y
// with the standard uncertainty u lies between the limits, if its distribution
// is normal: Phi((high-y)/u) - Phi((low-y)/u). Without uncertainty it is 0 or
// 1. (JCGM 106:2012, from memory.) Range: u not negative.
func ConformanceProbability(y, u, low, high float64) float64 {
	if u == 0 {
		if low <= y && y <= high {
			return 1
		}
		return 0
	}
	above, below := (high-y)/u, (low-y)/u
	if below > 0 { // both in the upper tail: mirror, where the tail keeps its digits
		above, below = -below, -above
	}
	return NormalCDF(above) - NormalCDF(below)
}
