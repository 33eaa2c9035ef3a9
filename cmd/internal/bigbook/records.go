package bigbook

import (
	"fmt"
	"math/rand/v2"
	"strings"
)

// engineState is what the spec of an engine says as its life goes on; its texts
// hold words to fill in.
type engineState struct {
	rotors  int
	build   int
	serials []string // of the rotors
	hours   []string // theirs when they were fitted
	used    []bool
	sent    string // the day the operating limits were sent, "" before
	limiter int
	rng     *rand.Rand // of the readings
}

const hint = "# yaml-language-server: $$schema=../../../../schemas/%s-1.json\nformat: %s/1\nengine: $number$\nbuild: %d\n"

// lines writes the lines of a record.
type lines struct{ strings.Builder }

func (l *lines) add(format string, args ...any) { fmt.Fprintf(l, format+"\n", args...) }

// spec is the whole spec.yaml.
func (s *engineState) spec() string {
	var l lines
	l.add("# yaml-language-server: $$schema=../../../schemas/spec-1.json")
	l.add("format: spec/1\nengine: $number$\nid: $id$\ntitle: %s lake engine, side intake ports\ncustomer: $customer$\nbuild: %d\nlimits: skarvik-race\ndirection: clockwise\ndrives_at: rear\n",
		[]string{"", "one-rotor", "two-rotor", "three-rotor"}[s.rotors], s.build)
	phases := []string{"", "0 deg", "0 deg, 180 deg", "0 deg, 240 deg, 120 deg"}[s.rotors]
	stations := []string{"", "0 mm", "0 mm, 128 mm", "0 mm, 128 mm, 256 mm"}[s.rotors]
	l.add("geometry:\n  rotors: %d\n  generating_radius: 98 mm\n  seal_tip_radius: 2 mm\n  eccentricity: 14 mm\n  chamber_width: 78 mm\n  phases: [%s]\n  stations: [%s]\n  flank_relief: 0.50 mm   # taken from the drawing\n  recess_volume: 1.2 cm3\n",
		s.rotors, phases, stations)
	s.parts(&l)
	l.add("\nporting:\n  intake: side\n  exhaust: peripheral\n  intake_closes: 50 deg\n")
	l.add("fuel:\n  kind: petrol\n  octane: 98 RON\n")
	l.add("ignition:\n  limiter: %d rpm\n", s.limiter)
	l.add("cooling:\n  routing: front to rear\n  flow: 150 L/min\n  inlet: 72 degC\n")
	l.add("operating:\n  speed_continuous: 8400 rpm\n  speed_momentary: %d rpm\n  coolant_alarm: 95 degC\n  coolant_stop: 105 degC", s.limiter-100)
	if s.sent != "" {
		l.add("  sent: %s", s.sent)
	}
	return l.String()
}

func (s *engineState) parts(l *lines) {
	l.add("parts:")
	for i := 1; i <= s.rotors; i++ {
		l.add("  housing/%d: {part: RH-80, serial: H-$serial$%d, material: aluminium, coating: chromium on steel%s}", i, i, s.origin(s.build > 1))
	}
	for i := 1; i <= s.rotors+1; i++ {
		l.add("  plate/%d: {part: PL-%d, serial: P-$serial$%d, material: cast iron}", i, i, i)
	}
	for i := 1; i <= s.rotors; i++ {
		l.add("  rotor/%d: {part: RT-80, serial: %s, supplier: S-02, material: cast iron%s, hours_at_fitting: %s}", i, s.serials[i-1], s.origin(s.used[i-1]), s.hours[i-1])
	}
	for i := 1; i <= s.rotors; i++ {
		for a := 1; a <= 3; a++ {
			l.add("  rotor/%d/apex/%d: {part: AS-3C, lot: B-$seals%d$, supplier: S-05, material: silicon nitride, thickness: 3 mm, origin: new}", i, a, s.build)
		}
	}
	l.add("  shaft: {part: ES-%d, serial: E-$serial$, material: forged steel}", s.rotors)
	for i := 1; i <= s.rotors; i++ {
		l.add("  bearing/rotor/%d: {part: RB-74, lot: L-2$bearings$}", i)
	}
	l.add("  bearing/main/front: {part: MB-43, lot: L-3$bearings$}\n  bearing/main/rear: {part: MB-43, lot: L-3$bearings$}\n  spacer: {part: SP-80, thickness: 8.025 mm}")
	for i := 1; i <= s.rotors; i++ {
		for _, end := range []string{"front", "rear"} {
			l.add("  joint/housing-%d/%s/inner: {part: CS-I, lot: L-1$coolant%d$, supplier: S-04, compound: fluorocarbon 75, origin: new}", i, end, s.build)
		}
	}
}

