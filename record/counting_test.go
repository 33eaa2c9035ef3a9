package record_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"stackbook/record"
	"stackbook/schema"
	"stackbook/schema/problem"
)

const folder = "engines/2024/SK-07"

// shelf builds the files of an engine, a few words at a time.
type shelf struct{ files []record.File }

func (s *shelf) spec(build int, parts string) *shelf {
	text := fmt.Sprintf("format: spec/1\nengine: SK-07\nid: 7f3a-91c0-55de\ntitle: three-rotor\nbuild: %d\ngeometry:\n  rotors: 3\n  chamber_width: 78 mm\n", build)
	if parts != "" {
		text += "parts:\n" + parts
	}
	return s.add("spec.yaml", text)
}

func (s *shelf) add(name, text string) *shelf {
	s.files = append(s.files, record.File{Path: folder + "/" + name, Data: []byte(text)})
	return s
}

// session adds readings of one point in mm: "rotor/1/corner/1: 77.866".
func (s *shelf) session(build int, stage, date, parts, point string, readings ...string) *shelf {
	text := fmt.Sprintf("format: measurements/1\nengine: SK-07\nbuild: %d\nstage: %s\ndate: %s\nby: KM\n", build, stage, date)
	if parts != "" {
		text += "parts: {" + parts + "}\n"
	}
	text += "readings:\n  " + point + ":\n    unit: mm\n"
	for _, r := range readings {
		text += "    " + r + "\n"
	}
	name := fmt.Sprintf("measurements/%s-%s-KM", date[:10], stage)
	n := 0
	for _, f := range s.files {
		if strings.HasPrefix(f.Path, folder+"/"+name) {
			n++
		}
	}
	if n > 0 {
		name += fmt.Sprintf("-%d", n+1)
	}
	return s.add(name+".yaml", text)
}

func (s *shelf) change(build int, date, kind, touches string) *shelf {
	text := fmt.Sprintf("format: change/1\nengine: SK-07\nbuild: %d\ndate: %s\nkind: %s\nby: KM\nwhat: a change\ntouches: [%s]\n", build, date, kind, touches)
	return s.add(fmt.Sprintf("changes/%s-%d.yaml", date[:10], len(s.files)), text)
}

func (s *shelf) load(t *testing.T) *record.Engine {
	t.Helper()
	e, problems := record.Load(folder, s.files)
	require.Empty(t, problems)
	return e
}

// counts tells which value of a point counts at a place, and where it comes
// from: "77.866 mm measured 1".
func counts(t *testing.T, e *record.Engine, point, position, place string) (string, problem.List) {
	t.Helper()
	list, problems := e.Counting(schema.FindPoint(point), position)
	for _, c := range list {
		if c.Place == place {
			q, ok := c.Mean()
			require.True(t, ok)
			return fmt.Sprintf("%s %s %d", q, c.Origin, c.From), problems
		}
	}
	return "", problems
}

// R1: the latest session of the build whose stage describes the engine as
// built.
func TestR1LatestSessionCounts(t *testing.T) {
	s := new(shelf).spec(1, "").
		session(1, "mock-up", "2024-03-02", "", "rotor_width", "rotor/1/corner/1: 77.860", "rotor/1/corner/2: 77.861").
		session(1, "assembly", "2024-03-20", "", "rotor_width", "rotor/1/corner/1: 77.855")
	e := s.load(t)
	got, problems := counts(t, e, "rotor_width", "rotor/1", "corner/1")
	require.Equal(t, "77.855 mm measured 1", got)
	require.Empty(t, problems)
	got, _ = counts(t, e, "rotor_width", "rotor/1", "corner/2")
	require.Equal(t, "77.861 mm measured 1", got, "a place the later session did not read keeps its reading")
}

// R1: as received, as found and incoming describe parts as they came: they
// serve wear and never an as-built figure.
func TestR1PartsAsTheyCameDoNotCount(t *testing.T) {
	for _, stage := range []string{"as-received", "as-found", "incoming", "running"} {
		e := new(shelf).spec(1, "").session(1, stage, "2024-03-02", "", "rotor_width", "rotor/1/corner/1: 77.860").load(t)
		got, _ := counts(t, e, "rotor_width", "rotor/1", "corner/1")
		require.Empty(t, got, stage)
	}
	e := new(shelf).spec(1, "").session(1, "after-cleaning", "2024-03-02", "", "rotor_width", "rotor/1/corner/1: 77.860").load(t)
	got, _ := counts(t, e, "rotor_width", "rotor/1", "corner/1")
	require.Equal(t, "77.860 mm measured 1", got)
}

