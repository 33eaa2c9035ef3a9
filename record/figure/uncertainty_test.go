package figure_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"stackbook/record"
	"stackbook/record/figure"
)

// oneRotor is the smallest engine with a clearance: one housing, one rotor.
// instruments and readings are YAML below these keys.
func oneRotor(t *testing.T, spec, instruments, readings, limits string) *figure.Set {
	t.Helper()
	e := &edge{files: []record.File{
		{Path: "engines/2024/SK-07/spec.yaml", Data: []byte("format: spec/1\nengine: SK-07\nid: 7f3a-91c0-55de\ntitle: one\nbuild: 1\ngeometry:\n  rotors: 1\n" + spec)},
		{Path: "engines/2024/SK-07/measurements/2024-03-02-mock-up-KM.yaml", Data: []byte(
			"format: measurements/1\nengine: SK-07\nbuild: 1\nstage: mock-up\ndate: 2024-03-02\nby: KM\ninstruments:\n" + instruments + "readings:\n" + readings)},
	}, limits: "format: limits/1\nname: edge\n" + limits}
	return e.compute(t)
}

const noLimits = "limits: {}\n"

// bearing reads a bore and a journal with one instrument each.
func bearing(bore, journal string) string {
	return "  bearing_bore: {unit: mm, instrument: B, bearing/rotor/1/front/x: " + bore + "}\n" +
		"  journal_diameter: {unit: mm, instrument: J, shaft/lobe/1/front/x: " + journal + "}\n"
}

func clearance(t *testing.T, s *figure.Set) *figure.Result {
	t.Helper()
	return result(t, s, "bearing.oil_clearance", "bearing/rotor/1")
}

// The uncertainty of a clearance is that of its two sizes: the worked cases of
// the GUM's law for a difference (JCGM 100:2008, 5.1.2; numbers own).
func TestUncertaintyOfADifference(t *testing.T) {
	for _, c := range []struct {
		name, instruments string
		want              float64 // standard uncertainty, um
	}{
		{"certificates alone", "  B: {kind: a, expanded_uncertainty: 0.0036 mm}\n  J: {kind: b, expanded_uncertainty: 0.0030 mm}\n", math.Hypot(1.8, 1.5)},
		{"in other units", "  B: {kind: a, expanded_uncertainty: 3.6 um}\n  J: {kind: b, expanded_uncertainty: 0.003 mm}\n", math.Hypot(1.8, 1.5)},
		{"a percentage", "  B: {kind: a, expanded_uncertainty: 0.01 %}\n  J: {kind: b, expanded_uncertainty: 0.0030 mm}\n", math.Hypot(74.0685e3*1e-4/2, 1.5)},
		{"with resolution", "  B: {kind: a, resolution: 0.01 mm, expanded_uncertainty: 0.0036 mm}\n  J: {kind: b, expanded_uncertainty: 0.0030 mm}\n", math.Hypot(math.Hypot(1.8, 1.5), 10/math.Sqrt(12))},
		{"set by one standard, alike", "  B: {kind: a, expanded_uncertainty: 0.0036 mm, standard: R74}\n  J: {kind: b, expanded_uncertainty: 0.0036 mm, standard: R74, resolution: 0.001 mm}\n", 1 / math.Sqrt(12)},
		{"set by one standard, unlike", "  B: {kind: a, expanded_uncertainty: 0.0036 mm, standard: R74}\n  J: {kind: b, expanded_uncertainty: 0.0030 mm, standard: R74}\n", 0.3},
		{"one serial number under two keys", "  B: {kind: a, serial: M-3, expanded_uncertainty: 0.0036 mm, resolution: 0.001 mm}\n  J: {kind: a, serial: M-3, expanded_uncertainty: 0.0036 mm}\n", 1 / math.Sqrt(12)},
	} {
		r := clearance(t, oneRotor(t, "", c.instruments, bearing("74.0685", "74.000"), noLimits))
		require.NotNil(t, r.Uncertainty, c.name)
		require.InDelta(t, c.want, r.Uncertainty.Standard*1e6, 1e-6, c.name)
		require.InDelta(t, 2*c.want, r.Uncertainty.Expanded*1e6, 1e-6, c.name)
		require.Equal(t, 2.0, r.Uncertainty.K, c.name)
	}
}

