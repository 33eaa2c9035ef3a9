package figure

import (
	"errors"
	"math"
	"strings"

	"stackbook/record"
	"stackbook/schema/quantity"
)

const thicknessTalk = "talk of the trade: 3 to 5 hp a rotor from 3 mm to 2 mm ceramic seals; common practice, no source; what can be reckoned stands beside it: seal mass, pull off the bore, travel of the contact"

var apexes = at("rotor/*r/apex/1-3")

// densities of what apex seals are made of, kg/m3. From memory: dense silicon
// nitride 3.2 to 3.3, grey cast iron 7.1 to 7.3, steel 7.8 to 7.9 g/cm3.
var densities = []struct {
	material string
	density  float64
}{{"silicon nitride", 3250}, {"cast iron", 7200}, {"steel", 7850}}

func seals() []*Figure {
	return []*Figure{
		{
			ID: "apex_seal.nominal_thickness", Topic: TopicSeals, Title: "apex seal thickness, ceramic, as specified", Unit: "mm", Decimals: 1, At: apexes, Words: "as the spec says of the part", Source: "the spec",
			Note: thicknessTalk, Beside: thicknessTalk, Where: ceramicThickness,
			Work: func(l *Look, at string) float64 { return l.Spec("parts." + at + ".thickness").SI },
		},
		{
			ID: "apex_seal.mass", Topic: TopicSeals, Title: "apex seal mass", Unit: "g", Decimals: 2, At: apexes, Words: "as weighed, else as the spec says, else density times thickness, height and length", Source: "own derivation; densities from memory",
			Note: "reckoned from sizes it is a box: the rounded tip is left out", Where: hasSealMass, Work: func(l *Look, at string) float64 { return l.sealMass(at) },
		},
		{
			ID: "apex_seal.pull_waist", Topic: TopicSeals, Title: "pull off the bore at the waist", Unit: "N", Decimals: 1, At: apexes, Formula: "seal-acceleration",
			Words: "−m omega^2 (r/9 − e), r the radius of the seal's middle; positive: off the bore", Note: topSpeedNote, Where: hasSealMass, Work: func(l *Look, at string) float64 { return l.pull(at) },
		},
		{
			ID: "apex_seal.spring_over_pull", Topic: TopicSeals, Title: "spring load over the pull at the waist", Unit: "1", Decimals: 2, At: apexes, Formula: "seal-acceleration",
			Words: "smallest spring load at fitted height over the pull off the bore at the waist; 1 and more holds the seal there", Note: "judged only where the seal was weighed; gas pressure and friction are left out; " + topSpeedNote,
			Where: func(e *record.Engine, at string) bool { return hasSealMass(e, at) && counts(e, "apex_spring_load", at) },
			Limit: springHolds,
			Work: func(l *Look, at string) float64 {
				pull := l.pull(at)
				if pull <= 0 && len(l.missing) == 0 {
					l.fail(errNothingPulls)
				}
				return l.Smallest("apex_spring_load", at).SI / pull
			},
		},
		{
			ID: "apex_seal.contact_travel", Topic: TopicSeals, Title: "travel of the contact on the tip, either way", Unit: "mm", Decimals: 3, At: at("engine"), Formula: "leaning-angle",
			Words: "a sin(phi_max) = 3 e a/R", Only: has("geometry.seal_tip_radius"), Work: func(l *Look, _ string) float64 { return l.contactTravel() },
		},
		{
			ID: "apex_seal.contact_margin", Topic: TopicSeals, Title: "half the thickness, less the travel of the contact", Unit: "mm", Decimals: 3, At: apexes, Formula: "leaning-angle",
			Words: "smallest thickness/2 − a sin(phi_max); below 0 the contact runs off the tip's side", Only: has("geometry.seal_tip_radius"), Where: hasThickness,
			Work: func(l *Look, at string) float64 {
				return float64(l.Smallest("apex_seal_thickness", at).SI/2) - l.contactTravel()
			},
		},
	}
}

var errNothingPulls = errors.New("nothing pulls the seal off the bore at the waist: its middle lies nine eccentricities and more from the rotor's centre")

// springHolds is that the spring is stronger than the pull. A pull reckoned from
// a density or a size nobody measured is shown and not judged by.
func springHolds(l *Look, _ string) (Limit, bool) {
	return Limit{Low: 1, High: math.NaN(), Kind: "spring alone", Source: "own derivation: the spring alone against inertia"}, !l.standIn && !errors.Is(l.failed, errNothingPulls)
}

// ceramicThickness tells whether the spec gives the thickness of a ceramic seal.
func ceramicThickness(e *record.Engine, at string) bool {
	material := strings.ToLower(e.Spec.Text("parts." + at + ".material"))
	return (strings.Contains(material, "nitride") || strings.Contains(material, "ceramic")) && has("parts."+at+".thickness")(e)
}

func hasThickness(e *record.Engine, at string) bool {
	return has("parts."+at+".thickness")(e) || counts(e, "apex_seal_thickness", at)
}

// hasSealMass tells whether a seal's mass is known, or its density and something
// of its height, which nothing else gives.
func hasSealMass(e *record.Engine, at string) bool {
	if has("parts."+at+".mass")(e) || counts(e, "apex_seal_mass", at) {
		return true
	}
	_, known := densityOf(e.Spec.Text("parts." + at + ".material"))
	return known && (counts(e, "apex_seal_height", at) || has("parts."+at+".height")(e))
}

// densityOf is the density of a material by its name, kg/m3.
func densityOf(material string) (density float64, known bool) {
	material = strings.ToLower(material)
	for _, d := range densities {
		if strings.Contains(material, d.material) {
			return quantity.ToSI(d.density, quantity.MustLookup("kg/m3")), true
		}
	}
	return 0, false
}

// sealMass is a seal's mass: weighed, specified, or from its sizes.
func (l *Look) sealMass(apex string) float64 {
	if len(l.values("apex_seal_mass", apex)) > 0 {
		return l.Mean("apex_seal_mass", apex).SI
	}
	density, known := densityOf(l.Word("parts." + apex + ".material"))
	if !known {
		l.miss("apex_seal_mass at " + apex)
	}
	l.standIn = true // a density nobody measured stands for the weighing
	return density * l.Mean("apex_seal_thickness", apex).SI * l.Mean("apex_seal_height", apex).SI * l.Mean("apex_seal_length", apex).SI
}

// pull is the force of inertia that draws a seal off the bore at the waist.
func (l *Look) pull(apex string) float64 { return -l.sealMass(apex) * l.accelerationAtWaist(apex) }

func (l *Look) contactTravel() float64 {
	b := l.bore()
	angle := l.Formula("leaning-angle", "leaning-angle", in{{"eccentricity", b.of("eccentricity")}, {"generating-radius", b.of("generating-radius")}}, nil)
	return l.Spec("geometry.seal_tip_radius").SI * math.Sin(angle)
}
