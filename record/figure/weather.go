package figure

import "stackbook/record"

// correction is one standard that brings power to a reference state of the air.
type correction struct {
	id, title, formula, note string
	dry                      bool // it reads the humidity
}

// The corrections, each with its year where one was seen, and its reference
// state. They are shown side by side and never mixed.
var corrections = []correction{
	{"sae_first", "SAE J1349 of June 1990, to 990 hPa dry and 25 degC", "correction-j1349-1990", "for 15 to 35 degC and 900 to 1050 hPa (from memory)", true},
	{"sae_later", "SAE J1349, later editions, to 990 hPa dry and 25 degC", "correction-j1349-later", "coefficients from memory; for 15 to 35 degC and 900 to 1050 hPa (from memory)", true},
	{"iso", "ISO 1585 and Directive 80/1269/EEC of 1980, to 990 hPa dry and 25 degC", "correction-iso-1585", "for factors of 0.93 to 1.07 (from memory)", true},
	{"din", "DIN 70020, older form, year not seen, to 1013 hPa and 20 degC", "correction-din-70020", "humidity is ignored", false},
	{"sixty_fahrenheit", "older form as posted in 1995, to 29.92 inHg dry and 60 degF", "correction-60f", "gives the most of all", true},
}

const neverMixed = "not for controlled boost; factors of different standards are never compared"

// weather makes two figures of every standard: its factor for the air of the
// run, and the greatest power with it.
func weather() []*Figure {
	var list []*Figure
	for _, c := range corrections {
		list = append(list, &Figure{
			ID: "power.factor_" + c.id, Topic: TopicPower, Title: "factor, " + c.title, Unit: "1", Decimals: 4, At: at("engine"), Formula: c.formula,
			Note: c.note + "; " + neverMixed, Only: uncorrected, Work: func(l *Look, _ string) float64 { return l.factor(c) },
		}, &Figure{
			ID: "power.corrected_" + c.id, Rotors: Summed, NoChange: 0.02, Topic: TopicPower, Title: "greatest power, " + c.title, Unit: "kW", Decimals: 1, At: at("engine"), Formula: c.formula,
			Note: c.note + "; " + neverMixed, Only: uncorrected, Work: func(l *Look, _ string) float64 { return l.bestPower().value * l.factor(c) },
		})
	}
	return list
}

func (l *Look) factor(c correction) float64 {
	args := in{{"pressure", l.MustBesideRun("ambient.pressure")}, {"temperature", l.MustBesideRun("ambient.temperature")}}
	if c.dry {
		args = args.and("humidity", l.MustBesideRun("ambient.humidity"))
	}
	return l.Formula(c.formula, "factor", args, nil)
}

// uncorrected tells whether the run that counts says that no correction is in
// its figures, and something of the air: figures already corrected, or of which
// nobody says so, are never corrected.
func uncorrected(e *record.Engine) bool {
	_, session := e.Run()
	if session == nil || session.Text("tables.dyno.correction") != "none" {
		return false
	}
	return session.Text("ambient.pressure")+session.Text("ambient.temperature")+session.Text("ambient.humidity") != ""
}
