package diff

import (
	"slices"
	"strconv"
	"strings"

	"stackbook/record"
	"stackbook/schema"
	"stackbook/schema/quantity"
	"stackbook/schema/source"
)

// Plain gives a record as lines of text, one a value, "path: value", so that two
// states of it compared line by line differ where they differ in meaning: keys
// stand in the dictionary's order, quantities in its units, readings with their
// own unit and instrument; comments are left out. What the dictionary does not
// know, and what cannot be read, stands as it was written: nothing written is
// left out.
func Plain(r *record.Record) []string {
	p := &plain{record: r}
	p.group("", r.Field, r.Doc.Root())
	return p.lines
}

// plain gathers the lines of one record.
type plain struct {
	record *record.Record
	lines  []string
}

// add adds a value; one of several lines becomes as many.
func (p *plain) add(path, text string) {
	for line := range strings.SplitSeq(strings.TrimRight(text, "\n"), "\n") {
		p.lines = append(p.lines, path+": "+line)
	}
}

// value writes one value of a field, which may be missing. One of another shape
// than the field's is written as it stands.
func (p *plain) value(path string, f *schema.Field, n *source.Node) {
	switch n = present(n); {
	case n == nil:
	case f.Type == schema.Group && n.Kind() == source.Map:
		p.group(path, f, n)
	case f.Type == schema.Keyed && n.Kind() == source.Map:
		p.keyed(path, f, n)
	case f.Type == schema.Series && n.Kind() == source.List:
		p.series(path, f, n)
	case n.Kind() != source.Scalar:
		p.written(path, n)
	default:
		p.add(path, inOwnUnit(f, n))
	}
}

// group writes the known keys in the dictionary's order, then the others.
func (p *plain) group(path string, f *schema.Field, n *source.Node) {
	for i := range f.Fields {
		child := &f.Fields[i]
		p.value(dot(path, child.Key), child, n.Get(child.Key))
	}
	for _, e := range n.Entries() {
		if f.Find(e.Key) == nil {
			p.written(dot(path, e.Key), e.Value)
		}
	}
}

func (p *plain) keyed(path string, f *schema.Field, n *source.Node) {
	keys := keysOf(n, nil)
	if f.Keys == schema.PointKey {
		keys = pointsInOrder(keys)
	}
	for _, key := range keys {
		at, child := dot(path, key), n.Get(key)
		point := schema.FindPoint(key)
		if f.Keys == schema.PointKey && point != nil && p.readings(at, point, child) {
			continue
		}
		p.value(at, f.Of, child)
	}
}

// pointsInOrder sorts points as the dictionary has them, others last.
func pointsInOrder(keys []string) []string {
	order := schema.PointIDs()
	rank := func(key string) int {
		if i := slices.Index(order, key); i >= 0 {
			return i
		}
		return len(order)
	}
	slices.SortStableFunc(keys, func(a, b string) int { return rank(a) - rank(b) })
	return keys
}

// readings writes the readings of one point, each with what holds for all of
// them, and what is noted where none was taken; it gives false, and writes none,
// where they cannot all be read.
func (p *plain) readings(path string, point *schema.Point, group *source.Node) bool {
	list, problems := schema.ReadPoint(p.record.Path, point, group, p.record.Node("instruments"), 0)
	if len(problems) > 0 {
		return false
	}
	readings := map[string]*schema.Reading{}
	for i := range list {
		readings[list[i].Key] = &list[i]
	}
	for _, key := range mergedKeys(readings, nil) {
		r := readings[key]
		p.add(path+" "+key, readText(r))
		for i, text := range []string{r.Instrument, besideLeaf(r.Temperature).text, besideLeaf(r.TemperatureError).text, r.Method, r.By, r.Note} {
			if text != "" {
				p.add(path+" "+key+" "+particulars[i], text)
			}
		}
	}
	for _, e := range group.Entries() {
		common := e.Value.Kind() == source.Scalar && len(readings) > 0 // it stands with each of them
		if readings[e.Key] == nil && present(e.Value) != nil && !common {
			p.written(dot(path, e.Key), e.Value)
		}
	}
	return true
}

// readText is what was read, in the point's unit.
func readText(r *schema.Reading) string {
	in := func(list []quantity.Quantity) []string {
		var texts []string
		for _, q := range list {
			texts = append(texts, inUnitOf(q, r.Point.Unit))
		}
		return texts
	}
	switch {
	case r.Text != "":
		return r.Text
	case len(r.Between) > 0:
		return "between " + strings.Join(in(r.Between), " and ")
	}
	return strings.Join(in(r.Values), ", ")
}

// series writes a list: entries with a name by their name, words sorted where
// their order says nothing, rows one a line, and the rest by their number.
func (p *plain) series(path string, f *schema.Field, n *source.Node) {
	switch named := byIdentity(n, f.Identity); {
	case f.Identity != "" && len(named) == len(n.Items()):
		for _, id := range mergedKeys(named, nil) {
			p.value(dot(path, id), f.Of, named[id])
		}
	case f.Of.Type == schema.Position:
		for _, word := range mergedKeys(members(n), nil) {
			p.add(path, word)
		}
	case f.Of.Type == schema.Series:
		for _, row := range n.Items() {
			p.add(path, rowText(row))
		}
	default:
		for i, item := range n.Items() {
			p.value(dot(path, strconv.Itoa(i+1)), f.Of, item)
		}
	}
}

func rowText(row *source.Node) string {
	var cells []string
	for _, cell := range row.Items() {
		cells = append(cells, cell.Text())
	}
	return strings.Join(cells, ", ")
}

// written writes a value without a declaration.
func (p *plain) written(path string, n *source.Node) {
	switch n.Kind() {
	case source.Map:
		for _, e := range n.Entries() {
			p.written(dot(path, e.Key), e.Value)
		}
	case source.List:
		for i, item := range n.Items() {
			p.written(dot(path, strconv.Itoa(i+1)), item)
		}
	default:
		p.add(path, n.Text())
	}
}

// inOwnUnit is a scalar's text, of a quantity that in the field's own unit.
func inOwnUnit(f *schema.Field, n *source.Node) string {
	switch f.Type {
	case schema.Quantity:
		if q, err := quantity.Parse(n.Text(), f.Dim, f.Unit); err == nil {
			return inUnitOf(q, f.Unit)
		}
	case schema.Day:
		if d, err := schema.ParseDate(n.Text()); err == nil {
			return d.String()
		}
	}
	return n.Text()
}

// inUnitOf is a quantity in a unit, without the noughts at its end that are no
// part of its value; as it was written where it has no end in that unit, as
// 100 psi in kPa.
func inUnitOf(q quantity.Quantity, unit string) string {
	u, err := quantity.MustLookup(unit).As(q.Unit().Dimension())
	if err != nil {
		return q.String()
	}
	in, err := q.In(u)
	if err != nil {
		return q.String()
	}
	digits, exact := in.Rat().FloatPrec()
	if !exact {
		return q.String()
	}
	return strings.TrimSuffix(in.Rat().FloatString(digits)+" "+unit, " 1")
}
