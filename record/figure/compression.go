package figure

import "stackbook/schema"

func compression() []*Figure {
	return []*Figure{
		{
			ID: "compression.ratio", Mark: "geometric", Topic: TopicCompression, Title: "compression ratio", Unit: "1", Decimals: 2, At: at("engine", "rotor/*r", "rotor/*r/face/1-3"), Formula: "compression-ratio",
			Note: "geometric; flank relief is rarely known, and 0.05 mm of it is 0.09 of a ratio, 1 cm3 of pocket 0.13",
			Work: func(l *Look, at string) float64 { return compressionResult(l, at, "compression-ratio") },
		},
		{
			ID: "compression.least_volume", Topic: TopicCompression, Title: "chamber volume at top dead centre", Unit: "cm3", Decimals: 1, At: at("rotor/*r"), Formula: "compression-ratio",
			Work: func(l *Look, at string) float64 { return compressionResult(l, at, "least-volume") },
		},
		{
			ID: "compression.ideal_least_volume", Topic: TopicCompression, Title: "least volume of an ideal flank without pocket", Unit: "cm3", Decimals: 2, At: at("engine"), Formula: "ideal-volumes",
			Work: func(l *Look, _ string) float64 { return l.Formula("ideal-volumes", "least-volume", l.chamber(), nil) },
		},
		{
			ID: "compression.ideal_ratio", Topic: TopicCompression, Title: "ratio of an ideal flank without pocket", Unit: "1", Decimals: 2, At: at("engine"), Formula: "ideal-volumes",
			Work: func(l *Look, _ string) float64 {
				return l.Formula("ideal-volumes", "theoretical-ratio", l.chamber(), nil)
			},
		},
		{
			ID: "compression.relief_volume", Topic: TopicCompression, Title: "volume of the flank relief", Unit: "cm3", Decimals: 2, At: at("engine"), Formula: "relief-volume",
			Work: func(l *Look, _ string) float64 {
				args := l.chamber().and("flank-clearance", l.Spec("geometry.flank_relief").SI)
				return l.Formula("relief-volume", "relief-volume", args, nil)
			},
		},
		{
			ID: "compression.pocket_for_target", Topic: TopicCompression, Title: "pocket for the wanted ratio", Unit: "cm3", Decimals: 1, At: at("engine"), Formula: "pocket-volume",
			Only: has("targets.compression_ratio"),
			Work: func(l *Look, _ string) float64 {
				args := l.ratioInputs().and("compression-ratio", l.Spec("targets.compression_ratio").SI)
				return l.Formula("pocket-volume", "pocket-volume", args, nil)
			},
		},
		{
			ID: "compression.effective_ratio", Mark: "geometric", Topic: TopicCompression, Title: "effective ratio, from intake closing", Unit: "1", Decimals: 2, At: at("engine"), Formula: "effective-compression-ratio",
			Only: has("porting.intake_closes"), Note: "ram and leakage are outside this number",
			Work: func(l *Look, _ string) float64 {
				args := l.chamber().and("least-volume", compressionResult(l, "engine", "least-volume")).and("intake-closing", l.Spec("porting.intake_closes").SI)
				return l.Formula("effective-compression-ratio", "effective-ratio", args, nil)
			},
		},
	}
}

// ratioInputs reads what a ratio needs beside the pocket. Relief and recesses
// must be written, if only as 0 mm: leaving them out would hide what is not
// known.
func (l *Look) ratioInputs() in {
	return l.chamber().and("flank-clearance", l.Spec("geometry.flank_relief").SI).and("extra-volume", l.Spec("geometry.recess_volume").SI)
}

// compressionResult works the ratio of one face, of one rotor from the mean of
// its faces, or of the engine from the mean of all. Burette readings of the
// whole chamber, where there is one of every face, take precedence over
// volumes reckoned from the pocket.
func compressionResult(l *Look, at, result string) float64 {
	if volume, ok := l.wholeChamber(at); ok {
		args := l.chamber().and("measured-volume", volume)
		return l.Formula("compression-ratio-measured", result, args, nil)
	}
	args := l.ratioInputs().and("pocket-volume", l.pocket(at))
	return l.Formula("compression-ratio", result, args, nil)
}

// wholeChamber is the measured volume of the chamber at a position itself, or
// the mean over the faces it stands for, when each was measured.
func (l *Look) wholeChamber(at string) (volume float64, ok bool) {
	const point = "chamber_volume_at_tdc"
	if l.Has(point, at) {
		return l.Mean(point, at).SI, true
	}
	faces := l.faces(at)
	for _, face := range faces {
		if !l.Has(point, face) {
			return 0, false
		}
	}
	return l.meanOver(point, faces), true
}

// faces are the rotor faces a position stands for: of the engine, of a rotor,
// or the one it is.
func (l *Look) faces(at string) []string {
	all := schema.Pattern("rotor/*r/face/1-3").Expand(l.Rotors())
	if at == "engine" {
		return all
	}
	var some []string
	for _, face := range all {
		if schema.Below(face, at) {
			some = append(some, face)
		}
	}
	return some
}

func (l *Look) meanOver(point string, positions []string) float64 {
	sum := 0.0
	for _, position := range positions {
		sum += l.Mean(point, position).SI
	}
	return sum / float64(max(1, len(positions)))
}

// pocket is the pocket volume of a face, or the mean over the faces of a rotor
// or of the engine.
func (l *Look) pocket(at string) float64 { return l.meanOver("pocket_volume", l.faces(at)) }
