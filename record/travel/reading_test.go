package travel_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"stackbook/record/travel"
)

// session adds an empty session that counts the engine's hours.
func (b *bench) session(number string, build int, date, stage, hours, parts string) *bench {
	return b.file(number, "measurements/"+date+"-"+stage+"-KM.yaml",
		fmt.Sprintf("format: measurements/1\nengine: %s\nbuild: %d\nstage: %s\ndate: %s\nby: KM\n%sparts: {%s}\nreadings: {rotor_width: {unit: mm, rotor/2/corner/1: 77.86}}\n", number, build, stage, date, hours, parts))
}

// How long a part had run when it was read: forward from its fitting, back from
// its removal, or since it was fitted where nobody knows more.
func TestHoursAt(t *testing.T) {
	const read = "2024-04-01"
	for _, row := range []struct {
		name, part, serial string
		more               func(b *bench) *bench
		hours              string
		want               string
		own                bool
	}{
		{"new, since the first build", "serial: R-1, origin: new", "R-1", nil, "hours: 30 h\n", "30 h", true},
		{"used, of known hours", "serial: R-1, origin: used, hours_at_fitting: 58 h", "R-1", nil, "hours: 30 h\nhours_error: 2 h\n", "88 ± 2 h", true},
		{"used, of unknown hours", "serial: R-1, origin: used", "R-1", nil, "hours: 30 h\n", "30 h", false},
		{"fitted at 20 h", "serial: R-1, origin: new, engine_hours_at_fitting: 20 h", "R-1", nil, "hours: 30 h\n", "10 h", true},
		{"taken out later", "serial: R-2", "R-1", func(b *bench) *bench {
			return b.change("SK-01", 2, "2024-05-01", "replacement", "hours: 40 h\ntouches: [rotor/2]\nremoved: [{from: rotor/2, serial: R-1, hours: 98 h}]\n")
		}, "hours: 30 h\n", "88 h", true},
		{"without a serial", "part: RT-80", "", nil, "hours: 30 h\n", "30 h", true},
		{"without a serial, replaced before", "part: RT-80", "", func(b *bench) *bench {
			return b.change("SK-01", 2, "2024-03-01", "replacement", "hours: 20 h\ntouches: [rotor/2]\n")
		}, "hours: 30 h\n", "10 h", false},
		{"without a serial, replaced later", "part: RT-80", "", func(b *bench) *bench {
			return b.change("SK-01", 2, "2024-05-01", "replacement", "hours: 40 h\ntouches: [rotor/2]\n")
		}, "hours: 30 h\n", "30 h", false},
		{"by the hours known on the day", "serial: R-1, origin: new", "R-1", func(b *bench) *bench { return b.change("SK-01", 2, "2024-03-01", "event", "hours: 25 h\n") }, "", "25 h", true},
		{"nobody counted", "serial: R-1, origin: new", "R-1", nil, "", "", false},
	} {
		b := begin(t).engine("SK-01", 2, "  rotor/2: {"+row.part+"}\n").session("SK-01", 2, read, "running", row.hours, "rotor/2: '"+row.serial+"'")
		if row.serial == "" {
			b = begin(t).engine("SK-01", 2, "  rotor/2: {"+row.part+"}\n").session("SK-01", 2, read, "running", row.hours, "")
		}
		if row.more != nil {
			b = row.more(b)
		}
		s := b.shop()
		h, own, ok := s.HoursAt(s.Engines[0], s.Engines[0].Sessions[0], "rotor/2", row.serial)
		require.Equal(t, row.want != "", ok, row.name)
		if ok {
			require.Equal(t, row.want, h.String(), row.name)
			require.Equal(t, row.own, own, row.name)
		}
	}
}

// A life tells the readings of the part, and the changes that altered it where it
// was: not before it was fitted, nor after it was taken out.
func TestLifeTellsWhatAlteredThePart(t *testing.T) {
	machined := func(b *bench, number string, build int, date string) *bench {
		return b.change(number, build, date, "machining", "touches: [rotor/2]\n")
	}
	b := begin(t).engine("SK-01", 2, "  rotor/2: {serial: R-2, origin: new}\n").session("SK-01", 1, "2023-01-01", "mock-up", "hours: 0 h\n", "rotor/2: R-1")
	b = machined(b, "SK-01", 1, "2022-12-01")
	b = machined(b, "SK-01", 2, "2024-01-01").change("SK-01", 2, "2024-01-10", "replacement", "hours: 40 h\ntouches: [rotor/2]\nremoved: [{from: rotor/2, serial: R-1, hours: 40 h}]\n")
	b = machined(b, "SK-01", 2, "2024-02-01").session("SK-01", 2, "2024-01-05", "as-found", "hours: 40 h\n", "rotor/2: R-1")
	for serial, want := range map[string][]string{"R-1": {"2022-12-01", "2024-01-01"}, "R-2": {"2024-02-01"}} {
		life, ok := b.shop().Find(serial)
		require.True(t, ok)
		var days []string
		for _, e := range life.Events {
			if e.What == travel.Altered {
				days = append(days, e.Date.Day())
			}
			if e.What == travel.Read {
				require.Len(t, e.Readings, e.Count)
			}
		}
		require.Equal(t, want, days, serial)
	}
}
