package figure

import (
	"math"
	"slices"
	"strings"

	"stackbook/record"
	"stackbook/schema"
)

// intakeOrExhaust are both ends of the time a kind of port is open.
func intakeOrExhaust(kind string) []edge { return []edge{{kind, "opens"}, {kind, "closes"}} }

// portsAt lists the ports of a kind that a rotor can have.
func portsAt(kind, rotor string) []string {
	own := strings.Replace(string(portsOf[kind]), "*r", segment(rotor, 1), 1)
	return schema.Pattern(own).Expand(1)
}

// fromWheel brings an angle read by degree wheel, after the top dead centre
// between exhaust and intake, to what the spec counts. A wheel that went on
// turning counts whole working cycles too many, of 1080 degrees: they are taken
// off so that the angle lies within half a cycle of the dead centre meant.
func (e edge) fromWheel(angle float64) float64 {
	const cycle = 6 * math.Pi
	near := func(centre float64) float64 {
		return angle - float64(cycle*math.Round((angle-centre)/cycle))
	}
	switch e {
	case intakeCloses:
		return near(strokeAngle) - strokeAngle
	case exhaustOpens:
		return -near(-strokeAngle) - strokeAngle
	}
	return near(0)
}

// earliest tells whether of several ports the one with the smaller angle counts:
// the earliest opening, the latest closing. The exhaust opens before its dead
// centre, so that its earliest opening is the largest.
func (e edge) earliest() bool { return e == intakeOpens }

// portAngle is when a port opens or closes, in the spec's counting; ok is false
// where nothing says it.
func (l *Look) portAngle(port string, e edge) (angle float64, ok bool) {
	if read := l.values("port_"+e.end, port); len(read) > 0 {
		return e.fromWheel(read[0].SI), true
	}
	edgeOf := map[string]string{"opens": "edge/opening", "closes": "edge/closing"}[e.end]
	apex := map[string]string{"opens": "leading", "closes": "trailing"}[e.end]
	if segment(port, 3) == "peripheral" {
		for _, v := range l.values("port_edge_arc", port) {
			if v.place == edgeOf {
				return e.fromWheel(l.Formula("port-angles-by-arc", apex, l.bore().and("arc", v.SI), nil)), true
			}
		}
	}
	n, ok := l.Maybe("porting.ports." + port + "." + e.end)
	return n.SI, ok
}

// rotorAngle is when the earliest of a rotor's open ports opens, or the latest
// closes: of those ports that are written or read one by one, else as the spec
// says of all rotors.
func (l *Look) rotorAngle(rotor string, e edge) float64 {
	var angles []float64
	for _, port := range portsAt(e.kind, rotor) {
		if l.Word("porting.ports."+port+".state") == "filled" {
			continue
		}
		angle, ok := l.portAngle(port, e)
		if !ok {
			if _, said := l.portAngle(port, e.other()); said {
				l.miss("port_" + e.end + " at " + port)
			}
			continue
		}
		angles = append(angles, angle)
	}
	switch {
	case len(angles) == 0:
		return l.Spec("porting." + e.kind + "_" + e.end).SI
	case e.earliest():
		return slices.Min(angles)
	}
	return slices.Max(angles)
}

// other is the other end of the time the port is open.
func (e edge) other() edge {
	if e.end == "opens" {
		return edge{e.kind, "closes"}
	}
	return edge{e.kind, "opens"}
}

// openFor is how long a kind of port is open.
func (l *Look) openFor(kind string, opens, closes float64) float64 {
	if kind == "exhaust" {
		closes = -closes // the formula counts it before top dead centre
	}
	return l.durations(kind+"-duration", in{{kind + "-opens", opens}, {kind + "-closes", closes}})
}

// durations works one result of the port timing; of the other ports, which do
// not enter into it, it takes them to open and close at their dead centres.
func (l *Look) durations(result string, some in) float64 {
	args := in{{"intake-opens", 0}, {"intake-closes", 0}, {"exhaust-opens", 0}, {"exhaust-closes", 0}}
	for _, angle := range some {
		args = args.and(angle.Name, angle.Number)
	}
	return l.Formula("port-durations", result, args, nil)
}

// portArea is the area of a rotor's open ports of a kind: of those the spec
// lists, else what it says of every rotor.
func (l *Look) portArea(rotor, kind string) float64 {
	listed := l.Keys("porting.ports")
	sum, open := 0.0, 0
	for _, port := range portsAt(kind, rotor) {
		if slices.Contains(listed, port) && l.Word("porting.ports."+port+".state") != "filled" {
			sum += l.Spec("porting.ports." + port + ".area").SI
			open++
		}
	}
	if open > 0 {
		return sum
	}
	return l.Spec("porting." + kind + "_area").SI
}

// apart is the largest less the smallest of what the rotors give.
func (l *Look) apart(of func(rotor string) float64) float64 {
	least, most := math.Inf(1), math.Inf(-1)
	l.perRotor(func(_ int, rotor string) {
		v := of(rotor)
		least, most = min(least, v), max(most, v)
	})
	return most - least
}

// said tells whether a port's opening or closing is written or was read.
func (e edge) said(engine *record.Engine, port string) bool {
	said := func(key string) string { return engine.Spec.TextAt("porting", "ports", port, key) }
	if said("state") == "filled" {
		return false
	}
	return said(e.end) != "" || counts(engine, "port_"+e.end, port) || counts(engine, "port_edge_arc", port)
}

// portSays makes a condition: something is said of the port's opening or
// closing.
func portSays(edges ...edge) func(engine *record.Engine, at string) bool {
	return func(engine *record.Engine, at string) bool {
		return slices.ContainsFunc(edges, func(e edge) bool { return e.said(engine, at) })
	}
}

// rotorSays makes a condition: one of these ends is said of a port of the rotor,
// or of all rotors.
func rotorSays(edges ...edge) func(engine *record.Engine, at string) bool {
	return func(engine *record.Engine, at string) bool {
		return slices.ContainsFunc(edges, func(e edge) bool {
			return engine.Spec.Text("porting."+e.kind+"_"+e.end) != "" ||
				slices.ContainsFunc(portsAt(e.kind, at), func(port string) bool { return e.said(engine, port) })
		})
	}
}

// anyPortSays tells whether the end is said of any port by itself: what the spec
// says of all rotors cannot differ between them.
func anyPortSays(engine *record.Engine, e edge) bool {
	return slices.ContainsFunc(portsOf[e.kind].Expand(engine.Rotors), func(port string) bool { return e.said(engine, port) })
}

// areaListed tells whether the spec gives the area of an open port of a kind, of
// one rotor or ("") of any.
func areaListed(e *record.Engine, kind, rotor string) bool {
	all := portsOf[kind].Expand(e.Rotors)
	if rotor != "" {
		all = portsAt(kind, rotor)
	}
	return slices.ContainsFunc(all, func(port string) bool {
		path := "porting.ports." + port
		return e.Spec.Text(path+".area") != "" && e.Spec.Text(path+".state") != "filled"
	})
}

// rotorHasArea makes a condition: the area of the rotor's ports is written.
func rotorHasArea(kind string) func(e *record.Engine, at string) bool {
	return func(e *record.Engine, at string) bool {
		return e.Spec.Text("porting."+kind+"_area") != "" || areaListed(e, kind, at)
	}
}
