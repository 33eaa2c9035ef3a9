package diff

import (
	"strconv"

	"stackbook/record"
	"stackbook/schema"
	"stackbook/schema/source"
)

// ownKeys of a spec say which engine and build it is, not what it is.
var ownKeys = map[string]bool{"format": true, "engine": true, "id": true, "build": true}

// specChanges compares two specs field by field.
func specChanges(a, b *record.Engine) []Change { return (&walker{}).spec(a, b) }

// specInPlace compares them with every part as it sits, whatever moved.
func specInPlace(a, b *record.Engine) []Change { return (&walker{inPlace: true}).spec(a, b) }

func (w *walker) spec(a, b *record.Engine) []Change {
	for i := range schema.Spec().Fields {
		f := &schema.Spec().Fields[i]
		switch {
		case ownKeys[f.Key]:
		case f.Key == "parts":
			w.parts(a, b, f)
		default:
			w.value(f.Key, f, a.Spec.Node(f.Key), b.Spec.Node(f.Key))
		}
	}
	return w.changes
}

// walker goes down two records side by side.
type walker struct {
	changes []Change
	inPlace bool // parts are paired by position alone
}

func (w *walker) add(path string, what What, from, to string) {
	w.changes = append(w.changes, Change{Path: path, What: what, From: from, To: to})
}

// value compares two values of one field; either may be missing.
func (w *walker) value(path string, f *schema.Field, a, b *source.Node) {
	a, b = present(a), present(b)
	switch {
	case a == nil && b == nil:
	case f.Type == schema.Group:
		w.group(path, f, a, b)
	case f.Type == schema.Keyed:
		w.keyed(path, f, a, b)
	case f.Type == schema.Series && f.Identity != "":
		w.identified(path, f, a, b)
	case f.Type == schema.Series && (f.Of.Type == schema.Words || f.Of.Type == schema.Position):
		w.set(path, a, b)
	case f.Type == schema.Series, f.Type == schema.Free:
		w.free(path, f, a, b)
	default:
		w.scalar(path, f, a, b)
	}
}

// present is the node, or nil where nothing is written.
func present(n *source.Node) *source.Node {
	if n == nil || n.Kind() == source.Scalar && n.IsNull() {
		return nil
	}
	return n
}

func get(n *source.Node, key string) *source.Node {
	if n == nil {
		return nil
	}
	return n.Get(key)
}

func (w *walker) group(path string, f *schema.Field, a, b *source.Node) {
	for i := range f.Fields {
		child := &f.Fields[i]
		w.value(dot(path, child.Key), child, get(a, child.Key), get(b, child.Key))
	}
}

func (w *walker) keyed(path string, f *schema.Field, a, b *source.Node) {
	for _, key := range keysOf(a, b) {
		w.value(dot(path, key), f.Of, get(a, key), get(b, key))
	}
}

// identified pairs the entries of a list by the key that names them.
func (w *walker) identified(path string, f *schema.Field, a, b *source.Node) {
	from, to := byIdentity(a, f.Identity), byIdentity(b, f.Identity)
	for _, id := range mergedKeys(from, to) {
		w.value(dot(path, id), f.Of, from[id], to[id])
	}
}

func byIdentity(n *source.Node, key string) map[string]*source.Node {
	entries := map[string]*source.Node{}
	if n == nil {
		return entries
	}
	for _, item := range n.Items() {
		if id := present(item.Get(key)); id != nil {
			entries[id.Text()] = item
		}
	}
	return entries
}

// set compares two lists of which only the members count, such as the work done
// to a part or the positions a change touches.
func (w *walker) set(path string, a, b *source.Node) {
	from, to := members(a), members(b)
	for _, word := range mergedKeys(from, to) {
		switch {
		case from[word] < to[word]:
			w.add(path, Added, "", word)
		case from[word] > to[word]:
			w.add(path, Removed, word, "")
		}
	}
}

func members(n *source.Node) map[string]int {
	count := map[string]int{}
	if n == nil {
		return count
	}
	for _, item := range n.Items() {
		if present(item) != nil {
			count[item.Text()]++
		}
	}
	return count
}

// free compares two values without a declared shape.
func (w *walker) free(path string, f *schema.Field, a, b *source.Node) {
	x, y := flatten(f, a), flatten(f, b)
	for _, key := range mergedKeys(x, y) {
		from, inA := x[key]
		to, inB := y[key]
		if inA == inB && from.canonical == to.canonical {
			continue
		}
		w.add(dot(path, key), whatOf(inA, inB), from.text, to.text)
	}
}

// leaf is one value of a flattened node.
type leaf struct{ text, canonical string }

// flatten lists the scalars of a node by their path in it; that of a scalar
// itself is empty. Entries of a list count from 1, and one left empty is none.
func flatten(f *schema.Field, n *source.Node) map[string]leaf {
	leaves := map[string]leaf{}
	var walk func(path string, n *source.Node)
	walk = func(path string, n *source.Node) {
		switch n.Kind() {
		case source.Map:
			for _, e := range n.Entries() {
				walk(dot(path, e.Key), e.Value)
			}
		case source.List:
			for i, item := range n.Items() {
				walk(dot(path, strconv.Itoa(i+1)), item)
			}
		default:
			if present(n) != nil {
				leaves[path] = leaf{n.Text(), f.Of.Canonical(n.Text())}
			}
		}
	}
	if n != nil {
		walk("", n)
	}
	return leaves
}

func (w *walker) scalar(path string, f *schema.Field, a, b *source.Node) {
	if a != nil && b != nil && f.Canonical(a.Text()) == f.Canonical(b.Text()) {
		return
	}
	text := func(n *source.Node) string {
		if n == nil {
			return ""
		}
		return n.Text()
	}
	w.add(path, whatOf(a != nil, b != nil), text(a), text(b))
}

func whatOf(before, after bool) What {
	switch {
	case !before:
		return Added
	case !after:
		return Removed
	}
	return Changed
}

// dot joins two paths, either of which may be empty.
func dot(path, key string) string {
	if path == "" || key == "" {
		return path + key
	}
	return path + "." + key
}

func keysOf(a, b *source.Node) []string {
	keys := map[string]bool{}
	for _, n := range []*source.Node{a, b} {
		if n != nil {
			for _, k := range n.Keys() {
				keys[k] = true
			}
		}
	}
	return mergedKeys(keys, nil)
}