// R1: an earlier build's reading is carried while the same serial is fitted.
func TestR1CarriedBySerial(t *testing.T) {
	first := func(now string) *shelf {
		return new(shelf).spec(2, "  rotor/1: {serial: "+now+"}\n").
			session(1, "mock-up", "2024-03-02", "rotor/1: R-1", "rotor_width", "rotor/1/corner/1: 77.860")
	}
	got, _ := counts(t, first("R-1").load(t), "rotor_width", "rotor/1", "corner/1")
	require.Equal(t, "77.860 mm carried 1", got)
	got, _ = counts(t, first("R-2").load(t), "rotor_width", "rotor/1", "corner/1")
	require.Empty(t, got, "another rotor is fitted")
	e := first("R-1").session(2, "mock-up", "2026-03-02", "rotor/1: R-1", "rotor_width", "rotor/1/corner/1: 77.850").load(t)
	got, _ = counts(t, e, "rotor_width", "rotor/1", "corner/1")
	require.Equal(t, "77.850 mm measured 2", got, "this build's own reading comes first")
}

// R1: without serials, a reading is carried until a replacement.
func TestR1CarriedWithoutSerial(t *testing.T) {
	s := new(shelf).spec(2, "").session(1, "mock-up", "2024-03-02", "", "rotor_width", "rotor/1/corner/1: 77.860")
	got, _ := counts(t, s.load(t), "rotor_width", "rotor/1", "corner/1")
	require.Equal(t, "77.860 mm carried 1", got)
	s.change(2, "2025-01-10", "replacement", "rotor/1")
	got, _ = counts(t, s.load(t), "rotor_width", "rotor/1", "corner/1")
	require.Empty(t, got)
}

// R1: readings follow the serial to another position.
func TestR1ReadingFollowsTheRotor(t *testing.T) {
	s := new(shelf).spec(2, "  rotor/2: {serial: R-9}\n  rotor/3: {serial: R-1}\n").
		session(1, "mock-up", "2024-03-02", "rotor/2: R-1", "apex_groove_width", "rotor/2/apex/1/mouth/front: 3.061").
		change(2, "2025-01-10", "replacement", "rotor/2, rotor/3")
	e := s.load(t)
	got, _ := counts(t, e, "apex_groove_width", "rotor/3/apex/1", "mouth/front")
	require.Equal(t, "3.061 mm carried 1", got, "the rotor moved from 2 to 3, and its serial proves it was not replaced")
	got, _ = counts(t, e, "apex_groove_width", "rotor/2/apex/1", "mouth/front")
	require.Empty(t, got)
}

// R1: machining, repair and replacement void an earlier reading of what they
// touch, and of nothing else.
func TestR1MachiningVoids(t *testing.T) {
	for kind, voids := range map[string]bool{"machining": true, "repair": true, "replacement": true, "adjustment": false, "inspection": false, "note": false} {
		s := new(shelf).spec(1, "").
			session(1, "mock-up", "2024-03-02", "", "apex_groove_width", "rotor/1/apex/1/mouth/front: 3.061", "rotor/1/apex/2/mouth/front: 3.060").
			change(1, "2024-03-05", kind, "rotor/1/apex/1")
		e := s.load(t)
		got, _ := counts(t, e, "apex_groove_width", "rotor/1/apex/1", "mouth/front")
		require.Equal(t, voids, got == "", kind)
		got, _ = counts(t, e, "apex_groove_width", "rotor/1/apex/2", "mouth/front")
		require.Equal(t, "3.060 mm measured 1", got, kind)
	}
	serial := new(shelf).spec(1, "  rotor/1: {serial: R-1}\n").
		session(1, "mock-up", "2024-03-02", "rotor/1: R-1", "rotor_width", "rotor/1/corner/1: 77.860").
		change(1, "2024-03-05", "machining", "rotor/1")
	got, _ := counts(t, serial.load(t), "rotor_width", "rotor/1", "corner/1")
	require.Empty(t, got, "a serial does not undo machining")
}

// R1: a reading taken after the machining counts.
func TestR1ReadingAfterMachiningCounts(t *testing.T) {
	e := new(shelf).spec(1, "").
		change(1, "2024-03-05", "machining", "rotor/1").
		session(1, "mock-up", "2024-03-06", "", "rotor_width", "rotor/1/corner/1: 77.840").load(t)
	got, _ := counts(t, e, "rotor_width", "rotor/1", "corner/1")
	require.Equal(t, "77.840 mm measured 1", got)
}

// R1: on one day without times the order is not known: a problem, never a
// choice. With times it is.
func TestR1OneDayNeedsTimes(t *testing.T) {
	day := new(shelf).spec(1, "").
		session(1, "mock-up", "2024-03-05", "", "rotor_width", "rotor/1/corner/1: 77.860").
		change(1, "2024-03-05", "machining", "rotor/1")
	_, problems := counts(t, day.load(t), "rotor_width", "rotor/1", "corner/1")
	require.Len(t, problems, 1)
	require.Contains(t, problems[0].Message, "before or after?")
	require.Equal(t, "give both a time: date: 2024-03-05 14:30", problems[0].Mend)
	times := new(shelf).spec(1, "").
		session(1, "mock-up", "2024-03-05 09:00", "", "rotor_width", "rotor/1/corner/1: 77.860").
		change(1, "2024-03-05 11:00", "machining", "rotor/1")
	got, problems := counts(t, times.load(t), "rotor_width", "rotor/1", "corner/1")
	require.Empty(t, problems)
	require.Empty(t, got)
}

