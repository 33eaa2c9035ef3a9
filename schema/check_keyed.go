package schema

import (
	"fmt"
	"strings"

	"stackbook/schema/quantity"
	"stackbook/schema/source"
)

// keyed checks a mapping whose keys are positions, points, limits or the
// person's own names.
func (c *checker) keyed(n *source.Node, f *Field, path string) {
	if n.Kind() != source.Map {
		c.add(n, "wrong-shape", path+" holds keys of its own", "write them below it, indented")
		return
	}
	entries := n.Entries()
	for i := 0; i < len(entries); i++ {
		e := entries[i]
		at := path + "." + e.Key
		if head, tail, ok := commaInMap(entries, i); ok {
			c.list = append(c.list, decimalComma(c.file, e.Value, at, e.Key+": "+f.Of.withPoint(head, tail)))
			i++
			continue
		}
		switch f.Keys {
		case PositionKey:
			if err := CheckPosition(e.Key, c.rotors); err != nil {
				c.addKey(e, "position", path+": "+err.Error(), (&Field{Type: Position}).mend(e.Key, c.rotors))
				continue
			}
		case PointKey:
			c.readings(e)
			continue
		case LimitKey:
			c.limit(e, f.Of, at)
			continue
		}
		c.value(e, f.Of, at)
	}
}

// readings checks the readings of one point.
func (c *checker) readings(e source.Entry) {
	point := FindPoint(e.Key)
	if point == nil {
		mend := "readings of your own go under shop:"
		if near := Nearest(e.Key, PointIDs()); near != "" {
			mend = "did you mean " + near + "? " + mend
		}
		c.addKey(e, "unknown-point", fmt.Sprintf("there is no point %q to measure", e.Key), mend)
		return
	}
	if e.Value.Kind() == source.Scalar && e.Value.IsNull() {
		return
	}
	_, problems := ReadPoint(c.file, point, e.Value, c.instruments, c.rotors)
	c.list = append(c.list, problems...)
}

// limit checks one line of a limit set: a figure's limit is checked where the
// figures are known, a point's here.
func (c *checker) limit(e source.Entry, f *Field, path string) {
	c.value(e, f, path)
	for _, b := range []string{"new", "reuse"} {
		for _, side := range []string{"min", "max"} {
			n := e.Value.At(b, side)
			if n == nil || n.IsNull() {
				continue
			}
			if point := FindPoint(e.Key); point != nil {
				if _, err := point.value(n.Text(), nil); err != nil {
					r := point.refusal(err, nil)
					c.add(n, "quantity", strings.Join([]string{path, b, side}, ".")+": "+r.What, r.Mend)
				}
			}
		}
	}
}

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
	case Flag:
		return "yes"
	case Choice:
		return f.Choices[0]
	case Position:
		return "rotor/1"
	case Series:
		return "[" + example(f.Of) + "]"
	case Code:
		return exampleCode(f.Key)
	}
	return exampleWords(f.Key)
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
	}
	return "a few words"
}
