package figure_test

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// What is missing is named to the place: which reading, at which position, or
// which line of the spec.
func TestMissingSaysWhatToMeasure(t *testing.T) {
	reading := func(path ...string) func(s *shelf) {
		return func(s *shelf) { s.cut(t, mockUp1, append([]string{"readings"}, path...)...) }
	}
	spec := func(path ...string) func(s *shelf) {
		return func(s *shelf) { s.cut(t, "spec.yaml", path...) }
	}
	const weighed, dyno = "measurements/2017-03-14-balance-TR.yaml", "measurements/2017-05-04-dyno-KM.yaml"
	for _, row := range []struct {
		name   string
		change func(s *shelf)
		id, at string
		needs  []string
	}{
		{"seal never measured", reading("apex_seal_length", "rotor/2/apex/3"), "apex_seal.end_gap", "rotor/2/apex/3", []string{"apex_seal_length at rotor/2/apex/3"}},
		{"place A not read", reading("housing_width", "housing/1/at/A"), "rotor.side_clearance_at_A", "rotor/1", []string{"housing_width at housing/1/at/A"}},
		{"place A not read, for the difference", reading("housing_width", "housing/2/at/A"), "housing.width_difference", "housing/2", []string{"housing_width at housing/2/at/A"}},
		{"journal never measured", func(s *shelf) {
			reading("journal_diameter", "shaft/lobe/2/front/x")(s)
			reading("journal_diameter", "shaft/lobe/2/rear/x")(s)
		}, "bearing.oil_clearance", "bearing/rotor/2", []string{"journal_diameter at shaft/lobe/2"}},
		{"neither bore nor journal", func(s *shelf) {
			reading("journal_diameter")(s)
			reading("bearing_bore")(s)
		}, "bearing.relative_clearance", "bearing/main/rear", []string{"bearing_bore at bearing/main/rear", "journal_diameter at shaft/main/rear"}},
		{"one pocket of six", reading("pocket_volume", "rotor/1/face/2"), "compression.ratio", "engine", []string{"pocket_volume at rotor/1/face/2"}},
		{"relief not written", spec("geometry", "flank_relief"), "compression.ratio", "rotor/1", []string{"geometry.flank_relief in spec.yaml"}},
		{"phases not written", spec("geometry", "phases"), "balance.static", "engine", []string{"geometry.phases in spec.yaml"}},
		{"a phase in words", func(s *shelf) { s.set(t, "spec.yaml", "[0 deg, opposite]", "geometry", "phases") }, "balance.static", "engine", []string{"geometry.phases in spec.yaml"}},
		{"a rotor not weighed", func(s *shelf) { s.cut(t, weighed, "readings", "rotor_mass", "rotor/2") }, "counterweight.unbalance", "counterweight/front", []string{"rotor_mass at rotor/2"}},
		{"speed not told", func(s *shelf) {
			spec("operating", "speed_momentary")(s)
			spec("operating", "speed_continuous")(s)
		}, "rotor.speed", "engine", []string{"operating.speed_continuous in spec.yaml"}},
		{"one end of a gap", func(s *shelf) {
			s.replace(t, mockUp1, "readings:\n", "readings:\n  side_seal_end_gap:\n    unit: mm\n    rotor/1/front/side-seal/1/end/1: 0.10\n")
		}, "side_seal.end_gap_sum", "rotor/1/front/side-seal/1", []string{"side_seal_end_gap at rotor/1/front/side-seal/1/end/2"}},
		{"neither end of a gap", func(*shelf) {}, "side_seal.end_gap_sum", "rotor/1/front/side-seal/1",
			[]string{"side_seal_end_gap at rotor/1/front/side-seal/1/end/1", "side_seal_end_gap at rotor/1/front/side-seal/1/end/2"}},
		{"one of the gear's numbers", func(s *shelf) { s.replace(t, "spec.yaml", "geometry:\n", "geometry:\n  ring_teeth: 51\n") }, "gear.module", "engine", []string{"geometry.pinion_teeth in spec.yaml"}},
		{"a run without torque or power", func(s *shelf) { s.replace(t, dyno, "torque N m]", "oil temperature degC]") }, "power.peak", "engine", []string{"torque or power in tables.dyno"}},
	} {
		s := build1(t)
		row.change(s)
		m := needed(t, s.computeAnyway(t), row.id, row.at)
		require.Equal(t, row.needs, m.Needs, row.name)
		require.Empty(t, m.Why, row.name)
	}
}

