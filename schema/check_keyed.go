package schema

import (
	"slices"
	"strings"

	"stackbook/schema/problem"
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
		case OwnKey:
			if !c.ownKey(e, path) {
				continue
			}
		}
		c.entry(e, f.Of, at)
	}
}

// ownKey checks a name the person chose.
func (c *checker) ownKey(e source.Entry, path string) bool {
	err := checkCode(e.Key)
	switch {
	case strings.TrimSpace(e.Key) == "":
		c.addKey(e, "key", path+": a key is empty", "write a name of your own before the colon")
	case err != nil:
		c.addKey(e, "key", path+": "+err.Error(), "write it as it is seen: "+source.Quote(cleanCode(e.Key)))
	default:
		return true
	}
	return false
}

// entry checks one entry of a mapping with free keys; one that is empty lacks
// what every entry must have.
func (c *checker) entry(e source.Entry, f *Field, path string) {
	if IsEmpty(e.Value) && example(f) != "{}" && f.Type == Group {
		c.addKey(e, "empty", path+" is empty: "+f.Help, "write: "+e.Key+": "+example(f))
		return
	}
	c.value(e, f, path)
}

// readings checks the readings of one point.
func (c *checker) readings(e source.Entry) {
	point := FindPoint(e.Key)
	if point == nil {
		mend := "readings of your own go under shop:"
		if near := Nearest(e.Key, PointIDs()); near != "" {
			mend = "did you mean " + near + "? " + mend
		}
		c.addKey(e, "unknown-point", "there is no point "+quoted(e.Key)+" to measure", mend)
		return
	}
	if e.Value.Kind() == source.Scalar && e.Value.IsNull() {
		return
	}
	read, problems := ReadPoint(c.file, point, e.Value, c.instruments, c.rotors)
	c.read, c.list = append(c.read, read...), append(c.list, problems...)
}

// limit checks one line of a limit set: a figure's limit is checked where the
// figures are known, a point's here.
func (c *checker) limit(e source.Entry, f *Field, path string) {
	point := FindPoint(e.Key)
	if point != nil && point.Text {
		c.addKey(e, "word", e.Key+" is written in words and has no limit", "take the line out")
		return
	}
	c.entry(e, f, path)
	for _, b := range []string{"new", "reuse"} {
		for _, side := range []string{"min", "max"} {
			n := e.Value.At(b, side)
			if point == nil || n == nil || n.Kind() != source.Scalar || IsEmpty(n) || c.told(n) {
				continue
			}
			if _, err := point.value(n.Text(), nil); err != nil {
				r := point.refusal(err, nil)
				c.add(n, "quantity", strings.Join([]string{path, b, side}, ".")+": "+r.What, r.Mend)
			}
		}
	}
}

// told tells whether something is said of a value already.
func (c *checker) told(n *source.Node) bool {
	return slices.ContainsFunc(c.list, func(p problem.Problem) bool { return p.Line == n.Line() && p.Column == n.Column() })
}

// belongs names the keyed group of f that a mapping has the keys of an entry
// of, "" where there is none: it was written beside the group and not in it.
func (f *Field) belongs(n *source.Node) string {
	for i := range f.Fields {
		group := &f.Fields[i]
		if group.Type != Keyed || group.Of == nil || len(n.Entries()) == 0 {
			continue
		}
		if !slices.ContainsFunc(n.Entries(), func(e source.Entry) bool { return group.Of.Find(e.Key) == nil }) {
			return group.Key
		}
	}
	return ""
}
