package schema_test

import (
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"stackbook/schema"
	"stackbook/schema/problem"
	"stackbook/schema/source"
)

func check(t *testing.T, kind, text string, rotors int) problem.List {
	t.Helper()
	doc, err := source.Parse("r.yaml", []byte(text))
	require.NoError(t, err)
	return schema.Check(doc, kind, rotors)
}

const goodSpec = `format: spec/1
engine: SK-07
id: 7f3a-91c0-55de
title: four-rotor
build: 1
geometry:
  rotors: 4
`

const goodSession = `format: measurements/1
engine: SK-07
build: 1
stage: mock-up
date: 2024-03-02
by: KM
instruments:
  G1: {kind: gauge blocks, resolution: 0.001 mm}
`

const goodChange = `format: change/1
engine: SK-07
build: 1
date: 2024-03-10
kind: machining
by: KM
what: pockets recut
`

// One record, one mistake, one line that says where, what and how to mend it.
func TestMistakes(t *testing.T) {
	cases := []struct {
		name, kind, text string
		line, column     int
		rule             string
		message, mend    string
	}{
		{"format missing", "spec", "engine: SK-07\n", 1, 1, "format", "the format line is missing", "write: format: spec/1"},
		{"format of another kind", "spec", "format: change/1\n", 1, 9, "format", `the format here is "change/1"`, "write: format: spec/1"},
		{"newer format names both numbers", "spec", "format: spec/2\n", 1, 9, "newer-format", "format spec/2, and this stackbook reads up to spec/1", "use a newer stackbook"},
		{"unknown key names the nearest", "spec", goodSpec + "  eccentricty: 14 mm\n", 8, 3, "unknown-key", `unknown key "eccentricty" in geometry`, "did you mean eccentricity?"},
		{"unknown key far from any", "spec", goodSpec + "zzzzzzzz: 1\n", 8, 1, "unknown-key", `unknown key "zzzzzzzz"`, "fields of your own go under shop:"},
		{"required key left out", "spec", strings.Replace(goodSpec, "title: four-rotor\n", "", 1), 1, 1, "missing", "the key title is missing", "add: title:"},
		{"required key left empty", "spec", strings.Replace(goodSpec, "four-rotor", "", 1), 4, 1, "empty", "title is empty", "write: title:"},
		{"bare number where a unit is due", "spec", goodSpec + "  eccentricity: 14\n", 8, 17, "quantity", "geometry.eccentricity: 14 needs a unit", "write 14 mm"},
		{"decimal comma (R13)", "spec", goodSpec + "  eccentricity: 14,5 mm\n", 8, 17, "quantity", "14,5 mm has a comma", "write 14.5 mm"},
		{"a mass for a length", "spec", goodSpec + "  eccentricity: 14 kg\n", 8, 17, "quantity", "a mass", "write it like 12.5 mm"},
		{"a size of nothing", "spec", goodSpec + "  eccentricity: 0 mm\n", 8, 17, "quantity", "which cannot be", "write a value from 0.01 mm to 10 m, such as 12.5 mm"},
		{"a negative size", "spec", goodSpec + "  generating_radius: -98 mm\n", 8, 22, "quantity", "which cannot be", "write a value from 0.01 mm to 10 m, such as 12.5 mm"},
		{"rotors written as a decimal", "spec", strings.Replace(goodSpec, "rotors: 4", "rotors: 4.0", 1), 7, 11, "quantity", `"4.0" is not a whole number`, "write a whole number from 1 to 12, such as 2"},
		{"a rotor too many", "spec", goodSpec + "parts:\n  rotor/5: {serial: R-1}\n", 9, 3, "position", "there is no rotor/5 in an engine of 4 rotors", "write rotor/1, rotor/2, rotor/3 or rotor/4"},
		{"a word that is none", "spec", goodSpec + "direction: clockwse\n", 8, 12, "word", `"clockwse" is not one of the words`, "did you mean clockwise?"},
		{"a list where a mapping is due", "spec", goodSpec + "balance: [1, 2]\n", 8, 10, "wrong-shape", "balance holds keys of its own", "indented"},
		{"a mapping where a value is due", "spec", goodSpec + "customer: {a: b}\n", 8, 11, "wrong-shape", "customer is one value", "write: customer: C-03"},
		{"serial swallowed by a comment (R13)", "spec", goodSpec + "parts:\n  rotor/1: {part: RT}\n  rotor/2:\n    serial: #1177\n", 11, 12, "comment-in-value", `YAML reads "#1177" as a comment`, `quote it: serial: "#1177"`},
		{"serial cut by a comment (R13)", "spec", goodSpec + "parts:\n  rotor/2:\n    serial: R-1177 #2\n", 10, 13, "comment-in-value", `YAML reads "#2" as a comment`, `quote it: serial: "R-1177 #2"`},
		{"gauge written as absolute (R22)", "spec", goodSpec + "cooling:\n  cap_pressure: 90 kPa abs\n", 9, 17, "quantity", "gauge", "write it like 350 kPa"},
		{"a date that is none", "change", strings.Replace(goodChange, "2024-03-10", "10.3.2024", 1), 4, 7, "date", `"10.3.2024" is no date`, "write 2024-03-10"},
		{"a kind that is none", "change", strings.Replace(goodChange, "machining", "machinig", 1), 5, 7, "word", `"machinig"`, "did you mean machining?"},
		{"touches a place that is none", "change", goodChange + "touches: [rotor/1, rotr/2]\n", 8, 20, "position", `"rotr/2" is no position`, "did you mean rotor/2?"},
		{"unknown point names the nearest", "measurements", goodSession + "readings:\n  housing_widht:\n    unit: mm\n", 10, 3, "unknown-point", `no point "housing_widht"`, "did you mean housing_width?"},
		{"a place the point is not taken at", "measurements", goodSession + "readings:\n  housing_width:\n    unit: mm\n    housing/1/at/E: 78.0\n", 12, 5, "place", `housing_width is not taken at "housing/1/at/E"`, "write housing/1/at/A, housing/1/at/B, housing/1/at/C or housing/1/at/D"},
		{"a place of a larger engine", "measurements", goodSession + "readings:\n  housing_width:\n    unit: mm\n    housing/5/at/A: 78.0\n", 12, 5, "place", `housing_width is not taken at "housing/5/at/A", in an engine of 4 rotors`, "write housing/1/at/A, housing/2/at/A, housing/3/at/A or housing/4/at/A"},
		{"inches below a unit of mm", "measurements", goodSession + "readings:\n  housing_width:\n    unit: mm\n    housing/1/at/A: 3.0712\n", 12, 21, "quantity", "3.0712 mm is less than 5 mm", "such as 12.5; if it was read so: 3.0712 in"},
		{"mm below a unit of inches", "measurements", goodSession + "readings:\n  housing_width:\n    unit: in\n    housing/1/at/A: [3.0712, 78.012]\n", 12, 30, "quantity", "78.012 in is more than 400 mm", "; if it was read so: 78.012 mm"},
		{"a limit beside its group", "limits", "format: limits/1\nname: a\nlimits: {}\nend_float:\n  new: {max: 0.07 mm}\n  source: x\n", 4, 1, "unknown-key", `unknown key "end_float"`, "indent it, below limits:"},
		{"a part beside its group", "spec", goodSpec + "rotor/1: {serial: R-1177}\n", 8, 1, "unknown-key", `unknown key "rotor/1"`, "indent it, below parts:"},
		{"a date without its noughts", "change", strings.Replace(goodChange, "2024-03-10", "2024-3-9", 1), 4, 7, "date", `"2024-3-9" is no date`, "write 2024-03-09"},
		{"an instrument not in the list", "measurements", goodSession + "readings:\n  housing_width:\n    unit: mm\n    instrument: G2\n", 12, 17, "instrument", `no instrument "G2"`, "did you mean G1?"},
		{"a unit of another kind", "measurements", goodSession + "readings:\n  housing_width:\n    unit: kg\n", 11, 11, "unit", "housing_width", "this point is kept in mm"},
		{"a bare number without a unit for it", "measurements", goodSession + "readings:\n  housing_width:\n    housing/1/at/A: 78.012\n", 11, 21, "quantity", "housing_width", "write 78.012 mm"},
		{"a slip of the pen", "measurements", goodSession + "readings:\n  housing_width:\n    unit: mm\n    housing/1/at/A: 780.12\n", 12, 21, "quantity", "780.12 mm is more than 400 mm, which cannot be", "write a value from 5 mm to 400 mm, such as 12.5"},
		{"an empty one among repeats", "measurements", goodSession + "readings:\n  housing_width:\n    unit: mm\n    housing/1/at/A: [78.012, ]\n", 0, 0, "", "", ""},
		{"an interval the wrong way round (R20)", "measurements", goodSession + "readings:\n  end_float:\n    unit: mm\n    engine: {between: [0.07, 0.06]}\n", 12, 23, "quantity", "not greater than the first", "write the smaller one first"},
		{"an unknown key in a reading (R20)", "measurements", goodSession + "readings:\n  end_float:\n    engine: {valu: 0.06 mm}\n", 11, 14, "unknown-key", `unknown key "valu" in a reading`, "did you mean value?"},
		{"a flag that is none", "limits", "format: limits/1\nname: a\nlimits:\n  end_float: {new: {max: 0.07 mm}, source: x, reference_only: maybe}\n", 4, 63, "word", `"maybe" is neither yes nor no`, "write yes or no"},
		{"a limit in the wrong unit", "limits", "format: limits/1\nname: a\nlimits:\n  end_float: {new: {max: 0.07 kg}, source: x}\n", 4, 26, "quantity", "end_float.new.max: 0.07 kg is a mass", "write it like 2 mm"},
		{"a flag in other words", "limits", "format: limits/1\nname: a\nlimits:\n  end_float: {new: {max: 0.07 mm}, source: x, reference_only: True}\n", 4, 63, "word", `"True" is neither yes nor no`, "write yes"},
		{"a limit with a decimal comma (R13)", "limits", "format: limits/1\nname: a\nlimits:\n  end_float: {new: {max: 0,07 mm}, source: x}\n", 4, 26, "decimal-comma", "limits.end_float.new.max", "write max: 0.07 mm"},
		{"a limit that is a list", "limits", "format: limits/1\nname: a\nlimits:\n  end_float: {new: {max: [1 mm]}, source: x}\n", 4, 26, "wrong-shape", "limits.end_float.new.max is one value", "write: max: 2 mm"},
		{"a limit of words", "limits", "format: limits/1\nname: a\nlimits:\n  crack_test: {new: {max: 1 mm}, source: x}\n", 4, 3, "word", "crack_test is written in words", "take the line out"},
		{"a limit left empty", "limits", "format: limits/1\nname: a\nlimits:\n  end_float:\n", 4, 3, "empty", "limits.end_float is empty", "write: end_float: {source: "},
		{"an instrument left empty", "measurements", strings.Replace(goodSession, "{kind: gauge blocks, resolution: 0.001 mm}", "~", 1), 8, 3, "empty", "instruments.G1 is empty", "write: G1: {kind: "},
		{"an instrument without a name", "measurements", goodSession + "  '': {kind: feeler}\n", 9, 3, "key", "instruments: a key is empty", "write a name of your own"},
		{"an instrument of a name that cannot be seen", "measurements", goodSession + "  \"G\\u202e2\": {kind: feeler}\n", 9, 3, "key", "U+202E, which cannot be seen", "write it as it is seen: G2"},
		{"no geometry", "spec", strings.Replace(goodSpec, "geometry:\n  rotors: 4\n", "", 1), 1, 1, "missing", "the key geometry is missing", "add: geometry: {rotors: 2}"},
		{"an empty geometry", "spec", strings.Replace(goodSpec, "  rotors: 4\n", "", 1), 6, 1, "empty", "geometry is empty", "write: geometry: {rotors: 2}"},
		{"a day of no engine", "change", strings.Replace(goodChange, "2024-03-10", "0204-03-10", 1), 4, 7, "date", `"0204-03-10" lies outside the years 1950 to 2199`, "write year, month and day, such as 2024-03-02"},
		{"a mapping among sizes", "spec", goodSpec + "  stations: [{a: b}, 1 mm]\n", 8, 14, "wrong-shape", "geometry.stations.1 is one value", "write it like 12.5 mm"},
		{"a unit that is a list", "measurements", goodSession + "readings:\n  end_float: {unit: [mm], engine: 0.06 mm}\n", 10, 21, "wrong-shape", "end_float: unit is one value", "write: unit: mm"},
		{"a note that is a list", "measurements", goodSession + "readings:\n  end_float:\n    engine: {value: 0.06 mm, note: [a]}\n", 11, 36, "wrong-shape", "end_float: note is one value", "write: note: a few words"},
		{"words that are a list", "measurements", goodSession + "readings:\n  crack_test:\n    shaft: {text: [a]}\n", 11, 19, "wrong-shape", "crack_test: a list stands where words are due", "write: text: a few words"},
		{"a word of four thousand letters", "spec", goodSpec + "direction: " + strings.Repeat("x", 4000) + "\n", 8, 12, "word", `"` + strings.Repeat("x", 60) + `…" is not one of the words`, "use one of"},
		{"a photo twice", "change", goodChange + "photos:\n  - {file: a.jpg, sha256: 00}\n  - {file: a.jpg, sha256: 01}\n", 10, 12, "twice", `file "a.jpg" stands here and on line 9`, "keep one"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			list := check(t, c.kind, c.text, 4)
			if c.rule == "" {
				require.Empty(t, list)
				return
			}
			require.Len(t, list, 1, "%v", list)
			p := list[0]
			require.Equal(t, []any{c.line, c.column, c.rule}, []any{p.Line, p.Column, p.Rule}, p.String())
			require.Contains(t, p.Message, c.message)
			require.Contains(t, p.Mend, c.mend)
			require.Less(t, len(p.String()), 300)
		})
	}
}

