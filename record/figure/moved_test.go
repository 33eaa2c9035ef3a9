package figure_test

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"stackbook/record/figure"
	"stackbook/schema"
	"stackbook/schema/source"
)

// said is all that a set says of its figures: value, text and verdict by place.
func said(s *figure.Set) map[string]string {
	all := map[string]string{}
	for _, r := range s.Results {
		all[r.Figure.ID+" "+r.At] = fmt.Sprint(r.Value, " ", r.Text(), " ", r.Verdict, " ", r.Origin, " ", r.From)
	}
	for _, m := range s.Missing {
		all[m.Figure.ID+" "+m.At] = fmt.Sprint(m.Needs, m.Why, m.Judged)
	}
	return all
}

var number = regexp.MustCompile(`\d+(\.\d+)?`)

// bumped is a text with its nth number, counted from 0, a little larger: a
// decimal by a digit behind its last, a whole number by one.
func bumped(t testing.TB, text string, nth int) string {
	t.Helper()
	spans := number.FindAllStringIndex(text, nth+1)
	require.Greater(t, len(spans), nth, "no number in %q", text)
	at := spans[nth]
	old := text[at[0]:at[1]]
	if strings.Contains(old, ".") {
		return text[:at[1]] + "1" + text[at[1]:]
	}
	n, err := strconv.Atoi(old)
	require.NoError(t, err)
	return text[:at[0]] + strconv.Itoa(n+1) + text[at[1]:]
}

// bumpAt makes the nth number from a place in a file a little larger.
func (s *shelf) bumpAt(t testing.TB, file string, line, column, nth int) *shelf {
	t.Helper()
	lines := strings.Split(s.files[file], "\n")
	head, tail := lines[line-1][:column-1], lines[line-1][column-1:]
	lines[line-1] = head + bumped(t, tail, nth)
	s.files[file] = strings.Join(lines, "\n")
	return s
}

// inputsOf are all record values the figures of a set read, by path.
func inputsOf(s *figure.Set) map[string]*figure.Input {
	all := map[string]*figure.Input{}
	for _, r := range s.Results {
		for _, in := range r.Inputs {
			all[in.Path] = in
		}
	}
	for _, m := range s.Missing {
		for _, in := range m.Inputs {
			all[in.Path] = in
		}
	}
	return all
}

// some is all of them, or with -short, for a run with the race detector, a tenth.
func some[K comparable, V any](all map[K]V) map[K]V {
	if !testing.Short() {
		return all
	}
	few := map[K]V{}
	for k, v := range all {
		if few[k] = v; len(few) > len(all)/10 {
			break
		}
	}
	return few
}

// R1: whatever value was read, change it and the digest moves; its line and
// column are where it stands.
func TestR1WhatWasReadMovesTheDigest(t *testing.T) {
	t.Parallel()
	shelf := build2(t)
	before := shelf.compute(t)
	inputs := inputsOf(before)
	require.Greater(t, len(inputs), 150, "the demo reads this much")
	for path, in := range some(inputs) {
		nth := 0
		if strings.Contains(path, " dyno_torque_") {
			nth = 1 // behind the speed of its row
		}
		file := strings.TrimPrefix(in.Ref.File, demoEngine+"/")
		changed := shelf.clone().bumpAt(t, file, in.Ref.Line, in.Ref.Column, nth).computeAnyway(t)
		require.NotEqual(t, before.Digest(), changed.Digest(), path)
	}
}

// R1: repeats are read one by one: others with the same mean are other readings.
func TestR1RepeatsWithTheSameMean(t *testing.T) {
	const assembly, repeats = "measurements/2017-04-03-assembly-KM.yaml", "[0.062, 0.061, 0.063]"
	s := build1(t)
	before := s.compute(t)
	after := s.replace(t, assembly, repeats, "[0.062, 0.062, 0.062]").compute(t)
	require.Equal(t, result(t, before, "end_float", "engine").Value, result(t, after, "end_float", "engine").Value)
	require.NotEqual(t, before.Digest(), after.Digest())
}

