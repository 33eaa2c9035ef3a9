package diff_test

import (
	"fmt"
	"maps"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"stackbook/diff"
	"stackbook/schema"
	"stackbook/schema/quantity"
	"stackbook/schema/source"
)

// What is written otherwise and means the same is no difference, neither of
// records nor of readings nor of figures: all records of both builds, each
// written anew twenty times with keys shuffled, braces or lines, other quotes,
// other units, comments, blank lines and line ends.
func TestSpellingIsNoDifference(t *testing.T) {
	original := demo(t, "15")
	as := original.state(t, "as written")
	for seed := range uint64(12) {
		s := &speller{rng: rand.New(rand.NewPCG(seed, 7))}
		again := files{}
		for name, text := range original {
			again[name] = s.record(t, name, text)
		}
		r := diff.Compare(as, again.state(t, "respelled"))
		require.True(t, r.Empty(), "seed %d: %+v", seed, r)
	}
}

// The single ways of spelling, one by one, so that a fault has a name.
func TestOneSpellingAtATime(t *testing.T) {
	const (
		spec    = "spec.yaml"
		session = "measurements/2017-03-14-balance-TR.yaml"
		dyno    = "measurements/2017-05-04-dyno-KM.yaml"
		change  = "changes/2017-05-20-delivery.yaml"
	)
	for _, c := range []struct{ name, file, old, by string }{
		{"unit of a quantity", spec, "height: 8 mm", "height: 8000 um"},
		{"inches", spec, "runner_length: 410 mm", "runner_length: 16 18/127 in"},
		{"trailing zero", spec, "cap_pressure: 90 kPa", "cap_pressure: 90.00 kPa"},
		{"key order", spec, "intake: side\n  exhaust: peripheral", "exhaust: peripheral\n  intake: side"},
		{"comment", spec, "drives_at: rear", "drives_at: rear   # the usual end"},
		{"blank lines", spec, "fuel:\n", "\n\nfuel:\n\n"},
		{"single quotes", spec, "serial: E-0230", "serial: 'E-0230'"},
		{"double quotes", spec, "serial: E-0230", `serial: "E-\x30230"`},
		{"lines for braces", spec, "shaft: {part: ES-2, serial: E-0230, material: forged steel}",
			"shaft:\n    part: ES-2\n    material: forged steel\n    serial: E-0230"},
		{"nothing for a missing key", spec, "part: ES-2,", "part: ES-2, lot: ~,"},
		{"unit of a point", session, "unit: kg\n", "unit: g\n"},
		{"unit of a reading", session, "rotor/1: 3.962", "rotor/1: 3962 g"},
		{"reading written out", session, "rotor/1: 3.962", "rotor/1: {value: 3.962}"},
		{"decimals of a reading", session, "counterweight/front: 19485", "counterweight/front: 19485.0"},
		{"particular at the reading", session, "    method: at 600 rpm, with bob weights of 3987 g and 3973 g\n    counterweight/front: 11\n    counterweight/rear: 13",
			"    counterweight/front: {value: 11, method: 'at 600 rpm, with bob weights of 3987 g and 3973 g'}\n    counterweight/rear: {value: 13, method: 'at 600 rpm, with bob weights of 3987 g and 3973 g'}"},
		{"temperature scale", dyno, "temperature: 19 degC", "temperature: 292.15 K"},
		{"row order", dyno, "      - [6000, 171.0]\n      - [7000, 179.2]", "      - [7000, 179.20]\n      - [6000, 171]"},
		{"unit of a column", dyno, "    columns: [speed rpm, torque N m]", "    columns: [speed 1/min, torque Nm]"},
		{"date in quotes", change, "date: 2017-05-20", `date: "2017-05-20"`},
		{"own key in quotes", change, "  coolant alarm: 95", "  'coolant alarm': 95"},
	} {
		before := demo(t, "07")
		before = before.replaced(t, spec, "material: aluminium, coating: chromium on steel}\n  housing/2", "height: 8 mm, material: aluminium}\n  housing/2")
		if c.name == "unit of a point" {
			c.old += "    instrument: W1\n    note: complete with seals, springs, bearing and gear, dry\n    rotor/1: 3.962\n    rotor/2: 3.948"
			c.by += "    instrument: W1\n    note: complete with seals, springs, bearing and gear, dry\n    rotor/1: 3962\n    rotor/2: 3948"
		}
		after := before.replaced(t, c.file, c.old, c.by)
		r := diff.Compare(before.state(t, ""), after.state(t, ""))
		require.True(t, r.Empty(), "%s: %+v", c.name, r)
	}
}

