package merge_test

import (
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
		{"M2 a line with its comment", session, pairs{"3.061 ", "3.060 "}, pairs{"    rotor/1/apex/2:\n", "    rotor/1/apex/2:\n    rotor/1/apex/3: 2.998 # twice\n"},
			pairs{"3.061 ", "3.060 ", "    rotor/1/apex/2:\n", "    rotor/1/apex/2:\n    rotor/1/apex/3: 2.998   # twice\n"}},
		{"M3 the same", spec, pairs{"14 mm ", "14.5 mm "}, pairs{"14 mm ", "14.50 mm "}, pairs{"14 mm ", "14.5 mm "}},
		{"M7 words", spec, pairs{"R-1177, lot: L-2211, work: [lightened]", "R-1177, lot: L-2211, work: [lightened, plated]"}, pairs{"R-1177, lot: L-2211, work: [lightened]", "R-1177, lot: L-2211, work: [recut]"},
			pairs{"R-1177, lot: L-2211, work: [lightened]", "R-1177, lot: L-2211, work: [plated, recut]"}},
		{"M6 entries", change, pairs{"apex/1, lot: B-31, to: scrap", "apex/1, lot: B-31, to: shelf"}, pairs{"note: |", "  - {from: rotor/2/apex/1, to: scrap}\nnote: |"},
			pairs{"apex/1, lot: B-31, to: scrap", "apex/1, lot: B-31, to: shelf", "note: |", "  - {from: rotor/2/apex/1, to: scrap}\nnote: |"}},
		{"M8 rows", dyno, pairs{"171.6", "171.8"}, pairs{"180.1]\n", "180.1]\n      - [8000, 184.4]\n"}, pairs{"171.6", "171.8", "180.1]\n", "180.1]\n      - [8000, 184.4]\n"}},
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
			require.Empty(t, r.Problems)
		})
	}
}

func TestConflictLook(t *testing.T) {
	r := merge.Record("x.yaml", []byte(spec), []byte(edit(t, spec, "14 mm", "14.5 mm", "R-1177", "R-1", "  path: two passages\n", "  path: |\n    three\n    four\n", "R-1178, lot: L-2211", "R-1178, lot: L-3")),
		[]byte(edit(t, spec, "14 mm", "15 mm", "78 mm", "80 mm", "R-1177", "R-2", "two passages", "none", "  rotor/2: {part: RT-80, serial: R-1178, lot: L-2211, work: [lightened]}\n", "", "RT-80, serial: R-2", "RT-8, serial: R-2")))
	for _, c := range r.Conflicts {
		t.Logf("%+v", c)
	}
	t.Log(string(r.Text))
}
