package source

// corpus is what the fuzz tests begin with: records as they are written, and
// the corners of YAML in which positions and edits are hard.
var corpus = []string{
	"",
	"\n",
	"# only a comment",
	"---\n",
	"--- # begun\n# empty\n...\n",
	"a: 1",
	"a: 1\n",
	"a: 1\r\nb:\r\n  c: 2\r\n  d: [1, 2]\r\n",
	"a: 1\rb: 2\r",
	"\ufeffengine: SK-07\nbuild: 2\n",
	"\ufeff# begins with a mark\r\nengine: SK-07\r\n",
	spec,
	session,
	"a:   # nothing yet\nb: ~\nc: null\nd: ''\ne: \"\"\nf:\n",
	"a: 'it''s'\nb: \"say \\\"so\\\" # no\"\nc: \"folded\n  over\n\n  lines\"\nd: 'and\n  here'\n",
	"a: plain text\n  that goes on\n\n  after a blank line\nb: 2\n",
	"a: don't # comment\nb: x#y\nc: http://x/y:z\n",
	"what: |\n  first\n   second\n\n  # no comment\nwhy: >-\n  folded\n  text\n\n\nby: KM\n",
	"what: |2+\n    kept\n  more\n\nby: KM\n",
	"- a\n- b\n",
	"a:\n- 1\n- 2 # two\n-\n- x: 1\n  y: 2\n-   z: 3\n",
	"a:\n  - - 1\n    - 2\n  - - 3\n",
	"a: [1, 2, # two\n  3,\n  ]\nb: {}\nc: []\nd: { }\n",
	"a: {x: 1, y: {z: [1, {w: 2}]}, \"q\":3, e: }\n",
	"a: {\n  x: 1, # one\n  y: 2 # two\n}\n",
	"a: {\n  x: 1,\n  y: 2,\n}\n",
	"a: [x: 1, y, {z: 2}]\n",
	"a: &one 1\nb: *one\nc: &map\n  d: 2\ne: *map\nf: &l [1]\ng: &n\n",
	"a: !!str 00123\nb: !x {y: 1}\nc: ! z\nd: !!null\n",
	"? a\n: 1\n? b\n",
	"{a: 1, b: 2}\n",
	"{a, b: 1}",
	"länge: 12 µm\n部品: 回転子 # 注\n\"😀\": [é, 漢字, x]\n",
	"%YAML 1.1\n---\na: 1\n...\n# end\n",
	"serial: #1177\nlot: L-1 #2\nlist: [a, #b\n  c]\n",
	"a: [0,5 mm]\nb: 1:30\nc: -\td\n",
	"a:\n\n    b: 1\n\n    # between\n    c: 2\n\nd: 3\n# last\n",
	"a: -1\nb: -x\nc: ?y\nd: :z\n",
	"a: \"\\u2028\\x07\\\n   b\"\n",
}

const spec = `# yaml-language-server: $schema=../../../schemas/spec-1.json
format: spec/1
engine: SK-07
id: 7f3a-91c0-55de               # written once
title: four-rotor, unlimited lake hydroplane
customer: C-03
build: 2
limits: skarvik-race

geometry:
  rotors: 4
  generating_radius: 98 mm           # rotor centre to the centre of the tip
  seal_tip_radius:   2 mm
  phases: [0 deg, 180 deg, 90 deg, 270 deg]
  stations: [0 mm, 128 mm, 256 mm, 384 mm]   # axial, from rotor 1
parts:
  rotor/1: {part: RT-80, serial: R-1177, lot: L-2211, supplier: S-02, work: [lightened, pocket recut]}
  rotor/1/apex/1: {part: AS-3C, material: silicon nitride, thickness: 3 mm, lot: L-2304}
  plate/1: {part: PL-I, material: billet aluminium, serial: P-88}
`

const session = `format: measurements/1
engine: SK-07
stage: mock-up
date: 2024-03-02
temperature: 21.5 degC
instruments:
  M25: {kind: outside micrometer 0-25 mm, resolution: 0.001 mm, calibrated: 2024-01-10}
parts: {rotor/1: R-1177}
readings:
  apex_groove_width:
    unit: mm
    rotor/1/apex/1/mouth/front: 3.061
    rotor/1/apex/1/mouth/rear: [3.064, 3.063, 3.064]      # repeats
  apex_seal_thickness:
    unit: mm
    rotor/1/apex/1: 2.999
    rotor/1/apex/2:
`