func (s *engineState) origin(used bool) string {
	if used {
		return ", origin: used"
	}
	return ", origin: new"
}

// near is a reading around a size, to three decimals.
func (s *engineState) near(size, spread float64) string {
	return fmt.Sprintf("%.3f", size+spread*(s.rng.Float64()-0.5))
}

// session is the head of a session; the readings follow.
func (s *engineState) session(l *lines, stage string, day int, by, hours string) {
	l.add(strings.TrimSuffix(hint, "\n")+"\nstage: %s\ndate: $d%d$\nhours: %s h\nby: %s", "measurements", "measurements", s.build, stage, day, hours, by)
}

const instruments = `instruments:
  M25: {kind: outside micrometer 0-25 mm, resolution: 0.001 mm, expanded_uncertainty: 0.003 mm}
  M100: {kind: outside micrometers 25-100 mm in three, resolution: 0.001 mm, expanded_uncertainty: 0.004 mm}
  B100: {kind: bore gauge 60-100 mm, resolution: 0.001 mm, expanded_uncertainty: 0.004 mm}
  BU: {kind: burette 50 cm3, resolution: 0.1 cm3, expanded_uncertainty: 0.1 cm3}`

// mockUp is the session in which most sizes are read.
func (s *engineState) mockUp(day int, hours string) string {
	var l lines
	s.session(&l, "mock-up", day, "KM", hours)
	l.add("temperature: 20.5 degC\n%s\nreadings:", instruments)
	s.housings(&l, 78.009)
	s.each(&l, "rotor_width", "M100", "rotor/%d/corner/%d", 77.862, 0.006)
	s.each(&l, "apex_seal_length", "M100", "rotor/%d/apex/%d", 77.93, 0.01)
	s.each(&l, "apex_seal_height", "M25", "rotor/%d/apex/%d", 8.01, 0.02)
	s.each(&l, "apex_seal_thickness", "M25", "rotor/%d/apex/%d", 2.999, 0.002)
	l.add("  journal_diameter:\n    unit: mm\n    instrument: M100")
	for i := 1; i <= s.rotors; i++ {
		l.add("    shaft/lobe/%d/front/x: %s\n    shaft/lobe/%d/rear/x: %s", i, s.near(73.998, 0.002), i, s.near(73.998, 0.002))
	}
	l.add("  bearing_bore:\n    unit: mm\n    instrument: B100")
	for i := 1; i <= s.rotors; i++ {
		l.add("    bearing/rotor/%d/front/x: %s\n    bearing/rotor/%d/rear/x: %s", i, s.near(74.064, 0.006), i, s.near(74.064, 0.006))
	}
	l.add("  pocket_volume:\n    unit: cm3\n    instrument: BU")
	for i := 1; i <= s.rotors; i++ {
		for f := 1; f <= 3; f++ {
			l.add("    rotor/%d/face/%d: %.1f", i, f, 27+0.4*s.rng.Float64())
		}
	}
	l.add("  crack_test:\n    method: magnetic particle\n    shaft: clear")
	for i := 1; i <= s.rotors; i++ {
		l.add("    rotor/%d: clear", i)
	}
	s.read(&l)
	return l.String()
}

