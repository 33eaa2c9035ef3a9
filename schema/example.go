package schema

import (
	"strings"

	"stackbook/schema/quantity"
)

// What follows makes up values for the mends: whatever a mend proposes is right
// when it is typed in.

// example is a value a person could write for a field.
func example(f *Field) string {
	switch f.Type {
	case Day:
		return "2024-03-02"
	case Whole:
		if f.Key == "build" || f.Key == "dictionary" {
			return "1"
		}
		return "2"
	case Quantity:
		return exampleQuantity(f.Dim, f.Unit, f.Low, f.High)
	case Amount:
		return "0.002 mm"
	case Flag:
		return "yes"
	case Choice:
		return f.Choices[0]
	case Position:
		return "rotor/1"
	case Group:
		return exampleGroup(f)
	case Keyed:
		return "{}"
	case Series:
		return exampleSeries(f)
	case Code:
		return exampleCode(f.Key)
	}
	return exampleWords(f.Key)
}

// exampleGroup is a group with what it must have.
func exampleGroup(f *Field) string {
	var parts []string
	for i := range f.Fields {
		if child := &f.Fields[i]; child.Required {
			parts = append(parts, child.Key+": "+example(child))
		}
	}
	return "{" + strings.Join(parts, ", ") + "}"
}

// exampleSeries is a list; the columns of a run and its rows go together.
func exampleSeries(f *Field) string {
	switch f.Key {
	case "columns":
		return "[speed rpm, torque N m]"
	case "rows":
		return "[[8400, 180]]"
	case "row":
		return "[8400, 180]"
	}
	return "[" + example(f.Of) + "]"
}

// exampleNumbers are tried in turn for an example that makes sense.
var exampleNumbers = []string{"12.5", "2", "0.5", "0.05", "50", "120"}

// exampleQuantity is a quantity of dimension dim between two bounds, in the
// dictionary's unit.
func exampleQuantity(dim quantity.Dimension, unit, low, high string) string {
	candidates := []string{}
	if example := dim.Example(); strings.HasSuffix(example, " "+unit) {
		candidates = append(candidates, example)
	}
	for _, number := range exampleNumbers {
		candidates = append(candidates, strings.TrimSuffix(number+" "+unit, " 1"))
	}
	for _, text := range candidates {
		if q, err := quantity.Parse(text, dim, unit); err == nil && sensible(q, low, high, dim) == nil {
			return text
		}
	}
	return low
}

// exampleNumber is a number alone that makes sense where its unit is given
// elsewhere.
func exampleNumber(dim quantity.Dimension, unit quantity.Unit, low, high string) string {
	plain := strings.TrimSuffix(strings.TrimSuffix(unit.Symbol(), " gauge"), " abs")
	example := exampleQuantity(dim, plain, low, high)
	return strings.TrimSuffix(example, " "+plain)
}

func exampleCode(key string) string {
	switch key {
	case "id":
		return "7f3a-91c0-55de"
	case "customer":
		return "C-03"
	case "lot":
		return "L-2304"
	case "sha256":
		return "the file's SHA-256"
	}
	return "R-1177"
}

func exampleWords(key string) string {
	switch key {
	case "engine":
		return "SK-07"
	case "by":
		return "KM"
	case "format":
		return "spec/1"
	case "source":
		return "the shop's own measurement, 2024"
	case "min", "max":
		return "2 mm"
	}
	return "a few words"
}

// exampleKey is a key the point is read under in any engine.
func (p *Point) exampleKey() string {
	first := func(patterns []Pattern) string {
		return Pattern(strings.ReplaceAll(string(patterns[0]), "*n", "1")).Expand(1)[0]
	}
	if len(p.Places) == 0 {
		return first(p.At)
	}
	return first(p.At) + "/" + first(p.Places)
}

// exampleValue is a value of the point, or words where it has no number.
func (p *Point) exampleValue() string {
	if p.Text {
		return "a few words"
	}
	return p.example(nil)
}

// example is a value of the point, a number alone where its unit is given
// elsewhere.
func (p *Point) example(unit *quantity.Unit) string {
	if unit == nil {
		return exampleQuantity(p.Dim, p.Unit, p.Low, p.High)
	}
	return exampleNumber(p.Dim, *unit, p.Low, p.High)
}
