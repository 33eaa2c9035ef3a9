package figure_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"stackbook/record"
	"stackbook/record/figure"
	"stackbook/schema/quantity"
)

// scaled writes a whole number of last digits as a decimal: 3061 with three
// decimals is 3.061.
func scaled(n, decimals int) string {
	if decimals == 0 {
		return fmt.Sprint(n)
	}
	sign := ""
	if n < 0 {
		sign, n = "-", -n
	}
	text := fmt.Sprintf("%0*d", decimals+1, n)
	return sign + text[:len(text)-decimals] + "." + text[len(text)-decimals:]
}

// atLimits is an engine with one band and six values about it, each a last
// digit inside, at or outside an end: as readings of six bolts, and as
// differences at six apexes.
type atLimits struct {
	decimals  int
	low, high int // in last digits
	length    int // of the seals, in last digits
}

func (a atLimits) values() [6]int {
	return [6]int{a.low, a.low - 1, a.low + 1, a.high, a.high - 1, a.high + 1}
}

func (a atLimits) compute(t *testing.T) *figure.Set {
	t.Helper()
	var bolts, widths, lengths strings.Builder
	for i, v := range a.values() {
		fmt.Fprintf(&bolts, "    bolt/%d: %s\n", i+1, scaled(v, a.decimals))
		fmt.Fprintf(&widths, "    housing/%d/at/A: %s\n", i+1, scaled(a.length+v, a.decimals))
		fmt.Fprintf(&lengths, "    rotor/%d/apex/1: %s\n", i+1, scaled(a.length, a.decimals))
	}
	files := []record.File{
		{Path: "engines/2024/SK-07/spec.yaml", Data: []byte("format: spec/1\nengine: SK-07\nid: 7f3a-91c0-55de\ntitle: six\nbuild: 1\ngeometry:\n  rotors: 6\n")},
		{Path: "engines/2024/SK-07/measurements/2024-03-02-mock-up-KM.yaml", Data: []byte(
			"format: measurements/1\nengine: SK-07\nbuild: 1\nstage: mock-up\ndate: 2024-03-02\nby: KM\nreadings:\n  tightening_torque:\n    unit: N m\n" +
				bolts.String() + "  housing_width:\n    unit: mm\n" + widths.String() + "  apex_seal_length:\n    unit: mm\n" + lengths.String())},
	}
	limits := fmt.Sprintf("format: limits/1\nname: edge\nlimits:\n  tightening_torque:\n    new: {min: %s N m, max: %s N m}\n    source: invented\n"+
		"  apex_seal.end_gap:\n    new: {min: %s mm, max: %s mm}\n    source: invented\n",
		scaled(a.low, a.decimals), scaled(a.high, a.decimals), scaled(a.low, a.decimals), scaled(a.high, a.decimals))
	return (&edge{files, limits}).compute(t)
}

type edge struct {
	files  []record.File
	limits string
}

func (e *edge) compute(t *testing.T) *figure.Set {
	t.Helper()
	engine, problems := record.Load("engines/2024/SK-07", e.files)
	require.Empty(t, problems)
	limits, problems := record.ReadLimits(record.File{Path: "limits/edge.yaml", Data: []byte(e.limits)})
	require.Empty(t, problems)
	return figure.Compute(engine, limits)
}

