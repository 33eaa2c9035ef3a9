package record_test

import (
	"testing"

	"github.com/stretchr/testify/require"
)

const grooveKey = "apex/1/mouth/front"

// threeBuilds is a rotor R-1 read in build 1 at rotor/2, in an engine whose
// build 3 is open; what happened to it in between is the test's.
func threeBuilds(parts string) *shelf {
	return new(shelf).spec(3, parts).
		session(1, "mock-up", "2021-03-02", "rotor/2: R-1", "apex_groove_width", "rotor/2/"+grooveKey+": 3.061")
}

// R1: readings follow a rotor from position 2 to 3 and on to 1, and what was
// machined in between is voided wherever the rotor was at the time.
func TestR1RotorMovesOverThreeBuilds(t *testing.T) {
	moved := func() *shelf {
		return threeBuilds("  rotor/1: {serial: R-1}\n  rotor/3: {serial: R-3}\n").
			change(2, "2022-01-10", "replacement", "rotor/2, rotor/3").
			session(2, "balance", "2022-02-01", "rotor/3: R-1", "rotor_width", "rotor/3/corner/1: 77.860").
			change(3, "2023-01-10", "replacement", "rotor/1, rotor/3")
	}
	for _, row := range []struct {
		name    string
		machine func(s *shelf)
		want    string
	}{
		{"nothing machined", func(*shelf) {}, "3.061 mm carried 1"},
		{"in build 2, where it was", func(s *shelf) { s.change(2, "2022-02-05", "machining", "rotor/3/apex/1") }, ""},
		{"in build 2, another apex", func(s *shelf) { s.change(2, "2022-02-05", "machining", "rotor/3/apex/2") }, "3.061 mm carried 1"},
		{"in build 2, where it is now", func(s *shelf) { s.change(2, "2022-02-05", "machining", "rotor/1/apex/1") }, "3.061 mm carried 1"},
		{"in build 2, where it had been", func(s *shelf) { s.change(2, "2022-02-05", "machining", "rotor/2/apex/1") }, "3.061 mm carried 1"},
		{"in build 1, where it was", func(s *shelf) { s.change(1, "2021-03-05", "repair", "rotor/2") }, ""},
		{"in build 3, where it is", func(s *shelf) { s.change(3, "2023-02-05", "machining", "rotor/1") }, ""},
		{"in build 3, where it had been", func(s *shelf) { s.change(3, "2023-02-05", "machining", "rotor/3") }, "3.061 mm carried 1"},
	} {
		s := moved()
		row.machine(s)
		got, problems := counts(t, s.load(t), "apex_groove_width", "rotor/1", "")
		require.Empty(t, got, row.name)
		require.Empty(t, problems, row.name)
		got, problems = counts(t, s.load(t), "apex_groove_width", "rotor/1/apex/1", "mouth/front")
		require.Equal(t, row.want, got, row.name)
		require.Empty(t, problems, row.name)
	}
	width, _ := counts(t, moved().load(t), "rotor_width", "rotor/1", "corner/1")
	require.Equal(t, "77.860 mm carried 2", width, "what was read last is carried from there")
	gone, _ := counts(t, moved().load(t), "rotor_width", "rotor/3", "corner/1")
	require.Empty(t, gone, "another rotor sits there now")
}

// R1: a rotor moved and machined within one build: what was done at its old
// position before it left is its own, and afterwards another's.
func TestR1RotorMovesWithinABuild(t *testing.T) {
	for day, want := range map[string]string{"2024-03-05": "", "2024-03-15": "3.061 mm measured 1"} {
		e := new(shelf).spec(1, "  rotor/3: {serial: R-1}\n").
			session(1, "mock-up", "2024-03-02", "rotor/2: R-1", "apex_groove_width", "rotor/2/"+grooveKey+": 3.061").
			change(1, "2024-03-10", "replacement", "rotor/2, rotor/3").
			change(1, day, "machining", "rotor/2").load(t)
		got, _ := counts(t, e, "apex_groove_width", "rotor/3/apex/1", "mouth/front")
		require.Equal(t, want, got, day)
	}
}

