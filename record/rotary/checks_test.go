package rotary

import (
	"flag"
	"fmt"
	"maps"
	"math"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"stackbook/schema/quantity"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gopkg.in/yaml.v3"
)

// amount is one input or expected value of a check.
type amount struct {
	Value any // a number, a list of numbers, or a word
	Unit  string
}

type check struct {
	ID        string
	Inputs    map[string]amount
	Expected  map[string]amount
	Tolerance struct{ Rel, Abs float64 }
}

var checksFile = flag.String("checks", "../../testdata/checks.yaml", "known answers to check the formulas by")

// TestChecks works every known answer of a file through the registry. Another
// file of the same form: go test ./record/rotary -run TestChecks -args -checks FILE
func TestChecks(t *testing.T) {
	checks := readChecks(t, *checksFile)
	ran := 0
	for _, c := range checks {
		t.Run(c.ID, func(t *testing.T) {
			ran++
			for _, fault := range c.faults(checkRows) {
				t.Error(fault)
			}
		})
	}
	if !strings.Contains(flag.Lookup("test.run").Value.String(), "/") { // a part was not asked for
		assert.Equal(t, len(checks), ran, "checks run of those in the file")
		if f := flag.Lookup("checks"); f.Value.String() == f.DefValue {
			assert.Equal(t, 343, ran, "checks of the project's own file, none of which is lost")
		}
	}
}

// readChecks reads a file of known answers; an id that stands twice, or a
// check without an id or an expected value, is a fault of the file.
func readChecks(t *testing.T, file string) []check {
	t.Helper()
	text, err := os.ReadFile(file)
	require.NoError(t, err)
	var doc struct{ Checks []check }
	require.NoError(t, yaml.Unmarshal(text, &doc))
	require.NotEmpty(t, doc.Checks, "no checks in %s", file)
	seen := map[string]bool{}
	for _, c := range doc.Checks {
		require.NotEmpty(t, c.ID, "a check without an id")
		require.NotEmpty(t, c.Expected, "%s expects nothing", c.ID)
		require.False(t, seen[c.ID], "%s stands twice", c.ID)
		seen[c.ID] = true
	}
	return doc.Checks
}

// faults works the check by the rows of the longest fitting prefix and says
// all that is wrong: no formula, an input no formula takes, an expected value
// no formula gives, a value out of tolerance.
func (c check) faults(rows []checkRow) []string {
	fitting := fittingRows(rows, c.ID)
	if len(fitting) == 0 {
		return []string{"no formula for the check " + c.ID}
	}
	var faults []string
	given, used := map[string]Value{}, map[string]bool{}
	for _, row := range fitting {
		if err := c.answer(row, given, used); err != nil {
			faults = append(faults, err.Error())
		}
	}
	for _, name := range sortedNames(c.Inputs) {
		if !used[name] {
			faults = append(faults, "no formula takes the input "+name)
		}
	}
	for _, name := range sortedNames(c.Expected) {
		if got, ok := given[name]; !ok {
			faults = append(faults, "no formula gives "+name)
		} else if fault := c.compare(name, got, wordsOf(fitting)); fault != "" {
			faults = append(faults, fault)
		}
	}
	return faults
}

// fittingRows returns the rows with the longest prefix that fits the id.
func fittingRows(rows []checkRow, id string) []checkRow {
	longest := ""
	for _, r := range rows {
		if (id == r.prefix || strings.HasPrefix(id, r.prefix+".")) && len(r.prefix) > len(longest) {
			longest = r.prefix
		}
	}
	var fitting []checkRow
	for _, r := range rows {
		if longest != "" && r.prefix == longest {
			fitting = append(fitting, r)
		}
	}
	return fitting
}

// answer works one row's changes of unit and its formula, and notes what they
// give and which inputs they used.
func (c check) answer(row checkRow, given map[string]Value, used map[string]bool) error {
	for to, from := range row.converts {
		a, there := c.Inputs[from]
		if _, wanted := c.Expected[to]; !there || !wanted {
			continue
		}
		v, err := a.toSI()
		if err != nil {
			return fmt.Errorf("%s: %w", from, err)
		}
		given[to], used[from] = v, true
	}
	if row.formula == "" {
		return nil
	}
	f := ByID(row.formula)
	if f == nil {
		return fmt.Errorf("no formula with the id %s", row.formula)
	}
	in, err := c.arguments(row, f, used)
	if err != nil {
		return err
	}
	out, err := f.Work(in)
	if err != nil {
		return err
	}
	for name := range c.Expected {
		i, element := locate(f.Out, name, row.out)
		switch {
		case i < 0 || element > len(out[i].List):
		case element > 0:
			given[name] = Value{Number: out[i].List[element-1]}
		default:
			given[name] = out[i]
		}
	}
	return nil
}

// arguments puts the check's inputs in the order the formula takes them.
func (c check) arguments(row checkRow, f *Formula, used map[string]bool) ([]Value, error) {
	in, set := make([]Value, len(f.In)), make([]bool, len(f.In))
	for _, name := range sortedNames(c.Inputs) {
		if to, ok := row.in[name]; ok && to == "" {
			used[name] = true
		}
		i, element := locate(f.In, name, row.in)
		if i < 0 {
			continue
		}
		v, err := c.Inputs[name].toSI()
		if err != nil {
			return nil, fmt.Errorf("%s: %w", name, err)
		}
		used[name], set[i] = true, true
		if element == 0 {
			in[i] = v
			continue
		}
		for len(in[i].List) < element {
			in[i].List = append(in[i].List, math.NaN()) // a gap left open is refused by the formula
		}
		in[i].List[element-1] = v.Number
	}
	for i, p := range f.In {
		if si, ok := row.fixed[p.Symbol]; ok && !set[i] {
			in[i].Number, set[i] = si, true
		}
		if !set[i] && !p.Optional {
			return nil, fmt.Errorf("%s needs %s", f.ID, p.Symbol)
		}
		if !set[i] {
			in[i].Number = p.Default
		}
	}
	return in, nil
}