// R1: what a figure read before it found something missing was read too.
func TestR1WhatAMissingFigureReadMovesTheDigest(t *testing.T) {
	digest := func(bore string) string {
		s := build1(t).replace(t, mockUp1, "readings:\n", "readings:\n  corner_bore:\n    unit: mm\n    rotor/1/front/corner/1/x: "+bore+"\n")
		set := s.compute(t)
		require.Equal(t, []string{"corner_seal_diameter at rotor/1/front/corner/1"}, needed(t, set, "corner_seal.clearance", "rotor/1/front/corner/1").Needs)
		return set.Digest()
	}
	require.NotEqual(t, digest("11.02"), digest("11.03"))
}

// R1, R4: so does the limit of a reading that was never taken.
func TestR1LimitOfAMissingReadingMovesTheDigest(t *testing.T) {
	s := build1(t) // step wear was not read in build 1
	before := s.compute(t).Digest()
	require.NotEqual(t, before, s.replaceLimit(t, "new: {max: 0.01 mm}", "new: {max: 0.02 mm}").compute(t).Digest())
}

// R1: every bound of a limit that judges something moves the digest, and so do
// the guard band's k and whether a limit judges at all.
func TestR1LimitsMoveTheDigest(t *testing.T) {
	t.Parallel()
	shelf := build2(t)
	before := shelf.compute(t).Digest()
	bounds := regexp.MustCompile(`(min|max): [\d.]+`).FindAllStringIndex(shelf.limits, -1)
	require.Len(t, bounds, 35)
	for _, at := range bounds {
		changed := shelf.clone()
		changed.limits = shelf.limits[:at[0]] + bumped(t, shelf.limits[at[0]:at[1]], 0) + shelf.limits[at[1]:]
		require.NotEqual(t, before, changed.compute(t).Digest(), "line %d", 1+strings.Count(shelf.limits[:at[0]], "\n"))
	}
	guard := shelf.clone().replaceLimit(t, "limits:\n", "guard: 2\nlimits:\n")
	require.NotEqual(t, before, guard.compute(t).Digest())
	shown := shelf.clone().replaceLimit(t, "  end_float:\n", "  end_float:\n    reference_only: yes\n")
	require.NotEqual(t, before, shown.compute(t).Digest())
	words := shelf.clone().replaceLimit(t, "title: side-port", "title: all side-port").replaceLimit(t, "source: common practice", "source: the shop's own")
	require.Equal(t, before, words.compute(t).Digest(), "words judge nothing")
}

// R1: whether a part is new or used decides by which band it is judged, so it
// moves the digest; written out where it was understood before, it does not.
func TestR1UsedPartsMoveTheDigest(t *testing.T) {
	shelf := build2(t)
	before := shelf.compute(t)
	worn := shelf.clone().set(t, "spec.yaml", "used", "parts", "housing/2", "origin").compute(t)
	require.NotEqual(t, before.Digest(), worn.Digest())
	require.Equal(t, "reuse", result(t, worn, "housing.width_difference", "housing/2").Limit.Kind)
	told := shelf.clone().replace(t, "spec.yaml", "shaft: {part: ES-2,", "shaft: {origin: used, part: ES-2,").compute(t)
	require.Equal(t, before.Digest(), told.Digest())
	require.Equal(t, said(before), said(told))
}

// R1: a build number alone can change what a carried part is judged by.
func TestR1AnotherBuildIsNotFresh(t *testing.T) {
	shelf := build1(t)
	first := shelf.compute(t)
	stored, ok := figure.Decode(first.Encode(nil))
	require.True(t, ok)
	second := shelf.clone().set(t, "spec.yaml", "2", "build").compute(t)
	require.Equal(t, "new", result(t, first, "housing.width_difference", "housing/1").Limit.Kind)
	require.Equal(t, "reuse", result(t, second, "housing.width_difference", "housing/1").Limit.Kind)
	require.NotEqual(t, first.Digest(), second.Digest())
	require.False(t, stored.Fresh(second))
}

