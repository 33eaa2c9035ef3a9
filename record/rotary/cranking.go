package rotary

import (
	"fmt"
	"math"
	"slices"
)

const topicCranking = "cranking"

// standardPressure is the sea-level pressure of the standard atmosphere
// (ISO 2533, from memory), in Pa: the reference every cranking pressure is
// brought to.
const standardPressure = 101325.0

// crankingSpeed is the usual reference speed of the test, 250 rpm [S16b], in rad/s.
const crankingSpeed = 250 * math.Pi / 30

// StationPressure estimates the barometer at an altitude from the standard
// atmosphere (ISO 2533, constants from memory):
//
//	p = 101325*(1 - 0.0065 h/288.15)^5.255876
//
// h in m, p in Pa. Range: -1000 m <= h <= 11000 m. Weather moves the true
// pressure by a few per cent of it: a barometer reading is better. What a
// weather report calls pressure is reduced to sea level and must not be used
// as station pressure.
func StationPressure(altitude float64) (float64, error) {
	if !(altitude >= -1000 && altitude <= 11000) {
		return 0, &RangeError{Formula: "station-pressure", Input: "altitude", Why: "must lie between -1000 m and 11000 m"}
	}
	return standardPressure * math.Pow(1-float64(0.0065*altitude)/288.15, 5.255876), nil
}

func registerStationPressure(r registry) {
	r.register(&Formula{
		ID:     "station-pressure",
		Topic:  topicCranking,
		Title:  "barometer at an altitude, standard atmosphere",
		Words:  "p = 101.325 kPa (1 - 0.0065 h/288.15)^5.255876",
		Range:  "-1000 m to 11000 m; an estimate, a barometer reading is better",
		Source: "ISO 2533 standard atmosphere, constants from memory",
		In:     []Param{{Name: "altitude", Symbol: "h", Unit: "m", Title: "altitude above sea level"}},
		Out:    []Param{{Name: "pressure", Symbol: "p", Unit: "kPa", Title: "station pressure"}},
		Work: func(in []Value) ([]Value, error) {
			return one(StationPressure(in[0].Number))
		},
	})
}

// CrankingAtReference brings a cranking pressure to the reference barometer:
//
//	p_ref = (p_g + p_b)*(101325/p_b) - 101325 = p_g*101325/p_b
//
// p_g, p_ref gauge and p_b the absolute barometer at the place, all in Pa. Own
// derivation: with leakage and heat transfer equal the absolute end pressure
// is proportional to the absolute intake pressure. It holds at full throttle,
// one cranking speed and one temperature. Range: p_g >= 0, p_b > 0; a
// correction beyond about 25 % is not to be trusted.
func CrankingAtReference(gauge, barometer float64) (float64, error) {
	const id = "cranking-barometer"
	if err := notNegative(id, arg{"pressure", gauge}); err != nil {
		return 0, err
	}
	if err := positive(id, arg{"barometer", barometer}); err != nil {
		return 0, err
	}
	return gauge * standardPressure / barometer, nil
}

func registerCrankingBarometer(r registry) {
	r.register(&Formula{
		ID:     "cranking-barometer",
		Topic:  topicCranking,
		Title:  "cranking pressure at the reference barometer",
		Words:  "p_ref = p_g 101.325 kPa/p_b",
		Range:  "full throttle, one speed and temperature; corrections up to about 25 %",
		Source: ownDerivation,
		In: []Param{
			{Name: "pressure", Symbol: "p_g", Unit: "kPa", Title: "gauge pressure read"},
			{Name: "barometer", Symbol: "p_b", Unit: "kPa", Title: "absolute pressure at the place, not reduced to sea level"},
		},
		Out: []Param{{Name: "reference-pressure", Symbol: "p_ref_g", Unit: "kPa", Title: "gauge pressure at 101.325 kPa"}},
		Work: func(in []Value) ([]Value, error) {
			return one(CrankingAtReference(in[0].Number, in[1].Number))
		},
	})
}

// CrankingReading is one cranking test: mean gauge pressure in Pa, speed of
// the shaft in rad/s.
type CrankingReading struct{ Gauge, Speed float64 }

