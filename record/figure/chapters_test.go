package figure_test

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"stackbook/record"
	"stackbook/record/figure"
	"stackbook/schema/source"
)

// small is an invented engine of few words: the spec behind its head, and
// sessions by their stage and day ("cranking 2024-03-02").
type small struct {
	spec     string
	sessions map[string]string
}

const smallHead = "format: spec/1\nengine: SK-07\nid: 7f3a-91c0-55de\ntitle: small\nbuild: 1\n"

func (s small) load(t testing.TB) *record.Engine {
	t.Helper()
	e, problems := record.Load("engines/2024/SK-07", s.files())
	require.Empty(t, problems)
	return e
}

func (s small) files() []record.File {
	files := []record.File{{Path: "engines/2024/SK-07/spec.yaml", Data: []byte(smallHead + s.spec)}}
	for name, text := range s.sessions {
		stage, day, _ := strings.Cut(name, " ")
		head := fmt.Sprintf("format: measurements/1\nengine: SK-07\nbuild: 1\nstage: %s\ndate: %s\nby: KM\n", stage, day)
		files = append(files, record.File{Path: "engines/2024/SK-07/measurements/" + day + "-" + stage + "-KM.yaml", Data: []byte(head + text)})
	}
	return files
}

func (s small) compute(t testing.TB) *figure.Set {
	t.Helper()
	set := figure.Compute(s.load(t), nil)
	require.Empty(t, set.Problems)
	return set
}

// knownAnswer is one known answer of testdata/checks.yaml: its inputs and what
// follows from them, in the units the checks are in. An entry of a list has its
// number behind the name.
type knownAnswer struct {
	inputs, expected map[string]string
}

func knownAnswers(t testing.TB) map[string]knownAnswer {
	t.Helper()
	const file = "../../testdata/checks.yaml"
	doc, err := source.Parse(file, []byte(readFile(t, file)))
	require.NoError(t, err)
	values := func(n *source.Node) map[string]string {
		all := map[string]string{}
		for _, e := range n.Entries() {
			value := e.Value.Get("value")
			all[e.Key] = value.Text()
			for i, item := range value.Items() {
				all[e.Key+strconv.Itoa(i+1)] = item.Text()
			}
		}
		return all
	}
	answers := map[string]knownAnswer{}
	for _, n := range doc.Root().Get("checks").Items() {
		answers[n.Get("id").Text()] = knownAnswer{values(n.Get("inputs")), values(n.Get("expected"))}
	}
	return answers
}

var filled = regexp.MustCompile(`\{(\w+?)(?:([-+*])(\d+))?\}`)

// fill puts the inputs of a known answer into a record: {eta*100} is the input
// eta times 100.
func (k knownAnswer) fill(t testing.TB, text string) string {
	t.Helper()
	return filled.ReplaceAllStringFunc(text, func(hole string) string {
		m := filled.FindStringSubmatch(hole)
		value, ok := k.inputs[m[1]]
		require.True(t, ok, "%s", hole)
		if m[2] == "" {
			return value
		}
		x, err := strconv.ParseFloat(value, 64)
		require.NoError(t, err)
		y, _ := strconv.ParseFloat(m[3], 64)
		switch m[2] {
		case "-":
			x -= y
		case "+":
			x += y
		case "*":
			x *= y
		}
		return strconv.FormatFloat(x, 'g', 12, 64)
	})
}

// through is one set of known answers, the record that holds their inputs, and
// which figure gives which expected value.
type through struct {
	ids      []string
	spec     string
	sessions map[string]string
	want     map[string]string // "figure position": expected name, with -270 and the like behind it
}

const (
	boreOf    = "geometry: {rotors: 1, generating_radius: {R} mm, seal_tip_radius: {a} mm, eccentricity: {e} mm}\n"
	chamberOf = "geometry: {rotors: 1, generating_radius: 105 mm, seal_tip_radius: 0 mm, eccentricity: 15 mm, chamber_width: %s mm}\n"
	single    = "geometry: {rotors: 1}\n"
	noRun     = "targets: {power: {P} kW}\n"
	drive     = "lubrication: {drive_teeth: {z_drive}, pump_teeth: {z_pump}, pump_efficiency: {eta_v*100} %, pressure_displacement: {Disp} cm3/rev}\n"
	belt      = "lubrication: {belt_pitch: {p} mm, drive_teeth: {z1}, pump_teeth: {z2}, "
	bolt      = "fasteners: {torque: {T} N m, nut_factor: {K}, thread: {d} mm}\n"
	weatherOf = "ambient: {pressure: {p} hPa, temperature: {t} degC, humidity: {RH} %}\ntables: {dyno: {correction: none, columns: [speed rpm, power kW], rows: [[8000, 100]]}}\n"
)

