package quantity

import (
	"math"
	"math/big"
	"strconv"
	"strings"
)

// Format prints value with a fixed number of decimals (0 or more), never as
// "-0.00". Halves go as the binary value lies: 0.125 gives 0.12.
func Format(value float64, decimals int) string {
	text := strconv.FormatFloat(value, 'f', decimals, 64)
	if digits, negative := strings.CutPrefix(text, "-"); negative && strings.Trim(digits, "0.") == "" {
		return digits
	}
	return text
}

// FormatSig prints value with sig significant digits (1 or more), without an
// exponent: 0.00123 and 12300 are both three.
func FormatSig(value float64, sig int) string {
	scientific := strconv.FormatFloat(value, 'e', sig-1, 64)
	_, exponent, found := strings.Cut(scientific, "e")
	if !found {
		return scientific // NaN and infinities
	}
	power, _ := strconv.Atoi(exponent)
	if decimals := sig - 1 - power; decimals > 0 {
		return Format(value, decimals)
	}
	rounded, _ := strconv.ParseFloat(scientific, 64)
	return Format(rounded, 0)
}

// RoundTo rounds value to the nearest multiple of step, halves away from zero.
// A step that is a whole part of one (0.05, 0.001) gives the float64 nearest
// to the decimal number. A step of zero or less changes nothing.
func RoundTo(value, step float64) float64 {
	if !(step > 0) {
		return value
	}
	if parts := math.Round(1 / step); parts >= 1 && 1/parts == step {
		return math.Round(float64(value*parts)) / parts
	}
	return float64(math.Round(value/step) * step)
}

// exactText writes a fraction as a decimal number with at least so many
// decimals where that is exact, otherwise as a quotient: "44.45", "5/127".
func exactText(r *big.Rat, decimals int) string {
	needed, exact := r.FloatPrec()
	if !exact {
		return r.String()
	}
	return r.FloatString(max(needed, decimals))
}
