package rotary

import "math"

const topicBalance = "balance"

// UnbalanceItem is something on the shaft that is out of balance. A rotor is
// balanced about its own centre and counts as its mass times the eccentricity,
// with all it carries: seals, springs, bearing, gear and the oil inside. The
// lobe it runs on is a further item.
type UnbalanceItem struct {
	Size    float64 // mass times radius, kg m
	Phase   float64 // rad, in the direction of rotation
	Station float64 // along the shaft, m
}

// UnbalanceVector is an unbalance in a plane: its size in kg m and its
// direction in rad, 0 <= Angle < 2 pi. A vector that is nothing but rounding
// has size and angle zero.
type UnbalanceVector struct{ Size, Angle float64 }

// RotatingLoad returns the force, in N, of a mass m (kg) on a radius e (m) that
// turns with the shaft at omega (rad/s): m e omega^2. Range: m > 0, e > 0,
// omega >= 0.
func RotatingLoad(mass, eccentricity, omega float64) (float64, error) {
	const id = "shaft-load"
	if err := positive(id, arg{"mass", mass}, arg{paramEccentricity.Name, eccentricity}); err != nil {
		return 0, err
	}
	return mass * eccentricity * omega * omega, notNegative(id, arg{paramSpeed.Name, omega})
}

// CounterweightsFor returns the unbalances to add in the planes zF and zR (m,
// the stations of the counterweights' centres of mass) so that neither a force
// nor a couple is left:
//
//	U_R = -sum U_i exp(i phi_i)(z_i - zF)/(zR - zF),   U_F = -sum U_i exp(i phi_i) - U_R
//
// Any number of items at any phases. Own derivation. Range: finite items; the
// planes must not coincide.
func CounterweightsFor(items []UnbalanceItem, zF, zR float64) (front, rear UnbalanceVector, err error) {
	if err := checkPlanes("counterweights", zF, zR); err != nil {
		return front, rear, err
	}
	var f, r plane
	for _, item := range items {
		f.add(-item.Size*(zR-item.Station)/(zR-zF), item.Phase)
		r.add(-item.Size*(item.Station-zF)/(zR-zF), item.Phase)
	}
	return f.vector(), r.vector(), nil
}

// ResidualOf returns what a set of items leaves on the shaft: the size of the
// force's unbalance in kg m, and that of the couple's about station 0 in kg m2:
//
//	static = |sum U_i exp(i phi_i)|,   couple = |sum U_i z_i exp(i phi_i)|
//
// The couple does not depend on where stations count from when the static part
// is zero. Own derivation.
func ResidualOf(items []UnbalanceItem) (static, couple float64) {
	var force, moment plane
	for _, item := range items {
		force.add(item.Size, item.Phase)
		moment.add(item.Size*item.Station, item.Phase)
	}
	return force.vector().Size, moment.vector().Size
}

// MassChange returns what to add in the counterweight planes, in kg m along the
// rotor's phase (negative: against it), when the rotor at station z (m) becomes
// heavier by dm (kg):
//
//	dU_F = -dm e (zR - z)/(zR - zF),   dU_R = -dm e (z - zF)/(zR - zF)
//
// Own derivation; linear, so it holds for any dm. Range: e > 0; the planes must
// not coincide.
func MassChange(dm, eccentricity, z, zF, zR float64) (front, rear float64, err error) {
	const id = "rotor-mass-change"
	if err := positive(id, arg{paramEccentricity.Name, eccentricity}); err != nil {
		return 0, 0, err
	}
	if err := checkPlanes(id, zF, zR); err != nil {
		return 0, 0, err
	}
	unbalance := -dm * eccentricity / (zR - zF)
	return unbalance * (zR - z), unbalance * (z - zF), nil
}

// PermissibleUnbalance returns the permissible offset of the centre of mass in
// m and the permissible residual unbalance in kg m of a body of the given mass
// (kg) and balance quality grade (m/s; the grade G 6.3 is 6.3 mm/s) at omega
// (rad/s):
//
//	e_per = G/omega,   U_per = m G/omega
//
// ISO 21940-11, formerly ISO 1940-1, as seen in a table of grades [S12]; the
// usual 9549 is 30000/pi rounded. The mass is that of all that is balanced
// together: shaft, counterweights and dummies. Range: all above zero.
func PermissibleUnbalance(formula string, grade, mass, omega float64) (offset, unbalance float64, err error) {
	err = positive(formula, arg{"grade", grade}, arg{"mass", mass}, arg{paramSpeed.Name, omega})
	if err != nil {
		return 0, 0, err
	}
	return grade / omega, mass * grade / omega, nil
}

// BalanceGrade is the converse of PermissibleUnbalance: the offset in m and the
// grade in m/s that an unbalance (kg m) amounts to. Range: mass and speed above
// zero, the unbalance not negative.
func BalanceGrade(unbalance, mass, omega float64) (offset, grade float64, err error) {
	const id = "balance-grade"
	if err := positive(id, arg{"mass", mass}, arg{paramSpeed.Name, omega}); err != nil {
		return 0, 0, err
	}
	offset = unbalance / mass
	return offset, offset * omega, notNegative(id, arg{"unbalance", unbalance})
}

// SplitUnbalance divides a permissible unbalance between two bearing planes,
// given the distances in m of the centre of mass from each:
//
//	U_A = U_per L_B/(L_A + L_B),   U_B = U_per L_A/(L_A + L_B)
//
// (ISO 21940-11, from memory.) Range: the centre of mass lies between the
// bearings.
func SplitUnbalance(unbalance, distanceA, distanceB float64) (a, b float64, err error) {
	err = positive("unbalance-split", arg{"distance-a", distanceA}, arg{"distance-b", distanceB})
	if err != nil {
		return 0, 0, err
	}
	length := distanceA + distanceB
	return unbalance * distanceB / length, unbalance * distanceA / length, nil
}

func checkPlanes(formula string, zF, zR float64) error {
	if zF == zR {
		return &RangeError{Formula: formula, Input: "rear-plane", Why: "must not coincide with the front plane"}
	}
	return nil
}

// plane sums vectors, and how much it summed, to tell a rest from rounding.
type plane struct{ x, y, all float64 }

func (p *plane) add(size, phase float64) {
	sin, cos := math.Sincos(phase)
	p.x += float64(size * cos)
	p.y += float64(size * sin)
	p.all += math.Abs(size)
}

func (p *plane) vector() UnbalanceVector {
	const rounding = 1e-12
	size := math.Hypot(p.x, p.y)
	if size <= rounding*p.all {
		return UnbalanceVector{}
	}
	angle := math.Atan2(p.y, p.x)
	if angle < -rounding {
		angle += 2 * math.Pi
	}
	return UnbalanceVector{size, math.Max(angle, 0)}
}