// R1: a reading or a size of the spec that no figure asks for moves nothing.
func TestR1WhatNobodyReadMovesNothing(t *testing.T) {
	t.Parallel()
	shelf := build2(t)
	before := shelf.compute(t)
	read := map[string]bool{}
	for _, in := range inputsOf(before) {
		read[in.Ref.String()] = true
	}
	e, _, _ := shelf.load()
	unread := 0
	unmoved := func(file string, n *source.Node, what string) {
		t.Helper()
		if unread++; testing.Short() && unread%10 > 0 {
			return
		}
		changed := shelf.clone().bumpAt(t, file, n.Line(), n.Column(), 0).computeAnyway(t)
		require.Equal(t, before.Digest(), changed.Digest(), what)
		require.Equal(t, said(before), said(changed), what)
	}
	for _, s := range e.Sessions {
		for _, r := range s.Readings {
			if len(r.Values) > 0 && !read[s.Ref(r.Node).String()] {
				unmoved(strings.TrimPrefix(s.Path, demoEngine+"/"), r.Node, s.Name()+" "+r.Key)
			}
		}
	}
	for _, group := range e.Spec.Doc.Root().Entries() {
		for _, entry := range group.Value.Entries() {
			f := schema.Spec().At(group.Key + "." + entry.Key)
			if f != nil && f.Type == schema.Quantity && !read[e.Spec.Ref(entry.Value).String()] {
				unmoved("spec.yaml", entry.Value, group.Key+"."+entry.Key)
			}
		}
	}
	require.Greater(t, unread, 100, "the demo holds this much that no figure asks for")
}

// R1: words, comments, the order of keys and another spelling of a unit are
// not what a figure is made of.
func TestR1OtherSpellingsMoveNothing(t *testing.T) {
	const mockUp, balance = "measurements/2019-08-19-mock-up-KM.yaml", "measurements/2019-08-27-balance-TR.yaml"
	demo := build2(t)
	demo.replace(t, "spec.yaml", "seal_tip_radius: 2 mm", "seal_tip_radius: 2.54 mm")
	before := demo.compute(t)
	for what, change := range map[string]func(s *shelf){
		"a comment": func(s *shelf) { s.replace(t, "spec.yaml", "geometry:\n", "geometry: # as drawn\n  # and as made\n\n") },
		"a title":   func(s *shelf) { s.replace(t, "spec.yaml", "title: two-rotor", "title: the first two-rotor") },
		"a serial":  func(s *shelf) { s.replace(t, "spec.yaml", "serial: P-0090", "serial: P-0099") },
		"a supplier": func(s *shelf) {
			s.replace(t, "spec.yaml", "serial: R-2033, lot: L-2960, supplier: S-02", "serial: R-2033, supplier: S-07")
		},
		"an instrument nothing was read with": func(s *shelf) {
			s.replace(t, mockUp, "instruments:\n", "instruments:\n  X9: {kind: scale, expanded_uncertainty: 1 mm}\n")
		},
		"the kind of an instrument": func(s *shelf) { s.replace(t, mockUp, "kind: outside micrometer 0-25 mm", "kind: micrometer 0-25 mm") },
		"keys in other order": func(s *shelf) {
			s.replace(t, "spec.yaml", "  rotors: 2\n  generating_radius: 98 mm ", "  generating_radius: 98 mm\n  rotors: 2 ")
		},
		"places in other order": func(s *shelf) {
			s.replace(t, mockUp, "    housing/2/at/A: 78.014\n    housing/2/at/B: 78.010\n", "    housing/2/at/B: 78.010\n    housing/2/at/A: 78.014\n")
		},
		"kg as g":             func(s *shelf) { s.replace(t, balance, "rotor/1: 3.962", "rotor/1: 3962 g") },
		"mm as in":            func(s *shelf) { s.set(t, "spec.yaml", "0.1 in", "geometry", "seal_tip_radius") },
		"mm as a fraction":    func(s *shelf) { s.set(t, "spec.yaml", "1/10 in", "geometry", "seal_tip_radius") },
		"a point and noughts": func(s *shelf) { s.set(t, "spec.yaml", "78.000 mm", "geometry", "chamber_width") },
		"quotes":              func(s *shelf) { s.set(t, "spec.yaml", `"14 mm"`, "geometry", "eccentricity") },
		"a reading written out": func(s *shelf) {
			s.replace(t, mockUp, "rotor/2/face/1: 27.9", `rotor/2/face/1: {value: 27.9, note: "three fillings"}`)
		},
		"an older run": func(s *shelf) { s.replace(t, "measurements/2017-05-04-dyno-KM.yaml", "[8400, 179.6]", "[8400, 190.0]") },
		"a crack test": func(s *shelf) { s.replace(t, mockUp, "{text: clear, method: magnetic particle, by: TR}", "mark") },
	} {
		changed := demo.clone()
		change(changed)
		after := changed.compute(t)
		require.Equal(t, before.Digest(), after.Digest(), what)
		require.Equal(t, said(before), said(after), what)
	}
}
