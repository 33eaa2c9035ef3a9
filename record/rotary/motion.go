package rotary

import "math"

const topicMotion = "motion"

// SlidingSpeed returns the speed, in m/s, of the seal's material over the bore:
//
//	v = omega (sqrt(e^2 + R^2/9 + (2eR/3) cos(2 alpha/3)) + a/3)
//
// omega is the shaft's speed in rad/s, alpha the shaft angle in rad from the
// moment this apex is on the major axis. The root alone is the speed of the tip
// centre along the trochoid; the rest is the tip's turning with the rotor. The
// common form without a is that of a sharp seal. Own derivation.
func (b Bore) SlidingSpeed(omega, alpha float64) float64 {
	return omega / 3 * (b.tangent(alpha/3) + b.a)
}

// SlidingSpeedRange returns the highest, lowest and mean sliding speed, in m/s:
//
//	v_max = omega((R+a)/3 + e),   v_min = omega((R+a)/3 - e),   v_mean = omega P/(6 pi)
//
// P is the bore's perimeter, which a seal passes once in three turns of the
// shaft. Own derivation.
func (b Bore) SlidingSpeedRange(omega float64) (highest, lowest, mean float64) {
	third := (b.r + b.a) / 3
	return omega * (third + b.e), omega * (third - b.e), omega * b.Perimeter() / (6 * math.Pi)
}

// SealAcceleration returns the acceleration of a seal along the rotor radius,
// in m/s2, positive where the seal is thrown outward:
//
//	a_r = omega^2 (r/9 + e cos(2 alpha/3))
//
// r is the radius, in the rotor, of the seal's centre of mass in m; the rest as
// for SlidingSpeed. Its least value is negative whenever r < 9e: gas and spring
// alone hold the seal out there. Holds for a rigid rotor and no chatter; own
// derivation. Range: e > 0, r > 0, omega >= 0.
func SealAcceleration(eccentricity, radius, omega, alpha float64) (float64, error) {
	const id = "seal-acceleration"
	if err := positive(id, arg{paramEccentricity.Name, eccentricity}, arg{"mass-radius", radius}); err != nil {
		return 0, err
	}
	if err := notNegative(id, arg{paramSpeed.Name, omega}); err != nil {
		return 0, err
	}
	return omega * omega * (radius/9 + float64(eccentricity*math.Cos(2*alpha/3))), nil
}

// ContactAcceleration returns, for the tip centre at the parameter t (rad), the
// acceleration along the bore's normal in m/s2, positive towards the inside of
// the bore, and the trochoid's radius of curvature in m, negative where the
// bore is hollow seen from the centre:
//
//	a_n = v^2/rho = (omega^2/9)(R^2 + 27e^2 + 12eR cos 2t)/sqrt(R^2 + 9e^2 + 6eR cos 2t)
//	rho = (R^2 + 9e^2 + 6eR cos 2t)^1.5/(R^2 + 27e^2 + 12eR cos 2t)
//
// Own derivation. Range: omega >= 0, and not just where the trochoid is
// straight and rho has no value.
func (b Bore) ContactAcceleration(omega, t float64) (acceleration, curvature float64, err error) {
	const id = "contact-acceleration"
	if err := notNegative(id, arg{paramSpeed.Name, omega}); err != nil {
		return 0, 0, err
	}
	tangent, bending := b.tangent(t), b.bending(t)
	if math.Abs(bending) < 1e-12*float64(b.r*b.r) {
		return 0, 0, &RangeError{Formula: id, Input: "parameter", Why: "is where the trochoid is straight and has no radius of curvature"}
	}
	return omega * omega / 9 * bending / tangent, tangent * tangent * tangent / bending, nil
}

// GearSizes are the sizes of the pair of gears that times a rotor, in m, and
// the rotor's speed in rad/s.
type GearSizes struct{ RotorSpeed, RingRadius, PinionRadius, Module float64 }

// Gear returns the sizes of the timing gears: the rotor turns at a third of the
// shaft's speed (rad/s); the pitch radii of ring and pinion are 3e and 2e, so
// that they differ by e, and the module is 6e/z_ring. Own derivation. Range:
// e > 0, speed >= 0, whole tooth numbers in the proportion 3 : 2.
func Gear(speed, pinionTeeth, ringTeeth, eccentricity float64) (GearSizes, error) {
	const id = "gear"
	if err := positive(id, arg{paramEccentricity.Name, eccentricity}); err != nil {
		return GearSizes{}, err
	}
	if err := notNegative(id, arg{paramSpeed.Name, speed}); err != nil {
		return GearSizes{}, err
	}
	for _, teeth := range []arg{{"pinion-teeth", pinionTeeth}, {"ring-teeth", ringTeeth}} {
		if err := wholeNumber(id, teeth); err != nil {
			return GearSizes{}, err
		}
	}
	if 3*pinionTeeth != 2*ringTeeth {
		return GearSizes{}, &RangeError{Formula: id, Input: "ring-teeth", Why: "must be three for every two of the pinion's"}
	}
	return GearSizes{speed / 3, 3 * eccentricity, 2 * eccentricity, 6 * eccentricity / ringTeeth}, nil
}