// R13: a required field in which nothing can be read is empty, in quotes or not;
// one that is not required was left out.
func TestR13EmptyFields(t *testing.T) {
	for _, empty := range []string{"", "~", "null", `""`, "''", `" "`, `"\t"`, `"\u200b"`, `"\u2060\u00a0"`, "|\n  \n"} {
		for _, key := range []string{"engine", "id", "title", "build"} {
			text := regexp.MustCompile("(?m)^"+key+": .*$").ReplaceAllLiteralString(goodSpec, key+": "+empty)
			list := check(t, "spec", text, 4)
			require.Len(t, list, 1, "%s: %s", key, empty)
			require.Equal(t, "empty", list[0].Rule, "%s: %s", key, empty)
			require.Contains(t, list[0].Mend, "write: "+key+": ")
		}
		require.Empty(t, check(t, "spec", goodSpec+"  eccentricity: "+empty+"\ncustomer: "+empty+"\n", 4), empty)
		require.Empty(t, check(t, "measurements", goodSession+"readings:\n  end_float:\n    engine: "+empty+"\n", 4), empty)
	}
	require.Equal(t, "empty", check(t, "change", strings.Replace(goodChange, "by: KM", `by: ""`, 1), 4)[0].Rule)
	require.Equal(t, "the format line is missing", check(t, "change", `format: ""`, 4)[0].Message)
}

