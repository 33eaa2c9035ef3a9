package rotary

import "math"

const topicPort = "ports"

// Port angles count shaft turning from the top dead centre between exhaust and
// intake (alpha = 0), where the middle of the chamber is at the port-side waist,
// t = -pi/2. Seen so that the rotor turns with growing t, intake ports lie
// after that waist and exhaust ports before it. The chamber's bottom dead
// centres are at alpha = 270 and -270 degrees.

// PortAngle is a point of the bore as port timing sees it, in rad.
type PortAngle struct {
	T        float64 // trochoid parameter of the point
	Leading  float64 // shaft angle at which the chamber's leading apex is at it
	Trailing float64 // the same for the trailing apex, one shaft turn later
}

// portAngle applies
//
//	alpha_L = 3t + pi/2,   alpha_T = alpha_L + 2 pi
//
// so that an error in t comes out threefold.
func portAngle(t float64) PortAngle {
	leading := float64(3*t) + math.Pi/2
	return PortAngle{T: t, Leading: leading, Trailing: leading + 2*math.Pi}
}

// PortAngleAt returns the angles of a point measured at (x, y) in m, x along
// the major axis, and how far (m) the point lies outside the bore on its radius:
// a measure of the measuring. Only the point's direction counts; the bore's
// polar angle grows steadily with t, so t is found by bisection in the quadrant
// of the point. Own derivation. At the waist 0.1 mm along the bore is about 0.3
// degrees of shaft in the 654 cm3 class, at the major axis 0.1. Range: not the
// centre of the bore; t from -pi to pi.
func (b Bore) PortAngleAt(x, y float64) (angle PortAngle, outside float64, err error) {
	radius := math.Hypot(x, y)
	if !(radius > 0) || !isFinite(radius) {
		return PortAngle{}, 0, &RangeError{Formula: "port-angles", Why: "the point must not be the centre of the bore"}
	}
	quarter := min(math.Floor(math.Atan2(y, x)/(math.Pi/2)), 1)
	t := bisect(quarter*math.Pi/2, (quarter+1)*math.Pi/2, func(t float64) bool {
		bx, by := b.Point(t)
		return float64(bx*y) > float64(by*x) // the point still lies ahead
	})
	bx, by := b.Point(t)
	return portAngle(t), radius - math.Hypot(bx, by), nil
}

// PortAngleByArc returns the angles of a point at the distance s in m along the
// bore from the port-side waist, positive in the direction of rotation:
//
//	L(t) - L(-pi/2) + a (psi(t) - psi(-pi/2)) = s
//
// solved by bisection. Own derivation. Range: at most half way round.
func (b Bore) PortAngleByArc(s float64) (PortAngle, error) {
	if !(math.Abs(s) <= b.Perimeter()/2) {
		return PortAngle{}, &RangeError{Formula: "port-angles-by-arc", Input: "arc", Why: "must be at most half way round the bore"}
	}
	const waist = -math.Pi / 2
	t := bisect(waist-math.Pi, waist+math.Pi, func(t float64) bool { return b.Length(waist, t) < s })
	return portAngle(t), nil
}

// bisect returns where before turns from true to false between low and high,
// to neighbouring numbers.
func bisect(low, high float64, before func(float64) bool) float64 {
	for {
		x := low + float64((high-low)/2)
		if !(x > low && x < high) {
			return x
		}
		if before(x) {
			low = x
		} else {
			high = x
		}
	}
}

var portAngleParams = []Param{
	{Name: "parameter", Symbol: "t", Unit: "deg", Title: "trochoid parameter of the point"},
	{Name: "leading", Symbol: "alpha_L", Unit: "deg", Title: "shaft angle with the leading apex there, after top dead centre"},
	{Name: "trailing", Symbol: "alpha_T", Unit: "deg", Title: "shaft angle with the trailing apex there, after top dead centre"},
}

func registerPortAngles(r registry) {
	r.boreFormula(&Formula{
		ID:     "port-angles",
		Topic:  topicPort,
		Title:  "shaft angles of a measured point on the bore",
		Words:  "atan2(y, x) of the bore at t is that of the point; alpha_L = 3t + 90 deg; alpha_T = 3t + 450 deg",
		Source: ownDerivation,
		Out: append(portAngleParams[:3:3],
			Param{Name: "outside", Symbol: "outside", Unit: "mm", Title: "how far the point lies outside the bore: what was mismeasured"}),
	}, []Param{
		{Name: "x", Symbol: "x", Unit: "mm", Title: "along the major axis; positive on the intake side"},
		{Name: "y", Symbol: "y", Unit: "mm", Title: "along the minor axis; negative on the port side"},
	}, func(b Bore, in []Value) ([]Value, error) {
		p, outside, err := b.PortAngleAt(in[0].Number, in[1].Number)
		return numbers(p.T, p.Leading, p.Trailing, outside), err
	})

	r.boreFormula(&Formula{
		ID:     "port-angles-by-arc",
		Topic:  topicPort,
		Title:  "shaft angles of a point by its distance along the bore",
		Words:  "arc length of the bore from the port-side waist to t is s; alpha_L = 3t + 90 deg; alpha_T = 3t + 450 deg",
		Source: ownDerivation,
		Out:    portAngleParams,
	}, []Param{
		{Name: "arc", Symbol: "s", Unit: "mm", Title: "along the bore from the port-side waist, positive with the rotation"},
	}, func(b Bore, in []Value) ([]Value, error) {
		p, err := b.PortAngleByArc(in[0].Number)
		return numbers(p.T, p.Leading, p.Trailing), err
	})
}