// A working folder on another system has CRLF line ends.
func TestLineEndsAreNoDifference(t *testing.T) {
	before, after := demo(t, "15"), files{}
	for name, text := range before {
		after[name] = strings.ReplaceAll(text, "\n", "\r\n")
	}
	require.True(t, diff.Compare(before.state(t, ""), after.state(t, "")).Empty())
}

// speller writes a record anew in another of the many ways that mean the same.
type speller struct{ rng *rand.Rand }

func (s *speller) record(t *testing.T, name, text string) string {
	t.Helper()
	doc, err := source.Parse(name, []byte(text))
	require.NoError(t, err)
	kind, _, _ := strings.Cut(doc.Root().Get("format").Text(), "/")
	out := s.mapping(doc.Root(), schema.Kind(kind), "")
	if s.maybe(3) {
		out = strings.ReplaceAll(out, "\n", "\r\n")
	}
	return out
}

// maybe is true once in n times.
func (s *speller) maybe(n int) bool { return s.rng.IntN(n) == 0 }

func shuffled[T any](s *speller, list []T) []T {
	c := slices.Clone(list)
	s.rng.Shuffle(len(c), func(i, j int) { c[i], c[j] = c[j], c[i] })
	return c
}

// mapping writes a mapping on lines of its own.
func (s *speller) mapping(n *source.Node, f *schema.Field, indent string) string {
	var b strings.Builder
	for _, e := range shuffled(s, n.Entries()) {
		if s.maybe(6) {
			b.WriteString(indent + "# a remark\n")
		}
		if s.maybe(8) {
			b.WriteString("\n")
		}
		b.WriteString(indent + s.key(e.Key) + ":" + s.value(e, f, indent) + "\n")
	}
	return b.String()
}

// value writes what stands behind a key, from the blank before it.
func (s *speller) value(e source.Entry, f *schema.Field, indent string) string {
	child := fieldOf(f, e.Key)
	switch {
	case child.Keys == schema.PointKey:
		return "\n" + strings.TrimRight(s.mapping(e.Value, child, indent+"  "), "\n")
	case f.Keys == schema.PointKey:
		return "\n" + s.point(schema.FindPoint(e.Key), e.Value, indent+"  ")
	case e.Value.Kind() == source.Scalar:
		text := " " + s.scalar(e.Value, child)
		if s.maybe(5) {
			text += "   # a remark"
		}
		return text
	case len(e.Value.Keys())+len(e.Value.Items()) == 0, s.maybe(2):
		return " " + s.flow(e.Value, child)
	case e.Value.Kind() == source.Map:
		return "\n" + strings.TrimRight(s.mapping(e.Value, child, indent+"  "), "\n")
	}
	var b strings.Builder
	for _, item := range s.items(e.Value, child) {
		b.WriteString("\n" + indent + "  - " + s.flow(item, child.Of))
	}
	return b.String()
}

// items are a list's entries; those of which only the members count, and those
// that go by a key of their own, in any order.
func (s *speller) items(n *source.Node, f *schema.Field) []*source.Node {
	if f.Key == "columns" || f.Identity == "" && f.Of.Type != schema.Words && f.Of.Type != schema.Position && f.Key != "rows" {
		return n.Items()
	}
	return shuffled(s, n.Items())
}

// flow writes a value in brackets.
func (s *speller) flow(n *source.Node, f *schema.Field) string {
	var parts []string
	switch n.Kind() {
	case source.Map:
		for _, e := range shuffled(s, n.Entries()) {
			parts = append(parts, s.key(e.Key)+": "+s.flow(e.Value, fieldOf(f, e.Key)))
		}
		return "{" + strings.Join(parts, ", ") + "}"
	case source.List:
		for _, item := range s.items(n, f) {
			parts = append(parts, s.flow(item, f.Of))
		}
		return "[" + strings.Join(parts, ", ") + "]"
	}
	return s.scalar(n, f)
}

func fieldOf(f *schema.Field, key string) *schema.Field {
	if f.Type == schema.Group {
		return f.Find(key)
	}
	return f.Of
}

func (s *speller) key(key string) string {
	if s.maybe(3) {
		return quoted(key)
	}
	return source.Quote(key)
}