// No number that could not be of an engine is taken, wherever it stands: each is
// told with the bounds it passes.
func TestAbsurdSizes(t *testing.T) {
	for _, c := range []struct{ kind, text, message, mend string }{
		{"spec", goodSpec + "  phases: [0 deg, 1e9 deg]\n", "geometry.phases.2: 1e9 deg is more than 720 deg", "write a value from -720 deg to 720 deg, such as 75 deg"},
		{"spec", goodSpec + "  stations: [0 mm, 1e30 mm]\n", "geometry.stations.2: 1e30 mm is more than 10 m", "from -10 m to 10 m"},
		{"spec", goodSpec + "  stations: [0 mm, 128 mm, 5.0394 in, 256 mm]\n", "geometry.stations.3: 5.0394 in is not greater than the one before, 128 mm", ""},
		{"spec", goodSpec + "  stations: [0 mm, 0 mm]\n", "geometry.stations.2: 0 mm is not greater than the one before, 0 mm", "write each greater than the one before"},
		{"spec", goodSpec + "  stations: [128 mm, 0 mm]\n", "geometry.stations.2: 0 mm is not greater than the one before, 128 mm", "write each greater than the one before"},
		{"spec", goodSpec + "  pinion_teeth: 99999999999999999999\n", "geometry.pinion_teeth: 99999999999999999999 is more than 1000", "write a whole number from 0 to 1000, such as 2"},
		{"spec", goodSpec + "  pinion_teeth: -99999999999999999999\n", "geometry.pinion_teeth: -99999999999999999999 is less than 0", "write a whole number"},
		{"spec", goodSpec + "  pinion_teeth: -0\n", `geometry.pinion_teeth: "-0" is not a whole number`, "write a whole number"},
		{"spec", goodSpec + "balance: {speed: 1e30 rpm}\n", "balance.speed: 1e30 rpm is more than 30000 rpm", "write a value from 0 rpm to 30000 rpm, such as 8400 rpm"},
		{"spec", goodSpec + "operating: {speed_momentary: -1 rpm}\n", "operating.speed_momentary: -1 rpm is less than 0 rpm", "such as 8400 rpm"},
		{"spec", goodSpec + "cooling: {inlet: 1e30 degC}\n", "cooling.inlet: 1e30 degC is more than 600 degC", "such as 80 degC"},
		{"measurements", goodSession + "readings:\n  top_speed:\n    engine: 1e30 rpm\n", "top_speed: 1e30 rpm is more than 20000 rpm", "such as 8400 rpm"},
		{"measurements", goodSession + "readings:\n  end_float:\n    temperature_error: 1\n    engine: 0.06 mm\n", "temperature_error: 1 needs a unit", "1 K"},
		{"measurements", goodSession + "readings:\n  end_float:\n    engine: {value: 0.06 mm, temperature_error: 90 K}\n", "temperature_error: 90 K is more than 50 K", "K"},
		{"measurements", goodSession + "readings:\n  end_float:\n    temperature: 1e9 degC\n    engine: 0.06 mm\n", "temperature: 1e9 degC is more than 600 degC", "such as 80 degC"},
		{"measurements", goodSession + "hours: 1e30 h\n", "hours: 1e30 h is more than 100000 h", "such as 61 h"},
		{"change", strings.Replace(goodChange, "build: 1", "build: 1000000", 1), "build: 1000000 is more than 99", "write a whole number from 1 to 99, such as 1"},
		{"limits", "format: limits/1\nname: a\nlimits:\n  end_float: {new: {max: 1e30 mm}, source: x}\n", "limits.end_float.new.max: 1e30 mm is more than 2 mm", "write a value from 0 mm to 2 mm"},
		{"spec", goodSpec + "  eccentricity: " + strings.Repeat("9", 200) + " mm\n", "geometry.eccentricity: " + strings.Repeat("9", 60) + "… is more than 10 m", "such as 12.5 mm"},
	} {
		list := check(t, c.kind, c.text, 4)
		if c.mend == "" {
			require.Empty(t, list, c.text)
			continue
		}
		require.Len(t, list, 1, c.text)
		require.Contains(t, list[0].Message, c.message)
		require.Contains(t, list[0].Mend, c.mend)
		require.Positive(t, list[0].Line)
		require.Positive(t, list[0].Column)
	}
}

