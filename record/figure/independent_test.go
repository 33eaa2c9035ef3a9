package figure_test

import (
	"fmt"
	"math"
	"math/cmplx"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"stackbook/record"
	"stackbook/record/figure"
)

// The tests of this file reach a figure by another way than its formula. All
// numbers are invented; the physics is own derivation.

// heavyShaft is an engine of any number of rotors with uneven masses, phases
// and stations, and lobes that are out of balance themselves.
type heavyShaft struct {
	masses, phases, stations, lobes []float64 // g, deg, mm, g mm
	front, rear, oil, throw         float64   // mm, mm, g, mm
}

func (h heavyShaft) compute(t *testing.T) *figure.Set {
	t.Helper()
	list := func(values []float64, unit string) string {
		var all []string
		for _, v := range values {
			all = append(all, fmt.Sprint(v)+" "+unit)
		}
		return "[" + strings.Join(all, ", ") + "]"
	}
	spec := fmt.Sprintf("format: spec/1\nengine: SK-07\nid: 7f3a-91c0-55de\ntitle: uneven\nbuild: 1\ngeometry:\n  rotors: %d\n  eccentricity: %v mm\n  phases: %s\n  stations: %s\n"+
		"balance:\n  front_plane: %v mm\n  rear_plane: %v mm\n  oil_allowance: %v g\n  lobes:\n",
		len(h.masses), h.throw, list(h.phases, "deg"), list(h.stations, "mm"), h.front, h.rear, h.oil)
	session := "format: measurements/1\nengine: SK-07\nbuild: 1\nstage: balance\ndate: 2024-03-02\nby: KM\nreadings:\n  rotor_mass:\n    unit: g\n"
	for i := range h.masses {
		spec += fmt.Sprintf("    shaft/lobe/%d: {unbalance: %v g mm}\n", i+1, h.lobes[i])
		session += fmt.Sprintf("    rotor/%d: %v\n", i+1, h.masses[i])
	}
	e, problems := record.Load("engines/2024/SK-07", []record.File{
		{Path: "engines/2024/SK-07/spec.yaml", Data: []byte(spec)},
		{Path: "engines/2024/SK-07/measurements/2024-03-02-balance-KM.yaml", Data: []byte(session)},
	})
	require.Empty(t, problems)
	return figure.Compute(e, nil)
}

// rotorsAbout is the moment of rotors and lobes about a plane, g mm2; about no
// plane at all (arm nil) their force as an unbalance, g mm.
func (h heavyShaft) rotorsAbout(plane *float64) complex128 {
	sum := complex(0, 0)
	for i, m := range h.masses {
		arm := 1.0
		if plane != nil {
			arm = h.stations[i] - *plane
		}
		sum += cmplx.Rect(((m+h.oil)*h.throw+h.lobes[i])*arm, h.phases[i]*math.Pi/180)
	}
	return sum
}

// With its counterweights a shaft runs without a force and without a moment
// about either plane.
func TestCounterweightsLeaveNoMoment(t *testing.T) {
	for _, h := range []heavyShaft{
		{masses: []float64{3962, 3948}, phases: []float64{0, 180}, stations: []float64{0, 128}, lobes: []float64{0, 0}, front: -118, rear: 250, oil: 25, throw: 14},
		{masses: []float64{3962, 3916}, phases: []float64{0, 180}, stations: []float64{0, 128}, lobes: []float64{310, 295}, front: -118, rear: 250, oil: 25, throw: 14},
		{masses: []float64{4010, 3995, 4003}, phases: []float64{0, 240, 120}, stations: []float64{0, 130, 261}, lobes: []float64{0, 55, 0}, front: -90, rear: 350, oil: 20, throw: 15},
		{masses: []float64{4100, 3900, 4050, 4000}, phases: []float64{0, 180, 90, 270}, stations: []float64{0, 128, 256, 384}, lobes: []float64{10, 20, 30, 40}, front: -120, rear: 500, oil: 25, throw: 14},
		{masses: []float64{2500}, phases: []float64{37}, stations: []float64{0}, lobes: []float64{0}, front: -80, rear: 60, oil: 15, throw: 11},
	} {
		set := h.compute(t)
		weight := func(at string) complex128 {
			size, angle := result(t, set, "counterweight.unbalance", at), result(t, set, "counterweight.angle", at)
			require.GreaterOrEqual(t, size.Value, 0.0)
			return cmplx.Rect(size.In(), angle.Value)
		}
		front, rear := weight("counterweight/front"), weight("counterweight/rear")
		require.InDelta(t, 0, cmplx.Abs(h.rotorsAbout(nil)+front+rear), 1e-6, "force, g mm")
		require.InDelta(t, 0, cmplx.Abs(h.rotorsAbout(&h.front)+rear*complex(h.rear-h.front, 0)), 1e-3, "moment about the front plane, g mm2")
		require.InDelta(t, 0, cmplx.Abs(h.rotorsAbout(&h.rear)+front*complex(h.front-h.rear, 0)), 1e-3, "moment about the rear plane, g mm2")

		bare := h
		bare.lobes = make([]float64, len(h.masses))
		origin := h.stations[0]
		require.InDelta(t, cmplx.Abs(bare.rotorsAbout(nil)), result(t, set, "balance.static", "engine").In(), 1e-6)
		require.InDelta(t, cmplx.Abs(bare.rotorsAbout(&origin)), result(t, set, "balance.couple", "engine").In(), 1e-3)

		oily := h
		oily.oil += 10
		more := oily.compute(t)
		for _, at := range []string{"counterweight/front", "counterweight/rear"} {
			was := cmplx.Rect(result(t, set, "counterweight.unbalance", at).In(), result(t, set, "counterweight.angle", at).Value)
			is := cmplx.Rect(result(t, more, "counterweight.unbalance", at).In(), result(t, more, "counterweight.angle", at).Value)
			require.InDelta(t, cmplx.Abs(is-was), result(t, set, "balance.oil_effect", at).In(), 1e-6, at)
		}
	}
}

