package figure_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"stackbook/record"
	"stackbook/record/figure"
)

const mockUp1 = "measurements/2017-02-27-mock-up-KM.yaml"

// origin writes whether a part is new or used into the spec, in front of what
// stands there.
func (s *shelf) origin(t testing.TB, part, origin string) *shelf {
	t.Helper()
	return s.replace(t, "spec.yaml", "  "+part+": {", "  "+part+": {origin: "+origin+", ")
}

// R1: a part of origin new is judged by the band for new work, a used one by
// the re-use limit; where the spec doesn't say, a part is new in build 1 and
// used afterwards. The other band is shown beside it. The seal is 77.949, so
// the gap is 0.055: inside for re-use, outside for new work.
func TestR1NewAndUsedParts(t *testing.T) {
	for _, row := range []struct {
		name    string
		build   string
		origin  string
		judging string
		verdict figure.Verdict
	}{
		{"not said, build 1", "1", "", "new", figure.Fails},
		{"said new, build 1", "1", "new", "new", figure.Fails},
		{"said used, build 1", "1", "used", "reuse", figure.Conforms},
		{"not said, build 2", "2", "", "reuse", figure.Conforms},
		{"said used, build 2", "2", "used", "reuse", figure.Conforms},
	} {
		s := build1(t).replace(t, mockUp1, "rotor/2/apex/1: 77.934", "rotor/2/apex/1: 77.949").set(t, "spec.yaml", row.build, "build")
		if row.origin != "" {
			s.origin(t, "housing/2", row.origin).origin(t, "rotor/2/apex/1", row.origin)
		}
		r := result(t, s.compute(t), "apex_seal.end_gap", "rotor/2/apex/1")
		require.Equal(t, "0.055", r.Text(), row.name)
		require.Equal(t, row.judging, r.Limit.Kind, row.name)
		require.Equal(t, row.verdict, r.Verdict, row.name)
		require.NotNil(t, r.Other, row.name)
		require.NotEqual(t, r.Limit.Kind, r.Other.Kind, row.name)
	}
}

// R1: one used part among new ones makes the fit a used one.
func TestR1OneUsedPartIsEnough(t *testing.T) {
	s := build2(t)
	require.Equal(t, "new", result(t, s.compute(t), "apex_seal.end_gap", "rotor/2/apex/1").Limit.Kind, "housing and seal are new")
	s.set(t, "spec.yaml", "used", "parts", "rotor/2/apex/1", "origin")
	require.Equal(t, "reuse", result(t, s.compute(t), "apex_seal.end_gap", "rotor/2/apex/1").Limit.Kind)
}

// R1: what belongs to the assembly is new work in every build.
func TestR1AssemblyIsNewWork(t *testing.T) {
	s := build2(t).replace(t, "measurements/2019-09-03-assembly-KM.yaml", "[0.065, 0.065, 0.064]", "0.085")
	r := result(t, s.compute(t), "end_float", "engine")
	require.Equal(t, "new", r.Limit.Kind)
	require.Equal(t, figure.Fails, r.Verdict, "0.085 would do for re-use")
	require.Equal(t, "reuse", r.Other.Kind)
}

// R1: a session whose file name holds a blank is judged like any other.
func TestR1UsedPartsInAFileWithABlank(t *testing.T) {
	s := demoTo(t, "10")
	const old, odd = "measurements/2019-07-26-after-cleaning-KM.yaml", "measurements/2019-07-26 after cleaning KM.yaml"
	s.files[odd] = s.files[old]
	delete(s.files, old)
	r := result(t, s.computeAnyway(t), "step_wear", "plate/1/rear")
	require.Equal(t, "reuse", r.Limit.Kind)
	require.Equal(t, figure.Conforms, r.Verdict)
}

// R1: a reading nobody took is missed against the limit of the part fitted, and
// the other band is shown beside it.
func TestR1MissingAgainstTheLimitOfItsPart(t *testing.T) {
	gone := func(s *shelf, session string) *shelf {
		return s.cut(t, "measurements/"+session, "readings", "apex_spring_load")
	}
	for _, row := range []struct{ build, origin, judging string }{
		{"1", "", "new"}, {"1", "used", "reuse"}, {"2", "", "reuse"}, {"2", "used", "reuse"},
	} {
		s := gone(build1(t), "2017-02-27-mock-up-KM.yaml").set(t, "spec.yaml", row.build, "build")
		if row.origin != "" {
			s.origin(t, "rotor/2/apex/1", row.origin)
		}
		m := needed(t, s.compute(t), "apex_spring_load", "rotor/2/apex/1")
		require.Equal(t, row.judging, m.Limit.Kind, row)
		require.NotNil(t, m.Other, row)
		require.NotEqual(t, m.Limit.Kind, m.Other.Kind, row)
	}
}