// R6: at the limit is inside, one last digit beyond is outside, for readings
// and for clearances that are differences of two, and what is printed lies on
// the side the verdict says. Binary floats alone get nearly half of these
// wrong.
func TestR6AtTheLimitIsInside(t *testing.T) {
	t.Parallel()
	random := rand.New(rand.NewPCG(6, 2024))
	inside := [6]bool{true, false, true, true, true, false}
	for range 200 {
		a := atLimits{decimals: 1 + random.IntN(4)}
		unit := int(math.Pow10(a.decimals))
		a.low = 2 + random.IntN(unit)
		a.high = a.low + 3 + random.IntN(unit)
		a.length = 60*unit + random.IntN(30*unit)
		set := a.compute(t)
		for i, want := range inside {
			for _, r := range []*figure.Result{
				result(t, set, "tightening_torque", fmt.Sprintf("bolt/%d", i+1)),
				result(t, set, "apex_seal.end_gap", fmt.Sprintf("rotor/%d/apex/1", i+1)),
			} {
				require.Equal(t, want, r.Verdict == figure.Conforms, "%s %+v, value %d", r.Figure.ID, a, i)
				require.Equal(t, want, printedInside(t, r, a), "%s prints %s, %+v", r.Figure.ID, r.Text(), a)
			}
		}
	}
}

// printedInside holds the printed text, as an exact decimal, against the band.
func printedInside(t *testing.T, r *figure.Result, a atLimits) bool {
	t.Helper()
	unit := quantity.MustLookup(r.Figure.Unit)
	exact := func(text string) quantity.Quantity {
		q, err := quantity.ParseNumber(text, unit)
		require.NoError(t, err)
		return q
	}
	low, err := exact(r.Text()).Cmp(exact(scaled(a.low, a.decimals)))
	require.NoError(t, err)
	high, err := exact(r.Text()).Cmp(exact(scaled(a.high, a.decimals)))
	require.NoError(t, err)
	return low >= 0 && high <= 0
}

// R6: the difference of two decimals is the decimal, and nothing beside it.
func TestR6DifferencesAreExact(t *testing.T) {
	set := build1(t).compute(t)
	require.Equal(t, 0.138e-3, result(t, set, "rotor.side_clearance", "rotor/2").Value) // 78.004 − 77.866
	require.Equal(t, 0.008e-3, result(t, set, "housing.width_difference", "housing/2").Value)
	require.Equal(t, 0.058e-3, result(t, set, "bearing.oil_clearance", "bearing/main/front").Value)
}

// R6: a limit of nothing is a limit too: zero conforms, less does not.
func TestR6LimitOfZero(t *testing.T) {
	for at, verdict := range map[string]figure.Verdict{"0.000": figure.Conforms, "0.001": figure.Conforms, "-0.001": figure.Fails} {
		s := build1(t).replaceLimit(t, "    new: {max: 0.02 mm}\n    reuse: {max: 0.06 mm}\n", "    new: {min: 0 mm}\n")
		width := map[string]string{"0.000": "78.010", "0.001": "78.009", "-0.001": "78.011"}[at]
		for _, place := range []string{"B", "C", "D"} {
			s.set(t, mockUp1, width, "readings", "housing_width", "housing/1/at/"+place)
		}
		s.set(t, mockUp1, "78.010", "readings", "housing_width", "housing/1/at/A")
		s.replace(t, mockUp1, "outside micrometers 25-100 mm in three, resolution: 0.001 mm, expanded_uncertainty: 0.004 mm", "outside micrometers 25-100 mm in three, resolution: 0.001 mm")
		r := result(t, s.compute(t), "housing.width_difference", "housing/1")
		require.Equal(t, at, r.Text())
		require.Equal(t, verdict, r.Verdict, at)
	}
}

// agreesWithVerdict tells whether a printed text lies on the same side of an
// upper limit as the value. Nearer than a thousand-millionth counts as at the
// limit, by R6.
func agreesWithVerdict(t *testing.T, r *figure.Result, u quantity.Unit, decimals int) bool {
	t.Helper()
	q, err := quantity.ParseNumber(textIn(r, u, decimals), u)
	require.NoError(t, err)
	beyond := func(x float64) bool { return (x-r.Limit.High)/r.Limit.High > 0.5e-9 }
	return beyond(q.SI()) == beyond(r.Value)
}

