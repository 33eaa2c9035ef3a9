package figure

import (
	"math"
	"math/cmplx"

	"stackbook/record"
)

const isoBalance = "ISO 21940-11"

var planes = at("counterweight/front|rear")

func balance() []*Figure {
	return []*Figure{
		{
			ID: "counterweight.unbalance", Rotors: OfWhole, Topic: TopicBalance, Title: "counterweight to add", Unit: "g mm", Decimals: 0, At: planes, Formula: "counterweights",
			Note: "rotor masses include the oil allowance of the spec", Work: counterweight("front", "rear"),
		},
		{
			ID: "counterweight.angle", Rotors: OfWhole, Topic: TopicBalance, Title: "its angle from lobe 1", Unit: "deg", Decimals: 1, At: planes, Formula: "counterweights",
			Work: counterweight("front-angle", "rear-angle"),
		},
		{
			ID: "counterweight.difference", Rotors: OfWhole, Topic: TopicBalance, Title: "counterweight as made, less what is called for", Unit: "g mm", Decimals: 0, At: planes,
			Words: "measured unbalance of the counterweight − counterweight to add", Source: commonPractice, Only: measuredAnywhere("counterweight_unbalance"),
			Work: func(l *Look, at string) float64 {
				return l.Mean("counterweight_unbalance", at).SI - counterweight("front", "rear")(l, at)
			},
		},
		{
			ID: "balance.residual", Rotors: OfWhole, Mark: "on the machine, with these bob weights", Topic: TopicBalance, Title: "residual unbalance", Unit: "g mm", Decimals: 1, At: planes,
			Words: "as read on the balancing machine", Source: "the reading itself", Note: "on the machine, with these bob weights", Only: measuredAnywhere("residual_unbalance"),
			Limit: residualLimit,
			Work:  func(l *Look, at string) float64 { return l.Largest("residual_unbalance", at).SI },
		},
		{
			ID: "balance.permissible", Rotors: OfWhole, Topic: TopicBalance, Title: "permissible residual unbalance of one plane", Unit: "g mm", Decimals: 1, At: planes, Formula: "permissible-unbalance",
			Words: "half of U_per = G m / omega, the planes sharing alike", Only: has("balance.grade"),
			Work: func(l *Look, _ string) float64 { return l.permissible() },
		},
		{
			ID: "balance.oil_effect", Rotors: OfWhole, Topic: TopicBalance, Title: "what 10 g of oil too much in every rotor would do", Unit: "g mm", Decimals: 0, At: planes, Formula: "counterweights",
			Words: "change of the counterweight called for when every rotor carries 10 g more", Note: "compare it with the permissible residual unbalance", Work: oilEffect,
		},
		{
			ID: "balance.shaft_load", Topic: TopicBalance, Title: "load of the rotor on its lobe", Unit: "kN", Decimals: 1, At: at("rotor/*r"), Formula: "shaft-load",
			Note: topSpeedNote,
			Work: func(l *Look, at string) float64 {
				args := in{{"mass", l.rotorMass(at)}, {"eccentricity", l.Spec("geometry.eccentricity").SI}, {"speed", l.topSpeed()}}
				return l.Formula("shaft-load", "force", args, nil)
			},
		},
		{
			ID: "balance.static", Rotors: OfWhole, Topic: TopicBalance, Title: "static unbalance of the rotors", Unit: "g mm", Decimals: 0, At: at("engine"),
			Words: "|sum of m e exp(i phi)| before counterweights", Source: "own derivation",
			Work: func(l *Look, _ string) float64 { return cmplx.Abs(l.vectorSum(0)) },
		},
		{
			ID: "balance.couple", Rotors: OfWhole, Topic: TopicBalance, Title: "couple of the rotors about rotor 1", Unit: "g mm2", Decimals: 0, At: at("engine"),
			Words: "|sum of m e z exp(i phi)| before counterweights", Source: "own derivation",
			Work: func(l *Look, _ string) float64 { return cmplx.Abs(l.vectorSum(1)) },
		},
		{
			ID: "rotor.mass_spread", Rotors: OfWhole, Topic: TopicBalance, Title: "rotor masses, heaviest less lightest", Unit: "g", Decimals: 0, At: at("engine"),
			Words: "largest − smallest complete rotor mass", Source: commonPractice, Only: func(e *record.Engine) bool { return e.Rotors > 1 && measuredAnywhere("rotor_mass")(e) },
			Work: func(l *Look, _ string) float64 {
				least, most := math.Inf(1), math.Inf(-1)
				l.perRotor(func(_ int, rotor string) {
					m := l.Mean("rotor_mass", rotor).SI
					least, most = min(least, m), max(most, m)
				})
				return most - least
			},
		},
	}
}

