package rotary

// Chamber is one working chamber: a bore and its width. Volumes are in m3,
// angles in rad of the shaft from the chamber's top dead centre.
type Chamber struct {
	Bore
	width float64
}

// NewChamber returns the chamber of a bore and a width in m, or a *RangeError
// in the name of the formula that wanted it. The width is the rotor housing's;
// the rotor is narrower by the side clearance, which is no part of the chamber
// as the side seals bound it.
func NewChamber(formula string, b Bore, width float64) (Chamber, error) {
	return Chamber{b, width}, positive(formula, arg{paramWidth.Name, width})
}

// SweptVolume returns the swept volume of one chamber in m3, exactly:
//
//	V_s = b (3 sqrt(3) e R + a (L(0) - L(90deg)))
//
// L(t) = (R+3e)(E(t+60deg|m) - E(t-60deg|m)), m = 12eR/(R+3e)^2. For a sharp
// seal (a = 0) this is 3 sqrt(3) e R b. Own derivation.
func (c Chamber) SweptVolume() float64 { return c.width * c.sweptArea() }

// IdealVolumes returns the smallest and largest volume of the chamber, in m3,
// with the ideal flank: no pocket, no clearance.
func (c Chamber) IdealVolumes() (least, most float64) {
	least, most = c.idealAreas()
	return c.width * least, c.width * most
}

// Volume returns the volume, in m3, of a chamber at a shaft angle whose volume
// at top dead centre is least. Exact (own derivation); for a sharp seal
//
//	V(alpha) = V_min + (V_s/2)(1 - cos(2 alpha/3))
func (c Chamber) Volume(least, alpha float64) float64 {
	return float64(least) + float64(c.width*c.rise(alpha))
}

// VolumeSlope returns the change of volume, in m3 per rad of shaft. For a sharp
// seal it is sqrt(3) e R b sin(2 alpha/3) (own derivation).
func (c Chamber) VolumeSlope(alpha float64) float64 { return c.width * c.riseSlope(alpha) }

// Recess is what a real rotor has more of than the ideal one.
type Recess struct {
	Relief float64 // how far the flank is cut back along its normal, m
	Pocket float64 // liquid volume of one rotor pocket, m3
	Extra  float64 // plug holes and other recesses, m3
}

// LeastVolume returns the volume at top dead centre, in m3, of a chamber of a
// real rotor: the ideal volume and those of relief, pocket and extra recesses.
// Range: none of them negative.
func (c Chamber) LeastVolume(formula string, r Recess) (float64, error) {
	relief, err := c.reliefArea(formula, r.Relief)
	if err != nil {
		return 0, err
	}
	if err := notNegative(formula, arg{"pocket-volume", r.Pocket}, arg{"extra-volume", r.Extra}); err != nil {
		return 0, err
	}
	ideal, _ := c.IdealVolumes()
	return float64(ideal) + float64(c.width*relief) + r.Pocket + r.Extra, nil
}

// PocketVolume returns the volume of one pocket, in m3, that gives the
// compression ratio wanted:
//
//	V_pocket = V_s/(eps - 1) - V_min,ideal - V_relief - V_extra
//
// Range: eps > 1, and not above what the chamber has with no pocket at all. The
// Pocket of r does not count.
func (c Chamber) PocketVolume(formula string, ratio float64, r Recess) (float64, error) {
	if !(ratio > 1) {
		return 0, &RangeError{Formula: formula, Input: "compression-ratio", Why: "must be greater than 1"}
	}
	r.Pocket = 0
	least, err := c.LeastVolume(formula, r)
	if err != nil {
		return 0, err
	}
	pocket := c.SweptVolume()/(ratio-1) - least
	if pocket < 0 {
		return 0, &RangeError{Formula: formula, Input: "compression-ratio", Why: "is out of reach: higher than with no pocket at all"}
	}
	return pocket, nil
}

// CompressionRatio returns (V_min + V_s)/V_min of a least volume in m3. Range:
// least > 0.
func (c Chamber) CompressionRatio(formula string, least float64) (float64, error) {
	if err := positive(formula, arg{"least-volume", least}); err != nil {
		return 0, err
	}
	return (least + float64(c.SweptVolume())) / least, nil
}

// EffectiveCompressionRatio returns the ratio of the volume where the intake
// closes to the least volume (m3):
//
//	eps_eff = V(270deg - IC)/V_min
//
// IC is the closing of the intake in rad of the shaft, not of the rotor, after
// bottom dead centre. Ram and leakage are outside this number. Range:
// least > 0; -270deg < IC < 270deg.
func (c Chamber) EffectiveCompressionRatio(formula string, least, closing float64) (float64, error) {
	if err := positive(formula, arg{"least-volume", least}); err != nil {
		return 0, err
	}
	if !(closing > -StrokeAngle && closing < StrokeAngle) {
		return 0, &RangeError{Formula: formula, Input: "intake-closing", Why: "must lie within 270 deg of bottom dead centre"}
	}
	return c.Volume(least, StrokeAngle-closing) / least, nil
}
