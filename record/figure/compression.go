package figure

import "stackbook/schema"

var compression = []*Figure{
	{
		ID: "compression.ratio", Topic: TopicCompression, Title: "compression ratio", Unit: "1", Decimals: 2, At: at("engine", "rotor/*r", "rotor/*r/face/1-3"), Formula: "compression-ratio",
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
		ID: "compression.effective_ratio", Topic: TopicCompression, Title: "effective ratio, from intake closing", Unit: "1", Decimals: 2, At: at("engine"), Formula: "effective-compression-ratio",
		Only: has("porting.intake_closes"), Note: "ram and leakage are outside this number",
		Work: func(l *Look, _ string) float64 {
			args := l.chamber().and("least-volume", compressionResult(l, "engine", "least-volume")).and("intake-closing", l.Spec("porting.intake_closes").SI)
			return l.Formula("effective-compression-ratio", "effective-ratio", args, nil)
		},
	},
}

// ratioInputs reads what a ratio needs beside the pocket. Relief and recesses
// must be written, if only as 0 mm: leaving them out would hide what is not
// known.
func (l *Look) ratioInputs() in {
	return l.chamber().and("flank-clearance", l.Spec("geometry.flank_relief").SI).and("extra-volume", l.Spec("geometry.recess_volume").SI)
}

// compressionResult works the ratio of one face, of one rotor from the mean of
// its pockets, or of the engine from the mean of all. A burette reading of the
// whole chamber takes precedence over one reckoned from the pocket.
func compressionResult(l *Look, at, result string) float64 {
	if l.Has("chamber_volume_at_tdc", at) {
		args := l.chamber().and("measured-volume", l.Mean("chamber_volume_at_tdc", at).SI)
		return l.Formula("compression-ratio-measured", result, args, nil)
	}
	args := l.ratioInputs().and("pocket-volume", l.pocket(at))
	return l.Formula("compression-ratio", result, args, nil)
}

// pocket is the pocket volume of a face, or the mean over the faces of a rotor
// or of the engine.
func (l *Look) pocket(at string) float64 {
	faces := []string{at}
	switch {
	case at == "engine":
		faces = schema.Pattern("rotor/*r/face/1-3").Expand(l.Rotors())
	case head(at, 2) == at:
		faces = nil
		for _, n := range []string{"1", "2", "3"} {
			faces = append(faces, at+"/face/"+n)
		}
	}
	sum := 0.0
	for _, face := range faces {
		sum += l.Mean("pocket_volume", face).SI
	}
	return sum / float64(max(1, len(faces)))
}
