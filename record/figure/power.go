package figure

import "stackbook/record"

var power = []*Figure{
	{
		ID: "power.peak", NoChange: 0.02, Topic: TopicPower, Title: "greatest power", Unit: "kW", Decimals: 1, At: at("engine"), Formula: "power",
		Note: "as run, at the place the dyno took it; less than 2 % on one dyno is no change", Only: hasRun,
		Work: func(l *Look, _ string) float64 { return l.bestPower().value },
	},
	{
		ID: "power.peak_speed", Topic: TopicPower, Title: "at this speed", Unit: "rpm", Decimals: 0, At: at("engine"), Words: "speed of the row with the greatest power", Source: "the reading itself", Only: hasRun,
		Work: func(l *Look, _ string) float64 { return l.bestPower().speed },
	},
	{
		ID: "power.per_rotor", NoChange: 0.02, Topic: TopicPower, Title: "greatest power of one rotor", Unit: "kW", Decimals: 1, At: at("engine"), Words: "greatest power over the number of rotors", Source: commonPractice, Only: hasRun,
		Work: func(l *Look, _ string) float64 { return l.bestPower().value / float64(max(1, l.Rotors())) },
	},
	{
		ID: "torque.peak", NoChange: 0.02, Topic: TopicPower, Title: "greatest torque", Unit: "N m", Decimals: 1, At: at("engine"), Formula: "torque", Only: hasRun,
		Work: func(l *Look, _ string) float64 { return l.bestTorque().value },
	},
	{
		ID: "torque.peak_speed", Topic: TopicPower, Title: "at this speed", Unit: "rpm", Decimals: 0, At: at("engine"), Words: "speed of the row with the greatest torque", Source: "the reading itself", Only: hasRun,
		Work: func(l *Look, _ string) float64 { return l.bestTorque().speed },
	},
	{
		ID: "power.bmep", NoChange: 0.02, Topic: TopicPower, Title: "brake mean effective pressure at greatest torque", Unit: "bar", Decimals: 2, At: at("engine"), Formula: "bmep", Only: hasRun,
		Work: func(l *Look, _ string) float64 {
			args := in{"torque": l.bestTorque().value, "rotors": float64(l.Rotors()), "swept-volume": l.sweptVolume()}
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
func (l *Look) bestRow(wanted, other string) best {
	e := l.ask(what{run, "", ""})
	if len(e.rows) == 0 {
		l.miss("tables.dyno in a session")
		return best{}
	}
	var b best
	found := false
	for _, row := range e.rows {
		speed, _ := l.cell(e, row, "speed")
		if v, ok := l.rowValue(e, row, speed, wanted, other); ok && (!found || v > b.value) {
			b, found = best{v, speed}, true
		}
	}
	if !found {
		l.miss("torque or power in tables.dyno")
	}
	return b
}

// cell notes and gives one cell of a row, where it was filled in.
func (l *Look) cell(e *entry, r row, column string) (float64, bool) {
	i, ok := r.cells[column]
	if !ok {
		return 0, false
	}
	l.note(e.inputs[i])
	return e.values[i].SI, true
}

// rowValue takes the wanted column where it was filled in and works it from
// the other one where not.
func (l *Look) rowValue(e *entry, r row, speed float64, wanted, other string) (float64, bool) {
	if v, ok := l.cell(e, r, wanted); ok {
		return v, true
	}
	v, ok := l.cell(e, r, other)
	if !ok {
		return 0, false
	}
	return l.Formula(wanted, wanted, in{other: v, "speed": speed}, nil), true
}

// bestPower is the row of the greatest power: as measured, or from its torque.
func (l *Look) bestPower() best { return l.bestRow("power", "torque") }

// bestTorque is the row of the greatest torque: as measured, or from its power.
func (l *Look) bestTorque() best { return l.bestRow("torque", "power") }