// A line with one band judges everything by it.
func TestOneBandOnly(t *testing.T) {
	const both = "    new: {min: 0.04 mm, max: 0.07 mm}\n    reuse: {max: 0.09 mm}\n"
	for _, row := range []struct {
		bands, kind string
		verdict     figure.Verdict
	}{
		{"    new: {max: 0.06 mm}\n", "new", figure.Fails},
		{"    new: {min: 0.04 mm}\n", "new", figure.Conforms},
		{"    reuse: {max: 0.09 mm}\n", "reuse", figure.Conforms},
		{"    new: {}\n    reuse: {min: 0.07 mm}\n", "reuse", figure.Fails},
	} {
		r := result(t, build1(t).replaceLimit(t, both, row.bands).compute(t), "end_float", "engine")
		require.Equal(t, row.kind, r.Limit.Kind, row.bands)
		require.Equal(t, row.verdict, r.Verdict, row.bands)
		require.Nil(t, r.Other, row.bands)
	}
}

// A line that says nothing judges nothing.
func TestLimitWithoutABand(t *testing.T) {
	s := build1(t).replaceLimit(t, "    new: {min: 0.04 mm, max: 0.07 mm}\n    reuse: {max: 0.09 mm}\n", "")
	r := result(t, s.compute(t), "end_float", "engine")
	require.Nil(t, r.Limit)
	require.Equal(t, figure.NoVerdict, r.Verdict)
}

// A limit for reference only is shown and gives no verdict, whether the value
// would lie outside, inside, or was never measured.
func TestReferenceOnlyGivesNoVerdict(t *testing.T) {
	s := demoTo(t, "10")
	for _, id := range []string{"apex_spring_load", "housing.width_difference"} {
		s.replaceLimit(t, "  "+id+":\n", "  "+id+":\n    reference_only: yes\n")
	}
	set := s.compute(t)
	for _, at := range []string{"housing/1", "housing/2"} {
		r := result(t, set, "housing.width_difference", at)
		require.Equal(t, figure.NoVerdict, r.Verdict, at)
		require.NotNil(t, r.Limit, at)
		require.True(t, r.Limit.Shown, at)
	}
	m := needed(t, set, "apex_spring_load", "rotor/1/apex/1")
	require.Equal(t, figure.NoVerdict, m.Judged)
	require.NotNil(t, m.Limit)
}

// R1: a size of the spec that nobody measured is shown as nominal and counts
// as unmeasured, however well it lies.
func TestNominalAloneIsUnmeasured(t *testing.T) {
	s := build1(t).cut(t, mockUp1, "readings", "apex_seal_height", "rotor/1/apex/1").
		replace(t, "spec.yaml", "rotor/1/apex/1: {", "rotor/1/apex/1: {height: 8 mm, ")
	r := result(t, s.compute(t), "apex_seal_height", "rotor/1/apex/1")
	require.Equal(t, record.Nominal, r.Origin)
	require.Equal(t, figure.Unmeasured, r.Verdict)
	require.InDelta(t, 0.008, r.Value, 1e-15)
}

// R1: a nominal size standing in for one part of a fit makes the fit nominal:
// the housing below was never measured, and nobody knows the gap.
func TestNominalStandInIsUnmeasured(t *testing.T) {
	s := build1(t)
	for _, place := range []string{"A", "B", "C", "D"} {
		s.cut(t, mockUp1, "readings", "housing_width", "housing/2/at/"+place)
	}
	set := s.compute(t)
	for _, row := range []struct{ id, at, text string }{
		{"rotor.side_clearance", "rotor/2", "0.134"},     // 78 − 77.866
		{"apex_seal.end_gap", "rotor/2/apex/1", "0.066"}, // 78 − 77.934
	} {
		r := result(t, set, row.id, row.at)
		require.Equal(t, row.text, r.Text(), row.id)
		require.Equal(t, record.Nominal, r.Origin, row.id)
		require.Equal(t, figure.Unmeasured, r.Verdict, row.id)
	}
	require.Equal(t, figure.Conforms, result(t, set, "apex_seal.end_gap", "rotor/1/apex/1").Verdict, "housing 1 was measured")
}

