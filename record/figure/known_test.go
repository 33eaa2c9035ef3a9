package figure_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"stackbook/record"
	"stackbook/record/figure"
)

// known is what a figure must print and be found to be. Every number of these
// tables is an invented one of the demo, or follows from them by arithmetic
// done by hand.
type known struct {
	id, at, text string
	verdict      figure.Verdict
}

func checkKnown(t *testing.T, s *figure.Set, rows []known) {
	t.Helper()
	require.Empty(t, s.Problems)
	for _, k := range rows {
		r := result(t, s, k.id, k.at)
		assert.Equal(t, k.text, r.Text(), "%s at %s", k.id, k.at)
		assert.Equal(t, k.verdict, r.Verdict, "%s at %s", k.id, k.at)
	}
}

// Build 1 as delivered: what the customer was told follows from the readings.
func TestBuild1AsDelivered(t *testing.T) {
	s := build1(t).compute(t)
	checkKnown(t, s, []known{
		{"chamber.swept_volume", "engine", "567.15", ""},
		{"engine.displacement", "engine", "1134.3", ""},
		{"rotor.side_clearance", "rotor/2", "0.138", "conforms"}, // 78.004 at C − 77.866
		{"rotor.side_clearance_at_A", "rotor/2", "0.146", ""},    // 78.012 − 77.866
		{"rotor.side_clearance", "rotor/1", "0.144", "conforms"}, // 78.008 − 77.864
		{"housing.width_difference", "housing/2", "0.008", "conforms"},
		{"apex_seal.end_gap", "rotor/2/apex/1", "0.070", "conforms"}, // 78.004 − 77.934
		{"apex_seal.end_gap_at_A", "rotor/2/apex/1", "0.078", ""},
		{"apex_seal.side_clearance", "rotor/2/apex/3", "0.065", "conforms"},           // 3.063 − 2.998
		{"apex_seal.side_clearance_smallest", "rotor/2/apex/1", "0.058", "undecided"}, // 3.058 − 3.000, 0.003 from its limit
		{"bearing.oil_clearance", "bearing/rotor/1", "0.066", "conforms"},
		{"bearing.oil_clearance", "bearing/rotor/2", "0.068", "conforms"},
		{"bearing.oil_clearance", "bearing/main/front", "0.058", "conforms"},
		{"bearing.oil_clearance", "bearing/main/rear", "0.061", "conforms"},
		{"bearing.oil_clearance_smallest", "bearing/main/front", "0.056", "conforms"}, // 43.015 − 42.959
		{"end_float", "engine", "0.062", "conforms"},
		{"flatness", "plate/3/front", "0.02", "conforms"},
		{"cranking_pressure", "rotor/1", "805", "conforms"},
		{"cranking_pressure", "rotor/2", "798", "conforms"},
		{"compression.ratio", "engine", "9.33", ""},
		{"compression.ratio", "rotor/2", "9.33", ""},
		{"counterweight.unbalance", "counterweight/front", "19480", ""},
		{"counterweight.unbalance", "counterweight/rear", "19284", ""},
		{"counterweight.angle", "counterweight/front", "180.0", ""},
		{"counterweight.angle", "counterweight/rear", "0.0", ""},
		{"counterweight.difference", "counterweight/front", "5", ""}, // 19485 − 19480
		{"counterweight.difference", "counterweight/rear", "-4", ""}, // 19280 − 19284
		{"balance.permissible", "counterweight/front", "16.3", ""},   // 2.5 mm/s · 12 kg / 921.5 rad/s / 2
		{"balance.residual", "counterweight/front", "11.0", "conforms"},
		{"balance.residual", "counterweight/rear", "13.0", "conforms"},
		{"balance.oil_effect", "counterweight/front", "49", ""}, // 10 g · 14 mm · 128/368
		{"balance.oil_effect", "counterweight/rear", "49", ""},
		{"balance.shaft_load", "rotor/1", "47.4", ""}, // 3.987 kg · 14 mm · (921.5 rad/s)²
		{"balance.static", "engine", "196", ""},       // 14 g · 14 mm
		{"balance.couple", "engine", "7119616", ""},   // 3973 g · 14 mm · 128 mm
		{"rotor.mass_spread", "engine", "14", ""},
		{"power.peak", "engine", "158.0", ""}, // 179.6 N m · 879.6 rad/s
		{"power.peak_speed", "engine", "8400", ""},
		{"power.per_rotor", "engine", "79.0", ""},
		{"torque.peak", "engine", "183.2", ""},
		{"torque.peak_speed", "engine", "7600", ""},
		{"geometry.k_factor", "engine", "7.000", ""},     // 98 / 14
		{"geometry.bore_major", "engine", "228.000", ""}, // 2 (98 + 2 + 14)
		{"geometry.bore_minor", "engine", "172.000", ""}, // 2 (98 + 2 − 14)
		{"rotor.speed", "engine", "2933", ""},            // 8800 / 3
	})
	require.Zero(t, s.Count()[figure.Fails])
}

