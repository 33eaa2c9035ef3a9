package figure

import (
	"fmt"
	"strings"

	"stackbook/record"
	"stackbook/schema"
	"stackbook/schema/quantity"
)

const (
	upperBound   = "upper bound: bolts alone give way"
	fromTorque   = "from torque: the load scatters by 35 % dry, 25 % lubricated"
	steelModulus = "205 GPa" // of steel; from memory
)

// strengths are the stress under proof load and the least tensile strength of
// the property classes of bolts, MPa, in the sizes tension bolts have. ISO 898-1,
// from memory but for the tensile strengths of 8.8 and 10.9 [S29].
var strengths = map[string]struct{ proof, tensile float64 }{
	"8.8": {580, 800}, "9.8": {650, 900}, "10.9": {830, 1040}, "12.9": {970, 1220},
}

func fasteners() []*Figure {
	return []*Figure{
		preload("fastener.preload", "clamp load of a tension bolt", "preload"),
		preload("fastener.preload_lowest", "clamp load, lowest to expect", "lowest"),
		preload("fastener.preload_highest", "clamp load, highest to expect", "highest"),
		{
			ID: "fastener.stress_area", Topic: TopicFasteners, Title: "stress area of the thread", Unit: "mm2", Decimals: 1, At: at("engine"), Formula: "stress-area",
			Only: has("fasteners.pitch"), Work: func(l *Look, _ string) float64 { return l.stressArea() },
		},
		loadShare("fastener.proof_share", "clamp load over proof load", "preload", false),
		loadShare("fastener.proof_share_highest", "highest clamp load over proof load", "highest", false),
		loadShare("fastener.ultimate_share_highest", "highest clamp load over least breaking load", "highest", true),
		{
			ID: "fastener.stretch", Topic: TopicFasteners, Title: "stretch the clamp load gives", Unit: "mm", Decimals: 3, At: at("engine"), Formula: "stretch",
			Note: "shank alone, over the length recorded; " + fromTorque, Only: stretchAsked,
			Work: func(l *Look, _ string) float64 { return float64(l.preload("preload") * l.stretchOfOne()) },
		},
		{
			ID: "fastener.stretch_difference", Topic: TopicFasteners, Title: "stretch measured, less that of the clamp load", Unit: "mm", Decimals: 3, At: at("bolt/*n"), Read: "bolt_stretch", Formula: "stretch",
			Words: "stretch read − stretch of the clamp load from torque", Note: "a stretch below it tells of friction, one above of yield or a soft joint", Only: stretchAsked,
			Work: func(l *Look, at string) float64 {
				return l.Mean("bolt_stretch", at).SI - float64(l.preload("preload")*l.stretchOfOne())
			},
		},
		{
			ID: "fastener.preload_hot", Mark: upperBound, Topic: TopicFasteners, Title: "clamp load, hot", Unit: "N", Decimals: 0, At: at("engine"),
			Words: "F + (a_stack − a_bolt)(t − 20 degC) E A, A of the shank", Source: "own derivation: the stack taken as rigid", Note: upperBound + "; the real rise is smaller, and still a third or more with an aluminium stack on steel bolts",
			Only: anyOf("fasteners.stack_expansion", "fasteners.bolt_expansion", "fasteners.stack_temperature"), Limit: neverJudged, Work: preloadHot,
		},
		{
			ID: "fastener.tightening_spread", Topic: TopicFasteners, Title: "tightening torque, largest less smallest", Unit: "N m", Decimals: 1, At: at("engine"), Words: "largest − smallest tightening torque of the bolts", Source: commonPractice,
			Only: tightened, Work: func(l *Look, _ string) float64 { return l.torqueSpread() },
		},
		{
			ID: "fastener.loosening_spread", Topic: TopicFasteners, Title: "loosening torque as found, largest less smallest", Unit: "N m", Decimals: 1, At: at("engine"), Words: "largest − smallest loosening torque of the bolts when the engine was opened for this build", Source: commonPractice,
			Note: "tells of the build before, not of the engine as built", Only: foundLoose, Work: func(l *Look, _ string) float64 { return l.looseSpread() },
		},
	}
}

// Clamp loads are asked for with the nut factor, which nothing else needs.
func preload(id, title, result string) *Figure {
	return &Figure{
		ID: id, Topic: TopicFasteners, Title: title, Unit: "N", Decimals: 0, At: at("engine"), Formula: "preload", Note: fromTorque,
		Only: has("fasteners.nut_factor"), Work: func(l *Look, _ string) float64 { return l.preload(result) },
	}
}

