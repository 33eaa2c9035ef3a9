package diff_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"stackbook/diff"
)

// triple is a three-rotor engine of which only what is fitted matters.
func triple(t *testing.T, id, parts string) diff.State {
	t.Helper()
	f := files{"spec.yaml": fmt.Sprintf("format: spec/1\nengine: SK-01\nid: %s\ntitle: three-rotor\nbuild: 1\ngeometry: {rotors: 3}\nparts:\n%s", id, parts)}
	return f.state(t, "")
}

// told are the changes as short lines.
func told(changes []diff.Change) []string {
	lines := []string{}
	for _, c := range changes {
		lines = append(lines, fmt.Sprintf("%s %s: %q to %q %s", c.What, c.Path, c.From, c.To, c.Note))
	}
	return lines
}

// A part is itself by number and serial, wherever it sits; without a serial it
// is what sits at the position.
func TestPartsArePairedBySerialThenPosition(t *testing.T) {
	for _, c := range []struct{ name, before, after, want string }{
		{"a rotor moved from 2 to 3",
			"  rotor/2: {part: RT-80, serial: R-2}\n",
			"  rotor/3: {part: RT-80, serial: R-2}\n",
			`[moved parts: "rotor/2" to "rotor/3" R-2]`},
		{"what it is made of is compared across the move, once",
			"  rotor/2: {part: RT-80, serial: R-2, mass: 3948 g, coating: none}\n",
			"  rotor/3: {part: RT-80, serial: R-2, mass: 3.9 kg, coating: none}\n",
			`[moved parts: "rotor/2" to "rotor/3" R-2 changed parts.rotor/3.mass: "3948 g" to "3.9 kg" ]`},
		{"two rotors that changed places are two moves",
			"  rotor/1: {part: RT-80, serial: R-1, lot: L-1}\n  rotor/2: {part: RT-80, serial: R-2, lot: L-2}\n",
			"  rotor/1: {part: RT-80, serial: R-2, lot: L-2}\n  rotor/2: {part: RT-80, serial: R-1, lot: L-1}\n",
			`[moved parts: "rotor/2" to "rotor/1" R-2 moved parts: "rotor/1" to "rotor/2" R-1]`},
		{"three that went round",
			"  rotor/1: {serial: R-1}\n  rotor/2: {serial: R-2}\n  rotor/3: {serial: R-3}\n",
			"  rotor/1: {serial: R-3}\n  rotor/2: {serial: R-1}\n  rotor/3: {serial: R-2}\n",
			`[moved parts: "rotor/3" to "rotor/1" R-3 moved parts: "rotor/1" to "rotor/2" R-1 moved parts: "rotor/2" to "rotor/3" R-2]`},
		{"one moved in the place of one taken out, and a new one came",
			"  rotor/1: {serial: R-1}\n  rotor/2: {serial: R-2}\n",
			"  rotor/1: {serial: R-9}\n  rotor/2: {serial: R-1}\n",
			`[added parts.rotor/1.serial: "" to "R-9"  moved parts: "rotor/1" to "rotor/2" R-1 removed parts.rotor/2.serial: "R-2" to "" ]`},
		{"one serial and two numbers are two parts",
			"  housing/1: {part: RH-80, serial: A-7}\n  rotor/2: {part: RT-80, serial: A-7}\n",
			"  housing/1: {part: RH-80, serial: A-7}\n  rotor/3: {part: RT-81, serial: A-7}\n",
			`[removed parts.rotor/2.part: "RT-80" to ""  removed parts.rotor/2.serial: "A-7" to ""  added parts.rotor/3.part: "" to "RT-81"  added parts.rotor/3.serial: "" to "A-7" ]`},
		{"number and serial are not run together",
			"  rotor/1: {part: RT 80, serial: R-1}\n",
			"  rotor/2: {part: RT, serial: 80 R-1}\n",
			`[removed parts.rotor/1.part: "RT 80" to ""  removed parts.rotor/1.serial: "R-1" to ""  added parts.rotor/2.part: "" to "RT"  added parts.rotor/2.serial: "" to "80 R-1" ]`},
		{"a replaced part is told by its serial at the position",
			"  rotor/1: {part: RT-80, serial: R-1, lot: L-1}\n",
			"  rotor/1: {part: RT-80, serial: R-9, lot: L-1}\n",
			`[changed parts.rotor/1.serial: "R-1" to "R-9" ]`},
		{"without a serial a part does not move",
			"  rotor/1/apex/1: {part: AS-3C, lot: B-14}\n",
			"  rotor/1/apex/1: {part: AS-3C, lot: B-21}\n",
			`[changed parts.rotor/1/apex/1.lot: "B-14" to "B-21" ]`},
		{"nor is one without a serial the same elsewhere",
			"  rotor/1: {part: RT-80}\n",
			"  rotor/2: {part: RT-80}\n",
			`[removed parts.rotor/1.part: "RT-80" to ""  added parts.rotor/2.part: "" to "RT-80" ]`},
		{"one serial at two positions stays where it can",
			"  rotor/1: {serial: R-1, lot: A}\n  rotor/2: {serial: R-1, lot: A}\n",
			"  rotor/2: {serial: R-1, lot: A}\n  rotor/3: {serial: R-1, lot: A}\n",
			`[moved parts: "rotor/1" to "rotor/3" R-1]`},
		{"one serial that turns up twice has moved once",
			"  rotor/1: {serial: R-1}\n",
			"  rotor/2: {serial: R-1}\n  rotor/3: {serial: R-1}\n",
			`[moved parts: "rotor/1" to "rotor/2" R-1 added parts.rotor/3.serial: "" to "R-1" ]`},
		{"a part with nothing written of it",
			"  rotor/1: {serial: ~, lot: ~}\n",
			"  rotor/1: {}\n  rotor/2: ~\n",
			`[]`},
	} {
		t.Run(c.name, func(t *testing.T) {
			a, b := triple(t, "5c02-7be1-90aa", c.before), triple(t, "5c02-7be1-90aa", c.after)
			require.Equal(t, c.want, fmt.Sprint(told(diff.Compare(a, b).Changes)))
			require.True(t, diff.Compare(a, a).Empty())
			require.True(t, diff.Compare(b, b).Empty())
		})
	}
}