// What nobody measured in build 1 is said: the spring load of rotor 1 and the
// step wear of the plates.
func TestBuild1HonestHoles(t *testing.T) {
	s := build1(t).compute(t)
	for _, apex := range []string{"rotor/1/apex/1", "rotor/1/apex/2", "rotor/1/apex/3"} {
		m := needed(t, s, "apex_spring_load", apex)
		require.Equal(t, figure.Unmeasured, m.Judged)
		require.Equal(t, []string{"apex_spring_load at " + apex}, m.Needs)
	}
	require.Equal(t, figure.Unmeasured, needed(t, s, "step_wear", "plate/1/rear").Judged)
	require.Equal(t, 7, s.Count()[figure.Unmeasured], "three springs and four plate faces")
}

// After cleaning, before anything was replaced: housing 2 has closed at C, the
// seals' end gap with it, and the springs of rotor 2 are tired.
func TestBuild2AsCleaned(t *testing.T) {
	s := demoTo(t, "10").compute(t)
	checkKnown(t, s, []known{
		{"housing.width_difference", "housing/2", "0.069", "fails"}, // 78.010 − 77.941, limit 0.06
		{"housing.width_difference", "housing/1", "0.004", "conforms"},
		{"apex_seal.end_gap", "rotor/2/apex/1", "0.007", "fails"}, // 77.941 − 77.934
		{"apex_seal.end_gap", "rotor/2/apex/3", "0.007", "fails"},
		{"apex_seal.end_gap_at_A", "rotor/2/apex/1", "0.076", ""},
		{"rotor.side_clearance", "rotor/2", "0.075", "fails"}, // 77.941 − 77.866, limit 0.08
		{"step_wear", "plate/1/rear", "0.06", "conforms"},
		{"apex_spring_height", "rotor/2/apex/2", "3.9", "conforms"},
		{"apex_spring_height", "rotor/2/apex/3", "3.4", "fails"},
		{"apex_spring_load", "rotor/2/apex/1", "30", "conforms"},
		{"apex_spring_load", "rotor/2/apex/3", "21", "fails"},
	})
	require.Nil(t, s.Find("cranking_pressure", "rotor/2"), "as received serves wear only")
	require.Nil(t, s.Find("end_float", "engine"), "as received serves wear only")
}

