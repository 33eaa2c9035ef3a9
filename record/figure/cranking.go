package figure

import (
	"errors"
	"maps"
	"math"
	"slices"

	"stackbook/record"
	"stackbook/schema"
	"stackbook/schema/quantity"
)

const (
	crankingNote  = "three pulses in sequence, not named faces unless a mark was logged; say tester, warm or cold, wet or dry, and throttle in the session's conditions"
	atReference   = "each pulse brought to a barometer of 101.325 kPa"
	estimate      = "estimate, no verdict"
	referenceRPM  = 250.0 // speed of the test [S16b], rpm
	sameSpeed     = 0.10  // speeds this far from the reference, as a part of it, still compare; common practice, no source
	speedsApart   = 0.05  // two speeds less apart than this, as a part of the lower, tell more of the noise than of the leak; common practice, no source
	speedsBesides = 0.05  // how far beyond the two speeds, as a part of 250 rpm, the estimate is still given; common practice, no source
)

func cranking() []*Figure {
	return []*Figure{
		{
			ID: "cranking.speed", Topic: TopicCranking, Title: "speed during the test", Unit: "rpm", Decimals: 0, At: at("rotor/*r"), Words: "as read in the session of the pulses, at the rotor or of the engine", Source: "the reading itself", Only: wasCranked,
			Work: func(l *Look, at string) float64 { return l.test(at).speed },
		},
		{
			ID: "cranking.lowest", Topic: TopicCranking, Title: "cranking pressure, lowest pulse", Unit: "kPa", Dim: quantity.PressureGauge, Decimals: 0, At: at("rotor/*r"), Formula: "cranking-barometer",
			Words: "lowest of the pulses, " + atReference + ": p_ref = p_g 101.325 kPa/p_b", Note: crankingNote, Only: wasCranked,
			Work: func(l *Look, at string) float64 { return least(l.comparedPulses(at)) },
		},
		{
			ID: "cranking.pulse_spread", Topic: TopicCranking, Title: "pulses of the rotor, highest less lowest", Unit: "kPa", Decimals: 0, At: at("rotor/*r"), Formula: "cranking-barometer",
			Words: "highest − lowest of the three pulses, " + atReference, Note: crankingNote, Only: wasCranked,
			Work: func(l *Look, at string) float64 {
				pulses := l.comparedPulses(at)
				if len(pulses) < 3 {
					l.miss("three pulses of cranking_pressure at " + at)
				}
				return greatest(pulses) - least(pulses)
			},
		},
		{
			ID: "cranking.rotor_difference", Rotors: OfWhole, Topic: TopicCranking, Title: "means of the rotors, highest less lowest", Unit: "kPa", Decimals: 0, At: at("engine"), Formula: "cranking-barometer",
			Words: "largest − smallest mean of a rotor's pulses, " + atReference + "; that means and not extremes are compared is an assumption", Note: crankingNote,
			Only: func(e *record.Engine) bool { return e.Rotors > 1 && wasCranked(e) },
			Work: func(l *Look, _ string) float64 {
				return l.apart(func(rotor string) float64 { return average(l.comparedPulses(rotor)) })
			},
		},
		{
			ID: "cranking.at_two_speeds", Mark: estimate, Topic: TopicCranking, Title: "cranking pressure at 250 rpm, from two speeds", Unit: "kPa", Dim: quantity.PressureGauge, Decimals: 0, At: at("rotor/*r"), Formula: "cranking-two-speeds",
			Note: estimate + "; means of the pulses of two sessions, " + atReference, Where: crankedAtTwoSpeeds, Limit: neverJudged, Work: twoSpeeds("pressure-at-250"),
		},
		{
			ID: "cranking.leakage", Mark: estimate, Topic: TopicCranking, Title: "leakage, from two speeds", Unit: "rpm", Decimals: 0, At: at("rotor/*r"), Formula: "cranking-two-speeds",
			Note: estimate + "; larger is leakier", Where: crankedAtTwoSpeeds, Limit: neverJudged, Work: twoSpeeds("leakage"),
		},
	}
}

// crankingTest is one cranking test of one rotor, SI; what was not read is 0.
type crankingTest struct {
	session          string
	pulses           []float64
	speed, barometer float64
}

// crankingTests are the tests of a rotor that may count, the latest last.
func (l *Look) crankingTests(rotor string) []crankingTest {
	e := l.ask(what{tests, "", rotor})
	var list []crankingTest
	for i, row := range e.rows {
		t := crankingTest{session: e.words[i]}
		for place, cell := range row.cells {
			switch v := e.values[cell].SI; place {
			case "speed":
				t.speed = v
			case "barometer":
				t.barometer = v
			default:
				t.pulses = append(t.pulses, v)
			}
		}
		slices.Sort(t.pulses)
		list = append(list, t)
	}
	return list
}

