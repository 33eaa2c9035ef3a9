package rotary

import "math"

const topicInduction = "induction"

// gasGamma is the ratio of the specific heats of air.
const gasGamma = 1.4

// SoundSpeed returns the speed of sound in air (ideal-gas acoustics):
//
//	c = sqrt(1.4*287.05287*T)
//
// K in, m/s out. Range: T > 0; air as an ideal gas with constant specific
// heats, so about 1 % near 500 degC too high.
func SoundSpeed(temperature float64) (float64, error) {
	if err := positive("sound-speed", arg{"temperature", temperature}); err != nil {
		return 0, err
	}
	return math.Sqrt(gasGamma * gasDryAir * temperature), nil
}

func registerSoundSpeed(r registry) {
	r.register(&Formula{
		ID:     "sound-speed",
		Topic:  topicInduction,
		Title:  "speed of sound in air",
		Words:  "c = sqrt(1.4 287.05287 (t + 273.15))",
		Range:  "air as an ideal gas",
		Source: "ideal-gas acoustics",
		In:     []Param{{Name: "temperature", Symbol: "t", Unit: "degC", Title: "gas temperature in the runner"}},
		Out:    []Param{{Name: "sound-speed", Symbol: "c", Unit: "m/s", Title: "speed of sound"}},
		Work: func(in []Value) ([]Value, error) {
			return one(SoundSpeed(in[0].Number))
		},
	})
}

// TunedSpeed returns the shaft speed at which a pressure wave makes k round
// trips of a runner while the shaft turns through theta:
//
//	2 L k/c = theta/omega,   omega = theta c/(2 L k)
//
// theta in rad, c in m/s, L in m (one way, port edge to open end), omega in
// rad/s. Own derivation: plane wave, no mean flow, one temperature. An end
// correction of about 0.6 pipe radii (free end) or 0.85 (flanged) belongs to L
// (from memory). theta is a choice, opening to closing or opening to bottom
// dead centre, not a constant: take the result as good to 10 %. Range: all > 0.
func TunedSpeed(theta, sound, length, trips float64) (float64, error) {
	err := positive("tuned-speed", arg{"angle", theta}, arg{"sound-speed", sound}, arg{"length", length}, arg{"round-trips", trips})
	if err != nil {
		return 0, err
	}
	return theta * sound / (2 * length * trips), nil
}

func registerTunedSpeed(r registry) {
	r.register(&Formula{
		ID:     "tuned-speed",
		Topic:  topicInduction,
		Title:  "engine speed a runner is tuned to",
		Words:  "N = theta c/(12 L k), theta in deg, c in m/s, L in m, N in 1/min",
		Range:  "plane wave, no mean flow; good to about 10 %",
		Source: ownDerivation,
		In: []Param{
			{Name: "angle", Symbol: "theta", Unit: "deg", Title: "shaft angle the wave has for its trips"},
			{Name: "temperature", Symbol: "t", Unit: "degC", Title: "gas temperature in the runner"},
			{Name: "length", Symbol: "L", Unit: "m", Title: "one way, port edge to open end, with end correction"},
			{Name: "round-trips", Symbol: "k", Unit: "1", Title: "round trips of the wave", Optional: true, Default: 1},
		},
		Out: []Param{{Name: "speed", Symbol: "N", Unit: "rpm", Title: "tuned shaft speed"}},
		Work: func(in []Value) ([]Value, error) {
			c, err := SoundSpeed(in[1].Number)
			if err != nil {
				return nil, err
			}
			return one(TunedSpeed(in[0].Number, c, in[2].Number, in[3].Number))
		},
	})
}

// TunedLength is TunedSpeed solved for the runner's one-way length in m:
//
//	L = theta c/(2 omega k)
func TunedLength(theta, sound, speed, trips float64) (float64, error) {
	err := positive("tuned-length", arg{"angle", theta}, arg{"sound-speed", sound}, arg{"speed", speed}, arg{"round-trips", trips})
	if err != nil {
		return 0, err
	}
	return theta * sound / (2 * speed * trips), nil
}