// Parts are told front to rear, whatever order they are written in.
func TestPartsAreToldInOrder(t *testing.T) {
	a := triple(t, "5c02-7be1-90aa", "  rotor/3: {lot: A}\n  bolt/10: {lot: A}\n  bolt/9: {lot: A}\n  rotor/1: {lot: A}\n")
	b := triple(t, "5c02-7be1-90aa", "  bolt/9: {lot: B}\n  rotor/1: {lot: B}\n  rotor/3: {lot: B}\n  bolt/10: {lot: B}\n")
	var paths []string
	for _, c := range diff.Compare(a, b).Changes {
		paths = append(paths, c.Path)
	}
	require.Equal(t, []string{"parts.bolt/9.lot", "parts.bolt/10.lot", "parts.rotor/1.lot", "parts.rotor/3.lot"}, paths)
}

// A sister engine with another id is compared part by part like a later build.
func TestPartsOfTwoEngines(t *testing.T) {
	a := triple(t, "5c02-7be1-90aa", "  rotor/1: {part: RT-80, serial: R-1, coating: none}\n")
	b := triple(t, "91d3-0c4e-18b7", "  rotor/1: {part: RT-80, serial: R-8, coating: none}\n")
	require.Equal(t, []string{`changed parts.rotor/1.serial: "R-1" to "R-8" `}, told(diff.Compare(a, b).Changes))
}

// Side by side, each column tells what sits where; a serial that sits elsewhere
// in another state has a row of its own besides.
func TestMovesSideBySide(t *testing.T) {
	a := triple(t, "5c02-7be1-90aa", "  rotor/1: {serial: R-1}\n  rotor/2: {serial: R-2, coating: none}\n")
	b := triple(t, "5c02-7be1-90aa", "  rotor/1: {serial: R-1}\n  rotor/3: {serial: R-2, coating: none}\n")
	c := triple(t, "5c02-7be1-90aa", "  rotor/1: {serial: R-1}\n")
	side := diff.Side([]diff.State{a, b, c}, diff.Filter{Kinds: []string{diff.Parts}})
	require.Equal(t, []diff.ChangeRow{
		{Path: "parts", Serial: "R-2", Values: []string{"rotor/2", "rotor/3", ""}},
		{Path: "parts.rotor/2.serial", Values: []string{"R-2", "", ""}},
		{Path: "parts.rotor/2.coating", Values: []string{"none", "", ""}},
		{Path: "parts.rotor/3.serial", Values: []string{"", "R-2", ""}},
		{Path: "parts.rotor/3.coating", Values: []string{"", "none", ""}},
	}, side.Changes)
	require.Equal(t, diff.Parts, side.Changes[0].Kind())
	at := diff.Side([]diff.State{a, b, c}, diff.Filter{At: "rotor/3"})
	require.Equal(t, "R-2", at.Changes[0].Serial)
	require.Empty(t, diff.Side([]diff.State{a, b}, diff.Filter{At: "rotor/1"}).Changes)
}

// A move is a difference at both its ends.
func TestFilterOfMoves(t *testing.T) {
	r := diff.Compare(triple(t, "5c02-7be1-90aa", "  rotor/2: {serial: R-2}\n"), triple(t, "5c02-7be1-90aa", "  rotor/3: {serial: R-2}\n"))
	for _, at := range []string{"rotor/2", "rotor/3"} {
		require.Len(t, r.Keep(diff.Filter{At: at}).Changes, 1, at)
	}
	require.True(t, r.Keep(diff.Filter{At: "rotor/1"}).Empty())
}
