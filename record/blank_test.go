package record_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"stackbook/record"
	"stackbook/schema"
)

// fourRotor is an engine whose spec names bolts, serials and a gear more than
// the usual three.
const fourRotor = "format: spec/1\nengine: SK-07\nid: 7f3a-91c0-55de\ntitle: four-rotor\nbuild: 3\ngeometry:\n  rotors: 4\nfasteners:\n  bolts: 11\n" +
	"parts:\n  rotor/1: {serial: R-1177}\n  rotor/2: {serial: \"00123\"}\n  rotor/3/apex/1: {lot: B-14}\n  gear/4: {serial: G-9}\n  shaft: {serial: E-1}\n"

func blank(t *testing.T, e *record.Engine, stage string) string {
	t.Helper()
	date, err := schema.ParseDate("2026-03-02")
	require.NoError(t, err)
	s, _ := schema.FindStage(stage)
	require.NotNil(t, s)
	return string(e.BlankSession(record.Blank{Build: e.Build, Stage: s, Date: date, By: "KM", Hours: "65 h", HoursError: "3 h"}))
}

// A blank session of every stage checks clean, has no reading in it, and takes
// one in any of its lines with nothing else altered.
func TestBlankSessionOfEveryStageChecksClean(t *testing.T) {
	for _, stage := range schema.Stages {
		t.Run(stage.Name, func(t *testing.T) {
			files := new(shelf).add("spec.yaml", fourRotor)
			e, problems := files.problems()
			require.Empty(t, problems)
			text := blank(t, e, stage.Name)
			name := "measurements/2026-03-02-" + stage.Name + "-KM.yaml"
			again, problems := files.add(name, text).problems()
			require.Empty(t, problems)
			require.Empty(t, again.Sessions[0].Readings)
			require.Equal(t, "65 ± 3 h", again.Sessions[0].Hours())

			lines := strings.Split(text, "\n")
			filled := 0
			for i, line := range lines {
				if position := strings.TrimSuffix(line, ":"); strings.HasPrefix(line, "    ") && strings.Contains(line, "/") && position != line {
					lines[i] += " " + sensible(t, lines[:i])
					filled++
				}
			}
			taken, problems := new(shelf).add("spec.yaml", fourRotor).add(name, strings.Join(lines, "\n")).problems()
			require.Empty(t, problems)
			require.Len(t, taken.Sessions[0].Readings, filled)
		})
	}
}

// sensible is a value for the point whose lines these end with.
func sensible(t *testing.T, lines []string) string {
	for i := len(lines) - 1; i >= 0; i-- {
		id, ok := strings.CutSuffix(lines[i], ":")
		if p := schema.FindPoint(strings.TrimSpace(id)); ok && p != nil {
			if p.Text {
				return append(p.Words, "as new")[0]
			}
			return p.High
		}
	}
	t.Fatal("no point above the line")
	return ""
}

// What an engine is known to have is asked for, and nothing else of what no
// number of rotors tells.
func TestBlankSessionAsksForWhatTheEngineHas(t *testing.T) {
	e, _ := new(shelf).add("spec.yaml", fourRotor).problems()
	found := blank(t, e, "as-found")
	for _, want := range []string{"    bolt/1:\n", "    bolt/11:\n", "    rotor/4/apex/3:\n", "    joint/housing-4/rear/inner:\n", "    gear/4:\n"} {
		assert.Contains(t, found, want)
	}
	for _, not := range []string{"bolt/12:", "rotor/5", "gear/3:", "end_float:"} {
		assert.NotContains(t, found, not)
	}
	assert.Less(t, strings.Index(found, "bolt/9:"), strings.Index(found, "bolt/10:"))
	assert.Contains(t, found, "parts:\n  rotor/1: R-1177\n  rotor/2: \"00123\"\n", "serials as they are fitted")
	clean := blank(t, e, "after-cleaning")
	assert.Contains(t, clean, "    housing/4/at/D:\n")
	assert.Contains(t, clean, "plate/2/front/track/side:")
	assert.NotContains(t, clean, "plate/1/front/", "no rotor runs against it")
	assert.Contains(t, clean, "  crack_test:\n    method:\n    by:\n    # each: clear, mark, cracked\n    shaft:\n")
}

// A short engine is not asked for a centre bearing unless it has one, nor for
// a clock position; where earlier sessions name places, they are asked again.
func TestBlankSessionAsksWhereItWasReadBefore(t *testing.T) {
	spec := strings.Replace(fourRotor, "rotors: 4", "rotors: 2", 1)
	spec = strings.Replace(spec, "rotor/3/apex/1", "rotor/2/apex/1", 1)
	files := new(shelf).add("spec.yaml", spec)
	e, problems := files.problems()
	require.Empty(t, problems)
	assert.NotContains(t, blank(t, e, "after-cleaning"), "centre")
	assert.Contains(t, blank(t, e, "as-found"), "    joint/housing-2/rear/inner:\n")

	e, problems = files.add("measurements/2019-07-22-as-found-KM.yaml", "format: measurements/1\nengine: SK-07\nbuild: 1\nstage: as-found\ndate: 2019-07-22\nby: KM\n"+
		"readings:\n  joint_state:\n    joint/housing-2/rear/inner/clock/10: hard\n    joint/housing-2/rear/inner/clock/7: cut\n").
		session(1, "mock-up", "2019-07-23", "", "bearing_bore", "bearing/main/centre/front/x:").problems()
	require.Empty(t, problems)
	assert.Contains(t, blank(t, e, "after-cleaning"), "    bearing/main/centre/rear/y:\n")
	assert.Contains(t, blank(t, e, "as-found"), "    joint/housing-2/rear/inner/clock/7:\n    joint/housing-2/rear/inner/clock/10:\n    joint/housing-2/rear/outer:\n")
}

// The dictionary has no point that no blank session ever asks for.
func TestBlankSessionsAskForEveryPoint(t *testing.T) {
	e, _ := new(shelf).add("spec.yaml", fourRotor).problems()
	var all strings.Builder
	for _, s := range schema.Stages {
		all.WriteString(blank(t, e, s.Name))
	}
	for _, p := range schema.Points() {
		if len(p.Stages) > 0 {
			assert.Contains(t, all.String(), fmt.Sprintf("\n  %s:\n", p.ID))
		}
	}
}
