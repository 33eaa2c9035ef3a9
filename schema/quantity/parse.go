package quantity

import (
	"fmt"
	"math"
	"math/big"
	"strconv"
	"strings"
)

// Bounds on what is read, so that no text can cost more than its worth. They
// lie far beyond any measurement.
const (
	maxText     = 1000 // bytes
	maxDigits   = 250
	maxExponent = 30
)

// blanks are the spaces that may stand around a number and before its unit:
// the common one, the tab, and the no-break and thin spaces of typeset text.
const blanks = " \t\u00a0\u2009\u202f"

// Parse reads a number with its unit: "12.5 mm", "-3 deg", ".5 mm", "1e-3 m",
// "3/8 in", "1 3/4 in". The blank before the unit may be missing. It is read
// for a field of dimension d, which settles what the text leaves open (see
// Quantity.As), and which is kept in the unit of that symbol: a pure number
// stands alone where that is "1".
//
// The error is a *RefusedError, one line that says what is wrong and what would
// be right, in the field's own unit.
func Parse(text string, d Dimension, symbol string) (Quantity, error) {
	w := wish{dim: d, symbol: symbol}
	if symbol == pureNumber {
		w.given = &Unit{}
	}
	return w.read(text)
}

// ParseAny reads a quantity of any dimension, such as what an instrument's
// certificate says.
func ParseAny(text string) (Quantity, error) {
	return wish{dim: Length, symbol: "mm"}.parse(text)
}

// ParseUnder reads a number whose unit u is given elsewhere, as for readings
// under "unit: mm", or a quantity with a unit of its own of the same dimension.
func ParseUnder(text string, u Unit) (Quantity, error) {
	return wish{dim: u.dim, symbol: u.def().symbol, given: &u}.read(text)
}

// ParseNumber reads a number whose unit u is given elsewhere and that may not
// have one of its own, as in the columns of a table.
func ParseNumber(text string, u Unit) (Quantity, error) {
	return wish{dim: u.dim, symbol: u.def().symbol, given: &u, alone: true}.parse(text)
}

// wish is what a text should have been: how it is read, and how its mends are
// written.
type wish struct {
	dim    Dimension
	symbol string // of the unit the mends are written in
	given  *Unit  // the unit of a number that stands alone; nil: it needs one of its own
	alone  bool   // a unit of its own is refused
	trying bool   // this is a mend being tried, which needs none itself
}

// read is parse for a dimension that is known.
func (w wish) read(text string) (Quantity, error) {
	q, err := w.parse(text)
	if err != nil {
		return Quantity{}, err
	}
	if !q.unit.dim.may(w.dim) {
		return Quantity{}, w.refused(ofAnother(q, w.dim))
	}
	return q.As(w.dim)
}

func (w wish) parse(text string) (Quantity, error) {
	text = strings.Trim(text, blanks+"\r\n")
	n, rest, err := w.scan(text)
	if err != nil {
		return Quantity{}, err
	}
	rest = strings.TrimLeft(rest, blanks)
	if rest == "" && w.given != nil {
		return n.in(*w.given, withSymbol(text, w.given.Symbol())), nil
	}
	if rest == "" {
		return Quantity{}, w.refused(shown(text)+" needs a unit", text+" "+w.symbol)
	}
	u, ok := Lookup(rest)
	if !ok {
		return Quantity{}, w.refuse(text, rest)
	}
	if w.alone {
		return Quantity{}, w.refused(shown(text)+" has a unit of its own, and it is given as "+w.symbol+" already",
			strings.TrimRight(strings.TrimSuffix(text, rest), blanks))
	}
	return n.in(u, text), nil
}

// number is what the digits of a quantity say.
type number struct {
	value    *big.Rat
	decimals int
	step     float64 // worth of one step of the last digit
}

func (n number) in(u Unit, text string) Quantity {
	r := u.def()
	return Quantity{
		number: n.value, unit: u, text: text, decimals: n.decimals,
		lastDigit: n.step * r.siNum / r.siDen,
	}
}

// scan reads the number at the start of text and gives back the rest.
func (w wish) scan(text string) (number, string, error) {
	d, rest := scanDecimal(text)
	switch {
	case len(text) > maxText:
		return number{}, "", w.refused(fmt.Sprintf("%s is %d bytes long, and a quantity is short", shown(text), len(text)))
	case d.digits() == 0:
		return number{}, "", w.refuseStart(text)
	case d.digits() > maxDigits:
		return number{}, "", w.refused(fmt.Sprintf("%s has %d digits, and at most %d are read", shown(text), d.digits(), maxDigits))
	case d.exponent > maxExponent || d.exponent < -maxExponent:
		return number{}, "", w.refused(fmt.Sprintf("%s has an exponent beyond %d", shown(text), maxExponent))
	case !d.whole:
		return d.number(), rest, nil
	}
	return w.scanFraction(text, d, rest)
}