// What is missing is unmeasured where something would judge it; a point that
// nothing judges is passed over, a figure is named without a verdict.
func TestMissingWithAndWithoutALimit(t *testing.T) {
	s := build1(t).cut(t, mockUp1, "readings", "rotor_width", "rotor/1/corner/1").
		cut(t, mockUp1, "readings", "rotor_width", "rotor/1/corner/2").cut(t, mockUp1, "readings", "rotor_width", "rotor/1/corner/3").
		cut(t, "measurements/2017-04-03-assembly-KM.yaml", "readings", "turning_torque")
	set := s.compute(t)
	require.Equal(t, figure.Unmeasured, needed(t, set, "rotor.side_clearance", "rotor/1").Judged)
	require.Equal(t, figure.NoVerdict, needed(t, set, "rotor.side_clearance_at_A", "rotor/1").Judged)
	require.Nil(t, set.Find("turning_torque", "engine"))
	require.Nil(t, missing(set, "turning_torque", "engine"))
}

// Without a limit set nothing is judged and nothing is unmeasured.
func TestWithoutLimitsNothingIsJudged(t *testing.T) {
	s := build1(t)
	s.limits = ""
	set := s.compute(t)
	for _, r := range set.Results {
		if r.Figure.ID != "balance.residual" { // held against the spec's own grade
			require.Equal(t, figure.NoVerdict, r.Verdict, r.Figure.ID)
			require.Nil(t, r.Limit, r.Figure.ID)
		}
	}
	require.Zero(t, set.Count()[figure.Unmeasured])
}

// The residual is held against the grade the spec names; without a grade, or
// with one that cannot be worked, the reading stands without a verdict.
func TestResidualIsHeldAgainstTheGrade(t *testing.T) {
	const at = "counterweight/rear"
	for grade, verdict := range map[string]figure.Verdict{"2.5 mm/s": figure.Conforms, "1 mm/s": figure.Fails} {
		r := result(t, build1(t).set(t, "spec.yaml", grade, "balance", "grade").compute(t), "balance.residual", at)
		require.Equal(t, verdict, r.Verdict, grade)
		require.Contains(t, r.Limit.Source, "ISO 21940-11")
	}
	for what, s := range map[string]*shelf{
		"no grade":      build1(t).cut(t, "spec.yaml", "balance", "grade"),
		"no speed":      build1(t).cut(t, "spec.yaml", "balance", "speed"),
		"speed of zero": build1(t).set(t, "spec.yaml", "0 rpm", "balance", "speed"),
	} {
		r := result(t, s.compute(t), "balance.residual", at)
		require.Equal(t, "13.0", r.Text(), what)
		require.Nil(t, r.Limit, what)
		require.Equal(t, figure.NoVerdict, r.Verdict, what)
	}
}

// A residual that was not read is missing against the grade's own limit.
func TestMissingResidualKeepsItsLimit(t *testing.T) {
	s := build1(t)
	most := result(t, s.compute(t), "balance.permissible", "counterweight/front").Value
	s.cut(t, "measurements/2017-03-14-balance-TR.yaml", "readings", "residual_unbalance", "counterweight/front")
	m := needed(t, s.compute(t), "balance.residual", "counterweight/front")
	require.Equal(t, figure.Unmeasured, m.Judged)
	require.InDelta(t, most, m.Limit.High, 1e-18)
}

// A bound that is no such size is named once, and the other end still judges.
func TestUnreadableBoundIsAProblem(t *testing.T) {
	s := build1(t).replaceLimit(t, "new: {min: 0.06 mm, max: 0.12 mm}", "new: {min: 0.06 kg, max: 0.12 mm}")
	set := s.computeAnyway(t)
	require.Len(t, set.Problems, 1)
	require.Contains(t, set.Problems[0].Message, "limits.apex_seal.end_gap.new.min")
	require.Equal(t, "limits/skarvik-race.yaml", set.Problems[0].File)
	require.Equal(t, figure.Conforms, result(t, set, "apex_seal.end_gap", "rotor/1/apex/1").Verdict)
}
