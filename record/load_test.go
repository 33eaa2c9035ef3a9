package record_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"stackbook/record"
	"stackbook/schema"
	"stackbook/schema/problem"
)

// problems loads files that hold mistakes.
func (s *shelf) problems() (*record.Engine, problem.List) { return record.Load(folder, s.files) }

// only is the one problem that was found.
func only(t *testing.T, list problem.List) problem.Problem {
	t.Helper()
	require.Len(t, list, 1, list.Error())
	return list[0]
}

const sound = "format: spec/1\nengine: SK-07\nid: 7f3a-91c0-55de\ntitle: three-rotor\nbuild: 1\ngeometry:\n  rotors: 3\n"

// Without a spec there is no engine, and one problem says so.
func TestLoadWithoutASpec(t *testing.T) {
	e, list := new(shelf).session(1, "mock-up", "2024-03-02", "", "end_float", "engine: 0.06").problems()
	require.Nil(t, e)
	p := only(t, list)
	require.Equal(t, "no-spec", p.Rule)
	require.Equal(t, folder, p.File)
}

// A spec that is no YAML gives no engine; where it goes wrong is told.
func TestLoadWithAnUnreadableSpec(t *testing.T) {
	e, list := new(shelf).add("spec.yaml", "format: spec/1\nengine: [SK-07\n").problems()
	require.Nil(t, e)
	p := only(t, list)
	require.Equal(t, folder+"/spec.yaml", p.File)
	require.Positive(t, p.Line)
}

// One run tells what is wrong in every record, also where the spec cannot be
// read: the folder says which engine they are of.
func TestLoadTellsAllBesideAnUnreadableSpec(t *testing.T) {
	for _, spec := range []string{"format: spec/1\nengine: [SK-07\n", "format: spec/9\nengine: SK-07\n", ""} {
		s := new(shelf).add("changes/2024-03-02-note.yaml", "format: change/1\nengine: SK-09\nbuild: 1\ndate: 2024-03-02\nkind: noet\nby: KM\nwhat: x\n").
			add("measurements/mine.yaml", "format: measurements/1\nengine: SK-07\nbuild: 1\nstage: mock-up\ndate: 2024-03-02\nby: KM\nreadings:\n  end_float:\n    engine: 0.06\n")
		if spec != "" {
			s.add("spec.yaml", spec)
		}
		e, list := s.problems()
		require.Nil(t, e)
		var rules []string
		for _, p := range list {
			rules = append(rules, p.Rule)
		}
		require.Len(t, rules, 5, "%v", list)
		require.Subset(t, rules, []string{"engine", "word", "quantity", "file-name"})
	}
}

// A spec of a newer format, or of none, is refused: nothing is guessed from it.
func TestLoadWithASpecOfAnotherFormat(t *testing.T) {
	for text, rule := range map[string]string{
		"format: spec/9\nengine: SK-07\n": "newer-format", "format: change/1\nengine: SK-07\n": "format", "engine: SK-07\n": "format", "": "format",
	} {
		e, list := new(shelf).add("spec.yaml", text).problems()
		require.Nil(t, e, text)
		require.Equal(t, rule, only(t, list).Rule, text)
	}
}

// A record that is no YAML is one problem; the others are read.
func TestLoadPassesOverAnUnreadableSession(t *testing.T) {
	e, list := new(shelf).spec(1, "").add("measurements/2024-03-01-mock-up-KM.yaml", "\tformat: measurements/1\n").
		add("changes/2024-03-01.yaml", "a: 1\na: 2\n").
		session(1, "mock-up", "2024-03-02", "", "end_float", "engine: 0.06").problems()
	require.Len(t, list, 2)
	require.Len(t, e.Sessions, 1)
	require.Empty(t, e.Changes)
}

