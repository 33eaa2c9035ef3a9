package source

import (
	"fmt"
	"slices"
	"strings"

	"gopkg.in/yaml.v3"
)

// indexFrom is the number of keys from which a mapping gets an index; below it
// looking through them is as fast.
const indexFrom = 12

// mapping builds a mapping in any style.
func (w *walker) mapping(n *Node, y *yaml.Node, indent, depth int) {
	n.kind = Map
	w.open(n, '{')
	keys := len(y.Content) / 2
	if keys >= indexFrom {
		n.index = make(map[string]int, keys)
	}
	n.entries = slices.Grow(n.entries, keys)
	for i := 0; i+1 < len(y.Content); i += 2 {
		n.entries = append(n.entries, w.entry(n, y.Content[i], y.Content[i+1], indent, depth))
	}
	if n.style != flow && len(n.entries) > 0 {
		first := n.entries[0]
		n.line, n.column = first.KeyLine, first.KeyColumn
		n.start, n.end = first.start, n.entries[len(n.entries)-1].stop()
	}
	w.close(n, '}')
}

// open takes the bracket of a flow collection, or finds that there is none:
// block style, or a single pair within a flow list.
func (w *walker) open(n *Node, bracket byte) {
	if n.style == flow || n.marked {
		w.properties()
	}
	if n.style != flow {
		return
	}
	switch {
	case strings.HasPrefix(w.rest(), string(bracket)):
		w.token(n, 1)
	case n.kind == Map:
		n.style = pair
	default:
		w.lost = true
	}
}

// close takes the closing bracket of a flow collection.
func (w *walker) close(n *Node, bracket byte) {
	if n.style != flow || w.lost {
		return
	}
	w.space()
	if w.lost = !strings.HasPrefix(w.rest(), string(bracket)); !w.lost {
		w.pos++
		n.end = w.pos
	}
}

// entry builds one key and its value and adds the key to the index.
func (w *walker) entry(n *Node, k, v *yaml.Node, indent, depth int) Entry {
	w.space()
	var e Entry
	if isIndicator(w.rest(), '?') {
		e.explicit = true
		w.pos++
	}
	key := w.value(k, indent, depth+1)
	e.Key, e.KeyLine, e.KeyColumn = key.text, key.line, key.column
	e.start, e.end = key.start, key.end
	w.checkKey(n, key, k)
	if n.style == block {
		indent = key.column - 1
	}
	if !w.colon() {
		// A key alone, as in {a, b}: its value is empty and stands behind it.
		e.explicit = true
	}
	e.colon = w.pos
	e.Value = w.value(v, indent, depth+1)
	w.comma(n)
	return e
}

// colon takes the colon behind a key, with what stands between; where there is
// none it takes nothing.
func (w *walker) colon() bool {
	pos, comments := w.pos, len(w.comments)
	w.space()
	if strings.HasPrefix(w.rest(), ":") {
		w.pos++
		return true
	}
	w.pos, w.comments = pos, w.comments[:comments]
	return false
}

// checkKey refuses keys that programs read differently.
func (w *walker) checkKey(n *Node, key *Node, k *yaml.Node) {
	switch {
	case key.alias:
		w.report(key.line, key.column, "key-shape", "a key is an alias", "write the key itself")
		return
	case key.kind != Scalar:
		w.report(key.line, key.column, "key-shape", "a key is "+key.kind.String(), "write a plain word as the key")
		return
	case k.Tag == "!!merge":
		w.report(key.line, key.column, "merge-key", "the merge key << is not read", "write the keys out")
		return
	case isEmpty(k):
		w.report(key.line, key.column, "key-shape", "a colon stands without a key", "write the key before it, or quote the text")
		return
	}
	if i := n.find(key.text); i >= 0 {
		w.report(key.line, key.column, "duplicate-key",
			fmt.Sprintf("%s is written twice, first on line %d", key.text, n.entries[i].KeyLine), "keep one of the two")
		return
	}
	if n.index != nil {
		n.index[key.text] = len(n.entries)
	}
}

// list builds a list in either style.
func (w *walker) list(n *Node, y *yaml.Node, indent, depth int) {
	n.kind = List
	w.open(n, '[')
	n.items = slices.Grow(n.items, len(y.Content))
	for i, c := range y.Content {
		it := w.dash(n, i == 0)
		if n.style == block {
			indent = n.column - 1
		}
		it.value = w.value(c, indent, depth+1)
		if n.style == flow {
			it.start = it.value.start
		}
		w.comma(n)
		n.items = append(n.items, it)
	}
	if n.style == block && len(n.items) > 0 {
		n.end = n.items[len(n.items)-1].stop(n.style)
	}
	w.close(n, ']')
}

// dash takes the dash before an item of a block list.
func (w *walker) dash(n *Node, first bool) (it item) {
	if n.style != block || w.lost {
		return it
	}
	w.space()
	if w.lost = !isIndicator(w.rest(), '-'); w.lost {
		return it
	}
	it.start = w.pos
	line, column := w.here(w.pos)
	w.pos++
	if first {
		n.line, n.column, n.start = line, column, it.start
	}
	return it
}

// comma takes the comma behind a value in a flow collection.
func (w *walker) comma(n *Node) {
	if n.style != flow || w.lost {
		return
	}
	w.space()
	if strings.HasPrefix(w.rest(), ",") {
		w.pos++
	}
}