// Build 2 as delivered: a new housing and rotor, seals cut shorter, rebalanced.
func TestBuild2AsDelivered(t *testing.T) {
	s := build2(t).compute(t)
	checkKnown(t, s, []known{
		{"chamber.swept_volume", "engine", "567.15", ""},
		{"rotor.side_clearance", "rotor/2", "0.145", "conforms"}, // 78.008 − 77.863
		{"housing.width_difference", "housing/2", "0.006", "conforms"},
		{"apex_seal.end_gap", "rotor/2/apex/1", "0.098", "conforms"}, // 78.008 − 77.910
		{"apex_seal.end_gap", "rotor/1/apex/1", "0.098", "conforms"},
		{"bearing.oil_clearance", "bearing/main/front", "0.058", "conforms"},
		{"bearing.oil_clearance", "bearing/rotor/2", "0.068", "conforms"}, // 74.065 − 73.997
		{"end_float", "engine", "0.065", "conforms"},
		{"step_wear", "plate/1/rear", "0.06", "conforms"},
		{"compression.ratio", "rotor/1", "9.33", ""},
		{"compression.ratio", "rotor/2", "9.25", ""},
		{"counterweight.unbalance", "counterweight/front", "19628", ""},
		{"counterweight.unbalance", "counterweight/rear", "18984", ""},
		{"balance.permissible", "counterweight/rear", "16.3", ""},
		{"balance.residual", "counterweight/front", "9.0", "conforms"},
		{"balance.residual", "counterweight/rear", "12.0", "conforms"},
		{"balance.oil_effect", "counterweight/front", "49", ""},
		{"rotor.mass_spread", "engine", "46", ""}, // 3962 − 3916
		{"cranking_pressure", "rotor/1", "808", "conforms"},
		{"cranking_pressure", "rotor/2", "810", "conforms"},
		{"power.peak", "engine", "161.0", ""}, // 183.0 N m · 879.6 rad/s
		{"power.peak_speed", "engine", "8400", ""},
		{"torque.peak", "engine", "185.8", ""},
		{"rotor.speed", "engine", "2900", ""}, // 8700 / 3
	})
	require.Zero(t, s.Count()[figure.Fails]+s.Count()[figure.Unmeasured])
}

// Where a figure comes from is told by the weakest reading in it.
func TestWhereAFigureComesFrom(t *testing.T) {
	s := build2(t).compute(t)
	for _, row := range []struct {
		id, at string
		origin record.Origin
		from   int
	}{
		{"rotor.side_clearance", "rotor/2", record.Measured, 0},
		{"rotor.side_clearance", "rotor/1", record.Carried, 1}, // housing read anew, rotor carried
		{"bearing.oil_clearance", "bearing/main/front", record.Carried, 1},
		{"compression.ratio", "rotor/1", record.Carried, 1},
		{"chamber.swept_volume", "engine", record.Nominal, 0},
		{"end_float", "engine", record.Measured, 0},
	} {
		r := result(t, s, row.id, row.at)
		require.Equal(t, row.origin, r.Origin, "%s at %s", row.id, row.at)
		require.Equal(t, row.from, r.From, "%s at %s", row.id, row.at)
	}
}

// An input leads to its file and line.
func TestInputsLeadToTheirLines(t *testing.T) {
	r := result(t, build2(t).compute(t), "rotor.side_clearance", "rotor/1")
	var names, refs []string
	for _, in := range r.Inputs {
		names = append(names, in.Name+" = "+in.Text)
		refs = append(refs, in.Ref.String())
	}
	require.Equal(t, []string{
		"rotor_width at rotor/1/corner/1 = 77.862 mm", "rotor_width at rotor/1/corner/2 = 77.861 mm", "rotor_width at rotor/1/corner/3 = 77.864 mm",
		"housing_width at housing/1/at/A = 78.012 mm", "housing_width at housing/1/at/B = 78.009 mm",
		"housing_width at housing/1/at/C = 78.008 mm", "housing_width at housing/1/at/D = 78.010 mm",
	}, names)
	const first, later = demoEngine + "/measurements/2017-02-27-mock-up-KM.yaml", demoEngine + "/measurements/2019-07-26-after-cleaning-KM.yaml"
	require.Equal(t, []string{first + ":33", first + ":34", first + ":35", later + ":18", later + ":19", later + ":20", later + ":21"}, refs)
}