// What the spec says of the engine is read once.
func TestLoadReadsTheEngine(t *testing.T) {
	e := new(shelf).add("spec.yaml", sound+"customer: C-03\nparts:\n  rotor/1: {part: RT-80, serial: 00123, lot: L-2211, origin: used}\n  housing/1: {serial: ~}\n").load(t)
	require.Equal(t, []any{"SK-07", "7f3a-91c0-55de", folder, "three-rotor", "C-03", 1, 3}, []any{e.Number, e.ID, e.Folder, e.Title, e.Customer, e.Build, e.Rotors})
	require.Len(t, e.Parts(), 2)
	part, ok := e.PartAt("rotor/1")
	require.True(t, ok)
	require.Equal(t, record.Part{Position: "rotor/1", Serial: "00123", Lot: "L-2211", Number: "RT-80", Origin: "used", Ref: record.Ref{File: folder + "/spec.yaml", Line: 10, Column: 12}}, part)
	part, ok = e.PartAt("housing/1")
	require.True(t, ok)
	require.Empty(t, part.Serial, "an empty serial is none")
	_, ok = e.PartAt("rotor/2")
	require.False(t, ok)
}

// Files elsewhere, and files that are no records, are passed over.
func TestLoadTakesOnlyItsOwnRecords(t *testing.T) {
	s := new(shelf).spec(1, "").add("measurements/notes.txt", "not YAML: [").add("measurements/old/2020-01-01-mock-up-KM.yaml", "no: [").
		add("figures.yaml", "no: [").add("photos/a.yaml", "no: [").add("measurements/2024-03-02-mock-up-KM.yml", "no: [")
	s.files = append(s.files, record.File{Path: "engines/2024/SK-070/spec.yaml", Data: []byte("no: [")}, record.File{Path: "book.yaml", Data: []byte("no: [")})
	e := s.load(t)
	require.Empty(t, e.Sessions)
	require.Empty(t, e.Changes)
}

// Sessions and changes come by date, whatever the order of the files; of one
// day, by the working order of their stages.
func TestLoadSorts(t *testing.T) {
	e := new(shelf).session(1, "assembly", "2024-03-05", "", "end_float", "engine: 0.06").
		change(1, "2024-03-09", "note", "engine").change(1, "2024-03-01", "note", "engine").
		session(1, "mock-up", "2024-03-05", "", "rotor_width", "rotor/1/corner/1: 77.86").
		session(1, "balance", "2024-03-02", "", "end_float", "engine: 0.06").spec(1, "").load(t)
	var sessions, changes []string
	for _, s := range e.Sessions {
		sessions = append(sessions, s.Name())
	}
	for _, c := range e.Changes {
		changes = append(changes, c.Date.Day())
	}
	require.Equal(t, []string{"2024-03-02-balance-KM.yaml", "2024-03-05-mock-up-KM.yaml", "2024-03-05-assembly-KM.yaml"}, sessions)
	require.Equal(t, []string{"2024-03-01", "2024-03-09"}, changes)
}

// A spec that does not agree with its folder or with itself says where.
func TestSpecAgreesWithItself(t *testing.T) {
	geometry := func(lines string) string { return sound + lines }
	for _, row := range []struct {
		name, text, rule, message string
		line                      int
	}{
		{"another engine's folder", "format: spec/1\nengine: SK-08\nid: 7f3a-91c0-55de\ntitle: x\nbuild: 1\ngeometry:\n  rotors: 3\n", "engine", "the spec names engine SK-08 but lies in the folder SK-07", 2},
		{"no engine number", "format: spec/1\nengine: sk 07\nid: 7f3a-91c0-55de\ntitle: x\nbuild: 1\ngeometry:\n  rotors: 3\n", "engine", `"sk 07" is no engine number`, 2},
		{"too few phases", geometry("  phases: [0 deg, 180 deg]\n"), "count", "geometry.phases has 2 entries for 3 rotors", 8},
		{"too many stations", geometry("  stations: [0 mm, 128 mm, 256 mm, 384 mm]\n"), "count", "geometry.stations has 4 entries for 3 rotors", 8},
		{"counterweights in one plane", geometry("balance:\n  front_plane: 10 in\n  rear_plane: 254 mm\n"), "shape", "the front and the rear counterweight lie in one plane, at 254 mm", 10},
		{"a bore crossing itself", geometry("  generating_radius: 42 mm\n  eccentricity: 14 mm\n"), "shape", "42 mm is not more than three times the eccentricity of 14 mm", 9},
		{"the same in inches", geometry("  generating_radius: 1.5 in\n  eccentricity: 14 mm\n"), "shape", "1.5 in is not more than three times", 9},
		{"a seal tip larger than the hollow of the waist", geometry("  generating_radius: 50 mm\n  eccentricity: 14 mm\n  seal_tip_radius: 2 mm\n"), "shape", "a seal tip radius of 2 mm is not smaller than that of the hollow of the waist, 0.842 mm", 10},
		{"the same in inches", geometry("  generating_radius: 2 in\n  eccentricity: 0.5 in\n  seal_tip_radius: 0.11 in\n"), "shape", "0.11 in is not smaller than that of the hollow of the waist, 2.540 mm", 10},
	} {
		_, list := new(shelf).add("spec.yaml", row.text).problems()
		p := only(t, list)
		require.Equal(t, row.rule, p.Rule, row.name)
		require.Contains(t, p.Message, row.message, row.name)
		require.Equal(t, row.line, p.Line, row.name)
		require.NotEmpty(t, p.File, row.name)
	}
	new(shelf).add("spec.yaml", geometry("  generating_radius: 42.01 mm\n  eccentricity: 14 mm\n  phases: [0 deg, 120 deg, 240 deg]\n")).load(t)
}

