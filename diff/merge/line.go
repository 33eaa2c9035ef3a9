package merge

import (
	"errors"
	"strings"

	"stackbook/schema"
	"stackbook/schema/source"
)

// line writes a reading, so that under what its point gives to all readings in
// our text it means what was decided.
func (w *writer) line(v *value) error {
	if same(w.tree.at(v.ids), v) {
		return nil
	}
	parent := w.tree.at(v.ids[:2])
	if parent == nil {
		return errors.New("its point is gone")
	}
	err := w.try(parent, v, lineWritings(v, parent), func() bool { return same(w.tree.at(v.ids), v) })
	if err == nil && !same(w.tree.at(v.ids), v) {
		return errors.New("our text gives all readings of the point something that this one was read without")
	}
	return err
}

// lineWritings are the ways to write a reading below a point of our text, the
// shortest first: as it stands in its own text, with its unit, with all its
// particulars.
func lineWritings(v *value, point *value) []string {
	read := v.kid(measured)
	var list []string
	one := true
	for _, k := range v.kids {
		one = one && k.node == read.node
	}
	if one {
		list = writings(read)
	}
	key, raw := rawReading(read)
	unit := written(read, unitKey)
	parts := []string{key + ": " + raw}
	if unit != "" && unit != textOf(point.node.Get(unitKey)) {
		if read.node.Kind() == source.Scalar {
			list = append(list, raw+" "+unit)
		}
		parts = append(parts, unitKey+": "+source.Quote(unit))
	}
	for _, k := range v.kids {
		if given := point.kid(k.key()); k.key() != measured && (given == nil || given.canonical != k.canonical) {
			parts = append(parts, k.key()+": "+source.Quote(written(k, k.key())))
		}
	}
	return append(list, "{"+strings.Join(parts, ", ")+"}")
}

// rawReading is what was read as it is written, and the key it would have in a
// reading written out.
func rawReading(v *value) (key, raw string) {
	for _, key := range []string{"value", "between", "text"} {
		if n := v.node.Get(key); n != nil && !schema.IsEmpty(n) {
			raw, _ = v.doc.Raw(below(v.path, key)...)
			return key, raw
		}
	}
	raw, _ = v.doc.Raw(v.path...)
	if point := schema.FindPoint(v.path[1]); point.Text {
		return "text", raw
	}
	return "value", raw
}

// written is the text of a particular, or the unit, that holds for a reading:
// its own or its point's.
func written(v *value, key string) string {
	if own := textOf(v.node.Get(key)); own != "" {
		return own
	}
	return textOf(v.doc.Root().At(v.path[0], v.path[1], key))
}

// textOf is the text of a scalar, "" for none.
func textOf(n *source.Node) string {
	if n == nil || n.Kind() != source.Scalar || schema.IsEmpty(n) {
		return ""
	}
	return n.Text()
}
