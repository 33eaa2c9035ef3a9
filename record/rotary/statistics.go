package rotary

import (
	"math"

	"gonum.org/v1/gonum/mathext"
)

const topicStatistics = "statistics"

func registerStudentT(r registry) {
	r.register(&Formula{
		ID:     "student-t",
		Topic:  topicStatistics,
		Title:  "quantile of Student's t distribution",
		Words:  "P(T <= t) = p for nu degrees of freedom",
		Range:  "0.000001 <= p <= 0.999999; nu >= 1, whole or not",
		Source: "definition; agrees with the t table of the NIST/SEMATECH e-Handbook [S40]",
		In: []Param{
			{Name: "probability", Symbol: "p", Unit: "1", Title: "probability below the quantile; 0.975 for 95 % both ways"},
			{Name: "degrees-of-freedom", Symbol: "nu", Unit: "1", Title: "number of readings less the number of fitted values"},
		},
		Out: []Param{{Name: "quantile", Symbol: "t", Unit: "1", Title: "quantile of Student's t"}},
		Work: func(in []Value) ([]Value, error) {
			return one(StudentT(in[0].Number, in[1].Number))
		},
	})
}

// StudentT returns the quantile t of Student's distribution with nu degrees of
// freedom: the probability of a value at or below t is p. For nu = 1 it is the
// Cauchy quantile tan(pi(p-1/2)); for large nu it tends to the normal one.
//
// It solves tail(t) = 1-p by bisection, down to neighbouring numbers. The tail
// is the regularised incomplete beta function,
//
//	tail(t) = I_x(nu/2, 1/2)/2,   x = nu/(nu+t^2),   t >= 0
//
// (Abramowitz and Stegun, Handbook of Mathematical Functions, 26.7.1, from
// memory). The inverse functions of common libraries are shorter to call but
// leave the right value, without a word, for p close to 1/2 or 1.
//
// Range: 1e-6 <= p <= 1-1e-6 and nu >= 1 (not necessarily whole: effective
// degrees of freedom are not). Relative error below 1e-9 there. Above nu = 1e6
// the normal quantile stands in, which differs by less than 6e-6 of it.
func StudentT(p, nu float64) (float64, error) {
	const id = "student-t"
	if !(p >= 1e-6 && p <= 1-1e-6) {
		return 0, &RangeError{Formula: id, Input: "probability", Why: "must lie between 0.000001 and 0.999999"}
	}
	if !(nu >= 1) {
		return 0, &RangeError{Formula: id, Input: "degrees-of-freedom", Why: "must be at least 1"}
	}
	switch {
	case nu > 1e6:
		return mathext.NormalQuantile(p), nil
	case p < 0.5:
		return -studentQuantile(p, nu), nil
	}
	return studentQuantile(1-p, nu), nil
}

// studentQuantile finds t >= 0 with the given probability (at most 1/2) above it.
func studentQuantile(tail, nu float64) float64 {
	high := 1.0
	for studentTail(high, nu) > tail {
		high *= 2
	}
	return bisect(0, high, func(t float64) bool { return studentTail(t, nu) > tail })
}

// studentTail is the probability above t >= 0. Where x is near 1 the
// complement is computed instead, which keeps small t exact.
func studentTail(t, nu float64) float64 {
	t2 := float64(t * t)
	if t2 < nu {
		return 0.5 - float64(mathext.RegIncBeta(0.5, nu/2, t2/(nu+t2))/2)
	}
	return mathext.RegIncBeta(nu/2, 0.5, nu/(nu+t2)) / 2
}

// NormalCDF returns the probability that a normal variable with mean 0 and
// standard deviation 1 is at most z. Any z; error of a few last digits.
func NormalCDF(z float64) float64 { return float64(math.Erfc(-z/math.Sqrt2) / 2) }
