package figure_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"stackbook/record"
	"stackbook/record/figure"
)

// dynoRun is a run of one row.
func dynoRun(head, table string) small {
	return small{"geometry: {rotors: 3}\n", map[string]string{"dyno 2024-03-02": head + "tables:\n  dyno:\n" + table + "    columns: [speed rpm, power kW]\n    rows: [[8000, 300]]\n"}}
}

const airOfTheDay = "ambient: {pressure: 985 hPa, temperature: 30 degC, humidity: 50 %}\n"

// Corrected power is power times the factor; of figures that bear a correction,
// or of which nobody says that they bear none, nothing is corrected.
func TestWeatherIsCorrectedOnce(t *testing.T) {
	set := dynoRun(airOfTheDay, "    correction: none\n").compute(t)
	for id, factor := range map[string]float64{"sae_first": 1.04223583, "sae_later": 1.04209266, "iso": 1.04310398, "din": 1.04582909, "sixty_fahrenheit": 1.07726769} {
		r := result(t, set, "power.corrected_"+id, "engine")
		require.InEpsilon(t, 300*factor, r.In(), 1e-6, id)
		require.Equal(t, record.Measured, r.Origin)
	}
	for _, table := range []string{"    correction: ISO 1585 of 1992\n", ""} {
		set := dynoRun(airOfTheDay, table).compute(t)
		require.Nil(t, set.Find("power.corrected_iso", "engine"), table)
		require.Nil(t, missing(set, "power.factor_iso", "engine"), table)
	}
	half := dynoRun("ambient: {pressure: 985 hPa, temperature: 30 degC}\n", "    correction: none\n").compute(t)
	require.Equal(t, []string{"ambient.humidity beside the dyno run"}, needed(t, half, "power.factor_iso", "engine").Needs)
	require.NotNil(t, half.Find("power.factor_din", "engine"), "it ignores humidity")
	require.Nil(t, missing(dynoRun("", "    correction: none\n").compute(t), "power.factor_iso", "engine"))
}

// Power at the wheel is brought to the shaft only with a stated efficiency.
func TestPowerBehindADriveline(t *testing.T) {
	set := dynoRun("", "    power_at: wheel\n    driveline_loss: 5 kW\n").compute(t)
	require.Equal(t, []string{"tables.dyno.driveline_efficiency beside the dyno run"}, needed(t, set, "power.at_shaft", "engine").Needs)
	require.InEpsilon(t, 300/0.85+5, result(t, dynoRun("", "    power_at: propeller\n    driveline_efficiency: 85 %\n    driveline_loss: 5 kW\n").compute(t), "power.at_shaft", "engine").In(), 1e-9)
	for _, table := range []string{"    power_at: shaft\n    driveline_efficiency: 85 %\n", "    power_at: wheel\n"} {
		set := dynoRun("", table).compute(t)
		require.Nil(t, set.Find("power.at_shaft", "engine"), table)
		require.Nil(t, missing(set, "power.at_shaft", "engine"), table)
	}
}

// n rotors, n halves of a two-rotor of this shop.
func TestHalvesOfATwoRotor(t *testing.T) {
	s := dynoRun("", "")
	s.spec += "targets: {two_rotor_power: 190 kW}\n"
	require.Equal(t, "285", result(t, s.compute(t), "power.halves_of_two_rotor", "engine").Text())
}

// 10 mm more of runner lowers the tuned speed in the proportion of the lengths;
// runners of their own give a figure a rotor.
func TestRunners(t *testing.T) {
	const one = "geometry: {rotors: 2}\ninduction: {runner_length: 400 mm, air_temperature: 20 degC, tuning_angle: 270 deg%s}\n"
	set := small{spec: sprintf(one, "")}.compute(t)
	tuned := result(t, set, "induction.tuned_speed", "engine").Value
	require.InEpsilon(t, tuned*(400./410-1), result(t, set, "induction.longer", "engine").Value, 1e-9)
	require.InEpsilon(t, tuned/3, result(t, set, "induction.tuned_speed_third", "engine").Value, 1e-9)
	differ := small{spec: sprintf(one, ", runners: {rotor/2: {length: 500 mm}}")}.compute(t)
	require.InEpsilon(t, tuned, result(t, differ, "induction.tuned_speed", "rotor/1").Value, 1e-9)
	require.InEpsilon(t, tuned*0.8, result(t, differ, "induction.tuned_speed", "rotor/2").Value, 1e-9)
	require.Nil(t, differ.Find("induction.tuned_speed", "engine"))
	demo := build1(t).compute(t)
	require.Nil(t, missing(demo, "induction.tuned_speed", "engine"), "a length alone asks for nothing")
	lacking := small{spec: "geometry: {rotors: 1}\ninduction: {tuning_angle: 270 deg, runner_length: 400 mm}\n"}.compute(t)
	require.Equal(t, []string{"induction.air_temperature in spec.yaml"}, needed(t, lacking, "induction.tuned_speed", "engine").Needs)
}

