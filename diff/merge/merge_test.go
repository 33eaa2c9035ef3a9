package merge_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"stackbook/diff/merge"
)

const spec = `# yaml-language-server: $schema=../../../schemas/spec-1.json
format: spec/1
engine: SK-01
id: 5c02-7be1-90aa
title: two-rotor lake hydroplane
build: 1
geometry:
  rotors: 2
  eccentricity: 14 mm      # throw
  chamber_width: 78 mm
  phases: [0 deg, 180 deg]
parts:
  rotor/1: {part: RT-80, serial: R-1177, lot: L-2211, work: [lightened]}
  rotor/2: {part: RT-80, serial: R-1178, lot: L-2211, work: [lightened]}
  shaft:
    part: ES-2
    serial: E-0230
cooling:
  path: two passages
`

const session = `format: measurements/1
engine: SK-01
build: 1
stage: mock-up
date: 2017-02-27
by: KM
instruments:
  G1: {kind: gauge blocks, resolution: 0.001 mm}
  M25: {kind: micrometer, resolution: 0.001 mm}
readings:
  apex_groove_width:
    unit: mm
    instrument: G1
    rotor/1/apex/1/mouth/front: 3.061   # clean
    rotor/1/apex/1/mouth/rear: [3.064, 3.063]
    rotor/1/apex/2/mouth/front:
    rotor/1/apex/2/mouth/rear:
  apex_seal_thickness:
    unit: mm
    instrument: M25
    rotor/1/apex/1: 2.999
    rotor/1/apex/2:
`

const change = `format: change/1
engine: SK-01
build: 1
date: 2017-05-02
kind: replacement
by: KM
what: apex seals exchanged
touches: [rotor/1, rotor/2]
removed:
  - {from: rotor/1/apex/1, lot: B-31, to: scrap}
  - {from: rotor/1/apex/2, lot: B-31, to: scrap}
note: |
  seen by two
  people
`

const dyno = `format: measurements/1
engine: SK-01
build: 1
stage: dyno
date: 2017-05-04
by: KM
tables:
  dyno:
    columns: [speed rpm, torque N m]
    rows:
      - [6000, 171.6]
      - [7000, 180.1]
`

const part = `format: part/1
serial: R-1420
what: rotor
whereabouts:
  - {since: 2015-10-19, is: shelf}
  - {since: 2016-03-12, is: another engine, where: SK-04 rotor/3}
`

// edit makes replacements, pairs of old and new, each of which must occur once.
func edit(t *testing.T, text string, pairs ...string) string {
	t.Helper()
	for i := 0; i+1 < len(pairs); i += 2 {
		require.Equal(t, 1, strings.Count(text, pairs[i]), "%q", pairs[i])
		text = strings.Replace(text, pairs[i], pairs[i+1], 1)
	}
	return text
}