func quoted(text string) string { return "'" + strings.ReplaceAll(text, "'", "''") + "'" }

func (s *speller) scalar(n *source.Node, f *schema.Field) string {
	switch {
	case n.IsNull():
		return []string{"~", "null"}[s.rng.IntN(2)]
	case f.Type == schema.Quantity:
		return s.amount(n.Text(), f)
	case f.Type == schema.Free: // a cell of a table
		return n.Text()
	}
	return []string{quoted(n.Text()), source.Quote(n.Text())}[s.rng.IntN(2)]
}

// amount writes a quantity in any unit it can be read back from exactly.
func (s *speller) amount(text string, f *schema.Field) string {
	q, err := quantity.Parse(text, f.Dim, f.Unit)
	if err != nil {
		panic("the demo holds " + text + ": " + err.Error())
	}
	in, _ := s.converted(q)
	if again, err := quantity.Parse(in.String(), f.Dim, f.Unit); err != nil || !again.Equal(q) {
		return quoted(text)
	}
	return in.String()
}

// converted is the quantity in some unit of its dimension.
func (s *speller) converted(q quantity.Quantity) (quantity.Quantity, quantity.Unit) {
	var units []quantity.Unit
	for _, u := range quantity.Units() {
		if as, err := u.As(q.Unit().Dimension()); err == nil {
			units = append(units, as)
		}
	}
	u := units[s.rng.IntN(len(units))]
	in, err := q.In(u)
	if err != nil {
		return q, q.Unit()
	}
	return in, u
}

// point writes the readings of one point: with the unit of all above them or
// each with one of its own, and what they share above them or at each.
func (s *speller) point(p *schema.Point, n *source.Node, indent string) string {
	var b strings.Builder
	unit, hoisted := n.Get("unit"), s.maybe(2)
	own := unit != nil && s.maybe(2)
	shared := map[string]string{}
	for _, key := range []string{"instrument", "temperature", "temperature_error", "method", "by", "note"} {
		v := n.Get(key)
		switch {
		case v == nil:
		case hoisted:
			fmt.Fprintf(&b, "%s%s: %s\n", indent, key, quoted(v.Text()))
		default:
			shared[key] = quoted(v.Text())
		}
	}
	if unit != nil && !own {
		fmt.Fprintf(&b, "%sunit: %s\n", indent, quoted(unit.Text()))
	}
	for _, e := range shuffled(s, n.Entries()) {
		if !strings.Contains(" unit instrument temperature temperature_error method by note ", " "+e.Key+" ") {
			fmt.Fprintf(&b, "%s%s: %s\n", indent, s.key(e.Key), s.reading(p, e.Value, own, unit, shared))
		}
	}
	return strings.TrimRight(b.String(), "\n")
}

// reading writes one reading; common is what it needs to say of itself.
func (s *speller) reading(p *schema.Point, n *source.Node, own bool, unit *source.Node, common map[string]string) string {
	key := "value"
	if p.Text {
		key = "text"
	}
	value, particulars := n, maps.Clone(common)
	if n.Kind() == source.Map {
		value = n.Get(key)
		for _, e := range n.Entries() {
			if e.Key != key {
				particulars[e.Key] = quoted(e.Value.Text())
			}
		}
	}
	shared := ""
	for _, k := range slices.Sorted(maps.Keys(particulars)) {
		shared += ", " + k + ": " + particulars[k]
	}
	text := s.read(p, value, own, unit)
	switch {
	case value.IsNull():
		return ""
	case shared != "" || s.maybe(4):
		return "{" + key + ": " + text + shared + "}"
	}
	return text
}

// read writes the value of a reading: words, a number, or repeats.
func (s *speller) read(p *schema.Point, n *source.Node, own bool, unit *source.Node) string {
	switch {
	case n.Kind() == source.List:
		var parts []string
		for _, item := range n.Items() {
			parts = append(parts, s.read(p, item, own, unit))
		}
		return "[" + strings.Join(parts, ", ") + "]"
	case p.Text:
		return quoted(n.Text())
	case own && !n.IsNull():
		return s.amount(n.Text()+" "+unit.Text(), &schema.Field{Dim: p.Dim, Unit: p.Unit})
	case s.maybe(3) && strings.Contains(n.Text(), "."):
		return n.Text() + "0"
	}
	return n.Text()
}
