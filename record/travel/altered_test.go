package travel_test

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// R1: work on a part in another engine voids what was read of it here before, and
// which readings count follows from an engine's own records: so it is a problem,
// until the part is read again or the work is recorded here as well.
func TestR1AlteredInAnotherEngine(t *testing.T) {
	read := func(b *bench, date, serial, reading string) *bench {
		return b.file("SK-01", "measurements/"+date+"-mock-up-KM.yaml", "format: measurements/1\nengine: SK-01\nbuild: 1\nstage: mock-up\ndate: "+date+"\nby: KM\nparts: {rotor/2: "+serial+"}\nreadings:\n  rotor_width: {unit: mm, "+reading+"}\n")
	}
	const corners = "rotor/2/corner/1: 79.850, rotor/2/corner/2: 79.851"
	const out = "removed: [{from: rotor/1, serial: R-1}]\n"
	work := func(b *bench, kind, date, touches string) *bench {
		return b.change("SK-02", 1, date, kind, "touches: ["+touches+"]\n")
	}
	for name, row := range map[string]struct {
		also func(b *bench) *bench
		want string
	}{
		"machined there after it was read": {func(b *bench) *bench { return work(b, "machining", "2023-02-01", "rotor/1") },
			"engines/2024/SK-01/measurements/2023-01-05-mock-up-KM.yaml:9:45: rotor_width of R-1 was read here on 2023-01-05, and machining altered it in SK-02 on 2023-02-01, engines/2024/SK-02/changes/2023-02-01-machining-2.yaml:1: what was read before that does not hold (and 1 more of its readings)"},
		"one seal groove of it": {func(b *bench) *bench { return work(b, "repair", "2023-02-01", "rotor/1/apex/2") }, ""},
		"by others, on the day it was read": {func(b *bench) *bench { return work(b, "work-by-others", "2023-01-05", "rotor/1") },
			"engines/2024/SK-01/measurements/2023-01-05-mock-up-KM.yaml:9:45: rotor_width of R-1 was read here on 2023-01-05, and work-by-others altered it in SK-02 on 2023-01-05, engines/2024/SK-02/changes/2023-01-05-work-by-others-2.yaml:1: what was read before that does not hold (and 1 more of its readings)"},
		"before it was read":   {func(b *bench) *bench { return work(b, "machining", "2022-12-01", "rotor/1") }, ""},
		"something else there": {func(b *bench) *bench { return work(b, "machining", "2023-02-01", "rotor/2, housing/1") }, ""},
		"after it had left":    {func(b *bench) *bench { return work(b, "machining", "2023-03-02", "rotor/1") }, ""},
		"while another sat there": {func(b *bench) *bench {
			return work(b, "machining", "2023-02-01", "rotor/1").change("SK-02", 1, "2023-02-10", "teardown", "removed: [{from: rotor/1, serial: R-9}]\n")
		}, ""},
		"looked at and not altered": {func(b *bench) *bench { return work(b, "inspection", "2023-02-01", "rotor/1") }, ""},
		"read again": {func(b *bench) *bench {
			return read(work(b, "machining", "2023-02-01", "rotor/1"), "2023-04-01", "R-1", corners)
		}, ""},
		"recorded here as well": {func(b *bench) *bench {
			return work(b, "machining", "2023-02-01", "rotor/1").change("SK-01", 1, "2023-02-01", "machining", "touches: [rotor/2]\n")
		}, ""},
		"read of another part there": {func(b *bench) *bench {
			return read(work(b, "machining", "2023-02-01", "rotor/1"), "2023-01-20", "R-7", corners)
		}, "engines/2024/SK-01"},
	} {
		b := begin(t).engine("SK-01", 1, "  rotor/2: {serial: R-1, origin: used}\n").engine("SK-02", 1, "  rotor/1: {serial: R-2}\n")
		b.change("SK-02", 1, "2023-03-01", "teardown", out)
		problems := row.also(read(b, "2023-01-05", "R-1", corners)).check()
		if row.want == "" {
			require.Empty(t, problems, name)
			continue
		}
		require.Len(t, problems, 1, name)
		require.Equal(t, "R1", problems[0].Rule, name)
		require.Contains(t, problems[0].Where()+": "+problems[0].Message, row.want, name)
		require.Contains(t, problems[0].Mend, "touching rotor/2", name)
	}
}