func TestClean(t *testing.T) {
	type pairs = []string
	for _, c := range []struct {
		name               string
		base               string
		ours, theirs, want pairs
	}{
		{"M1 spelling against an edit", spec, pairs{"14 mm ", "1.4 cm "}, pairs{"14 mm ", "14.0 mm ", "78 mm", "80 mm"}, pairs{"14 mm ", "1.4 cm ", "78 mm", "80 mm"}},
		{"M2 two fields", spec, pairs{"14 mm", "14.5 mm"}, pairs{"78 mm", "80 mm"}, pairs{"14 mm", "14.5 mm", "78 mm", "80 mm"}},
		{"M2 two parts of one line each", spec, pairs{"R-1177", "R-2000"}, pairs{"R-1178", "R-2001"}, pairs{"R-1177", "R-2000", "R-1178", "R-2001"}},
		{"M2 two readings, filled in", session, pairs{"apex/2/mouth/front:", "apex/2/mouth/front: 3.062"}, pairs{"apex/2/mouth/rear:", "apex/2/mouth/rear: 3.063"},
			pairs{"apex/2/mouth/front:", "apex/2/mouth/front: 3.062", "apex/2/mouth/rear:", "apex/2/mouth/rear: 3.063"}},
		{"M2 a point added", session, pairs{"3.061 ", "3.060 "}, pairs{"readings:\n", "readings:\n  apex_seal_height:\n    unit: mm\n    rotor/1/apex/1: 8.01\n"},
			pairs{"3.061 ", "3.060 ", "    rotor/1/apex/2:\n", "    rotor/1/apex/2:\n  apex_seal_height:\n    unit: mm\n    rotor/1/apex/1: 8.01\n"}},
		{"M2 a reading filled in, with its comment", session, pairs{"3.061 ", "3.060 "}, pairs{"    rotor/1/apex/2:\n", "    rotor/1/apex/2: 2.998 # twice\n"},
			pairs{"3.061 ", "3.060 ", "    rotor/1/apex/2:\n", "    rotor/1/apex/2: 2.998 # twice\n"}},
		{"M2 a line with its comment", session, pairs{"3.061 ", "3.060 "}, pairs{"    rotor/1/apex/2:\n", "    rotor/1/apex/2:\n    rotor/1/apex/3: 2.998 # twice\n"},
			pairs{"3.061 ", "3.060 ", "    rotor/1/apex/2:\n", "    rotor/1/apex/2:\n    rotor/1/apex/3: 2.998 # twice\n"}},
		{"M3 the same", spec, pairs{"14 mm ", "14.5 mm "}, pairs{"14 mm ", "14.50 mm "}, pairs{"14 mm ", "14.5 mm "}},
		{"M7 words", spec, pairs{"R-1177, lot: L-2211, work: [lightened]", "R-1177, lot: L-2211, work: [lightened, plated]"}, pairs{"R-1177, lot: L-2211, work: [lightened]", "R-1177, lot: L-2211, work: [recut]"},
			pairs{"R-1177, lot: L-2211, work: [lightened]", "R-1177, lot: L-2211, work: [plated, recut]"}},
		{"M6 entries", change, pairs{"apex/1, lot: B-31, to: scrap", "apex/1, lot: B-31, to: shelf"}, pairs{"note: |", "  - {from: rotor/2/apex/1, to: scrap}\nnote: |"},
			pairs{"apex/1, lot: B-31, to: scrap", "apex/1, lot: B-31, to: shelf", "note: |", "  - {from: rotor/2/apex/1, to: scrap}\nnote: |"}},
		{"M7 a word taken out here, one added there", spec, pairs{"R-1177, lot: L-2211, work: [lightened]", "R-1177, lot: L-2211, work: []"}, pairs{"R-1177, lot: L-2211, work: [lightened]", "R-1177, lot: L-2211, work: [lightened, recut]"},
			pairs{"R-1177, lot: L-2211, work: [lightened]", "R-1177, lot: L-2211, work: [recut]"}},
		{"M6 an entry taken out", change, pairs{"  - {from: rotor/1/apex/1, lot: B-31, to: scrap}\n", ""}, pairs{"apex/2, lot: B-31", "apex/2, lot: B-32"}, pairs{"  - {from: rotor/1/apex/1, lot: B-31, to: scrap}\n", "", "apex/2, lot: B-31", "apex/2, lot: B-32"}},
		{"M1 comments and blank lines of both", spec, pairs{"build: 1\n", "build: 1\n\n# as ordered\n", "78 mm", "78 mm # of housing 1"}, pairs{"# throw", "# throw, as ground", "parts:\n", "# from front to rear\nparts:\n", "two passages", "three passages"},
			pairs{"build: 1\n", "build: 1\n\n# as ordered\n", "78 mm", "78 mm # of housing 1", "# throw", "# throw, as ground", "parts:\n", "# from front to rear\nparts:\n", "two passages", "three passages"}},
		{"M2 M11 behind a block text", change, pairs{"scrap}\nnote", "shelf}\nnote"}, pairs{"  people\n", "  people\nsource: a letter\n"}, pairs{"scrap}\nnote", "shelf}\nnote", "  people\n", "  people\nsource: a letter\n"}},
		{"M2 lines moved there", spec, pairs{"14 mm ", "15 mm "}, pairs{"  eccentricity: 14 mm      # throw\n", "", "78 mm\n", "80 mm\n  eccentricity: 14 mm      # throw\n"},
			pairs{"  eccentricity: 14 mm      # throw\n  chamber_width: 78 mm\n", "  chamber_width: 80 mm\n  eccentricity: 15 mm      # throw\n"}},
		{"M8 rows", dyno, pairs{"171.6", "171.8"}, pairs{"180.1]\n", "180.1]\n      - [8000, 184.4]\n"}, pairs{"171.6", "171.8", "180.1]\n", "180.1]\n      - [8000, 184.4]\n"}},
		{"M8 another column", dyno, pairs{"by: KM", "by: KM\nhours: 2 h"}, pairs{"torque N m]", "torque kgf.m]", "171.6", "17.5", "180.1", "18.4"}, pairs{"by: KM", "by: KM\nhours: 2 h", "torque N m]", "torque kgf.m]", "171.6", "17.5", "180.1", "18.4"}},
		{"M14 the only point, which lost its unit there", edit(t, session, "  apex_groove_width:\n    unit: mm\n    instrument: G1\n    rotor/1/apex/1/mouth/front: 3.061   # clean\n    rotor/1/apex/1/mouth/rear: [3.064, 3.063]\n    rotor/1/apex/2/mouth/front:\n    rotor/1/apex/2/mouth/rear:\n", ""),
			pairs{"by: KM", "by: KM\nhours: 2 h"}, pairs{"    unit: mm\n", ""}, pairs{"by: KM", "by: KM\nhours: 2 h", "    unit: mm\n", ""}},
		{"M6 days", part, pairs{"rotor/3}\n", "rotor/3}\n  - {since: 2025-11-17, is: shelf}\n"}, pairs{"rotor/3}\n", "rotor/3}\n  - {since: 2025-10-06, is: lent} # back soon\n"},
			pairs{"rotor/3}\n", "rotor/3}\n  - {since: 2025-10-06, is: lent}   # back soon\n  - {since: 2025-11-17, is: shelf}\n"}},
		{"M10 unit", session, pairs{"    unit: mm\n    instrument: M25\n    rotor/1/apex/1: 2.999", "    unit: um\n    instrument: M25\n    rotor/1/apex/1: 2999"}, pairs{"    rotor/1/apex/2:\n", "    rotor/1/apex/2: 2.998\n"},
			pairs{"    unit: mm\n    instrument: M25\n    rotor/1/apex/1: 2.999", "    unit: um\n    instrument: M25\n    rotor/1/apex/1: 2999", "    rotor/1/apex/2:\n", "    rotor/1/apex/2: 2.998 mm\n"}},
		{"M10 instrument", session, pairs{"instrument: M25", "instrument: G1"}, pairs{"    rotor/1/apex/2:\n", "    rotor/1/apex/2: 2.998\n"},
			pairs{"instrument: M25", "instrument: G1", "    rotor/1/apex/2:\n", "    rotor/1/apex/2: {value: 2.998, instrument: M25}\n"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := merge.Record("x.yaml", []byte(c.base), []byte(edit(t, c.base, c.ours...)), []byte(edit(t, c.base, c.theirs...)))
			require.Empty(t, r.Conflicts)
			require.Equal(t, edit(t, c.base, c.want...), string(r.Text))
			require.Equal(t, strings.HasPrefix(c.name, "M14"), len(r.Problems) > 0, "%v", r.Problems)
		})
	}
}

