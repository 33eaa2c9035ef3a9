package rotary

import "math"

// Products that feed a sum are written float64(a*b) in this package. Without
// the conversion the compiler may fuse product and sum into one operation on
// processors that have it, and the last digit of a figure would depend on the
// machine it was worked out on (R5).

// Bore is the running surface of a rotor housing. The centre of a seal's
// rounded tip traces the trochoid
//
//	x = e cos 3t + R cos t,   y = e sin 3t + R sin t
//
// and the bore is the parallel curve at the distance a outside it. The
// parameter t is zero on the major axis and grows with the rotation; an apex is
// at t = alpha/3 (+ 120 deg, + 240 deg) for the shaft angle alpha counted from
// the moment that one apex is on the major axis. e is the eccentricity, R the
// generating radius, a the radius of the seal tip, all in m. Own derivation;
// the same form is in the literature.
//
// A Bore made by NewBore has R > 3e (no loops) and, where the waist is concave
// (R < 9e), a < (R-3e)^2/(9e-R) (no cusp). Its methods need no further check.
type Bore struct{ e, r, a float64 }

// NewBore returns the bore with this eccentricity, generating radius and
// seal-tip radius in m (zero for a sharp seal), or a *RangeError in the name of
// the formula that wanted it.
func NewBore(formula string, eccentricity, generatingRadius, tipRadius float64) (Bore, error) {
	b := Bore{eccentricity, generatingRadius, tipRadius}
	if err := positive(formula, arg{"eccentricity", b.e}, arg{"generating-radius", b.r}); err != nil {
		return b, err
	}
	if err := notNegative(formula, arg{"seal-tip-radius", b.a}); err != nil {
		return b, err
	}
	waist := b.r - float64(3*b.e)
	if waist <= 0 {
		return b, &RangeError{Formula: formula, Input: "generating-radius",
			Why: "must be more than three times the eccentricity: below that the bore has loops"}
	}
	if bend := float64(9*b.e) - b.r; float64(b.a*bend) >= float64(waist*waist) {
		return b, &RangeError{Formula: formula, Input: "seal-tip-radius",
			Why: "must be smaller than the hollow of the waist, (R-3e)^2/(9e-R)"}
	}
	return b, nil
}

// Point returns the point of the bore, in m, where a seal touches whose tip
// centre is at the parameter t (rad).
func (b Bore) Point(t float64) (x, y float64) {
	psi := b.Normal(t)
	x = float64(b.e*math.Cos(3*t)) + float64(b.r*math.Cos(t)) + float64(b.a*math.Cos(psi))
	y = float64(b.e*math.Sin(3*t)) + float64(b.r*math.Sin(t)) + float64(b.a*math.Sin(psi))
	return x, y
}

// Leaning returns the angle in rad between the bore's normal and the rotor
// radius at an apex that is at the parameter t (own derivation):
//
//	phi(t) = atan2(3e sin 2t, R + 3e cos 2t)
func (b Bore) Leaning(t float64) float64 {
	return math.Atan2(3*b.e*math.Sin(2*t), float64(b.r)+float64(3*b.e*math.Cos(2*t)))
}

// MaxLeaning returns the largest leaning angle, asin(3e/R), in rad. It occurs
// at cos 2t = -3e/R (own derivation). R is the generating radius; with the tip
// radius the angle would come out too small.
func (b Bore) MaxLeaning() float64 { return math.Asin(3 * b.e / b.r) }

// Normal returns the direction of the bore's outward normal at t, in rad. It
// grows steadily along a convex stretch, without jumps at full turns.
func (b Bore) Normal(t float64) float64 { return float64(t) + float64(b.Leaning(t)) }

// tangent is the speed of the tip centre along the trochoid per radian of t, in
// m: sqrt(R^2 + 9e^2 + 6eR cos 2t).
func (b Bore) tangent(t float64) float64 {
	return math.Sqrt(float64(b.r*b.r) + float64(9*b.e*b.e) + float64(6*b.e*b.r*math.Cos(2*t)))
}

// bending is the denominator of the trochoid's radius of curvature, in m2. It
// is negative where the bore is hollow seen from the centre, and zero where the
// trochoid is straight.
func (b Bore) bending(t float64) float64 {
	return float64(b.r*b.r) + float64(27*b.e*b.e) + float64(12*b.e*b.r*math.Cos(2*t))
}

// CentreLength returns the length, in m, of the trochoid of the tip centre
// between two parameters in rad:
//
//	(R+3e) (E(to|m) - E(from|m)),   m = 12eR/(R+3e)^2
//
// with the incomplete elliptic integral of the second kind (own derivation).
// It is negative where to < from.
func (b Bore) CentreLength(from, to float64) float64 {
	far := b.r + float64(3*b.e)
	m := 12 * b.e * b.r / float64(far*far)
	return far * (ellipticE(to, m) - ellipticE(from, m))
}

// Length returns the length of the bore itself between two parameters (rad), in
// m: that of the trochoid and a times the turn of its normal.
func (b Bore) Length(from, to float64) float64 {
	return b.CentreLength(from, to) + float64(b.a*(b.Normal(to)-b.Normal(from)))
}

// Perimeter returns the length once round the bore in m:
// 4 (R+3e) E(m) + 2 pi a.
func (b Bore) Perimeter() float64 { return b.Length(0, 2*math.Pi) }

// Axes returns the longest and the shortest diameter of the bore in m,
// 2(R+a+e) and 2(R+a-e). The shortest is measured across the waist.
func (b Bore) Axes() (major, minor float64) {
	return 2 * (b.r + b.a + b.e), 2 * (b.r + b.a - b.e)
}

// WaistCurvature returns the curvature of the bore at the waist in 1/m:
// (R-9e)/((R-3e)^2 + a(R-9e)), negative where the waist is hollow, which it is
// for R < 9e (that limit: E. Molnar and J. Szirmai, Periodica Polytechnica
// Transportation Engineering, 2009 [S42]; the rest own).
func (b Bore) WaistCurvature() float64 {
	bend, waist := b.r-float64(9*b.e), b.r-float64(3*b.e)
	return bend / (float64(waist*waist) + float64(b.a*bend))
}

// FromAxes returns the eccentricity and the tip radius R+a, in m, of a bore
// with these diameters (m): a quarter of their difference and of their sum
// [S5]. The axes alone do not tell R from a. Range: major > minor > 0, and
// sizes that a bore without loops can have.
func FromAxes(major, minor float64) (eccentricity, tipRadius float64, err error) {
	const id = "eccentricity-from-axes"
	if err := positive(id, arg{"major-axis", major}, arg{"minor-axis", minor}); err != nil {
		return 0, 0, err
	}
	eccentricity, tipRadius = (major-minor)/4, (major+minor)/4
	if eccentricity <= 0 || tipRadius <= float64(3*eccentricity) {
		return 0, 0, &RangeError{Formula: id, Input: "minor-axis",
			Why: "must be smaller than the major axis and more than half of it"}
	}
	return eccentricity, tipRadius, nil
}
