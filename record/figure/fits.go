package figure

import (
	"strings"
)

// Fits: every clearance from the sizes of its two parts. The worst place
// counts: averaging places hides taper and bell-mouth. Where both ends of a
// band matter, the largest and the smallest clearance are figures of their own.
func fits() []*Figure {
	return []*Figure{
		{
			ID: "rotor.side_clearance", Topic: TopicFits, Title: "rotor side clearance", Unit: "mm", Decimals: 3, At: at("rotor/*r"),
			Outer: "housing_width", Inner: "rotor_width",
			Words: "smallest housing width of A to D − largest rotor width, both sides together", Source: commonPractice,
			Note: "free, unless the readings say clamped: clamping shortens an aluminium housing by some 0.02 mm",
			Work: func(l *Look, at string) float64 {
				return l.Smallest("housing_width", housingOf(at)).Minus(l.Largest("rotor_width", at))
			},
		},
		{
			ID: "rotor.side_clearance_at_A", Topic: TopicFits, Title: "rotor side clearance at A", Unit: "mm", Decimals: 3, At: at("rotor/*r"),
			Words: "housing width at A − largest rotor width, both sides together", Source: commonPractice,
			Work: func(l *Look, at string) float64 {
				return l.Place("housing_width", housingOf(at), "at/A").Minus(l.Largest("rotor_width", at))
			},
		},
		{
			ID: "rotor.side_clearance_hot", Limit: neverJudged, Mark: "uniform assumed temperatures, no verdict", Topic: TopicFits, Title: "rotor side clearance, hot", Unit: "mm", Decimals: 2, At: at("rotor/*r"),
			Formula: "hot-clearance", Note: "uniform assumed temperatures, no verdict", Only: hasHot, Work: hotClearance,
		},
		{
			ID: "housing.width_difference", Topic: TopicFits, Title: "housing width, A less the smallest", Unit: "mm", Decimals: 3, At: at("housing/*r"),
			Words: "width at A − smallest of B, C and D", Source: "workshop manual of the late 654 cc class [S16c]",
			Work: func(l *Look, at string) float64 {
				return l.Place("housing_width", at, "at/A").Minus(l.SmallestBut("housing_width", at, "at/A"))
			},
		},
		{
			ID: "apex_seal.side_clearance", Topic: TopicFits, Title: "apex seal side clearance, largest", Unit: "mm", Decimals: 3, At: at("rotor/*r/apex/1-3"),
			Words: "largest groove width − smallest seal thickness", Source: commonPractice,
			Work: func(l *Look, at string) float64 {
				return l.Largest("apex_groove_width", at).Minus(l.Smallest("apex_seal_thickness", at))
			},
		},
		{
			ID: "apex_seal.side_clearance_smallest", LimitOf: "apex_seal.side_clearance", Topic: TopicFits, Title: "apex seal side clearance, smallest", Unit: "mm", Decimals: 3, At: at("rotor/*r/apex/1-3"),
			Outer: "apex_groove_width", Inner: "apex_seal_thickness",
			Words: "smallest groove width − largest seal thickness", Source: commonPractice,
			Work: func(l *Look, at string) float64 {
				return l.Smallest("apex_groove_width", at).Minus(l.Largest("apex_seal_thickness", at))
			},
		},
		{
			ID: "apex_seal.end_gap", Topic: TopicFits, Title: "apex seal end gap", Unit: "mm", Decimals: 3, At: at("rotor/*r/apex/1-3"),
			Outer: "housing_width", Inner: "apex_seal_length",
			Words: "smallest housing width of A to D − seal length", Source: commonPractice,
			Note: "free, unless the readings say clamped",
			Work: func(l *Look, at string) float64 {
				return l.Smallest("housing_width", housingOf(at)).Minus(l.Largest("apex_seal_length", at))
			},
		},
		{
			ID: "apex_seal.end_gap_at_A", Topic: TopicFits, Title: "apex seal end gap at A", Unit: "mm", Decimals: 3, At: at("rotor/*r/apex/1-3"),
			Words: "housing width at A − seal length", Source: "works competition preparation manual, 1980 [S19]",
			Work: func(l *Look, at string) float64 {
				return l.Place("housing_width", housingOf(at), "at/A").Minus(l.Largest("apex_seal_length", at))
			},
		},
		{
			ID: "corner_seal.clearance", Topic: TopicFits, Title: "corner seal in its bore", Unit: "mm", Decimals: 3, At: at("rotor/*r/front|rear/corner/1-3"),
			Outer: "corner_bore", Inner: "corner_seal_diameter",
			Words: "largest bore − smallest seal diameter", Source: commonPractice,
			Work: func(l *Look, at string) float64 {
				return l.Largest("corner_bore", at).Minus(l.Smallest("corner_seal_diameter", at))
			},
		},
		{
			ID: "side_seal.side_clearance", Topic: TopicFits, Title: "side seal in its groove", Unit: "mm", Decimals: 3, At: at("rotor/*r/front|rear/side-seal/1-3"),
			Outer: "side_groove_width", Inner: "side_seal_thickness",
			Words: "largest groove width − smallest seal thickness", Source: commonPractice,
			Work: func(l *Look, at string) float64 {
				return l.Largest("side_groove_width", at).Minus(l.Smallest("side_seal_thickness", at))
			},
		},
		{
			ID: "side_seal.end_gap_sum", Topic: TopicFits, Title: "side seal end gap, both ends together", Unit: "mm", Decimals: 2, At: at("rotor/*r/front|rear/side-seal/1-3"),
			Words: "gap at end 1 + gap at end 2", Source: "workshop manual of the late 654 cc class [S16d]",
			Work: func(l *Look, at string) float64 {
				return l.Place("side_seal_end_gap", at, "end/1").Plus(l.Place("side_seal_end_gap", at, "end/2"))
			},
		},
		{
			ID: "bearing.oil_clearance", Topic: TopicFits, Title: "oil clearance, largest", Unit: "mm", Decimals: 3, At: bearings, Read: "bearing_bore",
			Words: "largest bearing bore − smallest journal diameter", Source: commonPractice,
			Work: func(l *Look, at string) float64 {
				return l.Largest("bearing_bore", at).Minus(l.Smallest("journal_diameter", journalOf(at)))
			},
		},
		{
			ID: "bearing.oil_clearance_smallest", LimitOf: "bearing.oil_clearance", Topic: TopicFits, Title: "oil clearance, smallest", Unit: "mm", Decimals: 3, At: bearings, Read: "bearing_bore",
			Outer: "bearing_bore", Inner: "journal_diameter",
			Words: "smallest bearing bore − largest journal diameter", Source: commonPractice,
			Work: func(l *Look, at string) float64 {
				return l.Smallest("bearing_bore", at).Minus(l.Largest("journal_diameter", journalOf(at)))
			},
		},
		{
			ID: "bearing.relative_clearance", Topic: TopicFits, Title: "oil clearance over journal", Unit: "‰", Decimals: 2, At: bearings, Read: "bearing_bore",
			Formula: "running-clearance",
			Work: func(l *Look, at string) float64 {
				args := in{{"bore", l.Mean("bearing_bore", at).SI}, {"journal", l.Mean("journal_diameter", journalOf(at)).SI}}
				return l.Formula("running-clearance", "relative", args, nil)
			},
		},
	}
}