// Each conflict stands between marks around the lines of its one value, and the
// rest merges.
func TestConflicts(t *testing.T) {
	type pairs = []string
	for _, c := range []struct {
		name         string
		base         string
		ours, theirs pairs
		path         string
		sides        [3]string // base, ours, theirs
		message      string
		text         pairs // against the base
	}{
		{"M4 one field", spec, pairs{"14 mm", "14.5 mm"}, pairs{"14 mm", "15 mm", "78 mm", "80 mm"}, "geometry.eccentricity", [3]string{"14 mm", "14.5 mm", "15 mm"},
			"both sides changed it: 14.5 mm here, 15 mm there, 14 mm before",
			pairs{"  eccentricity: 14 mm      # throw\n", "<<<<<<< ours\n  eccentricity: 14.5 mm      # throw\n=======\n  eccentricity: 15 mm      # throw\n>>>>>>> theirs\n", "78 mm", "80 mm"}},
		{"M4 one value in braces", spec, pairs{"L-2211, work: [lightened]}\n  rotor/2", "L-1, work: [lightened]}\n  rotor/2"}, pairs{"L-2211, work: [lightened]}\n  rotor/2", "L-2, work: [lightened]}\n  rotor/2", "14 mm", "15 mm"},
			"parts.rotor/1.lot", [3]string{"L-2211", "L-1", "L-2"}, "both sides changed it: L-1 here, L-2 there, L-2211 before",
			pairs{"  rotor/1: {part: RT-80, serial: R-1177, lot: L-2211, work: [lightened]}\n",
				"<<<<<<< ours\n  rotor/1: {part: RT-80, serial: R-1177, lot: L-1, work: [lightened]}\n=======\n  rotor/1: {part: RT-80, serial: R-1177, lot: L-2, work: [lightened]}\n>>>>>>> theirs\n", "14 mm", "15 mm"}},
		{"M4 text of several lines", spec, pairs{"two passages", "three\n    passages"}, pairs{"two passages", "|\n    one\n    passage"}, "cooling.path", [3]string{"two passages", "three\n    passages", "|\n    one\n    passage"},
			"both sides changed it: three … here, | … there, two passages before",
			pairs{"  path: two passages\n", "<<<<<<< ours\n  path: three\n    passages\n=======\n  path: |\n    one\n    passage\n>>>>>>> theirs\n"}},
		{"M5 taken out there", spec, pairs{"78 mm", "80 mm"}, pairs{"  chamber_width: 78 mm\n", ""}, "geometry.chamber_width", [3]string{"78 mm", "80 mm", ""}, "changed here to 80 mm, and taken out there",
			pairs{"  chamber_width: 78 mm\n", "<<<<<<< ours\n  chamber_width: 80 mm\n=======\n>>>>>>> theirs\n"}},
		{"M5 taken out here", spec, pairs{"  chamber_width: 78 mm\n", ""}, pairs{"78 mm", "80 mm"}, "geometry.chamber_width", [3]string{"78 mm", "", "80 mm"}, "taken out here, and changed there to 80 mm",
			pairs{"  chamber_width: 78 mm\n", "", "180 deg]\n", "180 deg]\n<<<<<<< ours\n=======\n  chamber_width: 80 mm\n>>>>>>> theirs\n"}},
		{"M5 a reading emptied here", session, pairs{"3.061   # clean", "  # clean"}, pairs{"3.061 ", "3.062 "}, "apex_groove_width rotor/1/apex/1/mouth/front", [3]string{"3.061", "", "3.062"}, "taken out here, and changed there to 3.062",
			pairs{"    rotor/1/apex/1/mouth/front: 3.061   # clean\n", "<<<<<<< ours\n    rotor/1/apex/1/mouth/front:   # clean\n=======\n    rotor/1/apex/1/mouth/front: 3.062   # clean\n>>>>>>> theirs\n"}},
		{"M8 phases are one value", spec, pairs{"180 deg", "181 deg"}, pairs{"[0 deg", "[1 deg"}, "geometry.phases", [3]string{"[0 deg, 180 deg]", "[0 deg, 181 deg]", "[1 deg, 180 deg]"},
			"both sides changed it: [0 deg, 181 deg] here, [1 deg, 180 deg] there, [0 deg, 180 deg] before",
			pairs{"  phases: [0 deg, 180 deg]\n", "<<<<<<< ours\n  phases: [0 deg, 181 deg]\n=======\n  phases: [1 deg, 180 deg]\n>>>>>>> theirs\n"}},
		{"M8 one row", dyno, pairs{"171.6", "171.8"}, pairs{"171.6", "172"}, "tables.dyno.rows.6000", [3]string{"[6000, 171.6]", "[6000, 171.8]", "[6000, 172]"},
			"both sides changed it: [6000, 171.8] here, [6000, 172] there, [6000, 171.6] before",
			pairs{"      - [6000, 171.6]\n", "<<<<<<< ours\n      - [6000, 171.8]\n=======\n      - [6000, 172]\n>>>>>>> theirs\n"}},
		{"M8 another column against a row", dyno, pairs{"171.6", "171.8"}, pairs{"torque N m]", "torque kgf.m]"}, "tables.dyno", [3]string{}, "both sides changed it: columns: [speed rpm, torque N m] … here, columns: [speed rpm, torque kgf.m] … there, columns: [speed rpm, torque N m] … before",
			pairs{"  dyno:\n    columns: [speed rpm, torque N m]\n    rows:\n      - [6000, 171.6]\n      - [7000, 180.1]\n",
				"<<<<<<< ours\n  dyno:\n    columns: [speed rpm, torque N m]\n    rows:\n      - [6000, 171.8]\n      - [7000, 180.1]\n=======\n  dyno:\n    columns: [speed rpm, torque kgf.m]\n    rows:\n      - [6000, 171.6]\n      - [7000, 180.1]\n>>>>>>> theirs\n"}},
		{"M6 two moves of one day", part, pairs{"rotor/3}\n", "rotor/3}\n  - {since: 2025-10-06, is: shelf}\n"}, pairs{"rotor/3}\n", "rotor/3}\n  - {since: 2025-10-06, is: lent, where: S-06}\n"}, "whereabouts.2025-10-06",
			[3]string{"", "{since: 2025-10-06, is: shelf}", "{since: 2025-10-06, is: lent, where: S-06}"}, "both sides wrote it: {since: 2025-10-06, is: shelf} here, {since: 2025-10-06, is: lent, where: S-06} there",
			pairs{"rotor/3}\n", "rotor/3}\n<<<<<<< ours\n  - {since: 2025-10-06, is: shelf}\n=======\n  - {since: 2025-10-06, is: lent, where: S-06}\n>>>>>>> theirs\n"}},
		{"M9 another part here, a word about the old one there", spec, pairs{"serial: E-0230", "serial: E-0300"}, pairs{"serial: E-0230", "serial: E-0230\n    note: straight"}, "parts.shaft",
			[3]string{"part: ES-2\nserial: E-0230", "part: ES-2\nserial: E-0300", "part: ES-2\nserial: E-0230\nnote: straight"}, "both sides changed it: part: ES-2 … here, part: ES-2 … there, part: ES-2 … before",
			pairs{"  shaft:\n    part: ES-2\n    serial: E-0230\n", "<<<<<<< ours\n  shaft:\n    part: ES-2\n    serial: E-0300\n=======\n  shaft:\n    part: ES-2\n    serial: E-0230\n    note: straight\n>>>>>>> theirs\n"}},
		{"M9 R12 one instrument key, two instruments", session, pairs{"readings:\n", "  W1: {kind: balance, serial: W-1}\nreadings:\n"}, pairs{"readings:\n", "  W1: {kind: scale}\nreadings:\n"}, "instruments.W1",
			[3]string{"", "{kind: balance, serial: W-1}", "{kind: scale}"}, "both sides wrote it: {kind: balance, serial: W-1} here, {kind: scale} there",
			pairs{"readings:\n", "<<<<<<< ours\n  W1: {kind: balance, serial: W-1}\n=======\n  W1: {kind: scale}\n>>>>>>> theirs\nreadings:\n"}},
		{"M9 two readings of one place", session, pairs{"    rotor/1/apex/2:\n", "    rotor/1/apex/2: 2.998\n"}, pairs{"    rotor/1/apex/2:\n", "    rotor/1/apex/2: {value: 2.997, note: warm}\n"}, "apex_seal_thickness rotor/1/apex/2",
			[3]string{"", "2.998", "{value: 2.997, note: warm}"}, "both sides wrote it: 2.998 here, {value: 2.997, note: warm} there",
			pairs{"    rotor/1/apex/2:\n", "<<<<<<< ours\n    rotor/1/apex/2: 2.998\n=======\n    rotor/1/apex/2: {value: 2.997, note: warm}\n>>>>>>> theirs\n"}},
		{"M9 read again here, with another gauge there", session, pairs{"3.061 ", "3.062 "}, pairs{"3.061 ", "{value: 3.061, instrument: M25} "}, "apex_groove_width rotor/1/apex/1/mouth/front",
			[3]string{"3.061", "3.062", "{value: 3.061, instrument: M25}"}, "both sides changed it: 3.062 here, {value: 3.061, instrument: M25} there, 3.061 before",
			pairs{"    rotor/1/apex/1/mouth/front: 3.061   # clean\n", "<<<<<<< ours\n    rotor/1/apex/1/mouth/front: 3.062   # clean\n=======\n    rotor/1/apex/1/mouth/front: {value: 3.061, instrument: M25}   # clean\n>>>>>>> theirs\n"}},
		{"M10 two instruments for all readings", session, pairs{"    instrument: M25\n", "    instrument: G1\n"}, pairs{"    instrument: M25\n", "    instrument: M25b\n", "  M25: {", "  M25b: {kind: micrometer}\n  M25: {"}, "apex_seal_thickness instrument",
			[3]string{"M25", "G1", "M25b"}, "both sides changed it: G1 here, M25b there, M25 before",
			pairs{"    instrument: M25\n", "<<<<<<< ours\n    instrument: G1\n=======\n    instrument: M25b\n>>>>>>> theirs\n", "  M25: {", "  M25b: {kind: micrometer}\n  M25: {"}},
		{"M10 a method for all here, a reading without there", session, pairs{"    instrument: M25\n", "    instrument: M25\n    method: in oil\n"}, pairs{"    rotor/1/apex/2:\n", "    rotor/1/apex/2: 2.998\n"}, "apex_seal_thickness rotor/1/apex/2",
			[3]string{"", "", "2.998"}, "could not be written into our text: our text gives all readings of the point something that this one was read without",
			pairs{"    instrument: M25\n", "    instrument: M25\n    method: in oil\n", "    rotor/1/apex/2:\n", "<<<<<<< ours\n    rotor/1/apex/2:\n=======\n    rotor/1/apex/2: 2.998\n>>>>>>> theirs\n"}},
		{"M11 behind a block text, where lines were moved", change, pairs{"by: KM\n", "by: TR\n"}, pairs{"by: KM\n", "", "engine: SK-01\n", "engine: SK-01\nby: KM\n", "  people\n", "  people\nsource: a letter\n"}, "source", [3]string{"", "", "a letter"},
			"could not be written into our text: an anchor, a tag, an alias or a block text stands right before it",
			pairs{"by: KM\n", "by: TR\n", "  people\n", "  people\n<<<<<<< ours\n=======\nsource: a letter\n>>>>>>> theirs\n"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := merge.Record("x.yaml", []byte(c.base), []byte(edit(t, c.base, c.ours...)), []byte(edit(t, c.base, c.theirs...)))
			require.Equal(t, edit(t, c.base, c.text...), string(r.Text))
			require.Len(t, r.Conflicts, 1, "%+v", r.Conflicts)
			f := r.Conflicts[0]
			require.Equal(t, c.path, f.Path)
			require.Equal(t, c.message, f.Message)
			require.NotEmpty(t, f.Mend)
			require.Equal(t, "<<<<<<< ours", strings.Split(string(r.Text), "\n")[f.Line-1])
			if c.sides != [3]string{} {
				require.Equal(t, c.sides, [3]string{f.Base, f.Ours, f.Theirs})
			}
		})
	}
}

