package figure

import "math"

func motion() []*Figure {
	return []*Figure{
		{
			ID: "apex_seal.sliding_speed_mean", Topic: TopicMotion, Title: "apex seal sliding speed, mean", Unit: "m/s", Decimals: 1, At: at("engine"), Formula: "sliding-speed-range",
			Note: topSpeedNote, Work: sliding("mean"),
		},
		{
			ID: "apex_seal.sliding_speed_highest", Topic: TopicMotion, Title: "apex seal sliding speed, highest", Unit: "m/s", Decimals: 1, At: at("engine"), Formula: "sliding-speed-range",
			Note: topSpeedNote, Work: sliding("highest"),
		},
		{
			ID: "apex_seal.sliding_speed_lowest", Topic: TopicMotion, Title: "apex seal sliding speed, lowest", Unit: "m/s", Decimals: 1, At: at("engine"), Formula: "sliding-speed-range",
			Note: topSpeedNote, Work: sliding("lowest"),
		},
		{
			ID: "apex_seal.acceleration_waist", Topic: TopicMotion, Title: "acceleration along the seal at the waist", Unit: "m/s2", Decimals: 0, At: at("rotor/*r/apex/1-3"), Formula: "seal-acceleration",
			Words: "omega^2 (r/9 − e), r the radius of the seal's middle; negative: pulled off the bore, held by gas and spring alone",
			Note:  topSpeedNote, Only: measuredAnywhere("apex_seal_height"),
			Work: func(l *Look, at string) float64 { return l.accelerationAtWaist(at) },
		},
		{
			ID: "apex_seal.contact_acceleration_waist", Topic: TopicMotion, Title: "acceleration towards the bore at the waist", Unit: "m/s2", Decimals: 0, At: at("engine"), Formula: "contact-acceleration",
			Note: topSpeedNote, Work: contact(math.Pi / 2),
		},
		{
			ID: "apex_seal.contact_acceleration_major", Topic: TopicMotion, Title: "acceleration towards the bore at the long axis", Unit: "m/s2", Decimals: 0, At: at("engine"), Formula: "contact-acceleration",
			Note: topSpeedNote, Work: contact(0),
		},
		{
			ID: "rotor.speed", Topic: TopicMotion, Title: "speed of the rotor itself", Unit: "rpm", Decimals: 0, At: at("engine"), Words: "a third of the shaft's speed", Source: "own derivation",
			Note: topSpeedNote, Work: func(l *Look, _ string) float64 { return l.topSpeed() / 3 },
		},
		{
			ID: "gear.module", Topic: TopicMotion, Title: "module of the gears", Unit: "mm", Decimals: 4, At: at("engine"), Formula: "gear",
			Only: has("geometry.ring_teeth"), Work: gearResult("module"),
		},
		{
			ID: "gear.ring_radius", Topic: TopicMotion, Title: "pitch radius of the internal gear", Unit: "mm", Decimals: 3, At: at("engine"), Formula: "gear",
			Only: has("geometry.ring_teeth"), Work: gearResult("ring-radius"),
		},
		{
			ID: "gear.pinion_radius", Topic: TopicMotion, Title: "pitch radius of the stationary gear", Unit: "mm", Decimals: 3, At: at("engine"), Formula: "gear",
			Only: has("geometry.ring_teeth"), Work: gearResult("pinion-radius"),
		},
	}
}

const topSpeedNote = "at the greatest speed the customer was told, momentary before continuous"

// topSpeed is the greatest speed the customer was told.
func (l *Look) topSpeed() float64 {
	if n, ok := l.Maybe("operating.speed_momentary"); ok {
		return n.SI
	}
	return l.Spec("operating.speed_continuous").SI
}

// accelerationAtWaist is that of a seal along itself, positive where it is
// thrown outward.
func (l *Look) accelerationAtWaist(apex string) float64 {
	b := l.bore()
	middle := b.of("generating-radius") + b.of("seal-tip-radius") - float64(l.Smallest("apex_seal_height", apex).SI/2)
	args := in{{"eccentricity", b.of("eccentricity")}, {"mass-radius", middle}, {"speed", l.topSpeed()}, {"shaft-angle", 1.5 * math.Pi}}
	return l.Formula("seal-acceleration", "acceleration", args, nil)
}

func sliding(result string) func(l *Look, at string) float64 {
	return func(l *Look, _ string) float64 {
		return l.Formula("sliding-speed-range", result, l.bore().and("speed", l.topSpeed()), nil)
	}
}

func contact(parameter float64) func(l *Look, at string) float64 {
	return func(l *Look, _ string) float64 {
		args := l.bore().withoutTip().and("speed", l.topSpeed()).and("parameter", parameter)
		return l.Formula("contact-acceleration", "acceleration", args, nil)
	}
}

func gearResult(result string) func(l *Look, at string) float64 {
	return func(l *Look, _ string) float64 {
		args := in{{"speed", l.topSpeed()}, {"eccentricity", l.Spec("geometry.eccentricity").SI},
			{"pinion-teeth", l.Count("geometry.pinion_teeth")}, {"ring-teeth", l.Count("geometry.ring_teeth")}}
		return l.Formula("gear", result, args, nil)
	}
}
