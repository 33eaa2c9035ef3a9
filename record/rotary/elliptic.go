package rotary

import (
	"math"

	"gonum.org/v1/gonum/mathext"
)

// ellipticE returns the incomplete elliptic integral of the second kind
//
//	E(phi|m) = integral from 0 to phi of sqrt(1 - m sin^2 x) dx
//
// for any real phi in radians and 0 <= m < 1 (m is the parameter, the square
// of the modulus). The library holds up to a quarter turn; beyond it the
// integral grows by 2 E(m) each half turn:
//
//	E(phi + k pi | m) = E(phi|m) + 2k E(m)
//
// (NIST Digital Library of Mathematical Functions, 19.2.10, from memory).
// Relative error a few last digits.
func ellipticE(phi, m float64) float64 {
	halfTurns := math.Round(phi / math.Pi)
	if halfTurns == 0 {
		return mathext.EllipticE(phi, m)
	}
	rest := phi - float64(halfTurns*math.Pi)
	return mathext.EllipticE(rest, m) + float64(2*halfTurns*mathext.CompleteE(m))
}