func loadShare(id, title, load string, ultimate bool) *Figure {
	words, formula := "F/(A_s S_p), S_p the stress under proof load of the property class", "stress-area"
	if ultimate {
		words, formula = "F/(A_s R_m), R_m the least tensile strength of the property class", "minimum-ultimate-load"
	}
	return &Figure{
		ID: id, Topic: TopicFasteners, Title: title, Unit: "%", Decimals: 0, At: at("engine"), Formula: formula, Words: words, Source: "ISO 898-1; the strengths from memory, those of S29 seen", Note: fromTorque,
		Only: func(e *record.Engine) bool {
			return has("fasteners.nut_factor")(e) && has("fasteners.property_class")(e)
		},
		Work: func(l *Look, _ string) float64 {
			proof, tensile := l.strength()
			if ultimate {
				args := in{{"stress-area", l.stressArea()}, {"strength", tensile}}
				return l.preload(load) / l.Formula("minimum-ultimate-load", "load", args, nil)
			}
			return l.preload(load) / float64(l.stressArea()*proof)
		},
	}
}

// preload is the clamp load from torque, or an end of its scatter.
func (l *Look) preload(result string) float64 {
	args := in{{"torque", l.Spec("fasteners.torque").SI}, {"nut-factor", l.Spec("fasteners.nut_factor").SI}, {"diameter", l.Spec("fasteners.thread").SI}}
	if lubricant := l.Word("fasteners.lubricant"); lubricant != "" && !dry(lubricant) {
		args = args.and("scatter", 0.25)
	}
	return l.Formula("preload", result, args, nil)
}

// dry tells whether the words for a lubricant say that there is none.
func dry(lubricant string) bool {
	first, _, _ := strings.Cut(strings.ToLower(lubricant), " ")
	return first == "dry" || first == "none" || first == "no"
}

func (l *Look) stressArea() float64 {
	return l.Formula("stress-area", "stress-area", in{{"diameter", l.Spec("fasteners.thread").SI}, {"pitch", l.Spec("fasteners.pitch").SI}}, nil)
}

// strength is what the property class stands for, Pa.
func (l *Look) strength() (proof, tensile float64) {
	class := strings.TrimSpace(l.Word("fasteners.property_class"))
	s, ok := strengths[class]
	if !ok && class != "" {
		l.fail(fmt.Errorf("fasteners.property_class: nothing is known of the class %q; 8.8, 9.8, 10.9 and 12.9 are known", class))
	}
	return quantity.ToSI(s.proof, quantity.MustLookup("MPa")), quantity.ToSI(s.tensile, quantity.MustLookup("MPa"))
}

// stretchAsked tells whether somebody asks for stretch: with the shank or a
// reading, and a clamp load to work it from.
func stretchAsked(e *record.Engine) bool {
	return has("fasteners.nut_factor")(e) && (has("fasteners.shank_diameter")(e) || measuredAnywhere("bolt_stretch")(e))
}

// stretchOfOne is by how much a load of one newton stretches a bolt: its shank
// over the length recorded.
func (l *Look) stretchOfOne() float64 {
	steel, _ := quantity.Parse(steelModulus, quantity.Pressure, "GPa")
	args := in{{"load", 1}, {"length-1", l.Spec("fasteners.length").SI}, {"diameter-1", l.Spec("fasteners.shank_diameter").SI}, {"length-2", 0}, {"area-2", l.stressArea()},
		{"modulus", steel.SI()}, {"pitch", l.Spec("fasteners.pitch").SI}}
	return l.Formula("stretch", "elongation", args, nil)
}

// preloadHot adds what a rigid stack that grows more than its bolts stretches
// them by.
func preloadHot(l *Look, _ string) float64 {
	cold := l.preload("preload")
	more := l.Spec("fasteners.stack_expansion").SI - l.Spec("fasteners.bolt_expansion").SI
	warmer := l.Spec("fasteners.stack_temperature").SI - quantity.ToSI(20, quantity.MustLookup("degC"))
	forced := float64(more * warmer * l.Spec("fasteners.length").SI)
	return cold + forced/l.stretchOfOne()
}

// torqueSpread is how far the last passes lie apart.
func (l *Look) torqueSpread() float64 {
	var torques []float64
	for _, bolt := range l.Everywhere("tightening_torque") {
		torques = append(torques, l.Mean("tightening_torque", bolt).SI)
	}
	return greatest(torques) - least(torques)
}

// tightened tells whether a tightening torque counts for this build.
func tightened(e *record.Engine) bool {
	return len(e.Positions(schema.FindPoint("tightening_torque"))) > 0
}

// looseSpread is how far the loosening torques lie apart.
func (l *Look) looseSpread() float64 {
	e := l.ask(what{asFound, "loosening_torque", ""})
	var torques []float64
	for i, v := range e.values {
		l.note(&e.inputs[i])
		torques = append(torques, v.SI)
	}
	return greatest(torques) - least(torques)
}

// foundLoose tells whether loosening torques were read when the engine was
// opened for this build.
func foundLoose(e *record.Engine) bool {
	return len(newReader(e).asFound("loosening_torque").values) > 0
}
