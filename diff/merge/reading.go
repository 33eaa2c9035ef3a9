package merge

import (
	"strconv"
	"strings"

	"stackbook/schema"
	"stackbook/schema/quantity"
	"stackbook/schema/source"
)

// unitKey is the key of the unit a point's bare numbers are in. It is spelling:
// each reading is compared by what it means in its unit.
const unitKey = "unit"

// measured is the name of what was read, beside the particulars.
const measured = "value"

// particulars are the keys that say with what and how a reading was taken, at
// the reading or for all readings of a point.
var particulars = []string{"instrument", "temperature", "temperature_error", "method", "by", "note"}

// text is a particular of a reading.
func text(r *schema.Reading, particular string) string {
	return map[string]string{"instrument": r.Instrument, "temperature": meaning(r.Temperature), "temperature_error": meaning(r.TemperatureError),
		"method": r.Method, "by": r.By, "note": r.Note}[particular]
}

// meaning is a text equal for equal quantities, empty for none.
func meaning(q *quantity.Quantity) string {
	if q == nil {
		return ""
	}
	return q.Canonical()
}

// point reads the readings of one point: the particulars it gives to all of
// them, and each reading with those that hold for it.
func (r reader) point(e source.Entry, ids, path []string) *value {
	v := &value{shape: keys, ids: ids, path: path, doc: r.doc, node: e.Value}
	read := r.readings(e)
	for _, line := range e.Value.Entries() {
		at := below(path, line.Key)
		var k *value
		if taken, ok := read[line.Key]; ok {
			k = r.taking(taken, line.Value, below(ids, line.Key), at)
		} else if line.Key != unitKey {
			k = r.value(nil, line.Value, below(ids, line.Key), at)
		}
		if k != nil {
			v.kids = append(v.kids, k)
		}
	}
	return v
}

// readings are the readings of a point that were taken, by their keys; those
// that cannot be read are none.
func (r reader) readings(e source.Entry) map[string]*schema.Reading {
	point := schema.FindPoint(e.Key)
	if point == nil {
		return nil
	}
	list, _ := schema.ReadPoint(r.doc.Name(), point, e.Value, r.doc.Root().Get("instruments"), 0)
	read := map[string]*schema.Reading{}
	for i := range list {
		read[list[i].Key] = &list[i]
	}
	return read
}

// taking is one reading with its particulars.
func (r reader) taking(taken *schema.Reading, n *source.Node, ids, path []string) *value {
	v := &value{shape: reading, ids: ids, path: path, doc: r.doc, node: n, entity: true}
	add := func(key, canonical string, inherited bool) {
		if canonical != "" {
			v.kids = append(v.kids, &value{ids: below(ids, key), path: path, doc: r.doc, node: n, canonical: canonical, inherited: inherited})
		}
	}
	add(measured, taken.Canonical(), false)
	for _, key := range particulars {
		own := n.Get(key)
		add(key, text(taken, key), own == nil || schema.IsEmpty(own))
	}
	return v
}

// table reads a table: its columns as one value, since a row means nothing
// without them, and its rows by their speed, each as one value.
func (r reader) table(v *value) {
	columns := v.kid("columns")
	if columns == nil || columns.node.Kind() != source.List {
		return
	}
	var names []string
	for _, n := range columns.node.Items() {
		names = append(names, heading(n.Text()))
	}
	columns.shape, columns.kids, columns.canonical = leaf, nil, strings.Join(names, ", ")
	rows := v.kid("rows")
	if rows == nil || rows.node.Kind() != source.List {
		return
	}
	var kids []*value
	named := map[string]bool{}
	for _, n := range rows.node.Items() {
		cells := n.Items()
		if len(cells) == 0 || named[number(cells[0])] {
			return // not rows of numbers: one value
		}
		named[number(cells[0])] = true
		k := &value{ids: below(rows.ids, number(cells[0])), path: below(rows.path, strconv.Itoa(len(kids))), doc: r.doc, node: n}
		for _, cell := range cells {
			k.canonical += " " + number(cell)
		}
		kids = append(kids, k)
	}
	rows.shape, rows.kids, rows.canonical = entries, kids, ""
}

// heading is a column's name and unit, the same for all spellings of the unit.
func heading(written string) string {
	for i := range schema.DynoColumns() {
		name := schema.DynoColumns()[i].Key
		unit, ok := strings.CutPrefix(written, name+" ")
		if u, known := quantity.Lookup(unit); ok && known {
			return name + " " + u.Symbol()
		}
	}
	return written
}

// number is a cell's number, the same for 171 and 171.0; what is none stands
// for itself.
func number(n *source.Node) string {
	if q, err := quantity.ParseNumber(n.Text(), quantity.MustLookup("1")); err == nil {
		return q.Canonical()
	}
	return canonical(nil, n)
}