// The resonance with the chamber takes the mean of its largest and least volume.
func TestHelmholtzWithTheChamber(t *testing.T) {
	s := build1(t).replace(t, "spec.yaml", "  runner_length: 410 mm\n", "  runner_length: 410 mm\n  runner_diameter: 44 mm\n  air_temperature: 30 degC\n")
	set := s.compute(t)
	least := ideal(t, set) + result(t, set, "compression.relief_volume", "engine").Value + 28.4e-6 // mean pocket 27.2, recess 1.2
	volume := least + result(t, set, "chamber.swept_volume", "engine").Value/2
	sound := math.Sqrt(1.4 * 287.05287 * 303.15)
	f := sound / (2 * math.Pi) * math.Sqrt(math.Pi/4*0.044*0.044/(0.410*volume))
	require.InEpsilon(t, 60*f, result(t, set, "induction.helmholtz_chamber", "engine").In(), 1e-3)
}

func ideal(t *testing.T, set *figure.Set) float64 {
	return result(t, set, "compression.ideal_least_volume", "engine").Value
}

// Injectors: the duty for the measured power before the wanted one, and with the
// dead time at the speed of that power.
func TestInjectors(t *testing.T) {
	const injected = "targets: {power: 200 kW, power_speed: 8500 rpm}\nfuel: {consumption: 330 g/kWh, injectors: 4, injector_flow: 800 cm3/min, injector_test_pressure: 300 kPa, rail_pressure: 300 kPa, density: 0.745 g/cm3, dead_time: 0.9 ms}\n"
	wanted := small{spec: "geometry: {rotors: 3}\n" + injected}.compute(t)
	duty := 100 * 200 * 330 / 60. / (4 * 800 * 0.745)
	require.InEpsilon(t, duty, result(t, wanted, "fuel.duty", "engine").In(), 1e-9)
	require.InEpsilon(t, duty+100*0.9e-3*8500/60, result(t, wanted, "fuel.duty_energised", "engine").In(), 1e-9)
	run := dynoRun("", "")
	run.spec += injected
	measured := run.compute(t)
	require.InEpsilon(t, 1.5*duty, result(t, measured, "fuel.duty", "engine").In(), 1e-9, "300 kW measured")
	require.InEpsilon(t, 1.5*duty+100*0.9e-3*8000/60, result(t, measured, "fuel.duty_energised", "engine").In(), 1e-9)
	none := small{spec: "geometry: {rotors: 2}\nfuel: {injectors: 4}\n"}.compute(t)
	require.Contains(t, needed(t, none, "fuel.duty", "engine").Needs, "fuel.injector_flow in spec.yaml")
	require.Nil(t, missing(build1(t).compute(t), "fuel.duty", "engine"), "carburettors")
}

// A stock pump in a wet sump is held against what it is run to in the trade.
func TestStockPump(t *testing.T) {
	for speed, verdict := range map[string]figure.Verdict{"7500 rpm": figure.Conforms, "7501 rpm": figure.Fails} {
		s := small{spec: "geometry: {rotors: 2}\noperating: {speed_momentary: " + speed + "}\nlubrication: {kind: wet sump, stock_pump: yes}\n"}
		r := result(t, s.compute(t), "oil.stock_pump_speed", "engine")
		require.Equal(t, verdict, r.Verdict, speed)
		require.Equal(t, "common practice, no source", r.Limit.Source)
	}
	for _, other := range []string{"{kind: dry sump, stock_pump: yes}", "{kind: wet sump}", "{kind: wet sump, stock_pump: no}"} {
		set := small{spec: "geometry: {rotors: 2}\noperating: {speed_momentary: 9000 rpm}\nlubrication: " + other + "\n"}.compute(t)
		require.Nil(t, set.Find("oil.stock_pump_speed", "engine"), other)
	}
}

// The belt fitted against the belt the centres call for: slack is positive, and
// at the centres it fits there is none.
func TestBeltAgainstItsCentres(t *testing.T) {
	spec := "geometry: {rotors: 2}\nlubrication: {belt_pitch: 8 mm, drive_teeth: 22, pump_teeth: 30, belt_teeth: 77, belt_centres: 200 mm}\n"
	set := small{spec: spec}.compute(t)
	require.InDelta(t, 77*8-608.51888, result(t, set, "oil.belt_difference", "engine").In(), 1e-4)
	fits := result(t, set, "oil.belt_centres", "engine").In()
	again := small{spec: sprintf("geometry: {rotors: 2}\nlubrication: {belt_pitch: 8 mm, drive_teeth: 22, pump_teeth: 30, belt_teeth: 77, belt_centres: %.9f mm}\n", fits)}.compute(t)
	require.InDelta(t, 0, result(t, again, "oil.belt_difference", "engine").In(), 1e-6)
	require.Equal(t, "10", result(t, set, "oil.belt_teeth_in_mesh", "engine").Text()) // 22 · 174.2/360
}
