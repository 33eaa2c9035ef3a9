package figure_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"stackbook/record"
	"stackbook/record/figure"
)

// sprintf shortens the tables.
var sprintf = fmt.Sprintf

const fourRotorPorts = `geometry: {rotors: 4}
porting:
  ports:
    port/1/intake/primary: {area: 1200 mm2, opens: 3 deg, closes: 60 deg}
    port/2/intake/primary: {area: 500 mm2, opens: 12 deg, closes: 40 deg}
    port/2/intake/secondary: {area: 550 mm2, opens: 10 deg, closes: 70 deg}
    port/2/intake/auxiliary: {state: filled, area: 400 mm2, opens: -40 deg, closes: 110 deg}
    port/3/intake/primary: {area: 500 mm2, opens: 12 deg, closes: 40 deg}
    port/3/intake/secondary: {area: 550 mm2, opens: 10 deg, closes: 72 deg}
    port/4/intake/primary: {area: 1200 mm2, opens: 4 deg, closes: 60 deg}
`

// A four-rotor whose middle rotors breathe by two small ports: the earliest
// opens, the latest closes, a filled port does neither, and the areas add up.
func TestPortsOfAFourRotor(t *testing.T) {
	set := small{spec: fourRotorPorts}.compute(t)
	for _, row := range [][3]string{
		{"rotor.intake_opens", "rotor/2", "10.0"}, {"rotor.intake_closes", "rotor/2", "70.0"}, {"rotor.intake_duration", "rotor/2", "330.0"}, // 270 − 10 + 70
		{"rotor.intake_opens", "rotor/1", "3.0"}, {"rotor.intake_duration", "rotor/1", "327.0"},
		{"port.intake_duration", "port/2/intake/primary", "298.0"}, // 270 − 12 + 40
		{"ports.intake_opens_spread", "engine", "7.0"},             // 10 − 3
		{"ports.intake_closes_spread", "engine", "12.0"},           // 72 − 60
		{"rotor.intake_area", "rotor/1", "1200"}, {"rotor.intake_area", "rotor/2", "1050"},
		{"rotor.intake_area_share", "rotor/1", "26.7"}, {"rotor.intake_area_share", "rotor/3", "23.3"}, // of 4500
	} {
		require.Equal(t, row[2], result(t, set, row[0], row[1]).Text(), row[:2])
	}
	for _, id := range []string{"rotor.exhaust_opens", "rotor.exhaust_area", "rotor.port_overlap", "rotor.exhaust_duration"} {
		require.Nil(t, set.Find(id, "rotor/1"), id)
	}
	require.Nil(t, set.Find("port.intake_opens", "port/2/intake/auxiliary"), "filled")
	require.Nil(t, missing(set, "port.intake_opens", "port/2/intake/auxiliary"))
}

// What the degree wheel says comes before the spec, brought from the one top
// dead centre it counts from to the dead centre the spec counts from. A wheel
// that went on turning has a whole working cycle of 1080 degrees too many.
func TestPortsByDegreeWheel(t *testing.T) {
	readings := "readings:\n" +
		"  port_opens: {unit: deg, port/1/intake/peripheral: -86, port/1/exhaust/peripheral: %s}\n" +
		"  port_closes: {unit: deg, port/1/intake/peripheral: 345, port/1/exhaust/peripheral: 48}\n"
	for _, exhaust := range []string{"-345", "735"} { // 735 − 1080 is −345
		s := small{"geometry: {rotors: 1}\nporting: {intake_opens: -80 deg}\n", map[string]string{"mock-up 2024-03-02": sprintf(readings, exhaust)}}
		set := s.compute(t)
		for _, row := range [][2]string{ // as the known answer port.pp.01 has them
			{"rotor.intake_opens", "-86.0"}, {"rotor.intake_closes", "75.0"}, {"rotor.exhaust_opens", "75.0"}, {"rotor.exhaust_closes", "48.0"},
			{"rotor.intake_duration", "431.0"}, {"rotor.exhaust_duration", "393.0"}, {"rotor.port_overlap", "134.0"},
		} {
			r := result(t, set, row[0], "rotor/1")
			require.Equal(t, row[1], r.Text(), row[0])
			require.Equal(t, record.Measured, r.Origin, row[0])
		}
		require.Equal(t, "75.0", result(t, set, "port.exhaust_opens", "port/1/exhaust/peripheral").Text())
	}
}

// What of the timing is missing is named; what nobody speaks of is left out.
func TestPortsThatAreNotWhole(t *testing.T) {
	set := small{spec: "geometry: {rotors: 2}\nporting: {intake_closes: 50 deg, ports: {port/1/exhaust/side: {opens: 60 deg}}}\n"}.compute(t)
	require.Equal(t, record.Nominal, result(t, set, "rotor.intake_closes", "rotor/2").Origin)
	require.Equal(t, []string{"porting.intake_opens in spec.yaml"}, needed(t, set, "rotor.intake_duration", "rotor/1").Needs)
	require.Equal(t, []string{"port_closes at port/1/exhaust/side"}, needed(t, set, "port.exhaust_duration", "port/1/exhaust/side").Needs)
	require.Contains(t, needed(t, set, "rotor.exhaust_duration", "rotor/1").Needs, "port_closes at port/1/exhaust/side")
	require.Nil(t, missing(set, "rotor.exhaust_opens", "rotor/2"))
	require.Nil(t, missing(set, "ports.intake_closes_spread", "engine"), "what is said of all rotors is alike")
	require.Equal(t, []string{"porting.exhaust_opens in spec.yaml"}, needed(t, set, "ports.exhaust_opens_spread", "engine").Needs)
}

// An edge beyond half way round the bore is refused with the line it stands on.
func TestPortEdgeOutsideTheBore(t *testing.T) {
	s := small{"geometry: {rotors: 1, generating_radius: 102 mm, seal_tip_radius: 3 mm, eccentricity: 15 mm}\n",
		map[string]string{"mock-up 2024-03-02": "readings: {port_edge_arc: {unit: mm, port/1/intake/peripheral/edge/opening: 900}}\n"}}
	require.Contains(t, needed(t, s.compute(t), "port.intake_opens", "port/1/intake/peripheral").Why, "half way round the bore")
}

// Gas speed goes with the speed told, inversely with the area.
func TestGasSpeedGoesWithSpeedAndArea(t *testing.T) {
	spec := sprintf("geometry: {rotors: 1, generating_radius: 105 mm, seal_tip_radius: 0 mm, eccentricity: 15 mm, chamber_width: 80 mm}\noperating: {speed_momentary: %s rpm}\nporting: {intake_area: %s mm2, intake_opens: 0 deg, intake_closes: 60 deg}\n", "8000", "1000")
	slow := small{spec: spec}.compute(t)
	fast := small{spec: sprintf("geometry: {rotors: 1, generating_radius: 105 mm, seal_tip_radius: 0 mm, eccentricity: 15 mm, chamber_width: 80 mm}\noperating: {speed_momentary: %s rpm}\nporting: {intake_area: %s mm2, intake_opens: 0 deg, intake_closes: 60 deg}\n", "9000", "500")}.compute(t)
	require.InEpsilon(t, 2.25, result(t, fast, "rotor.intake_gas_speed", "rotor/1").Value/result(t, slow, "rotor.intake_gas_speed", "rotor/1").Value, 1e-9)
	require.Equal(t, figure.NoVerdict, result(t, slow, "rotor.intake_mach_index", "rotor/1").Verdict)
}