// R6: enough digits are shown, in whatever unit, that a value just outside is
// never printed as inside, nor the other way.
func TestR6TextAndVerdictAgree(t *testing.T) {
	random := rand.New(rand.NewPCG(6, 2025))
	units := map[string][]string{"rotor.side_clearance": {"mm", "in", "um"}, "balance.residual": {"g mm"}, "cranking_pressure": {"kPa gauge", "psi gauge", "bar gauge"}}
	for range 3000 {
		for id, spellings := range units {
			limit := math.Pow(10, -3+7*random.Float64())
			off := math.Pow(10, -8.5+6*random.Float64())
			if random.IntN(2) == 0 {
				off = -off
			}
			limitSI := quantity.ToSI(limit, quantity.MustLookup(spellings[0]))
			r := &figure.Result{Figure: figure.ByID(id), Value: limitSI * (1 + off), Decimals: random.IntN(4), Limit: &figure.Limit{Low: math.NaN(), High: limitSI}}
			for _, spelling := range spellings {
				u := quantity.MustLookup(spelling)
				require.True(t, agreesWithVerdict(t, r, u, r.Decimals), "%s: %v against %v prints %s %s", id, r.Value, limitSI, textIn(r, u, r.Decimals), spelling)
			}
		}
	}
}

// Digits are added only where the verdict needs them.
func TestTextKeepsItsDecimalsWhereItCan(t *testing.T) {
	for _, row := range []struct {
		value float64 // mm
		text  string
	}{
		{0.0700, "0.070"}, {0.0704, "0.0704"}, {0.07004, "0.07004"}, {0.0712, "0.071"}, {0.0698, "0.070"}, {0.0652, "0.065"},
	} {
		r := &figure.Result{Figure: figure.ByID("rotor.side_clearance"), Value: row.value / 1000, Decimals: 3, Limit: &figure.Limit{Low: math.NaN(), High: 0.07e-3}}
		require.Equal(t, row.text, r.Text())
	}
}

// R6, over whatever numbers come: the printed text is a finite decimal and
// lies on the value's side of the limit.
func FuzzText(f *testing.F) {
	f.Add(0.0700001, 0.07, 3)
	f.Add(0.07, 0.07, 0)
	f.Add(1e-6, 1e-6, 1)
	f.Fuzz(func(t *testing.T, value, limit float64, decimals int) {
		if !(math.Abs(value) < 1e6) || !(limit > 1e-4 && limit < 1e6) || decimals < 0 || decimals > 6 {
			return
		}
		off := math.Abs(value-limit) / limit
		if off > 0.3e-9 && off < 2e-9 {
			return // on the edge of what R6 calls equal
		}
		mm := quantity.MustLookup("mm")
		r := &figure.Result{Figure: figure.ByID("end_float"), Value: quantity.ToSI(value, mm), Limit: &figure.Limit{Low: math.NaN(), High: quantity.ToSI(limit, mm)}}
		require.True(t, agreesWithVerdict(t, r, mm, decimals), "%v against %v prints %s", value, limit, textIn(r, mm, decimals))
	})
}

// textIn prints a value in a unit with at least some decimals, against its
// limit in full.
func textIn(r *figure.Result, u quantity.Unit, decimals int) string {
	decimals, _ = r.Digits(u, decimals, 15)
	return quantity.Format(quantity.FromSI(r.Value, u), decimals)
}

// R6: a limit that is reckoned gets as many digits as tell it from the value:
// 16.28 against 16.2755 is not "16.3 fails at most 16.3".
func TestR6ReckonedLimitShowsEnoughDigits(t *testing.T) {
	f := figure.ByID("balance.residual")
	u := quantity.MustLookup(f.Unit)
	r := &figure.Result{Figure: f, Value: quantity.ToSI(16.28, u), Limit: &figure.Limit{Low: math.NaN(), High: quantity.ToSI(16.2755, u)}}
	value, limit := r.Digits(u, 1, 1)
	require.Equal(t, []string{"16.280", "16.276"}, []string{quantity.Format(16.28, value), quantity.Format(16.2755, limit)})
}