// Power is the work of the torque over a turn, times the turns of a second.
func TestPowerIsTorqueTimesSpeed(t *testing.T) {
	for _, row := range []struct {
		shelf         *shelf
		torque, speed float64 // N m, rpm
	}{{build1(t), 179.6, 8400}, {build2(t), 183.0, 8400}} {
		set := row.shelf.compute(t)
		require.InDelta(t, row.torque*2*math.Pi*row.speed/60, result(t, set, "power.peak", "engine").Value, 1e-6)
	}
}

// A run that gives power gives the torque back, and the other way.
func TestRunWithPowerInPlaceOfTorque(t *testing.T) {
	const dyno = "measurements/2017-05-04-dyno-KM.yaml"
	s := build1(t).replace(t, dyno, "columns: [speed rpm, torque N m]", "columns: [speed rpm, power kW]")
	for _, row := range [][2]string{{"171.0", "107.4"}, {"179.2", "131.4"}, {"183.2", "145.8"}, {"182.5", "152.9"}, {"179.6", "158"}, {"169.5", "156.2"}} {
		s.replace(t, dyno, ", "+row[0]+"]", ", "+row[1]+"]")
	}
	set := s.compute(t)
	require.Equal(t, "158.0", result(t, set, "power.peak", "engine").Text())
	require.InDelta(t, 145.8e3/(2*math.Pi*7600/60), result(t, set, "torque.peak", "engine").Value, 1e-9)
	require.Equal(t, "7600", result(t, set, "torque.peak_speed", "engine").Text())
}

// Mean effective pressure is the work of one turn over the volume swept by
// power strokes in it: every rotor fires once a turn of the shaft.
func TestMeanEffectivePressureIsWorkOverVolume(t *testing.T) {
	set := build1(t).compute(t)
	work := 183.2 * 2 * math.Pi                                          // J a turn
	volume := 2 * result(t, set, "chamber.swept_volume", "engine").Value // m3 a turn
	require.InDelta(t, work/volume, result(t, set, "power.bmep", "engine").Value, 1e-6)
}

// sealAt is where the centre of a seal's tip is at a shaft angle, and the way
// from there to where it touches the bore, square to the centre's path.
func sealAt(angle float64) (centre, toBore complex128) {
	const e, radius, tip, h = 0.014, 0.098, 0.002, 1e-5
	at := func(a float64) complex128 { return cmplx.Rect(e, a) + cmplx.Rect(radius, a/3) }
	along := at(angle+h) - at(angle-h)
	return at(angle), along / complex(cmplx.Abs(along), 0) * complex(0, -tip)
}

// slidingSpeed is how fast that piece of the seal which touches the bore at a
// shaft angle moves, by differences: it turns with the rotor, a third as fast
// as the shaft.
func slidingSpeed(angle, omega float64) float64 {
	const h = 1e-4
	_, toBore := sealAt(angle)
	before, _ := sealAt(angle - h)
	after, _ := sealAt(angle + h)
	turned := toBore * (cmplx.Rect(1, h/3) - cmplx.Rect(1, -h/3))
	return cmplx.Abs(after-before+turned) / (2 * h) * omega
}