// What nobody stated is not known, and is never nought.
func TestUnknownUncertaintyIsNone(t *testing.T) {
	const known = "  J: {kind: b, expanded_uncertainty: 0.0030 mm}\n"
	for name, instruments := range map[string]string{
		"no certificate":       "  B: {kind: a, resolution: 0.001 mm}\n" + known,
		"only words":           "  B: {kind: a, accuracy: good}\n" + known,
		"one of another thing": "  B: {kind: a, expanded_uncertainty: 2 g}\n" + known,
	} {
		require.Nil(t, clearance(t, oneRotor(t, "", instruments, bearing("74.0685", "74.000"), noLimits)).Uncertainty, name)
	}
	both := "  B: {kind: a, expanded_uncertainty: 0.0036 mm}\n" + known
	none := oneRotor(t, "", both, strings.Replace(bearing("74.0685", "74.000"), "instrument: B, ", "", 1), noLimits)
	require.Nil(t, clearance(t, none).Uncertainty, "no instrument named")
	nominal := oneRotor(t, "  generating_radius: 98 mm\n  eccentricity: 14 mm\n  chamber_width: 78 mm\n", both, bearing("74.0685", "74.000"), noLimits)
	require.Nil(t, result(t, nominal, "chamber.swept_volume", "engine").Uncertainty, "sizes of the spec alone")
}

// Repeats tell how well a reading repeats, also for places read once; with few
// of them Student's t stands for k = 2. The numbers are those of a case worked
// by hand: five repeats of s = 1.1402 um.
func TestUncertaintyFromRepeats(t *testing.T) {
	const five = "[74.058, 74.057, 74.059, 74.058, 74.056]"
	instruments := "  B: {kind: a, resolution: 0.001 mm, expanded_uncertainty: 0.0024 mm}\n  J: {kind: b, expanded_uncertainty: 0.00002 mm}\n"
	r := clearance(t, oneRotor(t, "", instruments, bearing(five, "74.000"), noLimits))
	// JCGM 100:2008: u = hypot(s/sqrt 5, 1/sqrt 12, 1.2) = 1.3354 um.
	require.InDelta(t, 1.3354, r.Uncertainty.Standard*1e6, 1e-4)
	require.Equal(t, 2.0, r.Uncertainty.K)

	r = clearance(t, oneRotor(t, "", "  B: {kind: a, expanded_uncertainty: 0.00001 mm}\n  J: {kind: b, expanded_uncertainty: 0.00001 mm}\n", bearing("[74.058, 74.060, 74.059]", "74.000"), noLimits))
	require.InDelta(t, 2.0, r.Uncertainty.Freedom, 0.1)
	require.InDelta(t, 4.303, r.Uncertainty.K, 0.005, "t for two degrees of freedom is 4.303 (NIST/SEMATECH e-Handbook)")

	readings := "  bearing_bore: {unit: mm, instrument: B, bearing/rotor/1/front/x: 74.060, bearing/rotor/1/rear/x: " + five + "}\n" +
		"  journal_diameter: {unit: mm, instrument: J, shaft/lobe/1/front/x: 74.000}\n"
	r = clearance(t, oneRotor(t, "", instruments, readings, noLimits))
	require.InDelta(t, math.Hypot(1.14018, math.Hypot(1/math.Sqrt(12), 1.2)), r.Uncertainty.Standard*1e6, 1e-3, "a place read once borrows the deviation of one reading")
}

// One repeat alone tells nothing of how well a reading repeats: it is as one read
// once, and no division by nought.
func TestOneRepeatAlone(t *testing.T) {
	const instruments = "  B: {kind: a, expanded_uncertainty: 0.0036 mm}\n  J: {kind: b, expanded_uncertainty: 0.0030 mm}\n"
	once := clearance(t, oneRotor(t, "", instruments, bearing("74.0685", "74.000"), noLimits))
	alone := clearance(t, oneRotor(t, "", instruments, bearing("[74.0685]", "[74.000]"), noLimits))
	require.Equal(t, once.Value, alone.Value)
	require.Equal(t, once.Uncertainty, alone.Uncertainty)
	require.True(t, math.IsInf(alone.Uncertainty.Freedom, 1))
	require.InDelta(t, math.Hypot(1.8, 1.5), alone.Uncertainty.Standard*1e6, 1e-9)
}

