package figure_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"stackbook/record/figure"
)

// Figures that mislead say so wherever they are shown: in a word or two beside
// the title, the rest in the note. The words are those of the trade; a shop that
// hands such a figure to a customer without them tells him more than is known.
func TestMisleadingFiguresAreBounded(t *testing.T) {
	for _, row := range []struct {
		id, mark string
		notes    []string
	}{
		{"compression.ratio", "geometric", []string{"flank relief is rarely known", "0.05 mm of it is 0.09 of a ratio", "1 cm3 of pocket 0.13"}},
		{"compression.effective_ratio", "geometric", []string{"ram and leakage"}},
		{"cranking.lowest", "", []string{"three pulses in sequence, not named faces unless a mark was logged", "tester", "warm or cold", "wet or dry", "throttle"}},
		{"cranking.pulse_spread", "", []string{"not named faces"}},
		{"cranking.rotor_difference", "", []string{"not named faces"}},
		{"cranking.at_two_speeds", "estimate, no verdict", []string{"estimate, no verdict"}},
		{"cranking.leakage", "estimate, no verdict", []string{"estimate, no verdict"}},
		{"balance.residual", "on the machine, with these bob weights", []string{"on the machine, with these bob weights"}},
		{"balance.oil_effect", "", []string{"compare it with the permissible residual unbalance"}},
		{"rotor.side_clearance", "", []string{"clamping shortens an aluminium housing by some 0.02 mm"}},
		{"rotor.side_clearance_hot", "uniform assumed temperatures, no verdict", []string{"uniform assumed temperatures, no verdict"}},
		{"cooling.outlet", "index for comparing layouts", []string{"pass every housing twice, out along one side and back along the other", "oil carries a large share of the heat", "record oil in and out as well"}},
		{"cooling.metal_index", "an index for comparing layouts, not degrees to act on", []string{"not degrees to act on", "pass every housing twice"}},
		{"cooling.heat", "", []string{"oil carries a large share of the heat"}},
		{"apex_seal.nominal_thickness", "", []string{"talk of the trade: 3 to 5 hp a rotor from 3 mm to 2 mm ceramic seals; common practice, no source", "seal mass", "pull off the bore", "travel of the contact"}},
		{"fastener.preload", "", []string{"35 % dry, 25 % lubricated"}},
		{"fastener.preload_hot", "upper bound: bolts alone give way", []string{"a third or more"}},
		{"power.peak", "", []string{"less than 2 % on one dyno is no change"}},
		{"power.at_shaft", "estimate", []string{"no standard"}},
		{"power.halves_of_two_rotor", "plausibility, common practice, from the shop's own engines", []string{"from the shop's own engines"}},
		{"power.corrected_iso", "", []string{"not for controlled boost", "never compared"}},
		{"oil.pressure_capacity", "capacity, no relief, no aeration", []string{"capacity, no relief, no aeration"}},
		{"oil.scavenge_capacity", "capacity, no relief, no aeration", []string{"capacity, no relief, no aeration"}},
		{"oil.stock_pump_speed", "", []string{"common practice for it, no source"}},
		{"induction.tuned_speed", "±10 %", []string{"good to about 10 %"}},
		{"induction.tuned_speed_second", "±10 %", []string{"good to about 10 %"}},
		{"induction.tuned_speed_third", "±10 %", []string{"good to about 10 %"}},
		{"induction.longer", "±10 %", []string{"good to about 10 %"}},
		{"rotor.intake_gas_speed", "mean over the open period", []string{"mean over the open period"}},
		{"rotor.intake_mach_index", "mean over the open period", []string{"from memory"}},
		{"fuel.duty", "", []string{"80 to 85 %", "common practice, no source"}},
	} {
		f := figure.ByID(row.id)
		require.NotNil(t, f, row.id)
		assert.Equal(t, row.mark, f.Mark, row.id)
		for _, words := range row.notes {
			assert.Contains(t, f.Note, words, row.id)
		}
		if strings.Contains(row.mark, "no verdict") || strings.Contains(row.mark, "index") || strings.Contains(row.mark, "bound") {
			require.NotNil(t, f.Limit, "%s has a limit of its own: none, whatever a limit set says", row.id)
			_, judged := f.Limit(nil, "")
			assert.False(t, judged, row.id)
		}
	}
	for _, id := range []string{"power.peak", "power.per_rotor", "torque.peak", "power.at_shaft", "power.corrected_iso", "power.corrected_din"} {
		assert.InDelta(t, 0.02, figure.ByID(id).NoChange, 0, "%s: less than 2 %% on one dyno is no change", id)
	}
	require.Equal(t, figure.ByID("apex_seal.nominal_thickness").Note, figure.ByID("apex_seal.nominal_thickness").Beside, "it stands beside a change of thickness as well")
	require.NotNil(t, figure.ByID("rotor_static_unbalance"), "each rotor's own static balance beside the shaft's")
	require.NotNil(t, figure.ByID("balance.permissible"))
}