// Several conflicts of one file, two of them on one line, each with its own
// line of the text; line ends stay CRLF.
func TestSeveralConflicts(t *testing.T) {
	base := strings.ReplaceAll(spec, "\n", "\r\n")
	ours := edit(t, base, "14 mm", "14.5 mm", "{part: RT-80, serial: R-1177, lot: L-2211", "{part: RT-80, serial: R-1177, lot: L-1", "L-2211, work: [lightened]}\r\n  shaft", "L-1, material: iron, work: [lightened]}\r\n  shaft")
	theirs := edit(t, base, "14 mm", "15 mm", "{part: RT-80, serial: R-1177, lot: L-2211", "{part: RT-80, serial: R-1177, lot: L-2", "L-2211, work: [lightened]}\r\n  shaft", "L-2211, material: steel, work: [lightened]}\r\n  shaft")
	r := merge.Record("spec.yaml", []byte(base), []byte(ours), []byte(theirs))
	var got []string
	for _, c := range r.Conflicts {
		got = append(got, fmt.Sprint(c.Line, " ", c.Path))
	}
	require.Equal(t, []string{"9 geometry.eccentricity", "17 parts.rotor/1.lot", "22 parts.rotor/2"}, got)
	require.NotContains(t, strings.ReplaceAll(string(r.Text), "\r\n", ""), "\n")
	require.Contains(t, string(r.Text), "lot: L-1, material: iron, work: [lightened]}\r\n=======\r\n  rotor/2: {part: RT-80, serial: R-1178, lot: L-2211, material: steel, work")
}

