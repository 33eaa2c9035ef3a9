package rotary

import "math"

// Gas constants of dry air and of water vapour, J/(kg K). The first is that of
// the standard atmosphere (ISO 2533, from memory).
const (
	gasDryAir = 287.05287
	gasVapour = 461.52364
)

// Air is the air an engine breathes: Pressure is the total station pressure in
// Pa, Temperature in K, Humidity the relative humidity from 0 to 1.
type Air struct{ Pressure, Temperature, Humidity float64 }

// split returns the partial pressures of dry air and vapour in Pa,
//
//	e = RH*e_s(t),   p_dry = p - e        (e_s by VapourBuck)
func (a Air) split(formula string) (dry, vapour float64, err error) {
	if err := positive(formula, arg{"pressure", a.Pressure}); err != nil {
		return 0, 0, err
	}
	if err := between(formula, a.Temperature, -40, 60); err != nil {
		return 0, 0, err
	}
	if !(a.Humidity >= 0 && a.Humidity <= 1) {
		return 0, 0, &RangeError{Formula: formula, Input: "humidity", Why: "must lie between 0 % and 100 %"}
	}
	vapour = float64(a.Humidity * buck(a.Temperature))
	if vapour >= a.Pressure {
		return 0, 0, &RangeError{Formula: formula, Input: "pressure", Why: "must be more than the vapour pressure"}
	}
	return a.Pressure - vapour, vapour, nil
}

// DryAir returns the partial pressure of dry air (Pa) and the density of the
// moist air (kg/m3):
//
//	p_dry = p - RH*e_s(t),   rho = (p_dry/287.05287 + e/461.52364)/T
//
// Ideal gases; e_s by VapourBuck [S26]. Range: p > e, -40 to 60 degC, 0 to
// 100 % humidity.
func DryAir(a Air) (pressure, density float64, err error) {
	dry, vapour, err := a.split("dry-air")
	if err != nil {
		return 0, 0, err
	}
	return dry, (dry/gasDryAir + vapour/gasVapour) / a.Temperature, nil
}

func registerDryAir(r registry) {
	r.register(&Formula{
		ID:     "dry-air",
		Topic:  topicWeather,
		Title:  "dry pressure and density of moist air",
		Words:  "p_dry = p - RH e_s(t); rho = (p_dry/287.05287 + e/461.52364)/T",
		Range:  "-40 degC to 60 degC",
		Source: "ideal gases; vapour pressure by Buck 1996 [S26]",
		In:     airParams,
		Out: []Param{
			{Name: "dry-pressure", Symbol: "p_dry", Unit: "hPa", Title: "partial pressure of dry air"},
			{Name: "density", Symbol: "rho", Unit: "kg/m3", Title: "density of the moist air"},
		},
		Work: func(in []Value) ([]Value, error) {
			p, rho, err := DryAir(airOf(in))
			return numbers(p, rho), err
		},
	})
}

var airParams = []Param{
	{Name: "pressure", Symbol: "p", Unit: "hPa", Title: "total pressure at the place, not reduced to sea level"},
	{Name: "temperature", Symbol: "t", Unit: "degC", Title: "intake air temperature"},
	{Name: "humidity", Symbol: "RH", Unit: "%", Title: "relative humidity"},
}

func airOf(in []Value) Air { return Air{in[0].Number, in[1].Number, in[2].Number} }

// The five correction factors below bring observed power or torque of a
// naturally aspirated spark-ignition engine to a reference state: corrected =
// observed * factor. They are not for controlled boost. Factors must never be
// mixed: for one run at 985 hPa, 30 degC and 50 % they give 1.042 to 1.077.
// Where a formula's text says t + 273, not 273.15, the 273 is kept.

// correction273 is the temperature the texts write as t + 273, in K.
func correction273(temperature float64) float64 { return temperature - 0.15 }

// CorrectionJ1349Of1990 is the June 1990 form of SAE J1349 [S21]:
//
//	CF = 1.18 (990/p_dry) sqrt((t+273)/298) - 0.18,   p_dry in hPa
//
// Reference 990 hPa dry and 25 degC. It corrects indicated power: friction is
// taken as 0.18 of the observed brake power and left alone. The standard's own
// limits are 15 to 35 degC and 900 to 1050 hPa (from memory).
func CorrectionJ1349Of1990(a Air) (float64, error) {
	return correctionJ1349(a, "correction-j1349-1990", 0.18)
}

// CorrectionJ1349Later is the form of later editions, with the rounded factor
// for 85 % mechanical efficiency (1.176 and 0.176 from memory; the reference
// state, 100 kPa with 1 kPa vapour and 25 degC, from [S25]):
//
//	CF = 1.176 (990/p_dry) sqrt((t+273)/298) - 0.176,   p_dry in hPa
func CorrectionJ1349Later(a Air) (float64, error) {
	return correctionJ1349(a, "correction-j1349-later", 0.176)
}

