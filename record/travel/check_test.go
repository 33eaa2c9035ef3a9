package travel_test

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// What two records tell of one part that cannot both be true is named at one
// of them, with the other.
func TestCheckBetweenEngines(t *testing.T) {
	const fitted = "  rotor/2: {serial: R-1, part: RT-80, origin: used"
	took := func(more string) string { return "hours: 90 h\nremoved: [{from: rotor/1, serial: R-1" + more + "}]\n" }
	two := func(more string) func(b *bench) *bench {
		return func(b *bench) *bench { return b.engine("SK-02", 1, more) }
	}
	for _, row := range []struct {
		name, part string
		also       func(b *bench) *bench
		rule, want string
	}{
		{"alone", "", two(""), "", ""},
		{"fitted twice", "", two("  rotor/1: {serial: R-1}\n"), "fitted-twice", "engines/2024/SK-02/spec.yaml:8:12: R-1 is fitted here and in SK-01 at rotor/2, engines/2024/SK-01/spec.yaml:8"},
		{"the serial of another part number", "", two("  rotor/1: {serial: R-1, part: RT-90}\n"), "", ""},
		{"the serial of another kind of part", "", two("  housing/1: {serial: R-1}\n"), "", ""},
		{"on the shelf by its file", "", func(b *bench) *bench {
			return b.part("R-1", "serial: R-1\nwhereabouts: [{since: 2023-02-01, is: shelf}]\n")
		}, "whereabouts", `parts/R-1.yaml:4:15: R-1 is "shelf" here since 2023-02-01, and is fitted in SK-01 at rotor/2, engines/2024/SK-01/spec.yaml:8`},
		{"in another engine by its file", "", func(b *bench) *bench {
			return b.part("R-1", "serial: R-1\nwhereabouts: [{since: 2023-02-01, is: shelf}, {since: 2023-03-01, is: another engine}]\n")
		}, "", ""},
		{"a part file of another number", "", func(b *bench) *bench {
			return b.part("R-1", "serial: R-1\npart: RT-90\nwhereabouts: [{since: 2023-02-01, is: shelf}]\n")
		}, "", ""},
		{"scrapped", "", func(b *bench) *bench {
			return two("")(b).change("SK-02", 1, "2023-01-10", "teardown", took(", to: scrap"))
		}, "scrapped", "engines/2024/SK-01/spec.yaml:8:12: R-1 is fitted here, and went to scrap from SK-02 on 2023-01-10, engines/2024/SK-02/changes/2023-01-10-teardown-1.yaml:9"},
		{"found cracked elsewhere", "", func(b *bench) *bench {
			return two("")(b).test("SK-02", 1, "2023-01-12", "", "rotor/1: R-1", "rotor/1: cracked")
		}, "cracked", "engines/2024/SK-01/spec.yaml:8:12: R-1 is fitted here, and was found cracked on 2023-01-12, engines/2024/SK-02/measurements/2023-01-12-crack-test-TR.yaml:9"},
		{"found cracked, then cleared", "", func(b *bench) *bench {
			return two("")(b).test("SK-02", 1, "2023-01-12", "", "rotor/1: R-1", "rotor/1: cracked").test("SK-02", 1, "2023-01-14", "", "rotor/1: R-1", "rotor/1: clear")
		}, "", ""},
		{"found cracked where it sits", "", func(b *bench) *bench {
			return b.test("SK-01", 1, "2023-01-12", "", "rotor/2: R-1", "rotor/2: cracked")
		}, "", ""},
		{"found cracked and delivered", "", func(b *bench) *bench {
			return b.test("SK-01", 1, "2023-01-12", "", "rotor/2: R-1", "rotor/2: cracked").change("SK-01", 1, "2023-02-12", "delivery", "")
		}, "cracked", "engines/2024/SK-01/spec.yaml:8:12: R-1 is fitted here, and was found cracked on 2023-01-12, engines/2024/SK-01/measurements/2023-01-12-crack-test-TR.yaml:9"},
		{"hours as counted at its removal", ", hours_at_fitting: 75 h", func(b *bench) *bench {
			return two("")(b).change("SK-02", 1, "2023-01-10", "teardown", took(", hours: 75 h"))
		}, "", ""},
		{"hours at odds with its removal", ", hours_at_fitting: 60 h", func(b *bench) *bench {
			return two("")(b).change("SK-02", 1, "2023-01-10", "teardown", took(", hours: 75 h"))
		}, "hours", "engines/2024/SK-01/spec.yaml:8:71: R-1 had run 60 h when it was fitted here, and 75 h by its removal from SK-02, engines/2024/SK-02/changes/2023-01-10-teardown-1.yaml:9"},
		{"hours at odds with its file", ", hours_at_fitting: 60 h", func(b *bench) *bench {
			return b.part("R-1", "serial: R-1\nwhereabouts: [{since: 2023-02-01, is: another engine, hours: 70 h, hours_error: 5 h}]\n")
		}, "hours", "engines/2024/SK-01/spec.yaml:8:71: R-1 had run 60 h when it was fitted here, and 70 ± 5 h by parts/R-1.yaml:4"},
		{"hours within what the file may be off", ", hours_at_fitting: 66 h", func(b *bench) *bench {
			return b.part("R-1", "serial: R-1\nwhereabouts: [{since: 2023-02-01, is: another engine, hours: 70 h, hours_error: 5 h}]\n")
		}, "", ""},
		{"hours counted after the delivery of the build it was fitted in", ", hours_at_fitting: 0 h", func(b *bench) *bench {
			return b.change("SK-01", 1, "2023-01-01", "delivery", "").part("R-1", "serial: R-1\nwhereabouts: [{since: 2023-02-01, is: another engine, hours: 70 h}]\n")
		}, "", ""},
		{"two files", "", func(b *bench) *bench { return b.part("R-1", "serial: R-1\n").part("R-1", "serial: R-1\n") }, "part-twice", "parts/R-1.yaml:3:9: serial R-1 has this file and parts/R-1.yaml"},
	} {
		b := begin(t).engine("SK-01", 1, fitted+row.part+"}\n")
		problems := row.also(b).check()
		if row.rule == "" {
			require.Empty(t, problems, row.name)
			continue
		}
		require.Len(t, problems, 1, row.name)
		require.Equal(t, row.rule, problems[0].Rule, row.name)
		require.Equal(t, row.want, problems[0].Where()+": "+problems[0].Message, row.name)
		require.NotEmpty(t, problems[0].Mend, row.name)
	}
}

// A part said to be new that another record counted hours of.
func TestCheckNewPartThatHasRun(t *testing.T) {
	problems := begin(t).engine("SK-01", 1, "  rotor/2: {serial: R-1, origin: new}\n").engine("SK-02", 1, "").
		change("SK-02", 1, "2023-01-10", "teardown", "removed: [{from: rotor/1, serial: R-1, hours: 75 h}]\n").check()
	require.Len(t, problems, 1)
	require.Contains(t, problems[0].Message, "R-1 is new here, and 75 h by its removal from SK-02")
}

// No more pieces of a lot are fitted, in all engines, than came.
func TestCheckPiecesFitted(t *testing.T) {
	seals := func(pieces string) int {
		b := begin(t).engine("SK-01", 1, "  rotor/1/apex/1: {lot: B-14}\n  rotor/1/apex/2: {lot: B-14}\n").engine("SK-02", 1, "  rotor/1/apex/1: {lot: B-14}\n  rotor/1/apex/2: {lot: B-15}\n")
		return len(b.part("B-14", "lot: B-14\npieces: "+pieces+"\n").check())
	}
	require.Zero(t, seals("3"))
	require.Equal(t, 1, seals("2"))
}