// R1: two sessions of one day with unequal values are a problem; equal ones,
// in whatever unit, are none.
func TestR1TieBetweenUnequalValues(t *testing.T) {
	tie := func(second string) problem.List {
		e := new(shelf).spec(1, "").
			session(1, "mock-up", "2024-03-05", "", "end_float", "engine: 0.062").
			session(1, "mock-up", "2024-03-05", "", "end_float", "engine: "+second).load(t)
		_, problems := counts(t, e, "end_float", "engine", "")
		return problems
	}
	require.Empty(t, tie("0.0620"))
	require.Empty(t, tie("62 um"))
	problems := tie("0.063")
	require.Len(t, problems, 1)
	require.Equal(t, "R1", problems[0].Rule)
	require.Contains(t, problems[0].Message, "and neither is known to be later")
}

// R1: what was read of the assembly is never carried: it was taken apart since.
func TestR1AssemblyIsNotCarried(t *testing.T) {
	e := new(shelf).spec(2, "").session(1, "assembly", "2024-03-05", "", "end_float", "engine: 0.062").load(t)
	got, _ := counts(t, e, "end_float", "engine", "")
	require.Empty(t, got)
}

// R1: a later build's reading says nothing about an earlier one.
func TestR1LaterBuildDoesNotCount(t *testing.T) {
	s := new(shelf).spec(1, "").session(2, "mock-up", "2024-03-05", "", "rotor_width", "rotor/1/corner/1: 77.860")
	e, problems := record.Load(folder, s.files)
	require.Len(t, problems, 1)
	require.Contains(t, problems[0].Message, "this record is of build 2, and the spec describes build 1")
	got, _ := counts(t, e, "rotor_width", "rotor/1", "corner/1")
	require.Empty(t, got)
}

// The mean of repeats at one place is exact.
func TestMeanOfRepeatsIsExact(t *testing.T) {
	e := new(shelf).spec(1, "").session(1, "assembly", "2024-03-05", "", "end_float", "engine: [0.062, 0.061, 0.063]").load(t)
	got, _ := counts(t, e, "end_float", "engine", "")
	require.Equal(t, "0.062 mm measured 1", got)
}

// R1: a part the spec calls new was not there to be read in an earlier build,
// whether or not it bears a serial.
func TestR1NewPartCarriesNothing(t *testing.T) {
	s := func(origin string) *shelf {
		return new(shelf).spec(2, "  rotor/1: {lot: L-2, origin: "+origin+"}\n").
			session(1, "mock-up", "2024-03-02", "", "rotor_width", "rotor/1/corner/1: 77.860")
	}
	got, _ := counts(t, s("used").load(t), "rotor_width", "rotor/1", "corner/1")
	require.Equal(t, "77.860 mm carried 1", got)
	got, _ = counts(t, s("new").load(t), "rotor_width", "rotor/1", "corner/1")
	require.Empty(t, got)
}

// R1: a change that always alters something says what.
func TestR1ChangeMustSayWhatItTouches(t *testing.T) {
	for kind, must := range map[string]bool{"machining": true, "replacement": true, "repair": true, "work-by-others": false, "note": false} {
		s := new(shelf).spec(1, "").change(1, "2024-03-05", kind, "")
		_, problems := record.Load(folder, s.files)
		require.Equal(t, must, len(problems) == 1, kind)
	}
}

// Usable are all readings that may count, of which Counting takes the latest of
// each place: those of the build, as built, not voided since, by date.
func TestUsableReadings(t *testing.T) {
	e := new(shelf).spec(1, "").
		session(1, "cranking", "2024-03-09", "", "end_float", "engine: 0.064").
		session(1, "mock-up", "2024-03-02", "", "end_float", "engine: 0.062").
		session(1, "as-received", "2024-03-10", "", "end_float", "engine: 0.085").load(t)
	var all []string
	for _, c := range e.Usable(schema.FindPoint("end_float"), "engine") {
		q, _ := c.Mean()
		all = append(all, q.String()+" "+c.Session.Date.Day())
	}
	require.Equal(t, []string{"0.062 mm 2024-03-02", "0.064 mm 2024-03-09"}, all)
	machined := new(shelf).spec(1, "").session(1, "mock-up", "2024-03-02", "", "end_float", "engine: 0.062").change(1, "2024-03-05", "machining", "engine").load(t)
	require.Empty(t, machined.Usable(schema.FindPoint("end_float"), "engine"))
}