// again is a mock-up with one of its widths read once more.
func (s *engineState) again(session string) string {
	const before = "housing/1/at/B: "
	head, tail, _ := strings.Cut(session, before)
	_, rest, _ := strings.Cut(tail, "\n")
	return head + before + s.near(78.009, 0.004) + "\n" + rest
}

func (s *engineState) housings(l *lines, size float64) {
	l.add("  housing_width:\n    unit: mm\n    instrument: M100")
	for i := 1; i <= s.rotors; i++ {
		for _, at := range []string{"A", "B", "C", "D"} {
			l.add("    housing/%d/at/%s: %s", i, at, s.near(size, 0.008))
		}
	}
}

// each is a point read three times a rotor.
func (s *engineState) each(l *lines, point, instrument, at string, size, spread float64) {
	l.add("  %s:\n    unit: mm\n    instrument: %s", point, instrument)
	for i := 1; i <= s.rotors; i++ {
		for n := 1; n <= 3; n++ {
			l.add("    "+at+": %s", i, n, s.near(size, spread))
		}
	}
}

// read names the serials that a session read.
func (s *engineState) read(l *lines) {
	var list []string
	for i := 1; i <= s.rotors; i++ {
		list = append(list, fmt.Sprintf("housing/%d: H-$serial$%d, rotor/%d: %s", i, i, i, s.serials[i-1]))
	}
	l.add("parts: {%s, shaft: E-$serial$}", strings.Join(list, ", "))
}

func (s *engineState) cleaned(day int, hours string) string {
	var l lines
	s.session(&l, "after-cleaning", day, "KM", hours)
	l.add("%s\nreadings:", instruments)
	s.housings(&l, 78.001)
	s.each(&l, "apex_seal_height", "M25", "rotor/%d/apex/%d", 7.62, 0.04)
	return l.String()
}

func (s *engineState) assembly(day int, hours string) string {
	var l lines
	s.session(&l, "assembly", day, "TR", hours)
	l.add("readings:\n  end_float:\n    unit: mm\n    engine: [%s, %s]", s.near(0.06, 0.01), s.near(0.06, 0.01))
	l.add("  turning_torque:\n    unit: N m\n    engine: %.1f\n  coolant_pressure_loss:\n    unit: kPa\n    engine: 0", 7*float64(s.rotors)+s.rng.Float64())
	l.add("  rotor_mass:\n    unit: kg")
	for i := 1; i <= s.rotors; i++ {
		l.add("    rotor/%d: %s", i, s.near(3.955, 0.02))
	}
	return l.String()
}

func (s *engineState) dyno(day int, hours string) string {
	var l lines
	s.session(&l, "dyno", day, "KM", hours)
	l.add("ambient: {pressure: 98.6 kPa, temperature: 19 degC, humidity: 55 %%}\nconditions: warm, full throttle\nreadings:")
	l.add("  coolant_flow:\n    unit: L/min\n    engine: 150\n  coolant_temperature:\n    unit: degC\n    engine/in: 72")
	for i := 1; i <= s.rotors; i++ {
		l.add("    housing/%d/out: %d", i, 72+4*i)
	}
	l.add("  oil_pressure_speed:\n    unit: kPa\n    method: 8000 rpm, oil 98 degC\n    engine: %d", 450+s.rng.IntN(40))
	l.add("tables:\n  dyno:\n    power_at: shaft\n    correction: none\n    columns: [speed rpm, torque N m]\n    rows:")
	for i, torque := range []float64{85.5, 89.6, 91.6, 91.2, 89.8} {
		l.add("      - [%d, %.1f]", 6000+600*i, float64(s.rotors)*torque+2*s.rng.Float64())
	}
	return l.String()
}

// change is a change of any kind, with further lines.
func (s *engineState) change(kind string, day int, by, hours, what string, more ...string) string {
	var l lines
	l.add(strings.TrimSuffix(hint, "\n")+"\ndate: $d%d$\nkind: %s\nby: %s\nhours: %s h\nwhat: %s", "change", "change", s.build, day, kind, by, hours, what)
	for _, m := range more {
		l.add("%s", m)
	}
	return l.String()
}