// CrankingTwoSpeeds estimates the pressure at 250 rpm and the leakage from
// readings at two speeds. Trapped mass decays as exp(-time/tau) and the time
// is inversely proportional to the speed n, so ln P is linear in 1/n:
//
//	B = ln(P2/P1)/(1/n1 - 1/n2),   P_250 = P1*exp(B*(1/n1 - 1/n_250))
//
// P absolute = gauge + barometer (Pa). The pressure returned is gauge (Pa); B
// is in rad/s, larger for a leakier chamber. Own model, not published: an
// estimate, never a verdict, and not beyond the two speeds by more than a few
// per cent. Range: pressures >= 0, barometer > 0, two different speeds > 0.
func CrankingTwoSpeeds(a, b CrankingReading, barometer float64) (gauge, leakage float64, err error) {
	const id = "cranking-two-speeds"
	if err := notNegative(id, arg{"pressure-1", a.Gauge}, arg{"pressure-2", b.Gauge}); err != nil {
		return 0, 0, err
	}
	if err := positive(id, arg{"speed-1", a.Speed}, arg{"speed-2", b.Speed}, arg{"barometer", barometer}); err != nil {
		return 0, 0, err
	}
	slowness := 1/a.Speed - 1/b.Speed
	if slowness == 0 {
		return 0, 0, &RangeError{Formula: id, Input: "speed-2", Why: "must differ from speed-1"}
	}
	first, second := a.Gauge+barometer, b.Gauge+barometer
	leakage = math.Log(second/first) / slowness
	at250 := float64(first * math.Exp(leakage*(1/a.Speed-1/crankingSpeed)))
	return at250 - barometer, leakage, nil
}

func registerCrankingTwoSpeeds(r registry) {
	r.register(&Formula{
		ID:     "cranking-two-speeds",
		Topic:  topicCranking,
		Title:  "cranking pressure at 250 rpm from readings at two speeds",
		Words:  "B = ln(P2/P1)/(1/n1 - 1/n2); P_250 = P1 exp(B (1/n1 - 1/250)), P absolute",
		Range:  "250 rpm between the two speeds or a few per cent beyond; an estimate, no verdict",
		Source: "own model, not published",
		In: []Param{
			{Name: "pressure-1", Symbol: "p_g1", Unit: "kPa", Title: "gauge pressure at the first speed"},
			{Name: "speed-1", Symbol: "N1", Unit: "rpm", Title: "first speed"},
			{Name: "pressure-2", Symbol: "p_g2", Unit: "kPa", Title: "gauge pressure at the second speed"},
			{Name: "speed-2", Symbol: "N2", Unit: "rpm", Title: "second speed"},
			{Name: "barometer", Symbol: "p_b", Unit: "kPa", Title: "absolute pressure at the place", Optional: true, Default: standardPressure},
		},
		Out: []Param{
			{Name: "pressure-at-250", Symbol: "p_250", Unit: "kPa", Title: "gauge pressure at 250 rpm"},
			{Name: "leakage", Symbol: "B", Unit: "rpm", Title: "leakage indicator, larger is leakier"},
		},
		Work: func(in []Value) ([]Value, error) {
			p, b, err := CrankingTwoSpeeds(CrankingReading{in[0].Number, in[1].Number},
				CrankingReading{in[2].Number, in[3].Number}, in[4].Number)
			return numbers(p, b), err
		},
	})
}

// CrankingLimits are the rules a cranking test is accepted by, in Pa gauge at
// 250 rpm and the reference barometer. They differ between engine classes and
// port types and belong to the limit set of an engine; a peripheral-port
// engine cranks far lower than a side-port one.
type CrankingLimits struct {
	Minimum       float64 // of any chamber
	ChamberSpread float64 // highest less lowest chamber of one rotor, at most
	RotorSpread   float64 // highest less lowest rotor mean, at most
}

// printedCranking are the values of one workshop manual for the late side-port
// 654 cm3 class at 250 rpm [S16b], with the pressure of a new engine.
var printedCranking = struct {
	standard float64
	CrankingLimits
}{830e3, CrankingLimits{Minimum: 680e3, ChamberSpread: 150e3, RotorSpread: 100e3}}

// The verdicts of CrankingAcceptance.
const (
	CrankingPass       = "pass"
	CrankingLow        = "fail:low"      // a chamber below the minimum
	CrankingChambers   = "fail:chambers" // chambers of one rotor too far apart
	CrankingRotorMeans = "fail:rotors"   // rotor means too far apart
)

// CrankingAcceptance judges the chamber pressures of each rotor (Pa gauge,
// already brought to the reference speed first and barometer second) and
// returns the first rule broken, in the order low, chambers, rotors. The
// source does not say whether rotors are compared by means or extremes; this
// takes the means (an assumption). Range: at least one rotor, and at least one
// chamber for each; pressures >= 0. At a limit is inside it (R6).
func CrankingAcceptance(rotors [][]float64, limits CrankingLimits) (string, error) {
	const id = "cranking-acceptance"
	if len(rotors) == 0 {
		return "", &RangeError{Formula: id, Why: "needs the pressures of at least one rotor"}
	}
	means := make([]float64, len(rotors))
	low, uneven := false, false
	for i, chambers := range rotors {
		name := fmt.Sprintf("rotor-%d", i+1)
		if len(chambers) == 0 {
			return "", &RangeError{Formula: id, Input: name, Why: "needs at least one chamber's pressure"}
		}
		for _, p := range chambers {
			if err := notNegative(id, arg{name, p}); err != nil {
				return "", err
			}
		}
		low = low || exceeds(limits.Minimum, slices.Min(chambers))
		uneven = uneven || exceeds(spread(chambers), limits.ChamberSpread)
		means[i] = mean(chambers)
	}
	switch {
	case low:
		return CrankingLow, nil
	case uneven:
		return CrankingChambers, nil
	case exceeds(spread(means), limits.RotorSpread):
		return CrankingRotorMeans, nil
	}
	return CrankingPass, nil
}

