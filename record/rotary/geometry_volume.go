package rotary

import "math"

const sqrt3 = 1.7320508075688772935

// span returns the length of trochoid, in m, that one chamber lies along when
// the middle of the chamber is at the parameter middle: its two apexes are 60
// degrees before and after.
func (b Bore) span(middle float64) float64 {
	return b.CentreLength(middle-math.Pi/3, middle+math.Pi/3)
}

// rise returns by how much the area of a chamber, in m2, at the shaft
// angle alpha (rad from its top dead centre) exceeds the area there:
//
//	(3 sqrt(3)/2) e R (1 - cos(2 alpha/3)) + a (L(90deg + alpha/3) - L(90deg))
//
// L(t) is the length of trochoid along the chamber. Exact for a rotor whose
// corners are rounded like the seals; own derivation, from the area between
// bore, apexes and rotor centre, which is A(t) = (pi/3)(R^2+3e^2) +
// (3 sqrt(3)/2) e R cos 2t for sharp seals. The flank does not enter: it turns
// with the rotor. Any alpha; the value repeats after 540 deg.
func (b Bore) rise(alpha float64) float64 {
	middle := math.Pi/2 + alpha/3
	sine := math.Sin(alpha / 3) // 1 - cos 2x = 2 sin^2 x, without cancellation
	return float64(3*sqrt3*b.e*b.r*sine*sine) + float64(b.a*(b.span(middle)-b.span(math.Pi/2)))
}

// riseSlope returns the derivative of rise in m2 per rad of shaft:
//
//	sqrt(3) e R sin(2 alpha/3) + (a/3)(s(t+60deg) - s(t-60deg)),   t = 90deg + alpha/3
//
// s(t) = sqrt(R^2 + 9e^2 + 6eR cos 2t). Own derivation.
func (b Bore) riseSlope(alpha float64) float64 {
	middle := math.Pi/2 + alpha/3
	ends := b.tangent(middle+math.Pi/3) - b.tangent(middle-math.Pi/3)
	return float64(sqrt3*b.e*b.r*math.Sin(2*alpha/3)) + float64(b.a*ends/3)
}

// sweptArea returns the difference between the largest and the smallest area of
// a chamber in m2; times the width, the swept volume:
//
//	3 sqrt(3) e R + a (L(0) - L(90deg))
//
// Exact (own derivation). For a sharp seal the second term is absent; with R+a
// in place of R and no second term the result is 0.05 to 0.07 % too large for
// usual sizes, with R alone about 2 to 3 % too small.
func (b Bore) sweptArea() float64 { return b.rise(StrokeAngle) }

// approximatesweptArea returns the swept area in m2 from the beginning of its
// series in e/R:
//
//	3 sqrt(3) e (R + a (1 - (9/8)(e/R)^2))
//
// Own derivation. The error is below 3e-5 for R/e near 7 and a tip of 3 mm on
// R = 100 mm, and grows with a/R and with (e/R)^4.
func (b Bore) approximateSweptArea() float64 {
	ratio := b.e / b.r
	return 3 * sqrt3 * b.e * (b.r + float64(b.a*(1-float64(9.0/8*ratio*ratio))))
}

// StrokeAngle is the shaft angle from a chamber's top to its bottom dead
// centre, in rad: 270 degrees. The chamber passes from one extreme to the other
// in a quarter turn of the rotor, which turns at a third of the shaft's speed.
const StrokeAngle = 3 * (math.Pi / 2)

// CycleAngle is the shaft angle after which a chamber repeats all four strokes,
// in rad: 1080 degrees, one turn of the rotor.
const CycleAngle = 4 * StrokeAngle

// idealAreas returns the smallest and the largest area, in m2, of a chamber
// with the ideal flank: no pocket and no clearance. For a sharp seal
//
//	A_min = (pi/3) e^2 + 2eR cos phi + (2R^2/9 + 4e^2) phi - (3 sqrt(3)/2) e R,   phi = asin(3e/R)
//
// (closed form known from the literature, from memory; confirmed by quadrature
// of the flank). A rounded tip adds a (L(90deg) - L_flank), L_flank that of a
// sharp seal (own derivation).
func (b Bore) idealAreas() (least, most float64) {
	phi := b.MaxLeaning()
	sector := float64(2*b.r*b.r/9) + float64(4*b.e*b.e)
	least = float64(math.Pi/3*b.e*b.e) + float64(2*b.e*b.r*math.Cos(phi)) +
		float64(sector*phi) - float64(3*sqrt3/2*b.e*b.r)
	least += float64(b.a * (b.span(math.Pi/2) - b.centreFlankLength()))
	return least, least + b.sweptArea()
}

// reliefArea returns the area, in m2, that a chamber gains when its flank is
// cut back by c (m) along the normal:
//
//	c L - (c^2/2) (2 pi/3 - 2 phi_max)
//
// L is the length of the ideal flank for a sharp seal; exact for that (own
// derivation). The flank for a rounded tip is longer by a times its turn, which
// this leaves out: c a (2 pi/3 - 2 phi_max), less than 2 % of the relief for
// a = 3 mm on R = 102 mm. Range: c >= 0, and small against the flank's length,
// c (2 pi/3 - 2 phi_max) < L.
func (b Bore) reliefArea(formula string, c float64) (float64, error) {
	if err := notNegative(formula, arg{paramRelief.Name, c}); err != nil {
		return 0, err
	}
	turn, length := b.flankTurn(), b.centreFlankLength()
	if float64(c*turn) >= length {
		return 0, &RangeError{Formula: formula, Input: paramRelief.Name, Why: "must be far smaller than the flank is long"}
	}
	return float64(c*length) - float64(c*c/2*turn), nil
}