// R11: the folder is what an engine is known by. Where the spec departs from it,
// or names no engine at all, that one line is at fault and none of the others.
func TestR11TheRecordThatDepartsIsBlamed(t *testing.T) {
	records := func(spec string) *shelf {
		return new(shelf).add("spec.yaml", spec).
			session(1, "mock-up", "2024-03-02", "", "end_float", "engine: 0.06").
			session(1, "assembly", "2024-03-03", "", "end_float", "engine: 0.06").
			change(1, "2024-03-04", "note", "engine")
	}
	for number, rule := range map[string]string{"SK-08": "engine", "sk-07": "engine", `""`: "empty", "~": "empty", `" "`: "empty"} {
		e, list := records(strings.Replace(sound, "engine: SK-07", "engine: "+number, 1)).problems()
		p := only(t, list)
		require.Equal(t, []any{folder + "/spec.yaml", 2, rule}, []any{p.File, p.Line, p.Rule}, number)
		require.NotEmpty(t, p.Mend)
		require.Equal(t, "SK-07", e.Number)
	}
	// A folder no engine can have is at fault itself.
	_, list := record.Load("engines/2024/sk 07", []record.File{{Path: "engines/2024/sk 07/spec.yaml", Data: []byte(sound)}})
	p := only(t, list)
	require.Equal(t, "engines/2024/sk 07", p.File)
	require.Equal(t, "rename the folder to SK-07", p.Mend)
}

// R13: nothing but blanks in quotes is nothing.
func TestR13BlankTextsAreEmpty(t *testing.T) {
	e := new(shelf).add("spec.yaml", sound+"customer: ' '\nlimits: \"\"\nparts:\n  rotor/1: {serial: ' ', lot: \"\"}\n").load(t)
	require.Empty(t, e.Customer)
	require.Empty(t, e.Spec.Text("limits"))
	part, _ := e.PartAt("rotor/1")
	require.Empty(t, part.Serial+part.Lot)
}