// The sliding speed of the seals, and the bore's length, by walking round it in
// small steps.
func TestSlidingSpeedByWalkingRoundTheBore(t *testing.T) {
	set := build1(t).compute(t)
	omega := 8800.0 * 2 * math.Pi / 60
	least, most, sum, round := math.Inf(1), 0.0, 0.0, 0.0
	const steps = 6000
	centre, toBore := sealAt(0)
	last := centre + toBore
	for i := range steps {
		angle := 6 * math.Pi * float64(i+1) / steps
		v := slidingSpeed(angle, omega)
		least, most, sum = min(least, v), max(most, v), sum+v
		centre, toBore = sealAt(angle)
		round, last = round+cmplx.Abs(centre+toBore-last), centre+toBore
	}
	require.InEpsilon(t, least, result(t, set, "apex_seal.sliding_speed_lowest", "engine").Value, 1e-5)
	require.InEpsilon(t, most, result(t, set, "apex_seal.sliding_speed_highest", "engine").Value, 1e-5)
	require.InEpsilon(t, sum/steps, result(t, set, "apex_seal.sliding_speed_mean", "engine").Value, 1e-5)
	require.InEpsilon(t, round, result(t, set, "geometry.bore_perimeter", "engine").Value, 1e-5)
}

// The compression ratio is put together from the volumes that stand beside it:
// the ideal flank's, the relief's, the mean pocket and the recesses.
func TestRatioIsMadeOfItsVolumes(t *testing.T) {
	set := build2(t).compute(t)
	volume := func(id string) float64 { return result(t, set, id, "engine").Value }
	for at, pocket := range map[string]float64{ // cm3, means by hand
		"engine": 27.55, "rotor/1": 27.2, "rotor/2": 27.9, "rotor/1/face/3": 27.3, "rotor/2/face/2": 27.8,
	} {
		least := volume("compression.ideal_least_volume") + volume("compression.relief_volume") + (pocket+1.2)*1e-6
		require.InEpsilon(t, (least+volume("chamber.swept_volume"))/least, result(t, set, "compression.ratio", at).Value, 1e-12, at)
	}
	least := result(t, set, "compression.least_volume", "rotor/2").Value
	require.InEpsilon(t, volume("compression.ideal_least_volume")+volume("compression.relief_volume")+29.1e-6, least, 1e-12)
}

// The pocket for the wanted ratio, machined, gives that ratio.
func TestPocketForTheTargetGivesTheTarget(t *testing.T) {
	s := build1(t)
	pocket := result(t, s.compute(t), "compression.pocket_for_target", "engine").In()
	for _, face := range []string{"1", "2", "3"} {
		s.set(t, mockUp1, fmt.Sprintf("%.9f", pocket), "readings", "pocket_volume", "rotor/1/face/"+face)
	}
	require.InDelta(t, 9.3, result(t, s.compute(t), "compression.ratio", "rotor/1").Value, 1e-8)
}

// A burette reading of the whole chamber takes precedence over the pocket.
func TestBuretteReadingTakesPrecedence(t *testing.T) {
	s := build1(t).replace(t, mockUp1, "readings:\n", "readings:\n  chamber_volume_at_tdc:\n    unit: cm3\n    rotor/1/face/1: 70.0\n    rotor/2: 69.0\n")
	set := s.compute(t)
	swept := result(t, set, "chamber.swept_volume", "engine").In()
	require.InDelta(t, (70+swept)/70, result(t, set, "compression.ratio", "rotor/1/face/1").Value, 1e-9)
	require.InDelta(t, (69+swept)/69, result(t, set, "compression.ratio", "rotor/2").Value, 1e-9)
	require.InDelta(t, 69, result(t, set, "compression.least_volume", "rotor/2").In(), 1e-9)
	require.Equal(t, "9.33", result(t, set, "compression.ratio", "rotor/1/face/2").Text(), "its own pocket still")
}

// The bore measured along its axes gives back throw and tip radius.
func TestMeasuredBoreGivesTheSpecBack(t *testing.T) {
	s := build1(t).replace(t, mockUp1, "readings:\n", "readings:\n"+
		"  bore_major_axis:\n    unit: mm\n    housing/1/depth/front: 228.02\n    housing/1/depth/rear: 228.00\n"+
		"  bore_minor_axis:\n    unit: mm\n    housing/1/depth/front: 172.02\n    housing/1/depth/rear: 171.98\n")
	set := s.compute(t)
	require.InDelta(t, 14.0025, result(t, set, "bore.eccentricity", "housing/1").In(), 1e-9) // (228.01 − 172.00)/4
	require.InDelta(t, 100.0025, result(t, set, "bore.tip_radius", "housing/1").In(), 1e-9)  // (228.01 + 172.00)/4
}

// Hot clearance is each part grown by its own heat; no verdict follows from
// assumed temperatures.
func TestHotClearanceByHand(t *testing.T) {
	s := build1(t).replace(t, "spec.yaml", "cooling:\n", "cooling:\n  housing_temperature: 120 degC\n  rotor_temperature: 220 degC\n  housing_expansion: 23 1e-6/K\n  rotor_expansion: 11 1e-6/K\n")
	r := result(t, s.compute(t), "rotor.side_clearance_hot", "rotor/2")
	hot := 78.004*(1+23e-6*100) - 77.866*(1+11e-6*200)
	require.InDelta(t, hot, r.In(), 1e-9)
	require.Equal(t, figure.NoVerdict, r.Verdict)
}