func correctionJ1349(a Air, id string, friction float64) (float64, error) {
	dry, _, err := a.split(id)
	if err != nil {
		return 0, err
	}
	indicated := 99000 / dry * math.Sqrt(correction273(a.Temperature)/298)
	return float64((1+friction)*indicated) - friction, nil
}

// CorrectionISO1585 is the factor of ISO 1585, EEC 80/1269 and UN R85 for
// spark ignition [S22, S24]:
//
//	CF = (990/p_dry)^1.2 ((t+273)/298)^0.6,   p_dry in hPa
//
// Reference 990 hPa dry and 25 degC; the standard accepts 0.93 to 1.07 (from
// memory).
func CorrectionISO1585(a Air) (float64, error) {
	dry, _, err := a.split("correction-iso-1585")
	if err != nil {
		return 0, err
	}
	return math.Pow(99000/dry, 1.2) * math.Pow(correction273(a.Temperature)/298, 0.6), nil
}

// CorrectionDIN70020 is the older DIN 70020 factor [S22, S23]:
//
//	CF = (1013/p) sqrt((t+273)/293),   p the TOTAL pressure in hPa
//
// Takes Pa and K. Reference 1013 hPa and 20 degC; humidity is ignored.
func CorrectionDIN70020(pressure, temperature float64) (float64, error) {
	const id = "correction-din-70020"
	if err := positive(id, arg{"pressure", pressure}); err != nil {
		return 0, err
	}
	if err := between(id, temperature, -40, 60); err != nil {
		return 0, err
	}
	return 101300 / pressure * math.Sqrt(correction273(temperature)/293), nil
}

// Correction60F is the older factor to 29.92 inHg dry and 60 degF [S47]:
//
//	CF = (29.92/p_dry) sqrt((459.7+F)/519.7),   p_dry in inHg, F in degF
//
// with the conventional inch of mercury, 3386.38864 Pa.
func Correction60F(a Air) (float64, error) {
	const inHg = 13595.1 * 9.80665 * 0.0254
	dry, _, err := a.split("correction-60f")
	if err != nil {
		return 0, err
	}
	fahrenheit := float64((a.Temperature-zeroCelsius)*1.8) + 32
	return 29.92 * inHg / dry * math.Sqrt((459.7+fahrenheit)/519.7), nil
}

func registerCorrectionDin70020(r registry) {
	for _, c := range []struct {
		id, title, words, held, source string
		factor                         func(Air) (float64, error)
	}{
		{"correction-j1349-1990", "power correction, SAE J1349 of June 1990",
			"CF = 1.18 (990/p_dry) sqrt((t+273)/298) - 0.18, p_dry in hPa",
			"15 degC to 35 degC, 900 hPa to 1050 hPa (from memory); no controlled boost", "SAE J1349, June 1990 [S21]", CorrectionJ1349Of1990},
		{"correction-j1349-later", "power correction, later editions of SAE J1349",
			"CF = 1.176 (990/p_dry) sqrt((t+273)/298) - 0.176, p_dry in hPa",
			"15 degC to 35 degC, 900 hPa to 1050 hPa (from memory); no controlled boost", "coefficients from memory; reference state [S25]", CorrectionJ1349Later},
		{"correction-iso-1585", "power correction, ISO 1585 and EEC 80/1269",
			"CF = (990/p_dry)^1.2 ((t+273)/298)^0.6, p_dry in hPa",
			"factor 0.93 to 1.07 (from memory); no controlled boost", "ISO 1585, EEC 80/1269, UN R85 [S22, S24]", CorrectionISO1585},
		{"correction-60f", "power correction to 29.92 inHg dry and 60 degF",
			"CF = (29.92/p_dry) sqrt((459.7+F)/519.7), p_dry in inHg, F in degF",
			"no controlled boost", "a mailing-list post of 1995 [S47]", Correction60F},
	} {
		r.register(&Formula{
			ID: c.id, Topic: topicWeather, Title: c.title, Words: c.words, Range: c.held, Source: c.source,
			In:  airParams,
			Out: correctionOut,
			Work: func(in []Value) ([]Value, error) {
				return one(c.factor(airOf(in)))
			},
		})
	}
	r.register(&Formula{
		ID:     "correction-din-70020",
		Topic:  topicWeather,
		Title:  "power correction, older DIN 70020",
		Words:  "CF = (1013/p) sqrt((t+273)/293), p the total pressure in hPa",
		Range:  "no controlled boost; humidity is ignored",
		Source: "DIN 70020 [S22, S23]",
		In:     airParams[:2],
		Out:    correctionOut,
		Work: func(in []Value) ([]Value, error) {
			return one(CorrectionDIN70020(in[0].Number, in[1].Number))
		},
	})
}

var correctionOut = []Param{{Name: "factor", Symbol: "CF", Unit: "1", Title: "observed power times this is corrected power"}}