// A feeler says between which two blades the gap lies: a rectangle of that
// width (JCGM 100:2008, 4.3.7, from memory).
func TestUncertaintyOfAFeeler(t *testing.T) {
	s := oneRotor(t, "", "  F: {kind: feeler}\n",
		"  side_seal_end_gap: {unit: mm, instrument: F, rotor/1/front/side-seal/1/end/1: {between: [0.06, 0.07]}, rotor/1/front/side-seal/1/end/2: {between: [0.08, 0.10]}}\n", noLimits)
	r := result(t, s, "side_seal.end_gap_sum", "rotor/1/front/side-seal/1")
	require.InDelta(t, math.Hypot(10, 20)/math.Sqrt(12), r.Uncertainty.Standard*1e6, 1e-6)
}

// The spec may say how far its sizes may be off; a flank relief nobody measured
// is 0.05 mm off, which is 0.09 of a compression ratio.
func TestUncertaintyOfTheSpec(t *testing.T) {
	const geometry = "  generating_radius: 98 mm\n  seal_tip_radius: 2 mm\n  eccentricity: 14 mm\n  chamber_width: 78 mm\n  flank_relief: 0.50 mm\n  recess_volume: 1.2 cm3\n"
	const pockets = "  pocket_volume: {unit: cm3, instrument: BU, rotor/1/face/1: 27.2, rotor/1/face/2: 27.2, rotor/1/face/3: 27.2}\n"
	const burette = "  BU: {kind: burette, expanded_uncertainty: 0.1 cm3}\n"
	ratio := func(spec string) *figure.Uncertainty {
		return result(t, oneRotor(t, geometry+spec, burette, pockets, noLimits), "compression.ratio", "engine").Uncertainty
	}
	assumed := ratio("")
	require.InDelta(t, 0.09, assumed.Expanded, 0.01, "common practice, no source: print 9.3 ± 0.1")
	require.Equal(t, "geometry.flank_relief", assumed.Parts[0].Cause)
	measured := ratio("uncertainties: {geometry.flank_relief: 0.01 mm}\n")
	require.Less(t, measured.Expanded, assumed.Expanded/3)
	require.InDelta(t, 0.13*0.1, burettePart(measured)*2, 0.002, "1 cm3 of pocket is 0.13 of a ratio, and three faces share one burette")
}

func burettePart(u *figure.Uncertainty) float64 {
	for _, p := range u.Parts {
		if strings.HasPrefix(p.Cause, "calibration of") {
			return math.Abs(p.Moves)
		}
	}
	return 0
}

// Shares are those of the variance: they add up to one, greatest first.
func TestSharesOfTheUncertainty(t *testing.T) {
	s := build1(t).compute(t)
	seen := 0
	for _, r := range s.Results {
		if r.Uncertainty == nil {
			continue
		}
		seen++
		sum := 0.0
		for i, p := range r.Uncertainty.Parts {
			sum += p.Share
			require.True(t, i == 0 || p.Share <= r.Uncertainty.Parts[i-1].Share, r.Figure.ID)
		}
		require.InDelta(t, 1, sum, 1e-9, r.Figure.ID)
		require.Greater(t, r.Uncertainty.Standard, 0.0)
	}
	require.Greater(t, seen, 50)
}