func registerCrankingAcceptance(r registry) {
	r.register(&Formula{
		ID:     "cranking-acceptance",
		Topic:  topicCranking,
		Title:  "verdict on a cranking test",
		Words:  "a chamber below the minimum, chambers of a rotor too far apart, or rotor means too far apart",
		Range:  "pressures already at reference speed and barometer; limits of the engine's own class",
		Source: "rules [S16b]; comparing rotors by their means is an assumption",
		In: []Param{
			{Name: "rotor-1", Symbol: "p_1", Unit: "kPa", Title: "gauge pressures of rotor 1's chambers", Kind: List},
			{Name: "rotor-2", Symbol: "p_2", Unit: "kPa", Title: "the same for rotor 2", Kind: List, Optional: true},
			{Name: "rotor-3", Symbol: "p_3", Unit: "kPa", Title: "the same for rotor 3", Kind: List, Optional: true},
			{Name: "rotor-4", Symbol: "p_4", Unit: "kPa", Title: "the same for rotor 4", Kind: List, Optional: true},
			{Name: "rotor-5", Symbol: "p_5", Unit: "kPa", Title: "the same for rotor 5", Kind: List, Optional: true},
			{Name: "rotor-6", Symbol: "p_6", Unit: "kPa", Title: "the same for rotor 6", Kind: List, Optional: true},
			{Name: "minimum", Symbol: "p_min", Unit: "kPa", Title: "lowest pressure allowed"},
			{Name: "chamber-spread", Symbol: "dp_c", Unit: "kPa", Title: "largest difference within a rotor"},
			{Name: "rotor-spread", Symbol: "dp_r", Unit: "kPa", Title: "largest difference between rotor means"},
		},
		Out: []Param{{Name: "verdict", Symbol: "verdict", Title: "pass, or the first rule broken", Kind: Text}},
		Work: func(in []Value) ([]Value, error) {
			var rotors [][]float64
			for _, v := range in[:6] {
				rotors = append(rotors, v.List)
			}
			for len(rotors) > 0 && len(rotors[len(rotors)-1]) == 0 {
				rotors = rotors[:len(rotors)-1]
			}
			verdict, err := CrankingAcceptance(rotors, CrankingLimits{
				Minimum: in[6].Number, ChamberSpread: in[7].Number, RotorSpread: in[8].Number})
			return []Value{{Text: verdict}}, err
		},
	})
}

// printedCrankingAt returns the printed acceptance values, refusing a speed
// more than 10 % off their reference (common practice): the source corrects
// other speeds by a graph, which no formula stands in for.
func printedCrankingAt(speed float64) ([]Value, error) {
	if exceeds(math.Abs(speed-crankingSpeed), 0.1*crankingSpeed) {
		return nil, &RangeError{Formula: "cranking-limits", Input: "speed",
			Why: "must lie within 10 % of 250 rpm, the speed the printed values hold for"}
	}
	p := printedCranking
	return numbers(p.standard, p.Minimum, p.ChamberSpread, p.RotorSpread), nil
}

func registerCrankingLimits(r registry) {
	r.register(&Formula{
		ID:     "cranking-limits",
		Topic:  topicCranking,
		Title:  "printed acceptance values, late side-port 654 cm3 class",
		Words:  "a table of one workshop manual at 250 rpm",
		Range:  "225 rpm to 275 rpm; that class and port type only",
		Source: "workshop manual [S16b]; refusing other speeds is common practice",
		In:     []Param{{Name: "speed", Symbol: "N", Unit: "rpm", Title: "cranking speed"}},
		Out: []Param{
			{Name: "standard", Symbol: "standard", Unit: "kPa", Title: "pressure of a new engine"},
			{Name: "minimum", Symbol: "minimum", Unit: "kPa", Title: "lowest pressure of any chamber"},
			{Name: "chamber-spread", Symbol: "max_spread_chambers", Unit: "kPa", Title: "largest difference between chambers of a rotor"},
			{Name: "rotor-spread", Symbol: "max_diff_rotors", Unit: "kPa", Title: "largest difference between rotors"},
		},
		Work: func(in []Value) ([]Value, error) { return printedCrankingAt(in[0].Number) },
	})
}

// exceeds says whether x lies above the limit by more than the rounding of a
// conversion between units can bring about (R6: 1e-9 of the limit).
func exceeds(x, limit float64) bool { return x-limit > 1e-9*math.Abs(limit) }

// spread of a list that is not empty.
func spread(xs []float64) float64 { return slices.Max(xs) - slices.Min(xs) }

// mean of a list that is not empty.
func mean(xs []float64) float64 {
	sum := 0.0
	for _, x := range xs {
		sum += x
	}
	return sum / float64(len(xs))
}