// Whatever is thrown at a record is told in single lines, each with its place and
// its mend, and no text of its own at length or with what a terminal obeys.
func TestHostileRecords(t *testing.T) {
	long, nines := strings.Repeat("x", 4000), strings.Repeat("9", 5000)
	for name, text := range map[string]string{
		"a huge count":       strings.Replace(sound, "rotors: 3", "rotors: "+nines, 1),
		"a huge build":       strings.Replace(sound, "build: 1", "build: "+nines, 1),
		"a huge format":      strings.Replace(sound, "spec/1", "spec/"+nines, 1),
		"a long format":      strings.Replace(sound, "spec/1", long, 1),
		"a long number":      strings.Replace(sound, "SK-07", long, 1),
		"a long word":        sound + "direction: " + long + "\n",
		"a long key":         sound + strings.Repeat("k", 900) + ": 1\n",
		"a longer key":       sound + long + ": 1\n",
		"a long position":    sound + "parts:\n  " + strings.Repeat("rotor/", 150) + ": {serial: 1}\n",
		"a long size":        sound + "  eccentricity: " + nines + " mm\n",
		"a long list":        sound + "  phases: " + long + "\n",
		"turned round":       sound + "customer: C\u202e-01\n",
		"a turned key":       sound + "a\u202eb: 1\n",
		"a separator":        sound + "customer: C\u2028-01\n",
		"an escaped one":     sound + `"a\u2028b": 1` + "\n",
		"an escape":          sound + `"a\x1b[31mb": "\x07"` + "\n",
		"no key":             sound + "\"\": 1\n",
		"a number as a key":  sound + "1: 1\n",
		"a list as a key":    sound + "? [a, b]\n: c\n",
		"lines as a key":     sound + "? |\n  customer\n: C-01\n",
		"a merge key":        sound + "parts:\n  rotor/1: &a {serial: R-1}\n  rotor/2:\n    <<: *a\n",
		"one key twice":      sound + "parts: {rotor/1: {serial: a, serial: b}}\n",
		"an alias of none":   sound + "customer: *x\n",
		"an alias of itself": sound + "shop: &a [*a]\n",
		"deep":               sound + "shop: " + strings.Repeat("{a: ", 50) + "1" + strings.Repeat("}", 50) + "\n",
		"a second document":  sound + "---\nfoo: 1\n",
		"behind the end":     sound + "...\nfoo: 1\n",
		"another YAML":       "%YAML 1.9\n---\n" + sound,
		"a tab":              sound + "\tcustomer: C-01\n",
		"a list":             "- a\n- b\n",
		"words":              "hello\n",
		"nothing":            "",
		"cut off":            sound[:len(sound)-6],
		"cut off in a list":  sound + "parts: {rotor/1: {serial: R-1",
		"cut off in quotes":  sound + "customer: \"C-0",
	} {
		_, list := new(shelf).add("spec.yaml", text).problems()
		require.NotEmpty(t, list, name)
		for _, p := range list {
			require.Positive(t, p.Line, "%s: %v", name, p)
			require.Positive(t, p.Column, "%s: %v", name, p)
			require.NotEmpty(t, p.Mend, "%s: %v", name, p)
			require.Less(t, len(p.String()), 400, name)
			require.NotContains(t, p.Message, "from here on", name)
			require.False(t, strings.ContainsAny(p.Message+p.Mend, "\n\r\t\x1b\x07\u2028\u202e"), "%s: %v", name, p)
		}
	}
	// Aliases, tags and document marks that change no meaning are read.
	for _, text := range []string{"---\n" + sound + "...\n", sound + "parts:\n  rotor/1: &a {part: RT-80}\n  rotor/2: *a\n", sound + "? customer\n: !x C-01\n", "\ufeff" + strings.ReplaceAll(sound, "\n", "\r\n")} {
		new(shelf).add("spec.yaml", text).load(t)
	}
}

// A number of rotors that cannot be leaves the engine without one.
func TestRotorsOutOfReach(t *testing.T) {
	for _, rotors := range []string{"0", "13", "-3", "several"} {
		e, list := new(shelf).add("spec.yaml", "format: spec/1\nengine: SK-07\nid: 7f3a-91c0-55de\ntitle: x\nbuild: 1\ngeometry:\n  rotors: "+rotors+"\n").problems()
		require.Zero(t, e.Rotors, rotors)
		require.NotEmpty(t, list, rotors)
	}
}

// A record that names another engine lies in the wrong folder.
func TestRecordOfAnotherEngine(t *testing.T) {
	_, list := new(shelf).spec(1, "").
		add("measurements/2024-03-02-mock-up-KM.yaml", "format: measurements/1\nengine: SK-08\nbuild: 1\nstage: mock-up\ndate: 2024-03-02\nby: KM\n").
		add("changes/2024-03-02-note.yaml", "format: change/1\nengine: SK-09\nbuild: 1\ndate: 2024-03-02\nkind: note\nby: KM\nwhat: x\n").problems()
	require.Len(t, list, 2)
	require.Equal(t, "this record names engine SK-09 but lies in the folder of SK-07", list[0].Message)
	require.Equal(t, "this record names engine SK-08 but lies in the folder of SK-07", list[1].Message)
	require.Equal(t, "move the file, or write: engine: SK-07", list[1].Mend)
	require.Equal(t, 2, list[1].Line)
}

