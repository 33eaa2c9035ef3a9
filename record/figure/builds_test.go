package figure_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"stackbook/record"
	"stackbook/record/figure"
)

// session is a measuring session of an engine over several builds, in mm.
func (s *shelf) session(build int, date, parts, readings string) *shelf {
	s.files["measurements/"+date+"-mock-up-KM.yaml"] = fmt.Sprintf("format: measurements/1\nengine: SK-01\nbuild: %d\nstage: mock-up\ndate: %s\nby: KM\nparts: {%s}\nreadings:\n%s", build, date, parts, readings)
	return s
}

// overBuilds is a three-rotor engine in its third build: rotor R-1 was at
// rotor/2 in build 1, in another engine in build 2, and is at rotor/3 now. Its
// seals bear a lot alone, and one was never measured.
func overBuilds() *shelf {
	s := &shelf{files: map[string]string{}}
	s.files["spec.yaml"] = `format: spec/1
engine: SK-01
id: 5c02-7be1-90aa
title: three-rotor
build: 3
geometry: {rotors: 3, chamber_width: 78 mm}
parts:
  rotor/3: {serial: R-1}
  housing/3: {serial: H-3}
  rotor/3/apex/1: {lot: B-14, thickness: 3 mm}
  rotor/3/apex/2: {lot: B-14, thickness: 3 mm}
`
	return s.session(1, "2021-03-02", "rotor/2: R-1, housing/3: H-3", `  rotor_width: {unit: mm, rotor/2/corner/1: 77.860}
  housing_width: {unit: mm, housing/3/at/A: 78.010, housing/3/at/B: 78.012}
  apex_groove_width: {unit: mm, rotor/2/apex/1/mouth/front: 3.061, rotor/2/apex/2/mouth/front: 3.060}
`).session(2, "2022-03-02", "rotor/2: R-7, housing/3: H-3", `  housing_width: {unit: mm, housing/3/at/A: 78.008, housing/3/at/B: 78.010}
  rotor_width: {unit: mm, rotor/2/corner/1: 77.800}
  apex_seal_thickness: {unit: mm, rotor/3/apex/2/middle: 2.998}
`)
}

func (s *shelf) change(build int, date, kind, touches string) *shelf {
	s.files["changes/"+date+"-"+kind+".yaml"] = fmt.Sprintf("format: change/1\nengine: SK-01\nbuild: %d\ndate: %s\nkind: %s\nby: KM\nwhat: a change\ntouches: [%s]\n", build, date, kind, touches)
	return s
}

// R1: over three builds each input says where it comes from, and the figure
// takes the weakest of them: the oldest build carried from, or nominal.
func TestR1OriginsOverThreeBuilds(t *testing.T) {
	s := overBuilds().compute(t)
	width := result(t, s, "rotor.side_clearance", "rotor/3")
	require.Equal(t, "0.148", width.Text(), "78.008 of build 2 less 77.860 of build 1")
	require.Equal(t, []any{record.Carried, 1}, []any{width.Origin, width.From})
	require.Equal(t, []string{"rotor/2/corner/1 carried 1", "housing/3/at/A carried 2", "housing/3/at/B carried 2"}, origins(width))

	seal := result(t, s, "apex_seal.side_clearance", "rotor/3/apex/2")
	require.Equal(t, []any{record.Carried, 1}, []any{seal.Origin, seal.From}, "a groove of build 1 and a seal of build 2")
	require.Equal(t, []string{"rotor/2/apex/2/mouth/front carried 1", "rotor/3/apex/2/middle carried 2"}, origins(seal))

	unread := result(t, s, "apex_seal.side_clearance", "rotor/3/apex/1")
	require.Equal(t, record.Nominal, unread.Origin, "nobody read this seal: the spec's 3 mm is the last resort")
	require.Equal(t, []string{"rotor/2/apex/1/mouth/front carried 1", "parts.rotor/3/apex/1.thickness nominal 0"}, origins(unread))
}

// origins are a figure's inputs with where each comes from.
func origins(r *figure.Result) []string {
	var list []string
	for _, in := range r.Inputs {
		key := in.Key
		for _, point := range []string{"rotor_width", "housing_width", "apex_groove_width", "apex_seal_thickness"} {
			if n := len("readings." + point + "."); len(key) > n && key[:n] == "readings."+point+"." {
				key = key[n:]
			}
		}
		list = append(list, fmt.Sprintf("%s %s %d", key, in.Origin, in.From))
	}
	return list
}

// R1: what was machined in between leaves the figure without its reading, and
// it says which; machining of the rotor that sat there meanwhile does not.
func TestR1MachinedBetweenBuilds(t *testing.T) {
	s := overBuilds().change(2, "2022-04-01", "machining", "rotor/2").compute(t)
	require.Equal(t, "0.148", result(t, s, "rotor.side_clearance", "rotor/3").Text(), "R-7 was machined")
	s = overBuilds().change(3, "2023-04-01", "machining", "rotor/3").compute(t)
	require.Equal(t, []string{"rotor_width at rotor/3"}, needed(t, s, "rotor.side_clearance", "rotor/3").Needs)
	s = overBuilds().change(3, "2023-04-01", "replacement", "rotor/3/apex/2").compute(t)
	require.Equal(t, record.Nominal, result(t, s, "apex_seal.side_clearance", "rotor/3/apex/2").Origin, "another seal is fitted: its size is the spec's")
}
