package rotary

import (
	"fmt"
	"math"
)

const topicWeather = "weather"

// zeroCelsius is 0 degC in K, by definition.
const zeroCelsius = 273.15

// VapourBuck returns the saturation pressure of water vapour over liquid
// water (Buck 1996 [S26]), the equation every weather correction here uses:
//
//	e_s = 611.21 exp[(18.678 - t/234.5)(t/(257.14 + t))] Pa,   t in degC
//
// Takes K, returns Pa. Range: -40 to 60 degC; it agrees with the other three
// to 4e-4 at 0 to 40 degC. Below 0 degC the pressure over ice is lower, by at
// most 27 Pa (from memory).
func VapourBuck(temperature float64) (float64, error) {
	if err := between("vapour-pressure", temperature, -40, 60); err != nil {
		return 0, err
	}
	return buck(temperature), nil
}

// buck is VapourBuck within its range.
func buck(temperature float64) float64 {
	t := temperature - zeroCelsius
	return 611.21 * math.Exp((18.678-t/234.5)*(t/(257.14+t)))
}

// VapourMagnus is the Magnus form with the constants 6.112, 17.62 and 243.12
// (from memory):
//
//	e_s = 611.2 exp[17.62 t/(243.12 + t)] Pa,   t in degC
//
// Takes K, returns Pa. Range: -40 to 60 degC; about 0.3 % low at 20 to 30 degC,
// which is 0.01 % of the dry pressure.
func VapourMagnus(temperature float64) (float64, error) {
	if err := between("vapour-pressure-magnus", temperature, -40, 60); err != nil {
		return 0, err
	}
	t := temperature - zeroCelsius
	return 611.2 * math.Exp(17.62*t/(243.12+t)), nil
}

// wexlerGreenspan are the coefficients F0 to F9 of 40 CFR 86.344-79 [S27].
var wexlerGreenspan = [...]float64{
	-8.4992200e3, -7.4231865e3, 96.1635147, 2.4917646e-2, -1.3160119e-5,
	-1.1460454e-8, 2.1701289e-11, -3.610258e-15, 3.8504519e-18, -1.4317e-21,
}

// VapourWexlerGreenspan is the equation of 40 CFR 86.344-79 [S27]:
//
//	ln P = -12.150799 ln T + sum F_i T^(i-2),  i = 0..9,   Pa and K
//
// Range: 0 to 100 degC.
func VapourWexlerGreenspan(temperature float64) (float64, error) {
	if err := between("vapour-pressure-wexler-greenspan", temperature, 0, 100); err != nil {
		return 0, err
	}
	t, sum := temperature, 0.0
	for i := len(wexlerGreenspan) - 1; i >= 0; i-- {
		sum = float64(sum*t) + wexlerGreenspan[i]
	}
	return math.Exp(sum/(t*t) - float64(12.150799*math.Log(t))), nil
}

// VapourIAPWS is the saturation line of the international association for the
// properties of water and steam (coefficients from memory; the triple point
// agrees with the 611.657 Pa of Wexler 1976 [S28] to 0.1 mPa):
//
//	ln(p/p_c) = (T_c/T)(a1 q + a2 q^1.5 + a3 q^3 + a4 q^3.5 + a5 q^4 + a6 q^7.5)
//	q = 1 - T/T_c,  T_c = 647.096 K,  p_c = 22.064 MPa
//
// Takes K, returns Pa. Range: 0.01 to 373.9 degC.
func VapourIAPWS(temperature float64) (float64, error) {
	const criticalT, criticalP = 647.096, 22.064e6
	if err := between("vapour-pressure-iapws", temperature, 0.01, 373.9); err != nil {
		return 0, err
	}
	q := 1 - temperature/criticalT
	root := math.Sqrt(q)
	q3 := q * q * q
	sum := float64(-7.85951783*q) + float64(1.84408259*q*root) - float64(11.7866497*q3) +
		float64(22.6807411*q3*root) - float64(15.9618719*q3*q) + float64(1.80122502*q3*q3*q*root)
	return criticalP * math.Exp(criticalT/temperature*sum), nil
}

// between refuses a temperature (K) outside a range of degC, with room for the
// rounding of the conversion.
func between(formula string, temperature, low, high float64) error {
	const rounding = 1e-9
	t := temperature - zeroCelsius
	if t >= low-rounding && t <= high+rounding {
		return nil
	}
	return &RangeError{Formula: formula, Input: "temperature",
		Why: fmt.Sprintf("must lie between %v degC and %v degC", low, high)}
}

func registerVapourPressures(r registry) {
	for _, v := range []struct {
		id, title, words, held, source string
		pressure                       func(float64) (float64, error)
	}{
		{"vapour-pressure", "saturation pressure over water, Buck 1996",
			"e_s = 6.1121 hPa exp[(18.678 - t/234.5)(t/(257.14 + t))], t in degC",
			"-40 degC to 60 degC", "Buck 1996 [S26]", VapourBuck},
		{"vapour-pressure-magnus", "saturation pressure over water, Magnus form",
			"e_s = 6.112 hPa exp[17.62 t/(243.12 + t)], t in degC",
			"-40 degC to 60 degC; 0.3 % low at 20 to 30 degC", "constants from memory", VapourMagnus},
		{"vapour-pressure-wexler-greenspan", "saturation pressure over water, Wexler and Greenspan",
			"ln P = -12.150799 ln T + sum F_i T^(i-2), i = 0..9, Pa and K",
			"0 degC to 100 degC", "40 CFR 86.344-79 [S27]", VapourWexlerGreenspan},
		{"vapour-pressure-iapws", "saturation line of water, IAPWS",
			"ln(p/p_c) = (T_c/T)(a1 q + a2 q^1.5 + a3 q^3 + a4 q^3.5 + a5 q^4 + a6 q^7.5), q = 1 - T/T_c",
			"0.01 degC to 373.9 degC", "coefficients from memory; triple point checked [S28]", VapourIAPWS},
	} {
		r.register(&Formula{
			ID: v.id, Topic: topicWeather, Title: v.title, Words: v.words, Range: v.held, Source: v.source,
			In:  []Param{{Name: "temperature", Symbol: "t", Unit: "degC", Title: "air temperature"}},
			Out: []Param{{Name: "vapour-pressure", Symbol: "e_s", Unit: "hPa", Title: "saturation pressure of water vapour"}},
			Work: func(in []Value) ([]Value, error) {
				return one(v.pressure(in[0].Number))
			},
		})
	}
}
