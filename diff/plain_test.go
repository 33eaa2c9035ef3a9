package diff

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"stackbook/record"
)

// plainOf is a record as plain lines, joined.
func plainOf(t *testing.T, kind, text string) string {
	t.Helper()
	r, _ := record.Read(record.File{Path: "a.yaml", Data: []byte(text)}, kind, 0)
	require.NotNil(t, r)
	return strings.Join(Plain(r), "\n")
}

// Two spellings of one record are one text.
func TestPlainIsOneTextForOneMeaning(t *testing.T) {
	for name, c := range map[string]struct{ kind, a, b, want string }{
		"order, comments and quotes": {"change",
			"format: change/1\nengine: SK-07\nkind: machining # as ordered\nby: KM\ndate: 2024-03-10\n",
			"# first\nformat: change/1\nby: \"KM\"\ndate: '2024-03-10'\nkind: machining\nengine: SK-07\n",
			"format: change/1\nengine: SK-07\ndate: 2024-03-10\nkind: machining\nby: KM"},
		"units and noughts": {"spec",
			"geometry: {chamber_width: 76.2 mm, eccentricity: 14 mm}",
			"geometry:\n  eccentricity: 14.00 mm\n  chamber_width: 3 in\n",
			"geometry.eccentricity: 14 mm\ngeometry.chamber_width: 76.2 mm"},
		"readings, with what holds for all of them": {"measurements",
			"instruments: {G1: {kind: gauge}}\nreadings:\n  rotor_width:\n    unit: mm\n    instrument: G1\n    rotor/2/corner/1: 77.85\n    rotor/1/corner/1: 77.86\n",
			"instruments: {G1: {kind: gauge}}\nreadings:\n  rotor_width:\n    rotor/1/corner/1: {value: 7.786 cm, instrument: G1}\n    rotor/2/corner/1: {value: 77.850 mm, instrument: G1}\n    rotor/2/corner/2:\n",
			"instruments.G1.kind: gauge\nreadings.rotor_width rotor/1/corner/1: 77.86 mm\nreadings.rotor_width rotor/1/corner/1 instrument: G1\nreadings.rotor_width rotor/2/corner/1: 77.85 mm\nreadings.rotor_width rotor/2/corner/1 instrument: G1"},
		"positions in any order": {"change",
			"touches: [rotor/10, rotor/2]", "touches:\n  - rotor/2\n  - rotor/10\n", "touches: rotor/2\ntouches: rotor/10"},
		"what was removed, by its position": {"change",
			"removed:\n  - {from: rotor/2, serial: R-2}\n  - {serial: R-1, from: rotor/1}\n",
			"removed: [{from: rotor/1, serial: R-1}, {from: rotor/2, serial: R-2}]",
			"removed.rotor/1.from: rotor/1\nremoved.rotor/1.serial: R-1\nremoved.rotor/2.from: rotor/2\nremoved.rotor/2.serial: R-2"},
	} {
		t.Run(name, func(t *testing.T) {
			require.Equal(t, c.want, plainOf(t, c.kind, c.a))
			require.Equal(t, c.want, plainOf(t, c.kind, c.b))
		})
	}
}

// Whatever is written is shown, also where the dictionary does not know it or
// it cannot be read.
func TestPlainLeavesNothingOut(t *testing.T) {
	for name, c := range map[string]struct{ kind, text, want string }{
		"unknown keys":                {"spec", "geometry: {e: 14 mm}\ncolour: [red, {deep: yes}]\n", "geometry.e: 14 mm\ncolour.1: red\ncolour.2.deep: yes"},
		"a quantity without unit":     {"spec", "geometry: {eccentricity: 14}", "geometry.eccentricity: 14"},
		"a list where a value is due": {"spec", "title: [a, b]", "title.1: a\ntitle.2: b"},
		"a value where keys are due":  {"spec", "geometry: wide", "geometry: wide"},
		"readings that cannot be read": {"measurements", "readings:\n  rotor_width: {unit: mm, rotor/1/corner/1: wide}\n  no_point: {rotor/1: 3}\n",
			"readings.rotor_width.unit: mm\nreadings.rotor_width.rotor/1/corner/1: wide\nreadings.no_point.rotor/1: 3"},
		"a unit it has no end in": {"change", "hours: 100 min", "hours: 100 min"},
		"several lines":           {"change", "why: |\n  first\n  second\n", "why: first\nwhy: second"},
		"repeats and intervals": {"measurements", "readings:\n  apex_seal_end_gap_felt: {unit: mm, rotor/1/apex/1: [0.10, 0.11], rotor/1/apex/2: {between: [0.05, 0.06]}}\n",
			"readings.apex_seal_end_gap_felt rotor/1/apex/1: 0.1 mm, 0.11 mm\nreadings.apex_seal_end_gap_felt rotor/1/apex/2: between 0.05 mm and 0.06 mm"},
		"readings not taken": {"measurements", "readings:\n  rotor_width: {unit: mm, rotor/1/corner/1: 77.86, rotor/1/corner/2: {note: burr}}\n  end_float: {unit: mm, method: indicator, engine: }\n",
			"readings.end_float.unit: mm\nreadings.end_float.method: indicator\nreadings.rotor_width rotor/1/corner/1: 77.86 mm\nreadings.rotor_width.rotor/1/corner/2.note: burr"},
		"rows": {"measurements", "tables: {dyno: {columns: [speed rpm, torque N m], rows: [[6000, 172.0], [7000, 181]]}}",
			"tables.dyno.columns.1: speed rpm\ntables.dyno.columns.2: torque N m\ntables.dyno.rows: 6000, 172.0\ntables.dyno.rows: 7000, 181"},
		"entries without their name": {"change", "removed: [{serial: R-1}, {from: rotor/2}]", "removed.1.serial: R-1\nremoved.2.from: rotor/2"},
		"twice the same name":        {"change", "removed: [{from: rotor/2, serial: A}, {from: rotor/2, serial: B}]", "removed.1.from: rotor/2\nremoved.1.serial: A\nremoved.2.from: rotor/2\nremoved.2.serial: B"},
	} {
		t.Run(name, func(t *testing.T) {
			require.Equal(t, c.want, plainOf(t, c.kind, c.text))
		})
	}
}