func registerTunedLength(r registry) {
	r.register(&Formula{
		ID:     "tuned-length",
		Topic:  topicInduction,
		Title:  "runner length for a tuned engine speed",
		Words:  "L = theta c/(12 N k), theta in deg, c in m/s, N in 1/min, L in m",
		Range:  "plane wave, no mean flow; good to about 10 %",
		Source: ownDerivation,
		In: []Param{
			{Name: "speed", Symbol: "N", Unit: "rpm", Title: "shaft speed wanted"},
			{Name: "sound-speed", Symbol: "c", Unit: "m/s", Title: "speed of sound in the runner"},
			{Name: "angle", Symbol: "theta", Unit: "deg", Title: "shaft angle the wave has for its trips"},
			{Name: "round-trips", Symbol: "k", Unit: "1", Title: "round trips of the wave", Optional: true, Default: 1},
		},
		Out: []Param{{Name: "length", Symbol: "L", Unit: "m", Title: "one way, port edge to open end, with end correction"}},
		Work: func(in []Value) ([]Value, error) {
			return one(TunedLength(in[2].Number, in[1].Number, in[0].Number, in[3].Number))
		},
	})
}

// Helmholtz returns the natural frequency in Hz of a volume V (m3) breathing
// through a neck of diameter d and effective length L (m) [S34]:
//
//	f = (c/2pi) sqrt(A/(L V)),   A = pi d^2/4
//
// c in m/s. Valid when neck and volume are short against the wavelength, below
// about a sixth of it. For a chamber the mean volume (V_max + V_min)/2 is a
// natural choice (an assumption). Range: all > 0.
func Helmholtz(sound, diameter, length, volume float64) (float64, error) {
	err := positive("helmholtz", arg{"sound-speed", sound}, arg{"diameter", diameter}, arg{"length", length}, arg{"volume", volume})
	if err != nil {
		return 0, err
	}
	area := math.Pi * diameter * diameter / 4
	return sound / (2 * math.Pi) * math.Sqrt(area/(length*volume)), nil
}

func registerHelmholtz(r registry) {
	r.register(&Formula{
		ID:     "helmholtz",
		Topic:  topicInduction,
		Title:  "Helmholtz resonance of runner and chamber",
		Words:  "f = (c/2pi) sqrt(A/(L V)), A = pi d^2/4; N = 60 f/q",
		Range:  "neck and volume short against the wavelength (a sixth)",
		Source: "derivation of the Helmholtz resonator [S34]",
		In: []Param{
			{Name: "temperature", Symbol: "t", Unit: "degC", Title: "gas temperature"},
			{Name: "diameter", Symbol: "d", Unit: "mm", Title: "bore of the runner"},
			{Name: "length", Symbol: "L_eff", Unit: "m", Title: "effective length of the runner"},
			{Name: "volume", Symbol: "V", Unit: "cm3", Title: "volume behind it; for a chamber the mean of largest and smallest"},
			{Name: "events-per-turn", Symbol: "q", Unit: "1", Title: "intake events per shaft turn", Optional: true, Default: 1},
		},
		Out: []Param{
			{Name: "frequency", Symbol: "f", Unit: "Hz", Title: "natural frequency"},
			{Name: "speed", Symbol: "N", Unit: "rpm", Title: "shaft speed with that many intake events a second"},
		},
		Work: func(in []Value) ([]Value, error) {
			c, err := SoundSpeed(in[0].Number)
			if err != nil {
				return nil, err
			}
			f, err := Helmholtz(c, in[1].Number, in[2].Number, in[3].Number)
			if err != nil {
				return nil, err
			}
			if err := positive("helmholtz", arg{"events-per-turn", in[4].Number}); err != nil {
				return nil, err
			}
			return numbers(f, 2*math.Pi*f/in[4].Number), nil
		},
	})
}