// What is one whole file: two engines, two sessions, what cannot be read.
func TestWholeFile(t *testing.T) {
	for _, c := range []struct {
		name         string
		base         string
		ours, theirs string
		message      string
		text         bool
	}{
		{"M12 R11 two ids", spec, edit(t, spec, "14 mm", "15 mm"), edit(t, spec, "5c02-", "9c02-"), "these are two engines of one number: id 5c02-7be1-90aa here and 9c02-7be1-90aa there", true},
		{"M12 R11 two ids, both added", "", spec, edit(t, spec, "5c02-", "9c02-"), "these are two engines of one number: id 5c02-7be1-90aa here and 9c02-7be1-90aa there", true},
		{"M13 R12 two stages", "", session, edit(t, session, "mock-up", "assembly"), "both sides added this file, with stage mock-up here and assembly there: they are two", true},
		{"M13 R12 two people", "", session, edit(t, session, "by: KM", "by: TR"), "both sides added this file, with by KM here and TR there: they are two", true},
		{"M13 R12 two days", "", session, edit(t, session, "2017-02-27", "2017-02-28"), "both sides added this file, with date 2017-02-27 here and 2017-02-28 there: they are two", true},
		{"M13 two changes", "", change, edit(t, change, "apex seals", "side seals"), "both sides added this file, with what apex seals exchanged here and side seals exchanged there: they are two", true},
		{"M13 two parts", "", part, edit(t, part, "R-1420", "R-1421"), "both sides added this file, with serial R-1420 here and R-1421 there: they are two", true},
		{"M14 not YAML", spec, edit(t, spec, "14 mm", "15 mm"), spec + "a: [\n", "their side cannot be read", false},
		{"M14 a newer format", spec, edit(t, spec, "14 mm", "15 mm"), edit(t, spec, "spec/1", "spec/2"), "their side has the format \"spec/2\", and the other \"spec/1\"", true},
		{"M14 both of a newer format", "", edit(t, spec, "spec/1", "spec/2"), edit(t, spec, "spec/1", "spec/2", "14 mm", "15 mm"), "our side is of a newer format", true},
		{"M14 no record", "a: 1\n", "a: 2\n", "a: 3\n", "our side has the format \"\", and the other \"\"", true},
		{"M16 deleted", spec, edit(t, spec, "14 mm", "15 mm"), "", "deleted on one side and edited on the other", false},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := merge.Record("x.yaml", bytesOf(c.base), bytesOf(c.ours), bytesOf(c.theirs))
			require.Len(t, r.Conflicts, 1)
			require.Empty(t, r.Conflicts[0].Path)
			require.Contains(t, r.Conflicts[0].Message, c.message)
			require.NotEmpty(t, r.Conflicts[0].Mend)
			if !c.text {
				require.Nil(t, r.Text)
				return
			}
			require.Equal(t, "<<<<<<< ours\n"+c.ours+"=======\n"+c.theirs+">>>>>>> theirs\n", string(r.Text))
			require.Equal(t, 1, r.Conflicts[0].Line)
		})
	}
}

