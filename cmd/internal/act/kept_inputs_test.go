package act_test

import (
	"os"
	"testing"

	"github.com/stretchr/testify/require"
)

// Each thing a line follows from is altered by itself, which alters the line, and
// what was kept before is not told any more.
func TestFleetFollowsAllItRestsOn(t *testing.T) {
	t.Parallel()
	w := newKeptWorld(t, 21)
	spec := func(number, id, parts, more string) string {
		return "format: spec/1\nengine: " + number + "\nid: 7f3a-91c0-" + id + "\ntitle: an engine\nbuild: 1\nlimits: own\n" + more +
			"geometry: {rotors: 1, generating_radius: 98 mm, seal_tip_radius: 2 mm, eccentricity: 14 mm, chamber_width: 78 mm}\nparts:\n  rotor/1: {part: RT-80, " + parts + "}\n"
	}
	session := func(number, date, hours, serial, result string) string {
		return "format: measurements/1\nengine: " + number + "\nbuild: 1\nstage: crack-test\ndate: " + date + "\nby: KM\nhours: " + hours + " h\nparts: {rotor/1: " + serial + "}\nreadings:\n  crack_test: {rotor/1: " + result + "}\n"
	}
	later := func(number, date, hours string) string {
		return "format: measurements/1\nengine: " + number + "\nbuild: 1\nstage: running\ndate: " + date + "\nby: KM\nhours: " + hours + " h\nreadings:\n"
	}
	for i := range keptEngines {
		w.quietGit("rm", "-rqf", keptFolder(i))
	}
	w.quietGit("rm", "-rqf", "parts")
	const alone, giver, taker = "engines/2018/SK-10", "engines/2018/SK-11", "engines/2018/SK-12"
	w.write("limits/own.yaml", "format: limits/1\nname: own\ntitle: own limits\nlimits:\n  apex_seal_height:\n    new: {min: 7.9 mm}\n    source: own\n")
	w.write(alone+"/spec.yaml", spec("SK-10", "0010", "serial: R-10, lot: L-10, hours_at_fitting: 0 h", ""))
	w.write(alone+"/measurements/2024-01-01-crack-test-KM.yaml", session("SK-10", "2024-01-01", "10", "R-10", "clear"))
	w.write(alone+"/measurements/2024-02-01-running-KM.yaml", later("SK-10", "2024-02-01", "20"))
	w.write(alone+"/measurements/2024-01-02-mock-up-KM.yaml", "format: measurements/1\nengine: SK-10\nbuild: 1\nstage: mock-up\ndate: 2024-01-02\nby: KM\nreadings:\n  apex_seal_height:\n    unit: mm\n    rotor/1/apex/1: 7.95\n")
	w.write(alone+"/changes/2024-03-01-concession.yaml", "format: change/1\nengine: SK-10\nbuild: 1\ndate: 2024-03-01\nkind: concession\nby: KM\nwhat: a mark\nwhy: it holds\ntouches: [rotor/1]\nconcession: {accepted_by: KM, look_again: on 2026-03-05}\n")
	w.write(giver+"/spec.yaml", spec("SK-11", "0011", "serial: R-11", ""))
	w.write(giver+"/changes/2024-04-01-replacement.yaml", "format: change/1\nengine: SK-11\nbuild: 1\ndate: 2024-04-01\nkind: replacement\nby: KM\nhours: 40 h\nwhat: taken out\ntouches: [rotor/1]\nremoved:\n  - {from: rotor/1, serial: R-12, hours: 33 h, to: shelf}\n")
	w.write(taker+"/spec.yaml", spec("SK-12", "0012", "serial: R-12, origin: used", ""))
	w.write(taker+"/measurements/2024-05-01-crack-test-KM.yaml", session("SK-12", "2024-05-01", "0", "R-12", "clear"))
	w.write(taker+"/measurements/2024-06-01-running-KM.yaml", later("SK-12", "2024-06-01", "15"))
	w.write("book.yaml", w.read("book.yaml")+"intervals: {opening: 30 h, crack_test: 90 h}\n")
	w.write("parts/L-10.yaml", "format: part/1\nlot: L-10\npart: RT-80\nwhat: a rotor\ntest_every: 25 h\n")
	w.write("parts/rotor.yaml", "format: part/1\nserial: R-12\npart: RT-80\nwhat: a rotor\ntest_every: 35 h\n")
	w.git("add", "-A")
	w.git("commit", "-qm", "three engines")
	w.git("commit", "-q", "--allow-empty", "-m", "a second")
	w.same("at first")

	edits := []struct {
		name string
		do   func()
	}{
		{"a record", func() { w.edit(alone+"/measurements/2024-01-01-crack-test-KM.yaml", "hours: 10 h", "hours: 12 h") }},
		{"the engine's title", func() { w.edit(alone+"/spec.yaml", "title: an engine", "title: an engin") }},
		{"a file more", func() { w.write(alone+"/changes/deep/x.txt", "") }},
		{"the limit set", func() { w.edit("limits/own.yaml", "min: 7.9 mm", "min: 7.96 mm") }},
		{"no limit set", func() { w.git("rm", "-qf", "limits/own.yaml") }},
		{"the book's interval", func() {
			w.edit("book.yaml", "crack_test: 90 h", "crack_test: 80 h")
			w.git("rm", "-qf", "parts/L-10.yaml")
		}},
		{"the file of a part of one engine", func() {
			w.write("parts/L-10.yaml", "format: part/1\nlot: L-10\npart: RT-80\nwhat: a rotor\ntest_every: 15 h\n")
		}},
		{"the file of a part of two, under another name", func() { w.edit("parts/rotor.yaml", "test_every: 35 h", "test_every: 34 h") }},
		{"what another tells of a part", func() { w.edit(giver+"/changes/2024-04-01-replacement.yaml", "hours: 40 h", "hours: 41 h") }},
		{"a test made in another", func() {
			w.write(giver+"/measurements/2024-07-01-crack-test-KM.yaml", session("SK-11", "2024-07-01", "50", "R-12", "cracked"))
		}},
		{"the day", func() { w.days = 3 }},
		{"where it lies", func() {
			require.NoError(t, os.MkdirAll(w.path("engines/2019"), 0o777))
			w.git("mv", alone, "engines/2019/SK-10")
		}},
	}
	for _, e := range edits {
		before, read := w.fleet("")
		require.Zero(t, read, e.name)
		e.do()
		after, err := w.open().FleetOfAll("")
		require.NoError(t, err)
		require.NotEqual(t, before.Engines, after.Engines, "%s alters nothing, and tests nothing", e.name)
		w.same(e.name)
		if e.name != "the day" {
			w.git("add", "-A")
			w.git("commit", "-qm", "more")
			w.same(e.name + ", committed")
		}
	}
	w.sound()
}