// bearings are the plain bearings every engine has; a centre bearing or one of
// many exists where its bore was read.
var bearings = at("bearing/main/front|rear", "bearing/rotor/*r")

// journalOf is the journal that runs in a bearing.
func journalOf(bearing string) string {
	if rest, ok := strings.CutPrefix(bearing, "bearing/rotor/"); ok {
		return "shaft/lobe/" + rest
	}
	return "shaft/" + strings.TrimPrefix(bearing, "bearing/")
}

// hotInputs are the fields of the spec a hot clearance needs.
var hotInputs = []string{"housing_temperature", "rotor_temperature", "housing_expansion", "rotor_expansion"}

// hotClearance takes the cold sizes to assumed temperatures, each part uniform.
func hotClearance(l *Look, at string) float64 {
	width := l.Smallest("housing_width", housingOf(at))
	rotor := l.Largest("rotor_width", at)
	v := map[string]float64{}
	for _, key := range hotInputs {
		v[key] = l.Spec("cooling." + key).SI
	}
	return l.Formula("hot-clearance", "hot", in{
		{"outer-size", width.SI}, {"outer-expansion", v["housing_expansion"]}, {"outer-temperature", v["housing_temperature"]},
		{"inner-size", rotor.SI}, {"inner-expansion", v["rotor_expansion"]}, {"inner-temperature", v["rotor_temperature"]},
	}, nil)
}