func crankedAt(pressure, speed string) string {
	return "ambient: {pressure: 101.325 kPa}\nreadings:\n  cranking_pressure: {unit: kPa, rotor/1/pulse/1: " + pressure + "}\n  cranking_speed: {unit: rpm, engine: " + speed + "}\n"
}

func layout(rotors int, more string) string {
	return fmt.Sprintf("geometry: {rotors: %d}\ncooling: {flow: {V_dot} L/min, inlet: {T_in} degC, conductance: {hA} kW/K, housing_heat: {q1} kW, %s}\n", rotors, more)
}

func weatherWant(id, check string) through {
	return through{ids: []string{check + ".01", check + ".02", check + ".03"}, spec: single, sessions: map[string]string{"dyno 2024-03-02": weatherOf}, want: map[string]string{"power.factor_" + id + " engine": "CF"}}
}

var answersThroughFigures = []through{
	{ids: []string{"port.arc.01", "port.arc.02"}, spec: boreOf, sessions: map[string]string{"mock-up 2024-03-02": "readings: {port_edge_arc: {unit: mm, port/1/intake/peripheral/edge/opening: {s}}}\n"},
		want: map[string]string{"port.intake_opens port/1/intake/peripheral": "alpha_L", "rotor.intake_opens rotor/1": "alpha_L"}},
	{ids: []string{"port.arc.03", "port.arc.04"}, spec: boreOf, sessions: map[string]string{"mock-up 2024-03-02": "readings: {port_edge_arc: {unit: mm, port/1/exhaust/peripheral/edge/opening: {s}}}\n"},
		want: map[string]string{"port.exhaust_opens port/1/exhaust/peripheral": "-alpha_L-270"}},
	{ids: []string{"port.pub.late654"}, spec: single + "porting: {intake_opens: {IO} deg, intake_closes: {IC} deg, exhaust_opens: {EO} deg, exhaust_closes: -{EC} deg}\n",
		want: map[string]string{"rotor.intake_duration rotor/1": "dur_in", "rotor.exhaust_duration rotor/1": "dur_ex", "rotor.port_overlap rotor/1": "overlap"}},
	{ids: []string{"port.vel.01", "port.vel.02"}, spec: fmt.Sprintf(chamberOf, "80") + "operating: {speed_momentary: {rpm} rpm}\ninduction: {volumetric_efficiency: {eta_v*100} %}\nporting: {intake_area: {A} mm2, intake_opens: 0 deg, intake_closes: {theta-270} deg}\n",
		want: map[string]string{"rotor.intake_gas_speed rotor/1": "v_mean", "rotor.intake_mach_index rotor/1": "Z"}},
	{ids: []string{"port.vel.03"}, spec: fmt.Sprintf(chamberOf, "70") + "operating: {speed_momentary: {rpm} rpm}\nporting: {intake_area: {A} mm2, intake_opens: 0 deg, intake_closes: {theta-270} deg}\n",
		want: map[string]string{"rotor.intake_gas_speed rotor/1": "v_mean", "rotor.intake_mach_index rotor/1": "Z"}},
	{ids: []string{"cmp.baro.01", "cmp.baro.02", "cmp.baro.03"}, spec: single, sessions: map[string]string{"cranking 2024-03-02": strings.Replace(crankedAt("{p_g}", "250"), "101.325", "{p_b}", 1)},
		want: map[string]string{"cranking.lowest rotor/1": "p_ref_g"}},
	{ids: []string{"cmp.leak.01", "cmp.leak.02", "cmp.leak.03"}, spec: single, sessions: map[string]string{"cranking 2024-03-02": crankedAt("{p_g1}", "{N1}"), "cranking 2024-03-03": crankedAt("{p_g2}", "{N2}")},
		want: map[string]string{"cranking.at_two_speeds rotor/1": "p_250", "cranking.leakage rotor/1": "B"}},
	weatherWant("sae_first", "pow.cf.j1349_1990"), weatherWant("sae_later", "pow.cf.j1349_later"), weatherWant("iso", "pow.cf.iso1585"), weatherWant("din", "pow.cf.din70020"), weatherWant("sixty_fahrenheit", "pow.cf.std60f"),
	{ids: []string{"pow.loss.01", "pow.loss.02", "pow.loss.03", "pow.loss.04"}, spec: single,
		sessions: map[string]string{"dyno 2024-03-02": "tables: {dyno: {power_at: wheel, driveline_efficiency: {eta*100} %, driveline_loss: {P_0} kW, columns: [speed rpm, power kW], rows: [[8000, {P_wheel}]]}}\n"},
		want:     map[string]string{"power.at_shaft engine": "P_shaft"}},
	{ids: []string{"ind.N.01", "ind.N.02"}, spec: single + "induction: {runner_length: {L} m, air_temperature: {t} degC, tuning_angle: {theta} deg}\n", want: map[string]string{"induction.tuned_speed engine": "N"}},
	{ids: []string{"ind.N.03"}, spec: single + "induction: {runner_length: {L} m, air_temperature: {t} degC, tuning_angle: {theta} deg}\n", want: map[string]string{"induction.tuned_speed_second engine": "N"}},
	{ids: []string{"ind.helm.01", "ind.helm.02", "ind.helm.03"}, spec: single + "induction: {runner_length: {L_eff} m, runner_diameter: {d} mm, air_temperature: {t} degC, plenum_volume: {V} cm3}\n", want: map[string]string{"induction.helmholtz_plenum engine": "f"}},
	{ids: []string{"fuel.duty.01", "fuel.duty.02", "fuel.duty.03"}, spec: single + noRun + "fuel: {consumption: {BSFC} g/kWh, injectors: {n_inj}, injector_flow: {q} cm3/min, injector_test_pressure: 300 kPa, rail_pressure: 300 kPa, density: {rho} g/cm3}\n",
		want: map[string]string{"fuel.duty engine": "duty", "fuel.flow engine": "fuel"}},
	{ids: []string{"fuel.flow.01", "fuel.flow.02", "fuel.flow.03", "fuel.flow.04"}, spec: single + "fuel: {injector_flow: {q1} cm3/min, injector_test_pressure: {dp1} kPa, rail_pressure: {dp2} kPa}\n", want: map[string]string{"fuel.injector_flow engine": "q2"}},
	{ids: []string{"fuel.premix.02"}, spec: single + "fuel: {premix: {r}}\n", want: map[string]string{"fuel.premix_oil engine": "V_oil"}},
	{ids: []string{"lub.pump.01", "lub.pump.02", "lub.pump.03", "lub.pump.04"}, spec: single + "operating: {speed_momentary: {rpm} rpm}\n" + drive, want: map[string]string{"oil.pump_speed engine": "n_p", "oil.pressure_capacity engine": "Q"}},
	{ids: []string{"lub.beltspeed.01", "lub.beltspeed.02", "lub.beltspeed.03", "lub.beltspeed.04"}, spec: single + "operating: {speed_continuous: {rpm} rpm}\nlubrication: {belt_pitch: {p} mm, drive_teeth: {z}}\n", want: map[string]string{"oil.belt_speed engine": "v"}},
	{ids: []string{"lub.beltlen.01", "lub.beltlen.02", "lub.beltlen.03"}, spec: single + belt + "belt_centres: {C} mm}\n", want: map[string]string{"oil.belt_length engine": "L"}},
	{ids: []string{"lub.beltcentre.01", "lub.beltcentre.02", "lub.beltcentre.03", "lub.beltcentre.04"}, spec: single + belt + "belt_teeth: {z_belt}}\n", want: map[string]string{"oil.belt_centres engine": "C"}},
	{ids: []string{"lub.scav.01", "lub.scav.02", "lub.scav.03", "lub.scav.04"}, spec: single + "lubrication: {pressure_displacement: {Q_p} cm3/rev, scavenge_displacement: {Q_s} cm3/rev}\n", want: map[string]string{"oil.scavenge_ratio engine": "ratio"}},
	{ids: []string{"cool.area.01", "cool.area.02", "cool.area.03", "cool.area.04"}, spec: single + "cooling: {feeds: {front: {at: plate/1, passages: {n}, diameter: {d} mm}}}\n", want: map[string]string{"cooling.feed_area engine": "A", "cooling.feed_area plate/1": "A"}},
	{ids: []string{"cool.Q.01", "cool.Q.02", "cool.Q.03", "cool.Q.04"}, spec: single + "cooling: {routing: front to rear, coolant_density: {rho} kg/m3, coolant_heat: {cp} kJ/(kg K)}\n",
		sessions: map[string]string{"dyno 2024-03-02": "readings: {coolant_flow: {unit: L/min, engine: {V_dot}}, coolant_temperature: {unit: degC, engine/in: 80, housing/1/out: {dT+80}}}\n"},
		want:     map[string]string{"cooling.heat engine": "Qdot", "cooling.heat housing/1": "Qdot"}},
	{ids: []string{"cool.series.01"}, spec: layout(2, "routing: front to rear"), want: map[string]string{"cooling.outlet housing/1": "T_out1", "cooling.outlet housing/2": "T_out2", "cooling.metal_index housing/1": "T_metal1", "cooling.metal_index housing/2": "T_metal2"}},
	{ids: []string{"cool.series.03"}, spec: layout(4, "routing: rear to front"), want: map[string]string{"cooling.outlet housing/4": "T_out1", "cooling.outlet housing/1": "T_out4", "cooling.metal_index housing/3": "T_metal2"}},
	{ids: []string{"cool.centre.01"}, spec: layout(2, "routing: centre feed, feed_after: {split}"), want: map[string]string{"cooling.outlet housing/1": "T_out1", "cooling.outlet housing/2": "T_out2", "cooling.metal_index housing/2": "T_metal2"}},
	{ids: []string{"cool.centre.02"}, spec: layout(4, "routing: centre feed, feed_after: {split}"), want: map[string]string{"cooling.outlet housing/1": "T_out1", "cooling.outlet housing/3": "T_out3", "cooling.metal_index housing/4": "T_metal4"}},
	{ids: []string{"fast.preload.01", "fast.preload.02", "fast.preload.03", "fast.preload.04"}, spec: single + bolt, want: map[string]string{"fastener.preload engine": "F", "fastener.preload_lowest engine": "F_min35", "fastener.preload_highest engine": "F_max35"}},
	{ids: []string{"fast.As.01", "fast.As.02", "fast.As.03", "fast.As.04", "fast.As.05"}, spec: single + "fasteners: {thread: {d} mm, pitch: {P} mm}\n", want: map[string]string{"fastener.stress_area engine": "As"}},
}