// A Monte Carlo run (JCGM 101:2008) draws every reading from its distribution
// and works the figures anew: the spread of 20,000 draws agrees with the law of
// propagation.
func TestUncertaintyAgreesWithMonteCarlo(t *testing.T) {
	const draws = 20000
	random := rand.New(rand.NewPCG(101, 2008))
	normal := func(mean, u float64) float64 { return mean + u*random.NormFloat64() }
	rectangle := func(mean, u float64) float64 { return mean + u*math.Sqrt(3)*(2*random.Float64()-1) }

	s := oneRotor(t, "  generating_radius: 98 mm\n  eccentricity: 14 mm\n  chamber_width: 78 mm\n  flank_relief: 0.50 mm\n  recess_volume: 1.2 cm3\nuncertainties: {geometry.flank_relief: 0.08 mm, geometry.eccentricity: 0.02 mm}\n",
		"  BU: {kind: burette, resolution: 0.2 cm3, expanded_uncertainty: 0.4 cm3}\n  B: {kind: a, resolution: 0.001 mm, expanded_uncertainty: 0.0036 mm}\n  J: {kind: b, expanded_uncertainty: 0.0030 mm}\n",
		"  pocket_volume: {unit: cm3, instrument: BU, rotor/1/face/1: 27.2, rotor/1/face/2: 27.4, rotor/1/face/3: 27.1}\n"+bearing("74.0685", "74.000"), noLimits)

	var clearances, ratios []float64
	for range draws {
		clearances = append(clearances, rectangle(normal(74.0685, 0.0018), 0.001/math.Sqrt(12))-normal(74.000, 0.0015))
		shared := normal(0, 0.2)
		pocket := (rectangle(27.2+shared, 0.2/math.Sqrt(12)) + rectangle(27.4+shared, 0.2/math.Sqrt(12)) + rectangle(27.1+shared, 0.2/math.Sqrt(12))) / 3
		ratios = append(ratios, ratioOf(normal(14, 0.01), 98, 78, normal(0.50, 0.04), pocket+1.2))
	}
	require.InEpsilon(t, deviation(clearances), clearance(t, s).Uncertainty.Standard*1e3, 0.02)
	r := result(t, s, "compression.ratio", "engine")
	require.InEpsilon(t, deviation(ratios), r.Uncertainty.Standard, 0.02)
	slices.Sort(ratios)
	low, high := ratios[draws*25/1000], ratios[draws*975/1000]
	require.InEpsilon(t, (high-low)/2, r.Uncertainty.Expanded, 0.03, "95 %% of the draws")
}

// ratioOf is the geometric ratio of a sharp-tipped engine, in mm and cm3, from
// the closed forms alone: V_s = 3 sqrt 3 e R b, the least area by (pi/3) e^2 +
// 2 e R cos phi + (2R^2/9 + 4 e^2) phi - (3 sqrt 3/2) e R, the flank's length by
// summing its chords.
func ratioOf(e, r, b, relief, extra float64) float64 {
	phi := math.Asin(3 * e / r)
	least := math.Pi/3*e*e + 2*e*r*math.Cos(phi) + (2*r*r/9+4*e*e)*phi - 3*math.Sqrt(3)/2*e*r
	flank := func(beta float64) (float64, float64) {
		c := math.Cos(beta)
		x := r - 2*e*math.Sin(beta)*math.Sqrt(1-9*e*e/(r*r)*c*c)
		y := -3 * e * e / r * math.Sin(2*beta)
		sin, cos := math.Sincos(2 * beta / 3)
		return x*cos - y*sin, x*sin + y*cos
	}
	const chords = 300
	length := 0.0
	x, y := flank(0)
	for i := 1; i <= chords; i++ {
		nx, ny := flank(math.Pi * float64(i) / chords)
		length += math.Hypot(nx-x, ny-y)
		x, y = nx, ny
	}
	cut := b * (relief*length - relief*relief/2*(2*math.Pi/3-2*phi))
	volume := (b*least+cut)/1000 + extra
	return (volume + 3*math.Sqrt(3)*e*r*b/1000) / volume
}

func deviation(x []float64) float64 {
	mean, squares := 0.0, 0.0
	for _, v := range x {
		mean += v / float64(len(x))
	}
	for _, v := range x {
		squares += (v - mean) * (v - mean)
	}
	return math.Sqrt(squares / float64(len(x)-1))
}