// R2: a build is delivered once, and no record is of a build to come.
func TestR2Builds(t *testing.T) {
	delivered := new(shelf).spec(2, "").change(1, "2024-05-01", "delivery", "").change(2, "2026-05-01", "delivery", "")
	e := delivered.load(t)
	require.Equal(t, "2026-05-01", e.Delivered(2).Date.Day())
	require.Nil(t, e.Delivered(3))
	_, list := delivered.change(2, "2026-05-02", "delivery", "").problems()
	p := only(t, list)
	require.Equal(t, "delivered-twice", p.Rule)
	require.Contains(t, p.Message, "build 2 is delivered here and in "+folder+"/changes/2026-05-01-2.yaml")
	require.Contains(t, p.File, "2026-05-02")
	_, list = new(shelf).spec(1, "").change(2, "2024-05-01", "note", "").problems()
	p = only(t, list)
	require.Equal(t, "build", p.Rule)
	require.Equal(t, "write build: 1, or raise build in spec.yaml", p.Mend)
}

// Hours are told with how far they may be off.
func TestHours(t *testing.T) {
	e := new(shelf).spec(1, "").
		add("changes/1.yaml", "format: change/1\nengine: SK-07\nbuild: 1\ndate: 2024-05-01\nkind: note\nby: KM\nwhat: x\nhours: 61 h\nhours_error: 3 h\n").
		add("changes/2.yaml", "format: change/1\nengine: SK-07\nbuild: 1\ndate: 2024-05-02\nkind: note\nby: KM\nwhat: x\nhours: 62 h\n").
		add("changes/3.yaml", "format: change/1\nengine: SK-07\nbuild: 1\ndate: 2024-05-03\nkind: note\nby: KM\nwhat: x\n").load(t)
	require.Equal(t, []string{"61 ± 3 h", "62 h", ""}, []string{e.Changes[0].Hours(), e.Changes[1].Hours(), e.Changes[2].Hours()})
}

// A record tells what stands at a path, and where.
func TestRecordAtAPath(t *testing.T) {
	r, list := record.Read(record.File{Path: "x/spec.yaml", Data: []byte(sound + "  eccentricity: 14 mm\n  chamber_width: wide\n  phases: [0 deg, 120 deg, 240 deg]\n")}, "spec", 3)
	require.Len(t, list, 1, "the width in words")
	require.Equal(t, "SK-07", r.Text("engine"))
	require.Empty(t, r.Text("geometry"), "a group is no text")
	require.Empty(t, r.Text("geometry.nothing.there"))
	require.Equal(t, 3, r.Number("geometry.rotors"))
	require.Zero(t, r.Number("title"))
	require.Equal(t, []string{"0 deg", "120 deg", "240 deg"}, r.Texts("geometry.phases"))
	require.Nil(t, r.Texts("geometry.stations"))
	q, ref, ok := r.Quantity("geometry.eccentricity")
	require.True(t, ok)
	require.Equal(t, "14 mm", q.String())
	require.Equal(t, "x/spec.yaml:8", ref.String())
	for _, path := range []string{"geometry.chamber_width", "geometry.stations", "geometry.phases", "geometry.no_such_key"} {
		_, _, ok = r.Quantity(path)
		require.False(t, ok, path)
	}
	_, ok = r.Date("title")
	require.False(t, ok)
	require.Equal(t, "x", record.Ref{File: "x"}.String())
	var none *record.Record
	require.Nil(t, none.Node("engine"))
}

// Positions lists where a point was read, front to rear, those without a fixed
// number among them.
func TestPositionsThatWereRead(t *testing.T) {
	e := new(shelf).spec(1, "").add("measurements/2024-03-05-assembly-KM.yaml", "format: measurements/1\nengine: SK-07\nbuild: 1\nstage: assembly\ndate: 2024-03-05\nby: KM\n"+
		"readings:\n  tightening_torque: {unit: N m, bolt/10: 35, bolt/2: 35, bolt/1: 35}\n").load(t)
	require.Equal(t, []string{"bolt/1", "bolt/2", "bolt/10"}, e.Positions(schema.FindPoint("tightening_torque")))
	require.Empty(t, e.Positions(schema.FindPoint("bolt_stretch")))
	e = new(shelf).spec(1, "").session(1, "mock-up", "2024-03-05", "", "housing_width", "housing/3/at/A: 78.01", "housing/1/at/C: 78.01").load(t)
	require.Equal(t, []string{"housing/1", "housing/3"}, e.Positions(schema.FindPoint("housing_width")))
}
