package merge

import (
	"errors"
	"maps"
	"slices"
	"strings"

	"stackbook/schema"
	"stackbook/schema/problem"
	"stackbook/schema/source"
)

// A writer brings our text to what was decided, one proven edit at a time.
type writer struct {
	kind *schema.Field
	doc  *source.Doc
	tree *value // doc by its meaning
	plan *plan
}

// write carries out a plan on our text. What an edit is refused for becomes a
// clash of the plan.
func write(doc *source.Doc, kind *schema.Field, p *plan) *writer {
	w := &writer{kind: kind, doc: doc, tree: read(doc, kind), plan: p}
	for _, v := range p.put {
		w.refused(v, w.put(v))
	}
	for _, v := range p.remove {
		w.refused(v, w.remove(v))
	}
	for _, v := range p.lines {
		w.refused(v, w.line(v))
	}
	for _, v := range p.put {
		w.inOrder(v)
	}
	return w
}

// refused notes what could not be written.
func (w *writer) refused(v *value, err error) {
	if err == nil {
		return
	}
	c := clash{ids: v.ids, message: "could not be written into our text: " + err.Error(), mend: "take their side by hand"}
	var p problem.Problem
	if errors.As(err, &p) {
		c.message, c.mend = "could not be written into our text: "+p.Message, p.Mend
	}
	w.plan.clash = append(w.plan.clash, c)
}

// took makes an edit the new text, if it was made.
func (w *writer) took(doc *source.Doc, err error) error {
	if err == nil {
		w.doc, w.tree = doc, read(doc, w.kind)
	}
	return err
}

// wholly tells whether the merged text says what was decided, clashes aside.
func (w *writer) wholly() bool {
	want, got := w.plan.want, w.tree.facts()
	for _, c := range w.plan.clash {
		at := strings.Join(c.ids, "\x00")
		for _, facts := range []map[string]string{want, got} {
			for fact := range facts {
				if fact == at || strings.HasPrefix(fact, at+"\x00") {
					delete(facts, fact)
				}
			}
		}
	}
	return maps.Equal(want, got)
}

// put writes a value of theirs: in the place of ours, or behind what stands
// beside it.
func (w *writer) put(v *value) error {
	parent := w.tree.at(v.ids[:len(v.ids)-1])
	if parent == nil {
		return errors.New("what it belongs to is gone")
	}
	var first error
	for _, raw := range writings(v) {
		err := w.putRaw(parent, v.key(), raw)
		if err == nil {
			return nil
		}
		if first == nil {
			first = err
		}
	}
	return first
}

// writings are the ways to write a value of another text, the best first: with
// the comment behind it, as it stands, and in quotes.
func writings(v *value) []string {
	var list []string
	if raw, ok := v.doc.Raw(v.path...); ok {
		if c := v.node.Comment(); c != "" && !strings.Contains(raw, "\n") {
			list = append(list, raw+"   "+c)
		}
		list = append(list, raw)
	}
	if v.node.Kind() == source.Scalar {
		list = append(list, source.Quote(v.node.Text()))
	}
	return list
}

// putRaw writes one value below another.
func (w *writer) putRaw(parent *value, key, raw string) error {
	path := below(parent.path, key)
	add := func(d *source.Doc) (*source.Doc, error) { return d.Insert(parent.path, key, raw) }
	there := parent.node.Get(key) != nil
	if parent.node.Kind() == source.List {
		if k := parent.kid(key); k != nil {
			path, there = k.path, true
		}
		add = func(d *source.Doc) (*source.Doc, error) { return d.Append(parent.path, raw) }
	}
	if !there {
		return w.took(add(w.doc))
	}
	doc, err := w.doc.SetRaw(path, raw)
	if err == nil {
		return w.took(doc, nil)
	}
	without, gone := w.doc.Remove(path)
	if gone != nil {
		return err
	}
	if doc, gone = add(without); gone != nil {
		return err
	}
	return w.took(doc, nil)
}

// remove takes a value out of our text.
func (w *writer) remove(v *value) error {
	k := w.tree.at(v.ids)
	if k == nil {
		return nil
	}
	return w.took(w.doc.Remove(k.path))
}

// inOrder puts the entries of a list that goes by days in their order, where
// it was in order before the value came to it.
func (w *writer) inOrder(v *value) {
	ids := v.ids[:len(v.ids)-1]
	list := w.tree.at(ids)
	if list == nil || !list.dated {
		return
	}
	byDay := func(a, b *value) int { return strings.Compare(a.key(), b.key()) }
	wanted := slices.Clone(list.kids)
	slices.SortStableFunc(wanted, byDay)
	before := *w
	for i := range wanted {
		now := w.tree.at(ids)
		if now.kids[i].key() == wanted[i].key() {
			continue
		}
		for _, k := range wanted[i:] {
			k = w.tree.at(k.ids)
			raw := writings(k)[0]
			if w.remove(k) != nil || w.putRaw(w.tree.at(ids), k.key(), raw) != nil {
				*w = before
				return
			}
		}
		return
	}
}
