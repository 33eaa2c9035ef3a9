package quantity

import (
	"cmp"
	"fmt"
	"math/big"
	"slices"
	"strings"
	"sync"
)

// Unit is a unit of measure, read for one dimension: kPa for a gauge pressure
// and kPa for an absolute one are two Units. Units are comparable with ==. The
// zero Unit is the pure number, symbol "1".
type Unit struct {
	row *unitRow // nil: the pure number
	dim Dimension
}

// A unitRow is a unit as the table in units.go has it.
type unitRow struct {
	symbol  string
	dim     Dimension // as far as the symbol alone tells
	factor  *big.Rat  // its size in the base unit of dim
	zero    *big.Rat  // where its zero lies, in the base unit; nil: at zero
	source  string
	aliases []string
	holdsPi string // the factor as a quotient with pi, where no fraction is exact

	siNum, siDen float64 // its size in SI as a quotient, of whole numbers where a float64 holds both
	siZero       float64 // where its zero lies, in SI
}

func (r *unitRow) spellings() []string { return append([]string{r.symbol}, r.aliases...) }

// unitTable is every unit, and every spelling of one.
type unitTable struct {
	rows  []unitRow
	index map[string]Unit
}

// table is made when it is first asked for: most of what the program is called
// for names no unit.
var table = sync.OnceValue(func() *unitTable {
	rows := finished(unitRows())
	return &unitTable{rows, indexed(rows)}
})

// finished completes the rows with what follows from factor and dimension.
func finished(rows []unitRow) []unitRow {
	for i := range rows {
		r := &rows[i]
		r.siNum, r.siDen = quotient(mul(r.factor, r.dim.baseSI()))
		if r.zero != nil {
			r.siZero, _ = r.zero.Float64()
		}
	}
	return rows
}

// quotient gives two floats whose quotient is r, exact ones where r allows.
func quotient(r *big.Rat) (num, den float64) {
	num, exactNum := new(big.Float).SetInt(r.Num()).Float64()
	den, exactDen := new(big.Float).SetInt(r.Denom()).Float64()
	if exactNum == big.Exact && exactDen == big.Exact {
		return num, den
	}
	num, _ = r.Float64()
	return num, 1
}

// pressureEndings say what a pressure counts from.
var pressureEndings = map[string]Dimension{
	" abs": PressureAbsolute, " absolute": PressureAbsolute,
	" gauge": PressureGauge, " gage": PressureGauge,
}

// gluedPressures are the usual short spellings of the same.
var gluedPressures = map[string]string{
	"psia": "psi abs", "psig": "psi gauge", "bara": "bar abs", "barg": "bar gauge",
}

// indexed makes the table of all spellings.
func indexed(rows []unitRow) map[string]Unit {
	index := make(map[string]Unit, 4*len(rows))
	for i := range rows {
		r := &rows[i]
		for _, spelling := range r.spellings() {
			for _, key := range []string{spelling, plain(spelling)} {
				enter(index, key, Unit{row: r, dim: r.dim})
				if r.dim != Pressure {
					continue
				}
				for ending, dim := range pressureEndings {
					enter(index, key+ending, Unit{row: r, dim: dim})
				}
			}
		}
	}
	for glued, full := range gluedPressures {
		enter(index, glued, index[full])
	}
	return index
}

// enter puts one spelling into the table. Two units with one spelling are a
// mistake of ours and stop the program at once.
func enter(index map[string]Unit, key string, u Unit) {
	if was, ok := index[key]; ok && was != u {
		panic("quantity: two units are written " + key)
	}
	index[key] = u
}

// Lookup finds a unit by its symbol or by another spelling of it: N m, Nm, N·m
// and N-m are one unit; ft-lb is lbf.ft, µm is um, °C is degC. A pressure may
// be followed by "abs" or "gauge". Upper and lower case count.
func Lookup(symbol string) (Unit, bool) {
	index := table().index
	if u, ok := index[symbol]; ok {
		return u, true
	}
	u, ok := index[plain(symbol)]
	return u, ok
}

// MustLookup is Lookup for the symbols a program itself names; an unknown one
// is a mistake in the program and panics.
func MustLookup(symbol string) Unit {
	u, ok := Lookup(symbol)
	if !ok {
		panic("quantity: no unit is written " + symbol)
	}
	return u
}

// Units lists every unit, by dimension and then by symbol. Pressures are listed
// once, without the endings "abs" and "gauge".
func Units() []Unit {
	rows := table().rows
	all := make([]Unit, len(rows))
	for i := range rows {
		all[i] = Unit{row: &rows[i], dim: rows[i].dim}
	}
	slices.SortFunc(all, func(a, b Unit) int {
		return cmp.Or(cmp.Compare(a.dim, b.dim), strings.Compare(a.Symbol(), b.Symbol()))
	})
	return all
}

// pureNumber is what the zero Unit stands for.
const pureNumber = "1"

func (u Unit) def() *unitRow {
	if u.row == nil {
		return table().index[pureNumber].row
	}
	return u.row
}

// Symbol gives the unit as this package writes it: "mm", "lbf.ft", "kPa gauge".
func (u Unit) Symbol() string {
	switch u.dim {
	case PressureGauge:
		return u.def().symbol + " gauge"
	case PressureAbsolute:
		return u.def().symbol + " abs"
	}
	return u.def().symbol
}

// Dimension says what the unit measures.
func (u Unit) Dimension() Dimension { return u.dim }

// Factor gives the unit's exact size in words a reader can check: "0.0254 m",
// "5/9 K from 459.67/1.8 K". Sizes that hold pi are given by its quotient.
func (u Unit) Factor() string {
	r := u.def()
	text := exactText(r.factor, 0)
	if r.holdsPi != "" {
		text = r.holdsPi
	}
	if base := r.dim.row().base; base != "1" {
		text += " " + base
	}
	if r.zero != nil && u.dim == Temperature {
		text += ", from " + exactText(r.zero, 0) + " K"
	}
	return text
}

// Source names the definition the factor comes from.
func (u Unit) Source() string { return u.def().source }

// Spellings lists the other ways of writing the unit that are read as this one,
// beside those that plain signs allow: N·m for N m, µm for um.
func (u Unit) Spellings() []string { return slices.Clone(u.def().aliases) }

// As reads the unit for a dimension its symbol leaves open: kPa for gauge or
// absolute, degC for a difference. For any other dimension than its own it is
// an error.
func (u Unit) As(d Dimension) (Unit, error) {
	if !u.dim.may(d) {
		return Unit{}, fmt.Errorf("%s is a unit of %s, not of %s", u.Symbol(), u.dim, d)
	}
	return Unit{row: u.row, dim: d}, nil
}

// zero gives where the unit's zero lies, in the base unit, or nil for at zero:
// differences have no other.
func (u Unit) zero() *big.Rat {
	if u.dim != Temperature {
		return nil
	}
	return u.def().zero
}

// ToSI converts x, in unit u, to coherent SI units: m, kg, s, K, Pa, rad,
// rad/s and so on; a displacement per turn to m3 for each turn. The result is
// within two units of its last binary digit; for the exact way see Quantity.
func ToSI(x float64, u Unit) float64 {
	r := u.def()
	si := float64(x*r.siNum) / r.siDen
	if u.dim == Temperature {
		si += r.siZero
	}
	return si
}

// FromSI converts si, in coherent SI units, to unit u; it undoes ToSI.
func FromSI(si float64, u Unit) float64 {
	r := u.def()
	if u.dim == Temperature {
		si -= r.siZero
	}
	return float64(si*r.siDen) / r.siNum
}
