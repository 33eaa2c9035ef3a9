package figure

import (
	"math"

	"stackbook/record"
	"stackbook/schema"
)

// Port angles are shown as the spec has them: the intake opens after the top
// dead centre between exhaust and intake and closes after intake bottom dead
// centre; the exhaust opens before expansion bottom dead centre and closes after
// that top dead centre. Before a dead centre named with 'after' is negative.

// edge is one end of the time a kind of port is open.
type edge struct {
	kind string // intake or exhaust
	end  string // opens or closes
}

var (
	intakeOpens   = edge{"intake", "opens"}
	intakeCloses  = edge{"intake", "closes"}
	exhaustOpens  = edge{"exhaust", "opens"}
	exhaustCloses = edge{"exhaust", "closes"}
)

var portsOf = map[string]schema.Pattern{
	"intake":  "port/*r/intake/primary|secondary|auxiliary|peripheral",
	"exhaust": "port/*r/exhaust/side|peripheral",
}

const (
	afterTDC    = ", degrees after top dead centre"
	afterBDC    = ", degrees after bottom dead centre"
	beforeBDC   = ", degrees before bottom dead centre"
	portWords   = "by degree wheel; else from the edge's distance along the bore, alpha_L = 3t + 90 deg for the opening and alpha_T = 3t + 450 deg for the closing edge; else as the spec says; counted as in the title"
	portSource  = "the reading itself; own derivation for distances along the bore"
	overOpen    = "mean over the open period"
	strokeAngle = 1.5 * math.Pi // from a top to a bottom dead centre of a chamber, 270 degrees of shaft
)

func ports() []*Figure {
	return []*Figure{
		portFigure("port.intake_opens", "port opens"+afterTDC, intakeOpens),
		portFigure("port.intake_closes", "port closes"+afterBDC, intakeCloses),
		portFigure("port.exhaust_opens", "port opens"+beforeBDC, exhaustOpens),
		portFigure("port.exhaust_closes", "port closes"+afterTDC, exhaustCloses),
		portDuration("port.intake_duration", "intake"),
		portDuration("port.exhaust_duration", "exhaust"),

		rotorPorts("rotor.intake_opens", "intake opens, earliest port"+afterTDC, intakeOpens),
		rotorPorts("rotor.intake_closes", "intake closes, latest port"+afterBDC, intakeCloses),
		rotorPorts("rotor.exhaust_opens", "exhaust opens, earliest port"+beforeBDC, exhaustOpens),
		rotorPorts("rotor.exhaust_closes", "exhaust closes, latest port"+afterTDC, exhaustCloses),
		{
			ID: "rotor.intake_duration", Topic: TopicPorts, Title: "intake open for", Unit: "deg", Decimals: 1, At: at("rotor/*r"), Formula: "port-durations",
			Where: rotorSays(intakeOpens, intakeCloses),
			Work: func(l *Look, at string) float64 {
				return l.openFor("intake", l.rotorAngle(at, intakeOpens), l.rotorAngle(at, intakeCloses))
			},
		},
		{
			ID: "rotor.exhaust_duration", Topic: TopicPorts, Title: "exhaust open for", Unit: "deg", Decimals: 1, At: at("rotor/*r"), Formula: "port-durations",
			Where: rotorSays(exhaustOpens, exhaustCloses),
			Work: func(l *Look, at string) float64 {
				return l.openFor("exhaust", l.rotorAngle(at, exhaustOpens), l.rotorAngle(at, exhaustCloses))
			},
		},
		{
			ID: "rotor.port_overlap", Topic: TopicPorts, Title: "intake and exhaust open together", Unit: "deg", Decimals: 1, At: at("rotor/*r"), Formula: "port-durations",
			Note: "negative: the exhaust closes that much before the intake opens", Where: rotorSays(intakeOpens, exhaustCloses),
			Work: func(l *Look, at string) float64 {
				return l.durations("overlap", in{{"intake-opens", l.rotorAngle(at, intakeOpens)}, {"exhaust-closes", -l.rotorAngle(at, exhaustCloses)}})
			},
		},

		portSpread("ports.intake_opens_spread", "intake opens, rotors apart", intakeOpens),
		portSpread("ports.intake_closes_spread", "intake closes, rotors apart", intakeCloses),
		portSpread("ports.exhaust_opens_spread", "exhaust opens, rotors apart", exhaustOpens),
		portSpread("ports.exhaust_closes_spread", "exhaust closes, rotors apart", exhaustCloses),

		areaFigure("rotor.intake_area", "intake area, open ports together", "intake"),
		areaFigure("rotor.exhaust_area", "exhaust area, open ports together", "exhaust"),
		areaShare("rotor.intake_area_share", "share of the engine's intake area", "intake"),
		areaShare("rotor.exhaust_area_share", "share of the engine's exhaust area", "exhaust"),
		{
			ID: "rotor.intake_gas_speed", Mark: overOpen, Topic: TopicPorts, Title: "mean gas speed in the intake port", Unit: "m/s", Decimals: 1, At: at("rotor/*r"), Formula: "port-gas-speed",
			Note: overOpen + ", " + topSpeedNote + "; filling 100 % where the spec names none", Where: rotorHasArea("intake"), Work: gasSpeed("gas-speed"),
		},
		{
			ID: "rotor.intake_mach_index", Mark: overOpen, Topic: TopicPorts, Title: "inlet Mach index", Unit: "1", Decimals: 3, At: at("rotor/*r"), Formula: "port-gas-speed",
			Note: overOpen + ", " + topSpeedNote + "; flow coefficient 0.6; above 0.5 to 0.6 filling falls quickly (from memory)", Where: rotorHasArea("intake"), Work: gasSpeed("mach-index"),
		},
	}
}