// filled is the record with the inputs of a known answer.
func (r through) filled(t testing.TB, k knownAnswer) small {
	t.Helper()
	s := small{k.fill(t, r.spec), map[string]string{}}
	for name, text := range r.sessions {
		s.sessions[name] = k.fill(t, text)
	}
	return s
}

// What is known of the formulas comes out of the figures too: inputs are read
// from records, in their units, and given to the right arguments.
func TestKnownAnswersThroughFigures(t *testing.T) {
	answers := knownAnswers(t)
	for _, row := range answersThroughFigures {
		for _, id := range row.ids {
			k, ok := answers[id]
			require.True(t, ok, id)
			set := row.filled(t, k).compute(t)
			for what, expected := range row.want {
				figureID, at, _ := strings.Cut(what, " ")
				want := k.expectedValue(t, expected)
				require.InDelta(t, want, result(t, set, figureID, at).In(), 1e-6*math.Abs(want), "%s: %s", id, what)
			}
		}
	}
}

// expectedValue reads the name of an expected value; -alpha_L-270 is 270 less
// than the opposite of alpha_L.
func (k knownAnswer) expectedValue(t *testing.T, name string) float64 {
	t.Helper()
	sign, less := 1.0, 0.0
	if rest, ok := strings.CutPrefix(name, "-"); ok {
		rest, behind, _ := strings.Cut(rest, "-")
		less, _ = strconv.ParseFloat(behind, 64)
		sign, name = -1, rest
	}
	x, err := strconv.ParseFloat(k.expected[name], 64)
	require.NoError(t, err, name)
	return sign*x - less
}
