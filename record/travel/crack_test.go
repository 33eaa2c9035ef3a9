package travel_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"
)

// stands tells how a part stands with its crack tests: its standing, hours at
// the test, hours since and when due.
func stands(t *testing.T, b *bench, position string) string {
	t.Helper()
	s := b.shop()
	for _, g := range s.Guards(s.Engines[0]) {
		if g.Position != position {
			continue
		}
		text := string(g.Standing)
		if g.Last != nil && g.Last.Hours != nil {
			text += " at " + g.Last.Hours.String()
		}
		if g.Last != nil && g.Last.Since != nil {
			text += ", " + g.Last.Since.String() + " ago"
		}
		if g.Due != nil {
			text += fmt.Sprintf(", due at %g h", *g.Due)
		}
		return text
	}
	return "not guarded"
}

// The last crack test of a part holds for it across builds, whatever it ran;
// past its interval it is overdue.
func TestCrackTestStanding(t *testing.T) {
	one := func(parts string) *bench { return begin(t).engine("SK-01", 2, parts) }
	const r1 = "  rotor/1: {serial: R-1, origin: new}\n"
	for _, row := range []struct {
		name string
		b    *bench
		want string
	}{
		{"never", one(r1), "never tested"},
		{"never, though its place was tested with another", one(r1).test("SK-01", 1, "2023-01-12", "0 h", "rotor/1: R-0", "rotor/1: clear"), "never tested"},
		{"an empty line is no test", one(r1).test("SK-01", 1, "2023-01-12", "0 h", "rotor/1: R-1", "rotor/1: , rotor/2: clear"), "never tested"},
		{"in build 1, run since", one(r1).test("SK-01", 1, "2023-01-12", "10 h", "rotor/1: R-1", "rotor/1: clear").change("SK-01", 1, "2024-01-01", "event", to60), "tested at 10 h, 50 ± 2 h ago"},
		{"at its interval", one(r1).interval(50).test("SK-01", 1, "2023-01-12", "10 h", "rotor/1: R-1", "rotor/1: clear").change("SK-01", 1, "2024-01-01", "event", to60), "tested at 10 h, 50 ± 2 h ago, due at 60 h"},
		{"past the book's interval", one(r1).interval(49).test("SK-01", 1, "2023-01-12", "10 h", "rotor/1: R-1", "rotor/1: clear").change("SK-01", 1, "2024-01-01", "event", to60), "test overdue at 10 h, 50 ± 2 h ago, due at 59 h"},
		{"its own interval", one("  rotor/1: {serial: R-1, origin: new, test_every: 80 h}\n").interval(49).test("SK-01", 1, "2023-01-12", "10 h", "rotor/1: R-1", "rotor/1: clear").change("SK-01", 1, "2024-01-01", "event", to60), "tested at 10 h, 50 ± 2 h ago, due at 90 h"},
		{"its file's interval", one(r1).interval(80).part("R-1", "serial: R-1\ntest_every: 20 h\n").test("SK-01", 1, "2023-01-12", "10 h", "rotor/1: R-1", "rotor/1: clear").change("SK-01", 1, "2024-01-01", "event", to60), "test overdue at 10 h, 50 ± 2 h ago, due at 30 h"},
		{"nobody counted the hours", one(r1).interval(49).test("SK-01", 1, "2023-01-12", "", "rotor/1: R-1", "rotor/1: clear"), "not known when due"},
		{"without an interval nobody asks", one(r1).test("SK-01", 1, "2023-01-12", "", "rotor/1: R-1", "rotor/1: clear"), "tested"},
		{"a mark", one(r1).test("SK-01", 1, "2023-01-12", "0 h", "rotor/1: R-1", "rotor/1: mark"), "marked at 0 h, 0 h ago"},
		{"cracked, whatever came before", one(r1).test("SK-01", 1, "2023-01-12", "0 h", "rotor/1: R-1", "rotor/1: clear").test("SK-01", 2, "2023-02-12", "0 h", "rotor/1: R-1", "rotor/1: cracked"), "cracked at 0 h, 0 h ago"},
		{"the part of no serial, same build", one("").test("SK-01", 2, "2023-01-12", "", "", "rotor/1: clear"), "tested"},
		{"the part of no serial, replaced since", one("").test("SK-01", 1, "2023-01-12", "", "", "rotor/1: clear").change("SK-01", 2, "2023-02-12", "replacement", "touches: [rotor/1]\n"), "never tested"},
		{"a new part of no serial", one("  rotor/1: {lot: L-1, origin: new}\n").test("SK-01", 1, "2023-01-12", "", "", "rotor/1: clear"), "never tested"},
	} {
		require.Equal(t, row.want, stands(t, row.b, "rotor/1"), row.name)
	}
}