func portFigure(id, title string, e edge) *Figure {
	return &Figure{
		ID: id, Topic: TopicPorts, Title: title, Unit: "deg", Decimals: 1, At: at(portsOf[e.kind]), Words: portWords, Source: portSource,
		Where: portSays(intakeOrExhaust(e.kind)...),
		Work: func(l *Look, at string) float64 {
			angle, ok := l.portAngle(at, e)
			if !ok {
				l.miss("port_" + e.end + " at " + at)
			}
			return angle
		},
	}
}

func portDuration(id, kind string) *Figure {
	edges := intakeOrExhaust(kind)
	return &Figure{
		ID: id, Topic: TopicPorts, Title: "port open for", Unit: "deg", Decimals: 1, At: at(portsOf[kind]), Formula: "port-durations",
		Where: portSays(edges...),
		Work: func(l *Look, at string) float64 {
			var angles [2]float64
			for i, e := range edges {
				ok := false
				if angles[i], ok = l.portAngle(at, e); !ok {
					l.miss("port_" + e.end + " at " + at)
				}
			}
			return l.openFor(kind, angles[0], angles[1])
		},
	}
}

func rotorPorts(id, title string, e edge) *Figure {
	return &Figure{
		ID: id, Topic: TopicPorts, Title: title, Unit: "deg", Decimals: 1, At: at("rotor/*r"),
		Words: "the earliest opening and the latest closing of the rotor's open ports, each " + portWords, Source: portSource,
		Where: rotorSays(e), Work: func(l *Look, at string) float64 { return l.rotorAngle(at, e) },
	}
}

func portSpread(id, title string, e edge) *Figure {
	return &Figure{
		ID: id, Topic: TopicPorts, Title: title, Unit: "deg", Decimals: 1, At: at("engine"), Words: "largest − smallest over the rotors", Source: commonPractice,
		Only: func(engine *record.Engine) bool { return engine.Rotors > 1 && anyPortSays(engine, e) },
		Work: func(l *Look, _ string) float64 {
			return l.apart(func(rotor string) float64 { return l.rotorAngle(rotor, e) })
		},
	}
}

func areaFigure(id, title, kind string) *Figure {
	return &Figure{
		ID: id, Topic: TopicPorts, Title: title, Unit: "mm2", Decimals: 0, At: at("rotor/*r"), Words: "sum of the areas of the rotor's open ports; else the area the spec gives for one rotor", Source: commonPractice,
		Where: rotorHasArea(kind), Work: func(l *Look, at string) float64 { return l.portArea(at, kind) },
	}
}

func areaShare(id, title, kind string) *Figure {
	return &Figure{
		ID: id, Topic: TopicPorts, Title: title, Unit: "%", Decimals: 1, At: at("rotor/*r"), Words: "area of the rotor's open ports over that of all rotors", Source: commonPractice,
		Note: "middle rotors may have two small side ports where the end ones have a large one",
		Only: func(e *record.Engine) bool { return e.Rotors > 1 && areaListed(e, kind, "") },
		Work: func(l *Look, at string) float64 {
			sum := 0.0
			l.perRotor(func(_ int, rotor string) { sum += l.portArea(rotor, kind) })
			return l.portArea(at, kind) / sum
		},
	}
}

func gasSpeed(result string) func(l *Look, at string) float64 {
	return func(l *Look, at string) float64 {
		args := in{{"swept-volume", l.sweptVolume()}, {"volumetric-efficiency", l.orElse("induction.volumetric_efficiency", 1)}, {"speed", l.topSpeed()},
			{"area", l.portArea(at, "intake")}, {"open-angle", l.openFor("intake", l.rotorAngle(at, intakeOpens), l.rotorAngle(at, intakeCloses))}}
		if t, ok := l.Maybe("induction.air_temperature"); ok {
			args = args.and("temperature", t.SI)
		}
		return l.Formula("port-gas-speed", result, args, nil)
	}
}
