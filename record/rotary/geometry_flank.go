package rotary

import (
	"math"
	"sync/atomic"

	"gonum.org/v1/gonum/integrate/quad"
)

// FlankPoint returns a point of the ideal flank, the largest rotor that still
// fits the bore, in m, in the rotor's own frame. beta runs from 0 at the apex
// in direction 0 to pi at the apex in direction 120 degrees; pi/2 is the middle
// of the flank, at the radius R-2e+a. For a sharp seal
//
//	X + iY = exp(i 2 beta/3) (R - 2e sin beta sqrt(1 - (9e^2/R^2) cos^2 beta) - i (3e^2/R) sin 2 beta)
//
// (own derivation, from the inner envelope of the bore: the common normal
// passes through the rolling point of the pitch circles 2e and 3e). A rounded
// tip adds a times the flank's outward normal. The flank touches the bore at
// the parameter t and shaft angle alpha, with c = -(3e/R) cos beta,
// A = atan2(sqrt(1-c^2), c), t = (A+beta)/2 and alpha = (3A-beta)/2; the normal
// is the bore's there, turned back by alpha/3.
//
// Range: 0 <= beta <= pi.
func (b Bore) FlankPoint(beta float64) (x, y float64) {
	sin, cos := math.Sincos(2 * beta / 3)
	radial, across := b.flankFrame(beta)
	x = float64(radial*cos) - float64(across*sin)
	y = float64(radial*sin) + float64(across*cos)
	if b.a > 0 {
		c := -3 * b.e / b.r * math.Cos(beta)
		contact := math.Atan2(math.Sqrt(1-float64(c*c)), c)
		t, alpha := (contact+beta)/2, (float64(3*contact)-beta)/2
		normal := b.Normal(t) - alpha/3
		x += float64(b.a * math.Cos(normal))
		y += float64(b.a * math.Sin(normal))
	}
	return x, y
}

// flankFrame is the sharp-seal flank in a frame turned by 2 beta/3, in m.
func (b Bore) flankFrame(beta float64) (radial, across float64) {
	sin, cos := math.Sincos(beta)
	lean := 3 * b.e / b.r * cos
	radial = b.r - float64(2*b.e*sin*math.Sqrt(1-float64(lean*lean)))
	across = -3 * b.e * b.e / b.r * math.Sin(2*beta)
	return radial, across
}

// flankSpeed is the derivative of the sharp-seal flank's length by beta, in m.
func (b Bore) flankSpeed(beta float64) float64 {
	sin, cos := math.Sincos(beta)
	k := 3 * b.e / b.r
	root := math.Sqrt(1 - float64(k*k*cos*cos))
	radial, across := b.flankFrame(beta)
	dRadial := float64(-2 * b.e * cos * (root + float64(k*k*sin*sin)/root))
	dAcross := float64(-6 * b.e * b.e / b.r * math.Cos(2*beta))
	return math.Hypot(dRadial-float64(2*across/3), dAcross+float64(2*radial/3))
}

// centreFlankLength is the length of the flank for a sharp seal, in m: twice
// that of one half, by Gauss-Legendre quadrature, since it has no elementary
// form. Relative error below 1e-14 for R/e > 3.01 and below 1e-10 above 3.001.
// The one worked last is kept: ideal volume and relief ask for the same, and so
// does every uncertainty of something else.
func (b Bore) centreFlankLength() float64 {
	if last := lastFlank.Load(); last != nil && last.e == b.e && last.r == b.r {
		return last.length
	}
	const nodes = 48
	length := 2 * quad.Fixed(b.flankSpeed, 0, math.Pi/2, nodes, quad.Legendre{}, 0)
	lastFlank.Store(&flank{b.e, b.r, length})
	return length
}

// flank is the length of the sharp-seal flank of one bore.
type flank struct{ e, r, length float64 }

var lastFlank atomic.Pointer[flank]

// FlankLength returns the length of the ideal flank from apex to apex in m. With
// a rounded tip it is longer than with a sharp one by a times the turn of its
// normal.
func (b Bore) FlankLength() float64 {
	return b.centreFlankLength() + float64(b.a*b.flankTurn())
}

// flankTurn is the angle between the flank's normals at its two ends, in rad:
// each end's normal leans phi_max inwards from the apex radius.
func (b Bore) flankTurn() float64 { return 2*math.Pi/3 - float64(2*b.MaxLeaning()) }
