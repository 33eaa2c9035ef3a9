package figure

import (
	"slices"

	"stackbook/record"
	"stackbook/record/rotary"
)

// has makes a condition: the spec says something at this path. A figure that
// nobody asked for is then left out instead of being called missing.
func has(path string) func(e *record.Engine) bool {
	return func(e *record.Engine) bool { return e.Spec.Text(path) != "" }
}

func hasHot(e *record.Engine) bool {
	for _, key := range hotInputs {
		if e.Spec.Text("cooling."+key) != "" {
			return true
		}
	}
	return false
}

// mostArguments is room for the arguments of most formulas that take a trochoid.
const mostArguments = 8

// bore reads the three sizes of the trochoid.
func (l *Look) bore() in {
	args := append(make(in, 0, mostArguments), in{{"eccentricity", l.Spec("geometry.eccentricity").SI}, {"generating-radius", l.Spec("geometry.generating_radius").SI}}...)
	if tip, ok := l.Maybe("geometry.seal_tip_radius"); ok {
		args = args.and("seal-tip-radius", tip.SI)
	}
	return args
}

// chamber reads the three sizes and the width.
func (l *Look) chamber() in {
	return l.bore().and("chamber-width", l.Spec("geometry.chamber_width").SI)
}

// and adds one argument, or gives it another value.
func (a in) and(name string, value float64) in {
	for i := range a { // few
		if a[i].Name == name {
			a[i].Number = value
			return a
		}
	}
	return append(a, rotary.Argument{Name: name, Number: value})
}

// of is one argument, 0 where it was not read.
func (a in) of(name string) float64 {
	for i := range a {
		if a[i].Name == name {
			return a[i].Number
		}
	}
	return 0
}

func (l *Look) sweptVolume() float64 {
	return l.Formula("swept-volume", "swept-volume", l.chamber(), nil)
}

// withoutTip drops the tip radius for a formula that doesn't take it.
func (a in) withoutTip() in {
	return slices.DeleteFunc(a, func(one rotary.Argument) bool { return one.Name == "seal-tip-radius" })
}

func geometry() []*Figure {
	return []*Figure{
		{
			ID: "chamber.swept_volume", Topic: TopicGeometry, Title: "swept volume of one chamber", Unit: "cm3", Decimals: 2, At: at("engine"), Formula: "swept-volume",
			Work: func(l *Look, _ string) float64 { return l.sweptVolume() },
		},
		{
			ID: "engine.displacement", Rotors: OfWhole, Topic: TopicGeometry, Title: "displacement, one chamber a rotor", Unit: "cm3", Decimals: 1, At: at("engine"), Formula: "equivalent-displacement",
			Note: "a convention, not physics", Work: displacement("nominal"),
		},
		{
			ID: "engine.displacement_four_stroke", Rotors: OfWhole, Topic: TopicGeometry, Title: "displacement, four-stroke equivalent", Unit: "cm3", Decimals: 1, At: at("engine"), Formula: "equivalent-displacement",
			Note: "air in two turns of the shaft; class rules set their own factor", Work: displacement("four-stroke-equivalent"),
		},
		{
			ID: "geometry.k_factor", Topic: TopicGeometry, Title: "K factor", Unit: "1", Decimals: 3, At: at("engine"), Formula: "leaning-angle",
			Work: func(l *Look, _ string) float64 {
				return l.Formula("leaning-angle", "k-factor", l.bore().withoutTip(), nil)
			},
		},
		{
			ID: "geometry.leaning_angle", Topic: TopicGeometry, Title: "largest leaning angle", Unit: "deg", Decimals: 2, At: at("engine"), Formula: "leaning-angle",
			Work: func(l *Look, _ string) float64 {
				return l.Formula("leaning-angle", "leaning-angle", l.bore().withoutTip(), nil)
			},
		},
		{
			ID: "geometry.bore_major", Topic: TopicGeometry, Title: "bore, long axis, from the spec", Unit: "mm", Decimals: 3, At: at("engine"), Formula: "bore-axes",
			Work: func(l *Look, _ string) float64 { return l.Formula("bore-axes", "major-axis", l.bore(), nil) },
		},
		{
			ID: "geometry.bore_minor", Topic: TopicGeometry, Title: "bore, short axis, from the spec", Unit: "mm", Decimals: 3, At: at("engine"), Formula: "bore-axes",
			Work: func(l *Look, _ string) float64 { return l.Formula("bore-axes", "minor-axis", l.bore(), nil) },
		},
		{
			ID: "geometry.bore_perimeter", Topic: TopicGeometry, Title: "once round the bore", Unit: "mm", Decimals: 1, At: at("engine"), Formula: "bore-perimeter",
			Work: func(l *Look, _ string) float64 { return l.Formula("bore-perimeter", "perimeter", l.bore(), nil) },
		},
		{
			ID: "bore.eccentricity", Topic: TopicGeometry, Title: "eccentricity, from the measured bore", Unit: "mm", Decimals: 3, At: at("housing/*r"), Formula: "eccentricity-from-axes",
			Only: measuredAnywhere("bore_major_axis"), Work: fromAxes("eccentricity"),
		},
		{
			ID: "bore.tip_radius", Topic: TopicGeometry, Title: "tip radius, from the measured bore", Unit: "mm", Decimals: 3, At: at("housing/*r"), Formula: "eccentricity-from-axes",
			Only: measuredAnywhere("bore_major_axis"), Work: fromAxes("tip-radius"),
		},
	}
}

func displacement(result string) func(l *Look, at string) float64 {
	return func(l *Look, _ string) float64 {
		return l.Formula("equivalent-displacement", result, in{{"swept-volume", l.sweptVolume()}, {"rotors", float64(l.Rotors())}}, nil)
	}
}

func fromAxes(result string) func(l *Look, at string) float64 {
	return func(l *Look, at string) float64 {
		args := in{{"major-axis", l.Mean("bore_major_axis", at).SI}, {"minor-axis", l.Mean("bore_minor_axis", at).SI}}
		return l.Formula("eccentricity-from-axes", result, args, nil)
	}
}

// measuredAnywhere makes a condition: some session reads this point.
func measuredAnywhere(id string) func(e *record.Engine) bool {
	return func(e *record.Engine) bool {
		for _, s := range e.Sessions {
			for i := range s.Readings {
				if s.Readings[i].Point.ID == id {
					return true
				}
			}
		}
		return false
	}
}
