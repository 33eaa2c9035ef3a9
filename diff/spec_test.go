package diff_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"stackbook/diff"
)

// Each kind of field of a spec is compared by what it means.
func TestFieldsAreComparedByTheirKind(t *testing.T) {
	for _, c := range []struct{ name, before, after, want string }{
		{"a list of work is a set", "parts: {rotor/1: {work: [lightened, polished]}}", "parts: {rotor/1: {work: [polished, lightened]}}", `[]`},
		{"with what came and went", "parts: {rotor/1: {work: [lightened, polished]}}", "parts: {rotor/1: {work: [pocket recut, lightened]}}",
			`[added parts.rotor/1.work: "" to "pocket recut"  removed parts.rotor/1.work: "polished" to "" ]`},
		{"that counts: lapped twice is not lapped once", "parts: {plate/1: {work: [lapped]}}", "parts: {plate/1: {work: [lapped, lapped]}}",
			`[added parts.plate/1.work: "" to "lapped" ]`},
		{"phases go by their place", "geometry: {rotors: 2, phases: [0 deg, 180 deg]}", "geometry: {rotors: 2, phases: [180 deg, 0 deg]}",
			`[changed geometry.phases.1: "0 deg" to "180 deg"  changed geometry.phases.2: "180 deg" to "0 deg" ]`},
		{"and are quantities", "geometry: {rotors: 2, stations: [0 mm, 128 mm]}", "geometry: {rotors: 2, stations: [0 in, 12.8 cm]}", `[]`},
		{"the tenth pass does not come before the second", "fasteners: {passes: [1 N m, 2 N m, 3 N m, 4 N m, 5 N m, 6 N m, 7 N m, 8 N m, 9 N m, 10 N m]}",
			"fasteners: {passes: [1 N m, 2.5 N m, 3 N m, 4 N m, 5 N m, 6 N m, 7 N m, 8 N m, 9.5 N m, 10.5 N m]}",
			`[changed fasteners.passes.2: "2 N m" to "2.5 N m"  changed fasteners.passes.9: "9 N m" to "9.5 N m"  changed fasteners.passes.10: "10 N m" to "10.5 N m" ]`},
		{"nor the second by the tenth in a list of the shop's own", "shop: {bench: [{no: 1}, {no: 2}, 3, 4, 5, 6, 7, 8, 9, {no: 10}]}", "shop: {bench: [{no: 1}, {no: 0}, 3, 4, 5, 6, 7, 8, 9, {no: 0}]}",
			`[changed shop.bench.2.no: "2" to "0"  changed shop.bench.10.no: "10" to "0" ]`},
		{"photos go by their file", "photos: [{file: photos/a.jpg, sha256: aa, caption: front}, {file: photos/b.jpg, sha256: bb}]",
			"photos: [{file: photos/b.jpg, sha256: bb, at: rotor/2}, {file: photos/a.jpg, sha256: a1, caption: front}]",
			`[changed photos.photos/a.jpg.sha256: "aa" to "a1"  added photos.photos/b.jpg.at: "" to "rotor/2" ]`},
		{"the shop's own fields, flattened", "shop: {bench: {no: 3, by: [KM, TR]}, colour: red}", "shop: {bench: {no: 4, by: [KM, TR, KM]}, colour: red}",
			`[added shop.bench.by.3: "" to "KM"  changed shop.bench.no: "3" to "4" ]`},
		{"the shop's own fields are judged by nobody: their numbers are text", "shop: {no: 3}", "shop: {no: 3.0}", `[changed shop.no: "3" to "3.0" ]`},
		{"one own field alone", "shop: blue", "shop: red", `[changed shop: "blue" to "red" ]`},
		{"null is absent", "customer: ~", "shop: {bench: ~, by: [~]}", `[]`},
		{"and a value after null is added", "customer: ~", "customer: C-01", `[added customer: "" to "C-01" ]`},
		{"an empty group is absent", "cooling: {}", "photos: []", `[]`},
		{"a word that looks like null in quotes is a word", `customer: "null"`, "customer: ~", `[removed customer: "null" to "" ]`},
		{"a time of day is part of a date", "operating: {sent: 2017-05-19}", "operating: {sent: 2017-05-19 00:00}",
			`[changed operating.sent: "2017-05-19" to "2017-05-19 00:00" ]`},
		{"to the second, in either way of writing it", "operating: {sent: 2017-05-19 10:30:15}", "operating: {sent: 2017-05-19T10:30:15}", `[]`},
		{"and not only to the minute", "operating: {sent: 2017-05-19 10:30:15}", "operating: {sent: 2017-05-19 10:30:45}",
			`[changed operating.sent: "2017-05-19 10:30:15" to "2017-05-19 10:30:45" ]`},
		{"codes are text: 00123 is not 123", "customer: 00123", "customer: 123", `[changed customer: "00123" to "123" ]`},
		{"keys of positions go by number", "porting: {ports: {port/1/intake/primary: {state: open}}}", "porting: {ports: {port/1/intake/primary: {state: filled}}}",
			`[changed porting.ports.port/1/intake/primary.state: "open" to "filled" ]`},
	} {
		require.Equal(t, c.want, fmt.Sprint(told(diff.Compare(bare(c.before).written(t), bare(c.after).written(t)).Changes)), c.name)
	}
}

// bare is a spec with hardly more than one line.
func bare(line string) files {
	return files{"spec.yaml": "format: spec/1\nengine: SK-01\nid: 5c02-7be1-90aa\ntitle: two-rotor\nbuild: 1\n" + line + "\n"}
}

// Number, id and build say which engine it is and not what it is.
func TestWhichEngineItIsIsNoDifference(t *testing.T) {
	a := files{"spec.yaml": "format: spec/1\nengine: SK-01\nid: 5c02-7be1-90aa\ntitle: two-rotor\nbuild: 1\n"}
	b := files{"spec.yaml": "format: spec/1\nengine: SK-02\nid: 91d3-0c4e-18b7\ntitle: two-rotor\nbuild: 3\n"}
	r := diff.Compare(a.written(t), b.written(t))
	require.Empty(t, r.Changes)
	require.Empty(t, r.Readings)
	require.Empty(t, r.Figures)
}

// Text is data: escape sequences and markup come through as they are, and who
// shows them makes them harmless.
func TestTextIsPassedOnAsItIs(t *testing.T) {
	const evil = "\x1b[31m<script>alert(1)</script>\u202e | *x*\a"
	quoted := `"\x1B[31m<script>alert(1)</script>\u202E | *x*\a"`
	r := diff.Compare(demo(t, "02").written(t),
		demo(t, "02").replaced(t, "spec.yaml", "kind: petrol", "kind: "+quoted).written(t))
	require.Equal(t, []diff.Change{{Path: "fuel.kind", What: diff.Changed, From: "petrol", To: evil}}, r.Changes)
	own := diff.Compare(bare("shop: {a: 1}").written(t), bare("shop: {"+quoted+": "+quoted+"}").written(t))
	require.Contains(t, own.Changes, diff.Change{Path: "shop." + evil, What: diff.Added, To: evil})
	mockup := "measurements/2017-02-27-mock-up-KM.yaml"
	asRead, asShown := "  crack_test:", "  bore_state: {housing/1: coating whole}\n  crack_test:"
	before := demo(t, "03").replaced(t, mockup, asRead, asShown)
	read := diff.Compare(before.state(t, ""), before.replaced(t, mockup, "coating whole", quoted).state(t, ""))
	require.Equal(t, []diff.Reading{{Point: "bore_state", At: "housing/1", From: "coating whole", To: evil}}, read.Readings)
}