// A test follows the part: to another position, and from another engine, with
// the hours counted when it was taken out there.
func TestCrackTestFollowsThePart(t *testing.T) {
	moved := begin(t).engine("SK-01", 2, "  rotor/1: {serial: R-1, origin: new}\n").interval(100).
		test("SK-01", 1, "2023-01-12", "10 h", "rotor/2: R-1", "rotor/2: clear").change("SK-01", 2, "2024-01-01", "event", to60)
	require.Equal(t, "tested at 10 h, 50 ± 2 h ago, due at 110 h", stands(t, moved, "rotor/1"))

	from := func(hours string) *bench {
		return begin(t).engine("SK-01", 2, "  rotor/1: {serial: R-1, origin: used, engine_hours_at_fitting: 40 h}\n").change("SK-01", 2, "2024-01-01", "event", to60).interval(35).
			engine("SK-02", 1, "").test("SK-02", 1, "2023-01-12", "10 h", "rotor/2: R-1", "rotor/2: clear").
			change("SK-02", 1, "2023-06-01", "teardown", "hours: 30 h\nremoved: [{from: rotor/2, serial: R-1"+hours+", to: another engine, where: SK-01}]\n")
	}
	require.Equal(t, "test overdue at 15 h, 40 ± 2 h ago, due at 50 h", stands(t, from(", hours: 35 h"), "rotor/1"), "35 h when taken out at 30 h of SK-02, so 15 h at the test; 20 h since in SK-02, 20 h in SK-01")
	require.Equal(t, "not known when due", stands(t, from(""), "rotor/1"))
}

// Shaft and rotors must not burst in any engine; gears, counterweights and
// flywheel where there are any.
func TestGuards(t *testing.T) {
	positions := func(b *bench) []string {
		var list []string
		s := b.shop()
		for _, g := range s.Guards(s.Engines[0]) {
			list = append(list, g.Position)
		}
		return list
	}
	require.Equal(t, []string{"rotor/1", "rotor/2", "shaft"}, positions(begin(t).engine("SK-01", 1, "  housing/1: {serial: H-1}\n  rotor/1/apex/1: {lot: B-1}\n")))
	b := begin(t).engine("SK-01", 1, "  flywheel: {part: F-1}\n  rotor/1/gear: {serial: G-1}\n").test("SK-01", 1, "2023-01-12", "", "", "gear/front: clear, counterweight/rear: clear")
	require.Equal(t, []string{"counterweight/rear", "flywheel", "gear/front", "rotor/1", "rotor/1/gear", "rotor/2", "shaft"}, positions(b))
	require.Equal(t, "tested", stands(t, b, "gear/front"))
}

// A gear that bears no serial goes with its rotor; one that does is told by its
// own.
func TestCrackTestOfAGear(t *testing.T) {
	gear := func(parts, read string) string {
		return stands(t, begin(t).engine("SK-01", 2, parts).test("SK-01", 1, "2023-01-12", "", read, "rotor/1/gear: clear"), "rotor/2/gear")
	}
	require.Equal(t, "tested", gear("  rotor/2: {serial: R-1}\n  rotor/2/gear: {part: G-80}\n", "rotor/1: R-1"))
	require.Equal(t, "never tested", gear("  rotor/2: {serial: R-2}\n  rotor/2/gear: {part: G-80}\n", "rotor/1: R-1"))
	require.Equal(t, "tested", gear("  rotor/2: {serial: R-2}\n  rotor/2/gear: {serial: G-1}\n", "rotor/1: R-1, rotor/1/gear: G-1"))
	require.Equal(t, "never tested", gear("  rotor/2: {serial: R-1}\n  rotor/2/gear: {serial: G-2}\n", "rotor/1: R-1, rotor/1/gear: G-1"))
}
