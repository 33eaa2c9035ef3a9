package schema

import (
	"fmt"
	"strings"

	"stackbook/schema/source"
)

// keyed checks a mapping whose keys are positions, points, limits or the
// person's own names.
func (c *checker) keyed(n *source.Node, f *Field, path string) {
	if n.Kind() != source.Map {
		c.add(n, "wrong-shape", path+" holds keys of its own", "write them below it, indented")
		return
	}
	for _, e := range n.Entries() {
		at := path + "." + e.Key
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
				if _, err := ParseQuantity(n.Text(), point.Dim, point.Unit); err != nil {
					c.add(n, "quantity", strings.Join([]string{path, b, side}, ".")+": "+err.Error(), "write it with its unit, in "+point.Unit)
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
		return exampleQuantity(f)
	case Amount:
		return "0.002 mm"
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

func exampleQuantity(f *Field) string {
	if f.Unit == "1" {
		return "1.5"
	}
	return "12.5 " + f.Unit
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