// rotorMass is the mass of one complete rotor with its oil.
func (l *Look) rotorMass(rotor string) float64 {
	mass := l.Mean("rotor_mass", rotor).SI
	if oil, ok := l.Maybe("balance.oil_allowance"); ok {
		mass += oil.SI
	}
	return mass
}

// counterweight works both planes and gives the one asked for.
func counterweight(front, rear string) func(l *Look, at string) float64 {
	return func(l *Look, at string) float64 {
		result := front
		if at == "counterweight/rear" {
			result = rear
		}
		return l.planes(result, 0)
	}
}

// planes works the two-plane counterweights with extra mass in every rotor.
func (l *Look) planes(result string, extra float64) float64 {
	args := in{{"eccentricity", l.Spec("geometry.eccentricity").SI},
		{"front-plane", l.Spec("balance.front_plane").SI}, {"rear-plane", l.Spec("balance.rear_plane").SI}}
	lists := map[string][]float64{"masses": nil, "phases": l.List("geometry.phases"), "stations": l.List("geometry.stations")}
	var lobes []float64
	l.perRotor(func(i int, rotor string) {
		lists["masses"] = append(lists["masses"], l.rotorMass(rotor)+extra)
		u, _ := l.Maybe("balance.lobes.shaft/lobe/" + segment(rotor, 1) + ".unbalance")
		lobes = append(lobes, u.SI)
	})
	lists["lobe-unbalances"] = lobes
	return l.Formula("counterweights", result, args, lists)
}

// oilEffect is how far the vector of one plane's counterweight moves when
// every rotor carries 10 g more oil.
func oilEffect(l *Look, at string) float64 {
	size, angle := "front", "front-angle"
	if at == "counterweight/rear" {
		size, angle = "rear", "rear-angle"
	}
	const more = 0.010 // kg
	now := polar(l.planes(size, 0), l.planes(angle, 0))
	then := polar(l.planes(size, more), l.planes(angle, more))
	return cmplx.Abs(then - now)
}

// polar is a vector of a size and an angle; its products are rounded before
// they are added to anything, the same on every processor (R5).
func polar(size, angle float64) complex128 {
	sin, cos := math.Sincos(angle)
	return complex(float64(size*cos), float64(size*sin))
}

// vectorSum adds the rotors' unbalance vectors, each times its station to the
// given power.
func (l *Look) vectorSum(power int) complex128 {
	e := l.Spec("geometry.eccentricity").SI
	phases := l.List("geometry.phases")
	stations := phases
	if power > 0 {
		stations = l.List("geometry.stations")
	}
	sum := complex(0, 0)
	l.perRotor(func(i int, rotor string) {
		mass := l.rotorMass(rotor)
		if i >= len(phases) || i >= len(stations) {
			return
		}
		arm := 1.0
		if power > 0 {
			arm = stations[i]
		}
		sum += polar(mass*e*arm, phases[i])
	})
	return sum
}

// permissible is what one plane may keep: half of what the whole shaft may.
func (l *Look) permissible() float64 {
	args := in{{"grade", l.Spec("balance.grade").SI}, {"mass", l.Spec("balance.assembly_mass").SI}, {"speed", l.Spec("balance.speed").SI}}
	return l.Formula("permissible-unbalance", "permissible", args, nil) / 2
}

// residualLimit holds the residual against the grade of the spec.
// It has a look of its own: a residual that was never read has its limit all
// the same, and a grade that cannot be worked leaves the reading standing.
func residualLimit(l *Look, at string) (Limit, bool) {
	own := newLook(l.from, at)
	most := own.permissible()
	if len(own.missing) > 0 || own.failed != nil {
		return Limit{}, false
	}
	for _, in := range own.inputs {
		l.note(in)
	}
	return Limit{Low: math.NaN(), High: most, Kind: isoBalance, Source: isoBalance + ", grade of the spec, half for each plane"}, true
}
