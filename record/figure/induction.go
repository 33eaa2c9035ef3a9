package figure

import (
	"slices"
	"strings"

	"stackbook/record"
	"stackbook/schema"
)

const (
	tenPerCent = "±10 %"
	tunedNote  = "good to about 10 %; the angle is a choice, and the length has its end correction in it"
)

// longer is what the runner is made longer by to see what that does.
const longer = 0.010 // m

var runners = at("engine", "rotor/*r")

func induction() []*Figure {
	return []*Figure{
		tuned("induction.tuned_speed", "tuned speed of the runner, first round trip", 1),
		tuned("induction.tuned_speed_second", "tuned speed of the runner, second round trip", 2),
		tuned("induction.tuned_speed_third", "tuned speed of the runner, third round trip", 3),
		{
			ID: "induction.longer", Mark: tenPerCent, Topic: TopicInduction, Title: "what 10 mm more of runner does to it", Unit: "rpm", Decimals: 0, At: runners, Formula: "tuned-speed",
			Words: "tuned speed of the first round trip with 10 mm more, less that as it is", Note: tunedNote, Only: has("induction.tuning_angle"), Where: whereRunners,
			Work: func(l *Look, at string) float64 { return l.tunedSpeed(at, 1, longer) - l.tunedSpeed(at, 1, 0) },
		},
		{
			ID: "induction.helmholtz_chamber", Mark: "estimate", Topic: TopicInduction, Title: "speed of the resonance of runner and chamber", Unit: "rpm", Decimals: 0, At: runners, Formula: "helmholtz",
			Words: "f = (c/2pi) sqrt(A/(L V)), V the mean of largest and smallest chamber (an assumption); one intake a turn", Note: "neck and volume short against the wavelength (a sixth)", Only: hasNeck, Where: whereRunners,
			Work: func(l *Look, at string) float64 {
				return l.helmholtz(at, "speed", compressionResult(l, "engine", "least-volume")+float64(l.sweptVolume()/2))
			},
		},
		{
			ID: "induction.helmholtz_plenum", Mark: "estimate", Topic: TopicInduction, Title: "resonance of one runner and the plenum", Unit: "Hz", Decimals: 0, At: runners, Formula: "helmholtz",
			Note: "neck and volume short against the wavelength (a sixth)", Only: func(e *record.Engine) bool { return hasNeck(e) && has("induction.plenum_volume")(e) }, Where: whereRunners,
			Work: func(l *Look, at string) float64 {
				return l.helmholtz(at, "frequency", l.Spec("induction.plenum_volume").SI)
			},
		},
	}
}

func tuned(id, title string, trips float64) *Figure {
	return &Figure{
		ID: id, Mark: tenPerCent, Topic: TopicInduction, Title: title, Unit: "rpm", Decimals: 0, At: runners, Formula: "tuned-speed",
		Note: tunedNote, Only: has("induction.tuning_angle"), Where: whereRunners,
		Work: func(l *Look, at string) float64 { return l.tunedSpeed(at, trips, 0) },
	}
}

func (l *Look) tunedSpeed(at string, trips, more float64) float64 {
	args := in{{"angle", l.Spec("induction.tuning_angle").SI}, {"temperature", l.Spec("induction.air_temperature").SI},
		{"length", l.runner(at, "length") + more}, {"round-trips", trips}}
	return l.Formula("tuned-speed", "speed", args, nil)
}

func (l *Look) helmholtz(at, result string, volume float64) float64 {
	args := in{{"temperature", l.Spec("induction.air_temperature").SI}, {"diameter", l.runner(at, "diameter")}, {"length", l.runner(at, "length")}, {"volume", volume}}
	return l.Formula("helmholtz", result, args, nil)
}

// runner is a size of a rotor's own runner, where it has one that differs, or of
// all runners.
func (l *Look) runner(at, size string) float64 {
	if at != "engine" {
		if n, ok := l.Maybe("induction.runners." + at + "." + size); ok {
			return n.SI
		}
	}
	return l.Spec("induction.runner_" + size).SI
}

// whereRunners makes a figure of the engine where all runners are alike, and one
// of every rotor where they differ.
func whereRunners(e *record.Engine, at string) bool { return (at == "engine") != runnersDiffer(e) }

func runnersDiffer(e *record.Engine) bool {
	n := e.Spec.Node("induction.runners")
	return n != nil && slices.ContainsFunc(n.Keys(), func(key string) bool { return strings.HasPrefix(key, "rotor/") })
}

// hasNeck tells whether somebody asks for a resonance: with a diameter, which
// nothing else needs.
func hasNeck(e *record.Engine) bool {
	return has("induction.runner_diameter")(e) || runnersDiffer(e) && slices.ContainsFunc(schema.Pattern("rotor/*r").Expand(e.Rotors), func(rotor string) bool {
		return has("induction.runners." + rotor + ".diameter")(e)
	})
}