// A housing read at A alone has no difference to tell: that is missing, and not
// nothing, which would conform.
func TestWidthReadAtAAlone(t *testing.T) {
	s := build1(t)
	for _, place := range []string{"B", "C", "D"} {
		s.cut(t, mockUp1, "readings", "housing_width", "housing/1/at/"+place)
	}
	m := needed(t, s.compute(t), "housing.width_difference", "housing/1")
	require.Equal(t, []string{"housing_width at housing/1, anywhere but at/A"}, m.Needs)
}

// A housing wider elsewhere than at A has a difference below nothing.
func TestWidthSmallestAtA(t *testing.T) {
	s := build1(t).set(t, mockUp1, "78.000", "readings", "housing_width", "housing/1/at/A")
	require.Equal(t, "-0.008", result(t, s.compute(t), "housing.width_difference", "housing/1").Text()) // 78.000 − 78.008
}

// Of the side plates only the faces a rotor runs against are missed: not the
// front of the first nor the rear of the last.
func TestOuterPlateFacesAreNotMissed(t *testing.T) {
	set := build1(t).compute(t)
	var faces []string
	for _, m := range set.Missing {
		if m.Figure.ID == "step_wear" {
			faces = append(faces, m.At)
		}
	}
	require.Equal(t, []string{"plate/1/rear", "plate/2/front", "plate/2/rear", "plate/3/front"}, faces)
}

// An outer face that was read all the same is shown.
func TestOuterPlateFaceThatWasRead(t *testing.T) {
	s := build1(t).replace(t, mockUp1, "    plate/1/rear/direction/1: 0.01\n", "    plate/1/front/direction/1: 0.03\n    plate/1/rear/direction/1: 0.01\n")
	require.Equal(t, "0.03", result(t, s.compute(t), "flatness", "plate/1/front").Text())
}

// A figure nobody asked for is left out instead of being called missing.
func TestWhatNobodyAskedForIsLeftOut(t *testing.T) {
	s := build1(t).cut(t, "spec.yaml", "targets").cut(t, "spec.yaml", "porting").cut(t, "spec.yaml", "balance", "grade")
	delete(s.files, "measurements/2017-05-04-dyno-KM.yaml")
	set := s.compute(t)
	for _, f := range []struct{ id, at string }{
		{"compression.pocket_for_target", "engine"}, {"compression.effective_ratio", "engine"}, {"balance.permissible", "counterweight/front"},
		{"power.peak", "engine"}, {"gear.module", "engine"}, {"rotor.side_clearance_hot", "rotor/1"}, {"bore.eccentricity", "housing/1"},
	} {
		require.Nil(t, set.Find(f.id, f.at), f.id)
		require.Nil(t, missing(set, f.id, f.at), f.id)
	}
}

// Two sessions of one day that disagree are a problem of the set.
func TestProblemsOfReadingsReachTheSet(t *testing.T) {
	s := build1(t)
	s.files["measurements/2017-02-27-mock-up-TR.yaml"] = "format: measurements/1\nengine: SK-01\nbuild: 1\nstage: mock-up\ndate: 2017-02-27\nby: TR\nreadings:\n  rotor_width:\n    unit: mm\n    rotor/1/corner/1: 77.900\n"
	problems := s.compute(t).Problems
	require.Len(t, problems, 1, "said once, though several figures read it")
	require.Equal(t, "R1", problems[0].Rule)
}
