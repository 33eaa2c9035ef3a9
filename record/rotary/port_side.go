package rotary

import "math"

// SideWall is a side wall with a rotor sweeping it. The flank that covers and
// uncovers its points is the ideal one of a Bore, cut back along its normal by
// a relief; where a side seal does the sealing, the relief is that of the
// seal's line behind the ideal flank.
type SideWall struct {
	bore   Bore
	sharp  Bore    // the same bore for a seal tip of radius zero,
	unit   Bore    // and of one metre: the difference is the flank's normal
	offset float64 // tip radius less relief: how far the flank lies outside the sharp one
}

// NewSideWall takes a bore and the flank's relief in m, zero for the ideal
// flank. Range: 0 <= relief < R-2e.
func NewSideWall(bore Bore, relief float64) (SideWall, error) {
	const id = "side-port-point"
	if err := notNegative(id, arg{"relief", relief}); err != nil {
		return SideWall{}, err
	}
	if relief >= bore.r-float64(2*bore.e) {
		return SideWall{}, &RangeError{Formula: id, Input: "relief", Why: "must leave some rotor: less than R-2e"}
	}
	return SideWall{
		bore: bore, sharp: Bore{bore.e, bore.r, 0}, unit: Bore{bore.e, bore.r, 1},
		offset: bore.a - relief,
	}, nil
}

// flank returns the point of the flank at beta (see Bore.FlankPoint), in the
// rotor's frame.
func (w SideWall) flank(beta float64) (x, y float64) {
	x, y = w.sharp.FlankPoint(beta)
	if w.offset == 0 {
		return x, y
	}
	x1, y1 := w.unit.FlankPoint(beta)
	return x + float64(w.offset*(x1-x)), y + float64(w.offset*(y1-y))
}

// uncovered says whether the point (x, y) of the wall is open to the chamber
// between apexes 0 and 1 at the shaft angle alpha. With the shaft angle
// s = alpha - 450 degrees counted from apex 0 on the major axis, the point is in
// the rotor's frame at
//
//	z = (x + iy - e exp(i s)) exp(-i s/3)
//
// and open when it lies beyond the flank in its direction. Beyond the flank's
// ends it is under a corner.
func (w SideWall) uncovered(x, y, alpha float64) bool {
	s := alpha - 5*math.Pi/2
	x -= float64(w.bore.e * math.Cos(s))
	y -= float64(w.bore.e * math.Sin(s))
	direction := math.Mod(math.Atan2(y, x)-s/3, 2*math.Pi)
	if direction < 0 {
		direction += 2 * math.Pi
	}
	if direction > 2*math.Pi/3 {
		return false
	}
	sin, cos := math.Sincos(direction)
	behind := func(beta float64) bool {
		fx, fy := w.flank(beta)
		return float64(fx*sin) > float64(fy*cos)
	}
	if !behind(0) || behind(math.Pi) {
		return false
	}
	beta := bisect(0, math.Pi, behind)
	return math.Hypot(x, y) > math.Hypot(w.flank(beta))
}

// sideStep is how finely PointTiming looks for openings, in rad.
const sideStep = 2 * math.Pi / 180

// PointTiming returns the shaft angles in rad at which the point (x, y) of the
// wall, in m, is uncovered and covered again. A port opens with the earliest of
// its edge's points and closes with the latest. Own derivation: the cycle is
// searched in steps of two degrees, and each change bisected.
//
// Close to the middle of the waist a point is open twice, to the exhaust and to
// the intake; the longer opening counts. Range: points inside the bore, and not
// so near its centre that the rotor always covers them.
func (w SideWall) PointTiming(x, y float64) (opens, closes float64, err error) {
	const id = "side-port-point"
	if _, outside, err := w.bore.PortAngleAt(x, y); err != nil || outside > 0 {
		return 0, 0, &RangeError{Formula: id, Why: "the point must lie inside the bore, off its centre"}
	}
	begun, opened := 0.0, false
	for alpha := -3 * math.Pi; alpha <= 3*math.Pi; alpha += sideStep {
		now := w.uncovered(x, y, alpha)
		if now != opened {
			change := bisect(alpha-sideStep, alpha, func(a float64) bool { return w.uncovered(x, y, a) == opened })
			if now {
				begun = change
			} else if change-begun > closes-opens {
				opens, closes = begun, change
			}
		}
		opened = now
	}
	if !(closes > opens) {
		return 0, 0, &RangeError{Formula: id, Why: "the rotor never uncovers this point"}
	}
	return opens, closes, nil
}

func registerSidePortPoint(r registry) {
	r.boreFormula(&Formula{
		ID:     "side-port-point",
		Topic:  topicPort,
		Title:  "when a point of the side wall opens and closes",
		Words:  "z' = ((x + iy) - e exp(i s)) exp(-i s/3), s = alpha - 450 deg; open when |z'| is beyond the flank at arg z'",
		Source: ownDerivation,
		Out: []Param{
			{Name: "opens", Symbol: "opens", Unit: "deg", Title: "uncovered, after top dead centre"},
			{Name: "closes", Symbol: "closes", Unit: "deg", Title: "covered, after top dead centre"},
		},
	}, []Param{
		{Name: "x", Symbol: "x", Unit: "mm", Title: "along the major axis; positive on the intake side"},
		{Name: "y", Symbol: "y", Unit: "mm", Title: "along the minor axis; negative on the port side"},
		{Name: "relief", Symbol: "c", Unit: "mm", Title: "how far the flank, or the side seal, lies behind the ideal flank", Optional: true},
	}, func(b Bore, in []Value) ([]Value, error) {
		wall, err := NewSideWall(b, in[2].Number)
		if err != nil {
			return nil, err
		}
		opens, closes, err := wall.PointTiming(in[0].Number, in[1].Number)
		return numbers(opens, closes), err
	})
}