// One run tells everything that is wrong, in the order of the file.
func TestAllProblemsInOneRun(t *testing.T) {
	list := check(t, "spec", goodSpec+"  eccentricity: 14\n  chamber_widht: 78 mm\nlimitz: a\n", 4)
	var lines []int
	for _, p := range list {
		lines = append(lines, p.Line)
	}
	require.Equal(t, []int{8, 9, 10}, lines)
}

// Serials and lots are text whatever they look like: the schema decides, not
// YAML's guess (R13).
func TestCodesAreText(t *testing.T) {
	for _, serial := range []string{"00123", "12E4", "0x1F", "no", "1.20", "2024-03-02", "~x", `"#1177"`, "1_000"} {
		list := check(t, "spec", goodSpec+"parts:\n  rotor/1: {serial: "+serial+"}\n", 4)
		require.Empty(t, list, serial)
	}
}

// What a shop adds for itself is nobody's to judge.
func TestShopFieldsAreFree(t *testing.T) {
	require.Empty(t, check(t, "spec", goodSpec+"shop:\n  bench: 3\n  list: [a, {b: c}]\n", 4))
}

// An empty reading was not taken; an empty session is a valid blank sheet (R20).
func TestEmptyReadingIsNotTaken(t *testing.T) {
	require.Empty(t, check(t, "measurements", goodSession+"readings:\n  housing_width:\n    unit: mm\n    housing/1/at/A:\n    housing/1/at/B: ~\n", 4))
}
