package merge

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"stackbook/schema"
	"stackbook/schema/source"
)

// shape says how two states of a value are paired.
type shape int

const (
	leaf    shape = iota // one value
	keys                 // a mapping, by its keys
	members              // a list of which only the members count
	entries              // a list, by what names each entry
	reading              // one reading, by its value and its particulars
)

// A value is a record, or a part of one, by its meaning: what is not written,
// or holds nothing, is not there, and order, comments and spelling are not in
// it. A nil value is a missing one.
type value struct {
	shape     shape
	ids       []string // how it is found from the top: keys, and what names an entry
	path      []string // where it stands in its document; of a particular, where its reading does
	doc       *source.Doc
	node      *source.Node
	canonical string // of a leaf
	kids      []*value
	entity    bool // a thing of its own: two of them are never blended
	dated     bool // a list whose entries go by their day
	inherited bool // a particular that the point gives to all its readings
	index     map[string]*value
}

// key is what names the value in what holds it.
func (v *value) key() string { return v.ids[len(v.ids)-1] }

// kid is the value of that key, nil where there is none.
func (v *value) kid(key string) *value {
	if v == nil {
		return nil
	}
	if len(v.index) != len(v.kids) {
		v.index = make(map[string]*value, len(v.kids))
		for _, k := range v.kids {
			v.index[k.key()] = k
		}
	}
	return v.index[key]
}

// at finds a value below v.
func (v *value) at(ids []string) *value {
	for _, id := range ids {
		v = v.kid(id)
	}
	return v
}

// each visits v and all below it.
func (v *value) each(visit func(*value)) {
	if v == nil {
		return
	}
	visit(v)
	for _, k := range v.kids {
		k.each(visit)
	}
}

// facts lists the leaves of a value by their path.
func (v *value) facts() map[string]string {
	facts := map[string]string{}
	v.each(func(k *value) {
		if k.shape == leaf {
			facts[strings.Join(k.ids, "\x00")] = k.canonical
		}
	})
	return facts
}

// empty tells whether a value says nothing: a mapping without keys is none.
func (v *value) empty() bool {
	return v == nil || v.shape != leaf && !slices.ContainsFunc(v.kids, func(k *value) bool { return !k.empty() })
}

// same tells whether two values mean the same.
func same(a, b *value) bool {
	if a.empty() || b.empty() {
		return a.empty() && b.empty()
	}
	if a.shape != b.shape || a.canonical != b.canonical {
		return false
	}
	return !slices.ContainsFunc(a.kids, func(k *value) bool { return !same(k, b.kid(k.key())) }) &&
		!slices.ContainsFunc(b.kids, func(k *value) bool { return !k.empty() && a.kid(k.key()).empty() })
}

// A reader turns a document into its values.
type reader struct{ doc *source.Doc }

// read gives a record of a kind by its meaning, nil for one that holds nothing.
func read(doc *source.Doc, kind *schema.Field) *value {
	r := reader{doc}
	return r.value(kind, doc.Root(), nil, nil)
}

// value reads a node; f is nil where the dictionary says nothing of it.
func (r reader) value(f *schema.Field, n *source.Node, ids, path []string) *value {
	v := &value{shape: leaf, ids: ids, path: path, doc: r.doc, node: n}
	switch {
	case n.Kind() == source.Scalar && schema.IsEmpty(n):
		return nil
	case n.Kind() == source.Map:
		v.shape = keys
		r.mapping(v, f)
	case n.Kind() == source.List:
		r.list(v, f)
	}
	if v.shape == leaf {
		v.canonical = canonical(f, n)
	}
	if v.shape == leaf && n.Kind() == source.List && len(n.Items()) == 0 {
		return nil
	}
	return v
}

// below gives a path with one step more, never sharing its end with another.
func below(path []string, step string) []string {
	return append(slices.Clip(slices.Clone(path)), step)
}

// mapping reads the keys of a mapping.
func (r reader) mapping(v *value, f *schema.Field) {
	for _, e := range v.node.Entries() {
		ids, path := below(v.ids, e.Key), below(v.path, e.Key)
		if f != nil && f.Keys == schema.PointKey && f.Type == schema.Keyed && e.Value.Kind() == source.Map {
			v.kids = append(v.kids, r.point(e, ids, path))
			continue
		}
		k := r.value(fieldOf(f, e.Key), e.Value, ids, path)
		if k == nil {
			continue
		}
		k.entity = f != nil && f.Type == schema.Keyed && k.shape == keys
		v.kids = append(v.kids, k)
	}
	if len(v.path) == 2 && v.path[0] == "tables" {
		r.table(v)
	}
}

// fieldOf is the declaration of a key, nil where the dictionary has none.
func fieldOf(f *schema.Field, key string) *schema.Field {
	switch {
	case f == nil:
		return nil
	case f.Type == schema.Group:
		return f.Find(key)
	}
	return f.Of
}

// list reads a list: by members, by entries, or as one value.
func (r reader) list(v *value, f *schema.Field) {
	if f == nil || f.Type != schema.Series {
		return
	}
	kind, count := source.Scalar, map[string]int{}
	name := func(n *source.Node) string { return n.Text() }
	shape := members
	switch {
	case f.Of.Type == schema.Group:
		kind, shape = source.Map, entries
		by := identityOf(f)
		v.dated = f.Of.Find(by).Type == schema.Day
		name = func(n *source.Node) string { return nameOf(f.Of.Find(by), n.Get(by)) }
	case f.Of.Type != schema.Words && f.Of.Type != schema.Position:
		return
	}
	items := v.node.Items()
	if slices.ContainsFunc(items, func(n *source.Node) bool { return n.Kind() != kind }) {
		return
	}
	v.shape = shape
	for i, n := range items {
		id := name(n)
		if count[id]++; count[id] > 1 {
			id = fmt.Sprintf("%s (%d)", id, count[id])
		}
		if k := r.value(f.Of, n, below(v.ids, id), below(v.path, strconv.Itoa(i))); k != nil {
			k.entity = shape == entries
			v.kids = append(v.kids, k)
		}
	}
}

// nameOf is what names an entry: a day as it should be written, all else by its
// meaning.
func nameOf(f *schema.Field, n *source.Node) string {
	if d, err := schema.ParseDate(textOf(n)); err == nil && f.Type == schema.Day {
		return d.String()
	}
	return canonical(f, n)
}

// identityOf is the key that names the entries of a list of groups: the one the
// dictionary declares, else the first that every entry must have.
func identityOf(f *schema.Field) string {
	if f.Identity != "" {
		return f.Identity
	}
	i := slices.IndexFunc(f.Of.Fields, func(child schema.Field) bool { return child.Required })
	return f.Of.Fields[max(i, 0)].Key
}

// canonical is a text equal for nodes of one field that mean the same; "" for
// none.
func canonical(f *schema.Field, n *source.Node) string {
	switch {
	case n == nil:
		return ""
	case n.Kind() == source.List:
		var items []string
		for _, item := range n.Items() {
			items = append(items, fmt.Sprintf("%q", canonical(fieldOf(f, ""), item)))
		}
		return "[" + strings.Join(items, ", ") + "]"
	case n.Kind() == source.Map:
		var list []string
		for _, e := range n.Entries() {
			if text := canonical(fieldOf(f, e.Key), e.Value); text != "" {
				list = append(list, fmt.Sprintf("%q: %q", e.Key, text))
			}
		}
		slices.Sort(list)
		return "{" + strings.Join(list, ", ") + "}"
	case schema.IsEmpty(n):
		return ""
	}
	return f.Canonical(n.Text())
}