// R1: a part that was in another engine during build 2 and came back is read as
// it was in build 1; what was done to the part in its place is not its own.
func TestR1PartComesBack(t *testing.T) {
	back := func(serial string) *shelf {
		return threeBuilds("  rotor/2: {serial: "+serial+"}\n").
			change(2, "2022-01-10", "replacement", "rotor/2").
			session(2, "mock-up", "2022-02-01", "rotor/2: R-7", "apex_groove_width", "rotor/2/"+grooveKey+": 3.090").
			change(2, "2022-02-05", "machining", "rotor/2/apex/1").
			change(3, "2023-01-10", "replacement", "rotor/2")
	}
	got, problems := counts(t, back("R-1").load(t), "apex_groove_width", "rotor/2/apex/1", "mouth/front")
	require.Equal(t, "3.061 mm carried 1", got)
	require.Empty(t, problems)
	got, _ = counts(t, back("R-7").load(t), "apex_groove_width", "rotor/2/apex/1", "mouth/front")
	require.Empty(t, got, "R-7 was machined after it was read")
	got, _ = counts(t, back("R-1").change(3, "2023-02-01", "machining", "rotor/2").load(t), "apex_groove_width", "rotor/2/apex/1", "mouth/front")
	require.Empty(t, got, "machined since it came back")
	got, _ = counts(t, back("R-1").session(3, "after-cleaning", "2023-02-01", "rotor/2: R-1", "apex_groove_width", "rotor/2/"+grooveKey+": 3.070").load(t), "apex_groove_width", "rotor/2/apex/1", "mouth/front")
	require.Equal(t, "3.070 mm measured 3", got)
}

// R1: where no session tells which part was at a position in a build, a change
// there may have been to the part now fitted, and voids its reading.
func TestR1UnknownPartIsTakenForTheSame(t *testing.T) {
	s := threeBuilds("  rotor/2: {serial: R-1}\n").change(2, "2022-02-05", "machining", "rotor/2/apex/1")
	got, _ := counts(t, s.load(t), "apex_groove_width", "rotor/2/apex/1", "mouth/front")
	require.Empty(t, got)
}

// R1: a lot has no serial to follow: its readings are carried where they were
// taken until a replacement, over as many builds as there are.
func TestR1LotsOverThreeBuilds(t *testing.T) {
	seals := func(parts string) *shelf {
		return new(shelf).spec(3, parts).
			session(1, "mock-up", "2021-03-02", "", "apex_seal_thickness", "rotor/1/apex/1/middle: 2.998", "rotor/1/apex/2/middle: 2.999").
			session(2, "mock-up", "2022-03-02", "", "apex_seal_thickness", "rotor/1/apex/2/middle: 2.996")
	}
	const lot = "  rotor/1/apex/1: {lot: B-14}\n  rotor/1/apex/2: {lot: B-14}\n  rotor/1/apex/3: {lot: B-14}\n"
	at := func(s *shelf, apex string) string {
		got, problems := counts(t, s.load(t), "apex_seal_thickness", "rotor/1/apex/"+apex, "middle")
		require.Empty(t, problems)
		return got
	}
	require.Equal(t, "2.998 mm carried 1", at(seals(lot), "1"))
	require.Equal(t, "2.996 mm carried 2", at(seals(lot), "2"), "the latest build that read it")
	require.Empty(t, at(seals(lot), "3"), "a like seal is not this one")
	require.Empty(t, at(seals(lot).change(2, "2022-04-01", "replacement", "rotor/1/apex/1"), "1"))
	require.Equal(t, "2.996 mm carried 2", at(seals(lot).change(2, "2022-02-01", "replacement", "rotor/1/apex/2"), "2"), "read after the replacement")
	require.Empty(t, at(seals("  rotor/1/apex/1: {lot: B-21, origin: new}\n"), "1"), "a new bag was not there to be read")
}