// locate finds the parameter a check's name means: its index, -1 for none, and
// for one element of a list the element's number, from 1.
func locate(params []Param, name string, names map[string]string) (index, element int) {
	find := func(name string) int {
		if to, ok := names[name]; ok {
			name = to
		}
		return slices.IndexFunc(params, func(p Param) bool { return name != "" && p.Symbol == name })
	}
	if i := find(name); i >= 0 {
		return i, 0
	}
	if i := find("n"); name == "rpm" && i >= 0 {
		return i, 0
	}
	list := strings.TrimRight(name, "0123456789")
	n, err := strconv.Atoi(name[len(list):])
	if i := find(list); err == nil && n > 0 && i >= 0 && params[i].Kind == List {
		return i, n
	}
	return -1, 0
}

// compare says how got differs from what the check expects under name, or "".
func (c check) compare(name string, got Value, words map[string]string) string {
	want := c.Expected[name]
	if word, ok := want.Value.(string); ok {
		if to, ok := words[word]; ok {
			word = to
		}
		if got.Text != word {
			return fmt.Sprintf("%s: got %q, want %q", name, got.Text, word)
		}
		return ""
	}
	x, ok := number(want.Value)
	if !ok {
		return fmt.Sprintf("%s: expects neither a number nor a word", name)
	}
	unit, err := want.unit()
	if err != nil {
		return fmt.Sprintf("%s: %v", name, err)
	}
	difference := quantity.FromSI(got.Number, unit) - x
	if unit.Symbol() == "deg" {
		difference = math.Remainder(difference, 360)
		if c.directionOfNothing(name) {
			return ""
		}
	}
	within := max(c.Tolerance.Abs, c.Tolerance.Rel*math.Abs(x), printedRounding(x))
	if !(math.Abs(difference) <= within) {
		return fmt.Sprintf("%s: got %.12g, want %.12g within %.3g %s", name, x+difference, x, within, want.Unit)
	}
	return ""
}

// printedRounding is half of the last digit of a value that fills the twelve
// digits the file prints at most, and so is a rounded one; 0 for a shorter one.
// Three changes of unit ask for a tolerance finer than that of their own digits.
func printedRounding(x float64) float64 {
	const digits = 12
	mantissa, exponent, _ := strings.Cut(strconv.FormatFloat(math.Abs(x), 'e', -1, 64), "e")
	if len(strings.Replace(mantissa, ".", "", 1)) < digits {
		return 0
	}
	power, _ := strconv.Atoi(exponent)
	return 0.5 * math.Pow10(power-digits+1)
}

// directionOfNothing reports whether name is the angle (ang_F) of a vector
// (U_F) that is expected to be shorter than 1e-3, so that it has no direction.
func (c check) directionOfNothing(name string) bool {
	plane, isAngle := strings.CutPrefix(name, "ang_")
	length, there := c.Expected["U_"+plane]
	x, _ := number(length.Value)
	return isAngle && there && math.Abs(x) < 1e-3
}

// unit looks up the amount's unit; a shaft angle's reckoning point (deg ATDC)
// is part of the name there, and "rel" is another word for a plain ratio.
func (a amount) unit() (quantity.Unit, error) {
	symbol := a.Unit
	for _, from := range []string{" ATDC", " BTDC", " ABDC", " BBDC"} {
		symbol = strings.TrimSuffix(symbol, from)
	}
	if symbol == "rel" {
		symbol = "1"
	}
	u, ok := quantity.Lookup(symbol)
	if !ok {
		return u, fmt.Errorf("the unit %q is not known", a.Unit)
	}
	return u, nil
}

// toSI converts an input.
func (a amount) toSI() (Value, error) {
	if word, ok := a.Value.(string); ok {
		return Value{Text: word}, nil
	}
	u, err := a.unit()
	if err != nil {
		return Value{}, err
	}
	if x, ok := number(a.Value); ok {
		return Value{Number: quantity.ToSI(x, u)}, nil
	}
	list, ok := a.Value.([]any)
	if !ok {
		return Value{}, fmt.Errorf("%v is neither a number, a list nor a word", a.Value)
	}
	var v Value
	for _, element := range list {
		x, ok := number(element)
		if !ok {
			return Value{}, fmt.Errorf("%v is not a number", element)
		}
		v.List = append(v.List, quantity.ToSI(x, u))
	}
	return v, nil
}

func number(v any) (float64, bool) {
	switch x := v.(type) {
	case int:
		return float64(x), true
	case float64:
		return x, true
	}
	return 0, false
}

func wordsOf(rows []checkRow) map[string]string {
	all := map[string]string{}
	for _, r := range rows {
		maps.Copy(all, r.words)
	}
	return all
}

func sortedNames(amounts map[string]amount) []string {
	return slices.Sorted(maps.Keys(amounts))
}
