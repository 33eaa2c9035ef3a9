package schema_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"stackbook/schema"
	"stackbook/schema/source"
)

// R13: YAML eats text. Each way a number or a code may be written is taken with
// its meaning (no message) or refused in one line that says what would be right.
func TestR13Spellings(t *testing.T) {
	const size, phases, part, reading = "size", "phases", "part", "reading"
	frames := map[string]struct{ kind, text string }{
		size:    {"spec", goodSpec + "  eccentricity: %\n"},
		phases:  {"spec", goodSpec + "  phases: %\n"},
		part:    {"spec", goodSpec + "parts:\n  rotor/1: %\n"},
		reading: {"measurements", goodSession + "readings:\n  end_float:\n    unit: mm\n    engine: %\n"},
	}
	for _, c := range []struct{ where, written, message, mend string }{
		// Numbers, as sizes with their unit.
		{size, ".5 mm", "", ""},
		{size, "5. mm", "", ""},
		{size, "+5 mm", "", ""},
		{size, "1e1 mm", "", ""},
		{size, "017 mm", "", ""}, // seventeen: a size is decimal, whatever YAML 1.1 made of it
		{size, "12.5mm", "", ""},
		{size, "'12.5 mm'", "", ""},
		{size, "|\n    12.5 mm", "", ""},
		{size, "!!str 12.5 mm", "", ""},
		{size, "12.5 mm # by template", "", ""},
		{size, "~", "", ""},
		{size, `""`, "", ""},
		{size, "1e3", "1e3 needs a unit", "write 1e3 mm"},
		{size, "1_000 mm", "1_000 mm has a mark between its digits", "write 1000 mm"},
		{size, "0x10 mm", "0x10 mm is not a decimal number", "write it like 12.5 mm"},
		{size, "0o17 mm", "0o17 mm is not a decimal number", "write it like 12.5 mm"},
		{size, "0b11 mm", "0b11 mm is not a decimal number", "write it like 12.5 mm"},
		{size, "12:30", "12:30 has a colon in its number", "write it like 12.5 mm"},
		{size, "190:20:30 mm", "190:20:30 mm has a colon in its number", "write it like 12.5 mm"},
		{size, "NaN", "NaN is not a measured number", "leave the value empty"},
		{size, ".nan mm", ".nan mm is not a measured number", "leave the value empty"},
		{size, "-.Inf", "-.Inf is not a measured number", "leave the value empty"},
		{size, "yes", "yes does not begin with a number", "write it like 12.5 mm"},
		{size, "12,5 mm", "12,5 mm has a comma in its number", "write 12.5 mm"},
		{size, "'12,5 mm'", "12,5 mm has a comma in its number", "write 12.5 mm"},
		{size, "12·5 mm", "the unit ·5 mm is not known", "write 12.5 mm"},
		{size, "１２ mm", "does not begin with a number", "write 12 mm"},
		{size, "½ in", "½ in does not begin with a number", "write 1/2 in"},
		{size, "#5 mm", `YAML reads "#5 mm" as a comment, so eccentricity would be empty`, "take the # out: eccentricity: 5 mm"},
		{size, "5 #mm", "5 needs a unit", "write 5 mm"},

		// Within brackets.
		{phases, "[0 deg, 1.8e2 deg]", "", ""},
		{phases, "[0 deg, ]", "", ""},
		{phases, "[0,5 deg, 120 deg]", "geometry.phases: the comma ends the value here", "write 0.5 deg"},
		{phases, "[0 deg, 12,5 deg]", "geometry.phases: the comma ends the value here", "write 12.5 deg"},
		{phases, "[0,5 deg,120,5 deg]", "geometry.phases: the comma ends the value here", "write 0.5 deg"},
		{phases, "[0,120]", "geometry.phases.1: 0 needs a unit", "write 0 deg"},
		{phases, "['0,5 deg', 120 deg]", "geometry.phases.1: 0,5 deg has a comma", "write 0.5 deg"},
		{phases, "[12:30, 5 deg]", "12:30 has a colon", "write it like 75 deg"},
		{phases, "[~, 5 deg]", "geometry.phases.1 is empty", "write a value or take the entry out"},
		{phases, "0 deg, 120 deg", "geometry.phases is a list", "write: phases: ["},

		// Codes, and sizes within braces.
		{part, "{serial: 0x1F, lot: 1_000, part: 12:30, supplier: no}", "", ""},
		{part, "{serial: R-1#2}", "", ""},
		{part, "\n    serial: R-1177 # witness mark\n", "", ""},
		{part, "\n    serial: #1177\n", `YAML reads "#1177" as a comment, so serial would be empty`, `quote it: serial: "#1177"`},
		{part, "\n    lot: L-1 #2\n", `YAML reads "#2" as a comment, so lot would be "L-1"`, `quote it: lot: "L-1 #2"`},
		{part, "\n    part: RT #80\n", `YAML reads "#80" as a comment, so part would be "RT"`, `quote it: part: "RT #80"`},
		{part, "\n    supplier: #2\n", `YAML reads "#2" as a comment, so supplier would be empty`, `quote it: supplier: "#2"`},
		{part, "\n    serial: |\n      R-1\n", `"R-1\n" has blanks or a line end around it`, "write it as it is seen: R-1"},
		{part, "{serial: ' R-1'}", `" R-1" has blanks or a line end around it`, "write it as it is seen: R-1"},
		{part, `{serial: "R\u200b-1"}`, "U+200B, which cannot be seen", "write it as it is seen: R-1"},
		{part, `{serial: "R\u202e-1"}`, "U+202E, which cannot be seen", "write it as it is seen: R-1"},
		{part, "{serial: 1,5, lot: 2}", "parts.rotor/1.serial: the comma ends the value here", `write serial: "1,5"`},
		{part, "{thickness: 2,5 mm}", "parts.rotor/1.thickness: the comma ends the value here", "write thickness: 2.5 mm"},
		{part, "{thickness: 2,5}", "parts.rotor/1.thickness: the comma ends the value here", "write thickness: 2.5 mm"},
		{part, "{thickness: '2,5 mm'}", "2,5 mm has a comma in its number", "write 2.5 mm"},

		// Readings, whose unit stands above them.
		{reading, ".06", "", ""},
		{reading, "+.06", "", ""},
		{reading, "6e-2", "", ""},
		{reading, "0.06 mm", "", ""},
		{reading, "[0.06, 62 um]", "", ""},
		{reading, "''", "", ""},
		{reading, "{}", "", ""},
		{reading, "0,062", "0,062 has a comma in its number", "write 0.062"},
		{reading, "'0,062'", "0,062 has a comma in its number", "write 0.062"},
		{reading, "['0,062', 0.063]", "0,062 has a comma in its number", "write 0.062"},
		{reading, "[0.062, 0,063]", "end_float: the comma ends the value here", "write 0.063"},
		{reading, "{value: 0,062}", "end_float: the comma ends the value here", "write value: 0.062"},
		{reading, "{between: [0,06, 0,07]}", "end_float: the comma ends the value here", "write 0.06"},
		{reading, "0x1", "0x1 is not a decimal number", "write it like 2"},
		{reading, "1:30", "1:30 has a colon in its number", "write it like 2"},
		{reading, "NaN", "NaN is not a measured number", "leave the value empty"},
		{reading, "[0.06, ~]", "a value is missing here", "write a number"},
		{reading, "[[0.06]]", "a list stands where one number is due", "write it like 2"},
		{reading, "{value: {a: 1}}", "a mapping stands where one number is due", "write it like 2"},
	} {
		frame := frames[c.where]
		doc, err := source.Parse("r.yaml", []byte(strings.Replace(frame.text, "%", c.written, 1)))
		require.NoError(t, err, c.written)
		list := schema.Check(doc, frame.kind, 4)
		if c.message == "" {
			require.Empty(t, list, c.written)
			continue
		}
		require.NotEmpty(t, list, c.written)
		for _, p := range list[1:] {
			require.Equal(t, list[0].Rule, p.Rule, "%s: %v", c.written, list)
		}
		require.Contains(t, list[0].Message, c.message, c.written)
		require.Contains(t, list[0].Mend, c.mend, c.written)
		require.Positive(t, list[0].Line)
		require.Positive(t, list[0].Column)
	}
}