// The guard band: within k times the standard uncertainty of a limit a value is
// undecided, on either side (ISO 14253-1, the gist from summaries). The four
// cases are those worked for u = 0.00234307 mm, k = 2, a band of 0.04 to 0.08 mm.
func TestVerdictsWithAGuardBand(t *testing.T) {
	const instruments = "  B: {kind: a, expanded_uncertainty: 0.0036 mm}\n  J: {kind: b, expanded_uncertainty: 0.0030 mm}\n"
	limits := func(k, band string) string {
		return "guard: " + k + "\nlimits:\n  bearing.oil_clearance: {new: " + band + ", source: invented}\n"
	}
	const both = "{min: 0.04 mm, max: 0.08 mm}"
	for _, c := range []struct {
		bore, k, band string
		want          figure.Verdict
		probability   float64
	}{
		{"74.0685", "2", both, figure.Conforms, 0.99999954},
		{"74.0770", "2", both, figure.Undecided, 0.89979274},
		{"74.0860", "2", both, figure.Fails, 0.0052224302},
		{"74.0830", "2", both, figure.Undecided, 0.1},
		{"74.0770", "1", both, figure.Conforms, 0.89979274},
		{"74.0770", "0", both, figure.Conforms, 0.89979274},
		{"74.0730", "2", "{max: 0.08 mm}", figure.Conforms, 0.998},
		{"74.0410", "2", "{max: 0.08 mm}", figure.Conforms, 1},
		{"74.0410", "2", "{min: 0.04 mm}", figure.Undecided, 0.665},
	} {
		r := clearance(t, oneRotor(t, "", instruments, bearing(c.bore, "74.000"), limits(c.k, c.band)))
		require.Equal(t, c.want, r.Verdict, "%s %s %s", c.bore, c.k, c.band)
		p, ok := r.Probability()
		require.True(t, ok)
		require.InDelta(t, c.probability, p, 0.001, c.bore)
		require.False(t, r.TooNarrow())
	}
	narrow := clearance(t, oneRotor(t, "", instruments, bearing("74.0600", "74.000"), limits("2", "{min: 0.056 mm, max: 0.064 mm}")))
	require.True(t, narrow.TooNarrow(), "no value at all could be shown to lie in it")
	require.Equal(t, figure.Undecided, narrow.Verdict)
	plain := clearance(t, oneRotor(t, "", instruments, bearing("74.0770", "74.000"), strings.Replace(limits("2", both), "guard: 2\n", "", 1)))
	require.InDelta(t, 1.65, plain.Guard/plain.Uncertainty.Standard, 1e-9, "the k where a set names none")
}

// What the uncertainty rests on is part of the digest: a new certificate makes
// the stored figures stale.
func TestUncertaintyIsDigested(t *testing.T) {
	digest := func(instrument, k string) string {
		return oneRotor(t, "", "  B: {kind: a, "+instrument+"}\n  J: {kind: b, expanded_uncertainty: 0.0030 mm}\n", bearing("74.0685", "74.000"), "guard: "+k+"\n"+noLimits).Digest()
	}
	base := digest("expanded_uncertainty: 0.0036 mm", "2")
	require.Equal(t, base, digest("expanded_uncertainty: 3.6 um", "2"))
	for _, other := range []string{"expanded_uncertainty: 0.004 mm", "expanded_uncertainty: 0.0036 mm, resolution: 0.001 mm", "expanded_uncertainty: 0.0036 mm, standard: R74", "resolution: 0.001 mm"} {
		require.NotEqual(t, base, digest(other, "2"), other)
	}
	require.NotEqual(t, base, digest("expanded_uncertainty: 0.0036 mm", "1"))
}

// The largest of several places is the one that was read largest: places near
// it add nothing.
func TestUncertaintyOfTheWorstPlace(t *testing.T) {
	var bores strings.Builder
	for i, key := range []string{"front/x", "front/y", "rear/x", "rear/y"} {
		fmt.Fprintf(&bores, ", bearing/rotor/1/%s: %.4f", key, 74.0685-float64(i)*0.0001)
	}
	s := oneRotor(t, "", "  B: {kind: a, resolution: 0.01 mm, expanded_uncertainty: 0.0036 mm}\n  J: {kind: b, expanded_uncertainty: 0.0030 mm}\n",
		"  bearing_bore: {unit: mm, instrument: B"+bores.String()+"}\n  journal_diameter: {unit: mm, instrument: J, shaft/lobe/1/front/x: 74.000}\n", noLimits)
	require.InDelta(t, math.Hypot(math.Hypot(1.8, 1.5), 10/math.Sqrt(12)), clearance(t, s).Uncertainty.Standard*1e6, 1e-6)
}