// decimal is a decimal number in its parts: "-12.50e3" is minus, "12", "50", 3.
type decimal struct {
	minus           bool
	integer, places string
	exponent        int
	whole           bool // no point and no exponent
}

func (d decimal) digits() int { return len(d.integer) + len(d.places) }

// scanDecimal reads the longest decimal number at the start of text; without
// one, the decimal has no digits.
func scanDecimal(text string) (decimal, string) {
	d := decimal{whole: true}
	rest := text
	if rest != "" && (rest[0] == '-' || rest[0] == '+') {
		d.minus, rest = rest[0] == '-', rest[1:]
	}
	d.integer, rest = scanDigits(rest)
	if rest != "" && rest[0] == '.' {
		d.places, rest = scanDigits(rest[1:])
		d.whole = false
	}
	if exponent, after, ok := scanExponent(rest); ok {
		d.exponent, rest, d.whole = exponent, after, false
	}
	return d, rest
}

func scanDigits(text string) (digits, rest string) {
	n := 0
	for n < len(text) && isDigit(text[n]) {
		n++
	}
	return text[:n], text[n:]
}

// scanExponent reads "e-3"; a number too long to matter is cut to one beyond
// any bound.
func scanExponent(text string) (exponent int, rest string, ok bool) {
	if text == "" || text[0] != 'e' && text[0] != 'E' {
		return 0, text, false
	}
	after, minus := text[1:], false
	if after != "" && (after[0] == '-' || after[0] == '+') {
		minus, after = after[0] == '-', after[1:]
	}
	digits, after := scanDigits(after)
	if digits == "" {
		return 0, text, false
	}
	for _, c := range []byte(digits) {
		exponent = min(10*exponent+int(c-'0'), maxExponent+1)
	}
	if minus {
		exponent = -exponent
	}
	return exponent, after, true
}

// number gives the decimal's value. Up to 18 digits, which is every number in
// practice, it needs no arithmetic on long numbers.
func (d decimal) number() number {
	shift := len(d.places) - d.exponent // digits behind the point
	n := number{decimals: max(shift, 0), step: math.Pow10(-shift)}
	if d.digits() <= 18 && 0 <= shift && shift <= 18 {
		n.value = big.NewRat(d.mantissa(), int64(math.Pow10(shift)))
		return n
	}
	mantissa, _ := new(big.Int).SetString(d.integer+d.places, 10)
	if d.minus {
		mantissa.Neg(mantissa)
	}
	scale := new(big.Int).Exp(big.NewInt(10), big.NewInt(int64(max(shift, -shift))), nil)
	if shift < 0 {
		n.value = new(big.Rat).SetInt(mantissa.Mul(mantissa, scale))
	} else {
		n.value = new(big.Rat).SetFrac(mantissa, scale)
	}
	return n
}

// mantissa gives the digits as one whole number; there are at most 18 of them.
func (d decimal) mantissa() int64 {
	var m int64
	for _, digits := range []string{d.integer, d.places} {
		for _, c := range []byte(digits) {
			m = 10*m + int64(c-'0')
		}
	}
	if d.minus {
		return -m
	}
	return m
}

// scanFraction looks for what may follow a whole number d: "/8" makes it the
// upper half of a fraction, " 3/4" makes it the whole part of a mixed one.
func (w wish) scanFraction(text string, d decimal, rest string) (number, string, error) {
	upper, lower, after := d.integer, "", ""
	mixed := false
	if strings.HasPrefix(rest, "/") {
		lower, after = scanDigits(rest[1:])
	} else if gap := strings.TrimLeft(rest, blanks); gap != rest {
		upper, after = scanDigits(gap)
		if upper != "" && strings.HasPrefix(after, "/") {
			lower, after = scanDigits(after[1:])
			mixed = true
		}
	}
	if lower == "" {
		return d.number(), rest, nil
	}
	if len(upper)+len(lower) > maxDigits {
		return number{}, "", w.refused(fmt.Sprintf("%s has a fraction of more than %d digits", shown(text), maxDigits))
	}
	value, ok := new(big.Rat).SetString(trimZeros(upper) + "/" + trimZeros(lower))
	if !ok {
		return number{}, "", w.refused(shown(text) + " divides by zero")
	}
	if mixed {
		if value.Cmp(one) >= 0 {
			return number{}, "", w.refused(shown(text) + " has a fraction of one or more behind a whole number")
		}
		part := decimal{integer: d.integer, whole: true}.number()
		value.Add(value, part.value)
	}
	if d.minus {
		value.Neg(value)
	}
	divisor, _ := strconv.ParseFloat(lower, 64)
	return number{value: value, decimals: -1, step: 1 / divisor}, after, nil
}

// trimZeros drops leading zeros, which would make big.Rat read octal.
func trimZeros(digits string) string {
	if t := strings.TrimLeft(digits, "0"); t != "" {
		return t
	}
	return "0"
}

func isDigit(c byte) bool { return '0' <= c && c <= '9' }