// R12: sessions that both sides added of one date, stage and person merge by
// point and place.
func TestR12SessionAddedTwice(t *testing.T) {
	ours := edit(t, session, "    rotor/1/apex/2:\n", "    rotor/1/apex/2: 2.998\n")
	theirs := edit(t, session, "    rotor/1/apex/2/mouth/rear:\n", "", "apex/2/mouth/front:", "apex/2/mouth/front: 3.062")
	r := merge.Record("x.yaml", nil, []byte(ours), []byte(theirs))
	require.Empty(t, r.Conflicts)
	require.Equal(t, edit(t, ours, "apex/2/mouth/front:", "apex/2/mouth/front: 3.062"), string(r.Text))
}

// M15: figures.yaml is not merged, and one that a single side wrote is taken.
func TestM15Figures(t *testing.T) {
	r := merge.Record("engines/2017/SK-01/figures.yaml", []byte("a"), []byte("b"), []byte("c"))
	require.Nil(t, r.Text)
	require.Contains(t, r.Conflicts[0].Message, "not merged")
	require.Equal(t, "b", string(merge.Record("figures.yaml", []byte("a"), []byte("b"), []byte("a")).Text))
}

// With a side that did nothing, the outcome is the other's bytes, whatever they
// are, and what is wrong with them is told.
func TestUnchangedSide(t *testing.T) {
	for _, text := range []string{edit(t, spec, "14 mm", "15 mm", "  rotors: 2\n", "\n  rotors: 2   # two\n"), "a: [\n", "", "format: nonsense/1\n"} {
		for _, r := range []merge.Result{merge.Record("x.yaml", []byte(spec), []byte(spec), []byte(text)), merge.Record("x.yaml", []byte(spec), []byte(text), []byte(spec)), merge.Record("x.yaml", []byte(spec), []byte(text), []byte(text))} {
			require.Empty(t, r.Conflicts)
			require.Equal(t, text, string(r.Text))
			require.Equal(t, strings.HasPrefix(text, "#"), len(r.Problems) == 0, "%q: %v", text, r.Problems)
		}
	}
}

// What two sides make together that neither made alone is found.
func TestMergedIsCheckedAgain(t *testing.T) {
	r := merge.Record("x.yaml", []byte(session), []byte(edit(t, session, "    instrument: M25\n", "", "  M25: {kind: micrometer, resolution: 0.001 mm}\n", "")),
		[]byte(edit(t, session, "    rotor/1/apex/2/mouth/rear:", "    rotor/1/apex/2/mouth/rear: {value: 3.06, instrument: M25}")))
	require.Empty(t, r.Conflicts)
	require.Len(t, r.Problems, 1)
	require.Contains(t, r.Problems[0].Message, "no instrument")
}

func bytesOf(text string) []byte {
	if text == "" {
		return nil
	}
	return []byte(text)
}
