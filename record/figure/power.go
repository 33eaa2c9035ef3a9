package figure

import (
	"fmt"
	"strings"

	"stackbook/record"
)

var power = []*Figure{
	{
		ID: "power.peak", NoChange: 0.02, Topic: TopicPower, Title: "greatest power", Unit: "kW", Decimals: 1, At: at("engine"), Formula: "power",
		Note: "as run, at the place the dyno took it; less than 2 % on one dyno is no change", Only: hasRun,
		Work: func(l *Look, _ string) float64 { return l.bestRow(rowPower).value },
	},
	{
		ID: "power.peak_speed", Topic: TopicPower, Title: "at this speed", Unit: "rpm", Decimals: 0, At: at("engine"), Words: "speed of the row with the greatest power", Source: "the reading itself", Only: hasRun,
		Work: func(l *Look, _ string) float64 { return l.bestRow(rowPower).speed },
	},
	{
		ID: "power.per_rotor", NoChange: 0.02, Topic: TopicPower, Title: "greatest power of one rotor", Unit: "kW", Decimals: 1, At: at("engine"), Words: "greatest power over the number of rotors", Source: commonPractice, Only: hasRun,
		Work: func(l *Look, _ string) float64 { return l.bestRow(rowPower).value / float64(max(1, l.Rotors())) },
	},
	{
		ID: "torque.peak", NoChange: 0.02, Topic: TopicPower, Title: "greatest torque", Unit: "N m", Decimals: 1, At: at("engine"), Formula: "torque", Only: hasRun,
		Work: func(l *Look, _ string) float64 { return l.bestRow(rowTorque).value },
	},
	{
		ID: "torque.peak_speed", Topic: TopicPower, Title: "at this speed", Unit: "rpm", Decimals: 0, At: at("engine"), Words: "speed of the row with the greatest torque", Source: "the reading itself", Only: hasRun,
		Work: func(l *Look, _ string) float64 { return l.bestRow(rowTorque).speed },
	},
	{
		ID: "power.bmep", NoChange: 0.02, Topic: TopicPower, Title: "brake mean effective pressure at greatest torque", Unit: "bar", Decimals: 2, At: at("engine"), Formula: "bmep", Only: hasRun,
		Work: func(l *Look, _ string) float64 {
			args := in{"torque": l.bestRow(rowTorque).value, "rotors": float64(l.Rotors()), "swept-volume": l.sweptVolume()}
			return l.Formula("bmep", "bmep", args, nil)
		},
	},
}

func hasRun(e *record.Engine) bool {
	table, _ := e.Run()
	return table != nil
}

// best is the row of a run with the greatest value.
type best struct{ value, speed float64 }

// bestRow goes through the rows of the run that counts, each one noted.
func (l *Look) bestRow(of func(l *Look, row record.Row, speed float64) (float64, bool)) best {
	table, session := l.Engine().Run()
	if table == nil {
		l.miss("tables.dyno in a session")
		return best{}
	}
	var b best
	found := false
	for _, row := range table.Rows {
		speed := l.cell(session, row, "speed")
		if v, ok := of(l, row, speed); ok && (!found || v > b.value) {
			b, found = best{v, speed}, true
		}
	}
	if !found {
		l.miss("torque or power in tables.dyno")
	}
	return b
}

// cellUnits are the dictionary's units of the columns the figures read.
var cellUnits = map[string]string{"speed": "rpm", "torque": "N m", "power": "kW"}

// cell notes and gives one cell of a row.
func (l *Look) cell(session *record.Session, row record.Row, column string) float64 {
	q := row.Cells[column]
	name := fmt.Sprintf("dyno %s at %s", column, row.Cells["speed"])
	l.note(Input{Path: strings.TrimPrefix(session.Path, l.Engine().Folder+"/") + " " + strings.ReplaceAll(name, " ", "_"), Key: "tables.dyno." + row.Cells["speed"].String() + "." + column, Name: name,
		Ref: row.Ref, Text: q.String(), Unit: cellUnits[column], SI: q.SI(), Exact: q.Canonical(), Origin: record.Measured})
	return q.SI()
}

// rowPower is the power of a row: as measured, or from its torque.
func rowPower(l *Look, row record.Row, speed float64) (float64, bool) {
	return rowValue(l, row, speed, "power", "torque")
}

// rowTorque is the torque of a row: as measured, or from its power.
func rowTorque(l *Look, row record.Row, speed float64) (float64, bool) {
	return rowValue(l, row, speed, "torque", "power")
}

// rowValue takes the wanted column where it was filled in and works it from
// the other one where not.
func rowValue(l *Look, row record.Row, speed float64, wanted, other string) (float64, bool) {
	_, session := l.Engine().Run()
	has := func(column string) bool { _, ok := row.Cells[column]; return ok }
	switch {
	case has(wanted):
		return l.cell(session, row, wanted), true
	case has(other):
		return l.Formula(wanted, wanted, in{other: l.cell(session, row, other), "speed": speed}, nil), true
	}
	return 0, false
}
