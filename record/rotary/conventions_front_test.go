package rotary

import (
	"math"
	"strconv"
)

// frontView draws one rotor in its housing, seen from the front, turning
// clockwise: the long axis upright, the intake side up, the ports at the left.
type frontView struct {
	*canvas
	bore   Bore
	centre spot
	scale  float64 // per m
	turn   float64 // of the rotor: the trochoid parameter of apex 1, in rad
}

// at is where a point of the bore's own frame lies: x along the long axis, y
// along the short one. The parameter grows with the rotation, so that turning
// from x to y is clockwise here.
func (v frontView) at(x, y float64) spot {
	return v.centre.plus(v.scale*y, -v.scale*x)
}

// onRotor is where a point of the rotor's own frame lies.
func (v frontView) onRotor(x, y float64) spot {
	sin, cos := math.Sincos(v.turn)
	return v.at(v.bore.e*math.Cos(3*v.turn)+x*cos-y*sin, v.bore.e*math.Sin(3*v.turn)+x*sin+y*cos)
}

// polar is where a point at an angle from apex 1 and a radius lies.
func (v frontView) polar(degrees, radius float64) spot {
	sin, cos := math.Sincos(degrees * math.Pi / 180)
	return v.onRotor(radius*cos, radius*sin)
}

// rim is where the parallel curve outside the bore by that much lies.
func (v frontView) rim(degrees, outside float64) spot {
	b := v.bore
	b.a += outside
	return v.at(b.Point(degrees * math.Pi / 180))
}

// wall is the thickness of the housing drawn, in m.
const wall = 26e-3

func (v frontView) draw() {
	var inner, outer []spot
	for degree := range 360 {
		inner = append(inner, v.rim(float64(degree), 0))
		outer = append(outer, v.rim(float64(degree), wall))
	}
	v.path("part", true, outer...)
	v.path("paper", true, inner...)
	v.path("line", true, inner...)
	v.path("dash", false, v.rim(0, wall+4e-3), v.rim(180, wall+4e-3))
	v.path("dash", false, v.rim(-90, wall+4e-3), v.rim(90, wall+4e-3))
	v.rotor()
	v.seals()
	v.openings()
	v.widths()
	v.clock()
	v.words()
}

// flank is the line of the rotor's three flanks, inside the sharp-seal flank by
// that much, in m.
func (v frontView) flank(face int, inside float64, from, to float64) []spot {
	sharp, unit := Bore{v.bore.e, v.bore.r, 0}, Bore{v.bore.e, v.bore.r, 1}
	var line []spot
	for step := range 61 {
		beta := from + (to-from)*float64(step)/60
		x, y := sharp.FlankPoint(beta)
		x1, y1 := unit.FlankPoint(beta)
		x, y = x-inside*(x1-x), y-inside*(y1-y)
		sin, cos := math.Sincos(float64(face-1) * 2 * math.Pi / 3)
		line = append(line, v.onRotor(x*cos-y*sin, x*sin+y*cos))
	}
	return line
}

// rotor draws the rotor, its gear rolling on the stationary one, and the names
// of its faces and apexes.
func (v frontView) rotor() {
	var outline []spot
	for face := 1; face <= 3; face++ {
		outline = append(outline, v.flank(face, 0, 0, math.Pi)...)
	}
	v.path("part", true, outline...)
	e := v.bore.e * v.scale
	v.circle("thin", v.onRotor(0, 0), 3*e)
	v.circle("dark", v.at(0, 0), 2*e)
	v.circle("solid", v.at(0, 0), 3)
	v.text("middle", v.centre.plus(0, 20), small, "stationary")
	v.text("middle", v.centre.plus(0, 34), small, "gear")
	for n := 1; n <= 3; n++ {
		angle := float64(n-1) * 120
		v.text("middle", v.polar(angle, 65e-3).plus(0, 5), usual, "apex/"+strconv.Itoa(n))
		v.text("middle", v.polar(angle+60, 53.5e-3).plus(0, 5), small, "face/"+strconv.Itoa(n))
	}
}

