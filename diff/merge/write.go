package merge

import (
	"errors"
	"maps"
	"slices"
	"strconv"
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
	known := func(c clash) bool { return slices.Equal(c.ids, v.ids) }
	if err == nil || slices.ContainsFunc(w.plan.clash, known) {
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
	return w.try(parent, v, writings(v), func() bool { return true })
}

// try writes a value below another in the first way that the text allows and
// that passes: in its place with each writing, or else anew behind its siblings.
// The error is the first that stood against the last way.
func (w *writer) try(parent, v *value, raws []string, passes func() bool) (why error) {
	before := *w
	for _, way := range []func(parent *value, key, raw string) error{w.set, w.anew} {
		why = nil
		for _, raw := range raws {
			err := way(parent, v.key(), raw)
			if err == nil && passes() {
				w.comment(v)
				return nil
			}
			if why == nil {
				why = err
			}
			*w = before
		}
	}
	return why
}

// writings are the ways to write a value of another text, the best first: as it
// stands there, and in quotes.
func writings(v *value) []string {
	var list []string
	if raw, ok := v.doc.Raw(v.path...); ok {
		list = append(list, raw)
	}
	if v.node.Kind() == source.Scalar {
		list = append(list, source.Quote(v.node.Text()))
	}
	return list
}

// errNotThere is why what is not written yet cannot be set in its place.
var errNotThere = errors.New("it is not there")

// pathOf is where a value stands below another; ok is false where it does not.
func pathOf(parent *value, key string) (path []string, ok bool) {
	if parent.node.Kind() != source.List {
		return below(parent.path, key), parent.node.Get(key) != nil
	}
	if k := parent.kid(key); k != nil {
		return k.path, true
	}
	return nil, false
}

// set writes a value in the place of the old one.
func (w *writer) set(parent *value, key, raw string) error {
	path, ok := pathOf(parent, key)
	if !ok {
		return errNotThere
	}
	return w.took(w.doc.SetRaw(path, raw))
}

// anew writes a value behind its siblings, and takes the old one out.
func (w *writer) anew(parent *value, key, raw string) error {
	doc := w.doc
	if path, ok := pathOf(parent, key); ok {
		if parent.node.Kind() == source.Map && len(parent.node.Keys()) == 1 && len(parent.ids) > 0 {
			// Without it nothing but {} would be left: what holds it is written anew.
			return w.anew(w.tree.at(parent.ids[:len(parent.ids)-1]), parent.key(), alone(key, raw))
		}
		var err error
		if doc, err = doc.Remove(path); err != nil {
			return err
		}
	}
	if parent.node.Kind() == source.List {
		return w.took(doc.Append(parent.path, raw))
	}
	return w.took(doc.Insert(parent.path, key, raw))
}

// alone writes a mapping of one key.
func alone(key, raw string) string {
	key = source.Quote(key) + ":"
	if lines := strings.Split(raw, "\n"); len(lines) > 1 && !strings.ContainsRune("|>", rune(raw[0])) {
		return key + "\n  " + strings.Join(lines, "\n  ")
	}
	return key + " " + strings.ReplaceAll(raw, "\n", "\n  ")
}

// comment brings along the comment behind a value of theirs, where ours has
// none and both stand on lines of their own.
func (w *writer) comment(v *value) {
	now := w.tree.at(v.ids)
	if now == nil || v.node.Comment() == "" || now.node.Comment() != "" || !onOwnLine(v) || !onOwnLine(now) {
		return
	}
	text := string(w.doc.Text())
	_, end := now.node.Span()
	if rest := text[end:]; strings.IndexAny(rest, "\r\n") != 0 && rest != "" {
		return
	}
	doc, err := source.Parse(w.doc.Name(), []byte(text[:end]+"   "+v.node.Comment()+text[end:]))
	if err == nil && same(read(doc, w.kind), w.tree) {
		w.doc, w.tree = doc, read(doc, w.kind)
	}
}

// onOwnLine tells whether a value stands on one line that is its own.
func onOwnLine(v *value) bool {
	first, last := extent(v.doc, v.path)
	return first == last && len(ownLines(v.doc, v.path)) == len(v.path)
}

// remove takes a value out of our text.
func (w *writer) remove(v *value) error {
	k := w.tree.at(v.ids)
	if k == nil {
		return nil
	}
	return w.took(w.doc.Remove(k.path))
}

// inOrder puts the entries of a list that goes by days in their order, once a
// value came to it: from the first that stands too late, they are written anew
// at its end. Where the text does not allow that, it is left.
func (w *writer) inOrder(v *value) {
	list := w.tree.at(v.ids[:len(v.ids)-1])
	if list == nil || !list.dated {
		return
	}
	wanted := slices.Clone(list.kids)
	slices.SortStableFunc(wanted, func(a, b *value) int { return strings.Compare(a.key(), b.key()) })
	first := 0
	for first < len(wanted) && wanted[first] == list.kids[first] {
		first++
	}
	doc := w.doc
	var err error
	for _, k := range wanted[first:] {
		raw := raw(k)
		if onOwnLine(k) {
			raw = strings.TrimSpace(raw + "   " + k.node.Comment())
		}
		if doc, err = doc.Append(list.path, raw); err != nil {
			return
		}
	}
	for range wanted[first:] {
		if doc, err = doc.Remove(below(list.path, strconv.Itoa(first))); err != nil {
			return
		}
	}
	w.doc, w.tree = doc, read(doc, w.kind)
}