// noteTest notes what a test was read with; only that of the tests which count.
func (l *Look) noteTest(rotor string, n int) {
	e := l.ask(what{tests, "", rotor})
	for _, cell := range slices.Sorted(maps.Values(e.rows[n].cells)) {
		l.note(&e.inputs[cell])
	}
}

// test is the test of a rotor that counts, the latest.
func (l *Look) test(rotor string) crankingTest {
	list := l.crankingTests(rotor)
	if len(list) == 0 {
		l.miss("cranking_pressure at " + rotor)
		return crankingTest{}
	}
	t := list[len(list)-1]
	l.noteTest(rotor, len(list)-1)
	if t.speed == 0 {
		l.miss("cranking_speed at " + rotor + " in " + t.session)
	}
	return t
}

// comparedPulses are the pulses of the test that counts at the reference barometer,
// lowest first. A test at another speed than the reference is not compared: no
// formula brings it there.
func (l *Look) comparedPulses(rotor string) []float64 {
	t := l.test(rotor)
	if t.speed > 0 && math.Abs(t.speed-rpm(referenceRPM)) > sameSpeed*rpm(referenceRPM)*(1+1e-9) {
		mend := "read at two speeds"
		if _, _, ok := apartInSpeed(l.crankingTests(rotor)); ok {
			mend = "the estimate from two speeds stands beside it"
		}
		l.fail(errors.New("read at " + inUnit(t.speed, "rpm", 0) + ": not comparable with 250 rpm; " + mend))
	}
	return l.atReference(t)
}

// atReference brings the pulses of a test to the reference barometer.
func (l *Look) atReference(t crankingTest) []float64 {
	if t.barometer == 0 && t.session != "" {
		l.miss("ambient.pressure in " + t.session)
	}
	pulses := make([]float64, len(t.pulses))
	for i, p := range t.pulses {
		pulses[i] = l.Formula("cranking-barometer", "reference-pressure", in{{"pressure", p}, {"barometer", t.barometer}}, nil)
	}
	return pulses
}

// apartInSpeed picks the latest test and the latest before it at another speed.
func apartInSpeed(list []crankingTest) (before, latest int, ok bool) {
	latest = len(list) - 1
	for before = latest - 1; before >= 0; before-- {
		a, b := list[before].speed, list[latest].speed
		if a > 0 && b > 0 && math.Abs(a-b) >= speedsApart*min(a, b) {
			return before, latest, true
		}
	}
	return 0, 0, false
}

func twoSpeeds(result string) func(l *Look, at string) float64 {
	return func(l *Look, at string) float64 {
		list := l.crankingTests(at)
		before, latest, ok := apartInSpeed(list)
		if !ok {
			l.miss("cranking_pressure at " + at + " at a second speed")
			return 0
		}
		l.noteTest(at, before)
		l.noteTest(at, latest)
		a, b := list[before], list[latest]
		low, high := min(a.speed, b.speed), max(a.speed, b.speed)
		if beyond := float64(speedsBesides * rpm(referenceRPM)); rpm(referenceRPM) < low-beyond || rpm(referenceRPM) > high+beyond {
			l.fail(errors.New("250 rpm lies too far outside " + inUnit(low, "rpm", 0) + " and " + inUnit(high, "rpm", 0)))
		}
		args := in{{"pressure-1", average(l.atReference(a))}, {"speed-1", a.speed}, {"pressure-2", average(l.atReference(b))}, {"speed-2", b.speed}}
		return l.Formula("cranking-two-speeds", result, args, nil)
	}
}

// wasCranked tells whether some rotor has a cranking test that may count.
func wasCranked(e *record.Engine) bool {
	point := schema.FindPoint("cranking_pressure")
	return slices.ContainsFunc(schema.Pattern("rotor/*r").Expand(e.Rotors), func(rotor string) bool { return len(e.Usable(point, rotor)) > 0 })
}

// crankedAtTwoSpeeds tells whether a rotor has tests at two speeds.
func crankedAtTwoSpeeds(e *record.Engine, at string) bool {
	_, _, ok := apartInSpeed(newLook(newReader(e), at).crankingTests(at))
	return ok
}

// rpm is a speed in revolutions a minute, in rad/s.
func rpm(n float64) float64 { return n * math.Pi / 30 }

func least(list []float64) float64 {
	if len(list) == 0 {
		return 0
	}
	return slices.Min(list)
}

func greatest(list []float64) float64 {
	if len(list) == 0 {
		return 0
	}
	return slices.Max(list)
}

func average(list []float64) float64 {
	sum := 0.0
	for _, x := range list {
		sum += x
	}
	return sum / float64(max(1, len(list)))
}