// seals draws the apex seals, the corner seals and the side seals.
func (v frontView) seals() {
	for n := 1; n <= 3; n++ {
		angle := float64(n-1) * 120
		v.path("line", false, v.polar(angle, 92e-3), v.polar(angle, v.bore.r+v.bore.a))
		v.circle("dark", v.polar(angle, 88e-3), 8)
		v.path("thin", false, v.flank(n, 5e-3, 0.33, math.Pi-0.33)...)
	}
	v.circle("solid", v.polar(0, 77e-3), 4)
}

// openings draws ports and plugs, at their parameters on the bore in degrees.
func (v frontView) openings() {
	for _, port := range []struct {
		from, to float64
		words    string
	}{{-64, -42, "intake port"}, {-138, -116, "exhaust port"}} {
		var gap []spot
		for step := range 21 {
			gap = append(gap, v.rim(port.from+(port.to-port.from)*float64(step)/20, -1e-3))
		}
		for step := range 21 {
			gap = append(gap, v.rim(port.to-(port.to-port.from)*float64(step)/20, wall+1e-3))
		}
		v.path("paper", true, gap...)
		v.path("line", false, v.rim(port.from, 0), v.rim(port.from, wall))
		v.path("line", false, v.rim(port.to, 0), v.rim(port.to, wall))
		middle := v.rim((port.from+port.to)/2, wall+6e-3)
		v.text("end", middle, usual, port.words)
	}
	for _, plug := range []struct {
		at    float64
		words string
	}{{76, "trailing plug"}, {104, "leading plug"}} {
		v.path("line", false, v.rim(plug.at, 0), v.rim(plug.at, wall+5e-3))
		v.text("start", v.rim(plug.at, wall+8e-3).plus(0, 5), usual, plug.words)
	}
}

// widths marks where the housing width is measured.
func (v frontView) widths() {
	for _, w := range []struct {
		at     float64
		letter string
	}{{0, "A"}, {56, "B"}, {124, "C"}, {180, "D"}} {
		v.circle("paper", v.rim(w.at, wall/2), 12)
		v.circle("thin", v.rim(w.at, wall/2), 12)
		v.text("middle", v.rim(w.at, wall/2).plus(0, 5), usual, w.letter)
	}
}

// clock writes the hours around the housing, 12 up.
func (v frontView) clock() {
	outer := v.bore
	outer.a += wall
	for hour := 1; hour <= 12; hour++ {
		angle := float64(hour) * math.Pi / 6
		t := bisect(angle-0.6, angle+0.6, func(t float64) bool {
			x, y := outer.Point(t)
			return math.Remainder(math.Atan2(y, x)-angle, 2*math.Pi) < 0
		})
		edge := v.at(outer.Point(t))
		sin, cos := math.Sincos(angle)
		v.path("thin", false, edge, edge.plus(5*sin, -5*cos))
		v.text("middle", edge.plus(14*sin, 4-14*cos), small, strconv.Itoa(hour))
	}
}

// words writes what stands around the housing, with lines to what it names.
func (v frontView) words() {
	tag := func(from, to spot, anchor, words string) {
		v.path("thin", false, from, to)
		v.text(anchor, to.plus(map[string]float64{"start": 4, "end": -4}[anchor], 5), usual, words)
	}
	tag(v.polar(0, 77e-3), v.centre.plus(175, -290), "start", "witness mark")
	tag(v.polar(120, 88e-3), v.centre.plus(215, 225), "start", "corner/2")
	tag(v.flank(1, 5e-3, 2.2, 2.2)[0], v.centre.plus(225, 165), "start", "side-seal/1")
	tag(v.rim(-92, 0), v.centre.plus(-245, 32), "end", "waist")
	v.text("end", v.centre.plus(-250, 5), usual, "short axis")
	v.text("middle", v.centre.plus(0, 315), usual, "long axis")
	var arc []spot
	for degree := -44; degree <= -8; degree += 2 {
		arc = append(arc, v.rim(float64(degree), wall+17e-3))
	}
	v.arrow(arc...)
	v.text("end", arc[0].plus(-6, 0), usual, "rotation")
	v.text("middle", v.centre.plus(0, -345), large, "one rotor in its housing, seen from the front")
	v.text("end", v.centre.plus(330, 335), small, "1 to 12: clock positions, 12 up, seen from the front")
	v.text("end", v.centre.plus(-20, 335), small, "A to D: where the housing width is measured")
}
