package figure

import "stackbook/record"

const fromOwnEngines = "plausibility, common practice, from the shop's own engines"

func power() []*Figure {
	return []*Figure{
		{
			ID: "power.peak", Rotors: OfWhole, NoChange: 0.02, Topic: TopicPower, Title: "greatest power", Unit: "kW", Decimals: 1, At: at("engine"), Formula: "power",
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
			ID: "power.halves_of_two_rotor", Rotors: OfWhole, Mark: fromOwnEngines, Topic: TopicPower, Title: "n halves of what a two-rotor makes", Unit: "kW", Decimals: 0, At: at("engine"), Words: "n/2 of what a two-rotor of this kind makes in this shop", Source: commonPractice,
			Note: fromOwnEngines + "; set beside the measured power", Only: has("targets.two_rotor_power"), Limit: neverJudged,
			Work: func(l *Look, _ string) float64 {
				return float64(l.Rotors()) / 2 * l.Spec("targets.two_rotor_power").SI
			},
		},
		{
			ID: "power.at_shaft", Rotors: Summed, Mark: "estimate", NoChange: 0.02, Topic: TopicPower, Title: "greatest power at the shaft", Unit: "kW", Decimals: 1, At: at("engine"), Formula: "driveline-loss",
			Note: "estimate from power behind the driveline; no standard, an efficiency of 0.82 to 0.90 is common practice", Only: behindDriveline,
			Work: func(l *Look, _ string) float64 {
				args := in{{"wheel-power", l.bestPower().value}, {"efficiency", l.MustBesideRun("tables.dyno.driveline_efficiency")}}
				if loss, ok := l.BesideRun("tables.dyno.driveline_loss"); ok {
					args = args.and("constant-loss", loss.SI)
				}
				return l.Formula("driveline-loss", "shaft-power", args, nil)
			},
		},
		{
			ID: "torque.peak", Rotors: Summed, NoChange: 0.02, Topic: TopicPower, Title: "greatest torque", Unit: "N m", Decimals: 1, At: at("engine"), Formula: "torque", Only: hasRun,
			Work: func(l *Look, _ string) float64 { return l.bestTorque().value },
		},
		{
			ID: "torque.peak_speed", Topic: TopicPower, Title: "at this speed", Unit: "rpm", Decimals: 0, At: at("engine"), Words: "speed of the row with the greatest torque", Source: "the reading itself", Only: hasRun,
			Work: func(l *Look, _ string) float64 { return l.bestTorque().speed },
		},
		{
			ID: "power.bmep", NoChange: 0.02, Topic: TopicPower, Title: "brake mean effective pressure at greatest torque", Unit: "bar", Decimals: 2, At: at("engine"), Formula: "bmep", Only: hasRun,
			Work: func(l *Look, _ string) float64 {
				args := in{{"torque", l.bestTorque().value}, {"rotors", float64(l.Rotors())}, {"swept-volume", l.sweptVolume()}}
				return l.Formula("bmep", "bmep", args, nil)
			},
		},
	}
}

// behindDriveline tells whether the run that counts took power behind a
// driveline and says something of what it loses.
func behindDriveline(e *record.Engine) bool {
	_, session := e.Run()
	if session == nil {
		return false
	}
	at := session.Text("tables.dyno.power_at")
	return (at == "wheel" || at == "propeller") && session.Text("tables.dyno.driveline_efficiency")+session.Text("tables.dyno.driveline_loss") != ""
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
	l.note(&e.inputs[i])
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
	return l.Formula(wanted, wanted, in{{other, v}, {"speed", speed}}, nil), true
}

// bestPower is the row of the greatest power: as measured, or from its torque.
func (l *Look) bestPower() best { return l.bestRow("power", "torque") }

// bestTorque is the row of the greatest torque: as measured, or from its power.
func (l *Look) bestTorque() best { return l.bestRow("torque", "power") }
