package source

import (
	"slices"
	"strconv"
	"strings"
)

// Kind tells the three shapes of a value apart.
type Kind int

// The shapes of a value.
const (
	Scalar Kind = iota // one text, or nothing at all
	Map                // keys with values
	List               // values in order
)

// String names the kind as a person would.
func (k Kind) String() string {
	return [...]string{"a single value", "a mapping", "a list"}[k]
}

// style is how a value is written.
type style int

const (
	plain   style = iota
	single        // in '
	double        // in "
	literal       // block text after | or >
	flow          // a mapping in {} or a list in []
	pair          // a mapping of one key within [], without braces
	block         // a mapping or list by indentation
)

// A Node is one value of a document and where it stands.
type Node struct {
	kind    Kind
	style   style
	text    string
	entries []Entry
	index   map[string]int // key to entry, for mappings long enough to need it
	items   []item

	line, column int
	start, end   int    // bytes of the token as written
	proven       bool   // start and end were found again in the text
	alias        bool   // written as *name; the value is the anchor's
	marked       bool   // carries an anchor or a tag
	comment      string // the comment right behind it, with its #
	size         int    // values in it and itself, those behind aliases counted
}

// An Entry is one key of a mapping with its value. Column is in characters.
type Entry struct {
	Key                string
	KeyLine, KeyColumn int
	Value              *Node

	start, end int  // bytes of the key
	colon      int  // offset just behind the colon
	explicit   bool // written with a ?, or without a colon
}

// stop is the offset behind the entry.
func (e Entry) stop() int { return max(e.Value.end, e.colon) }

// An item is one value of a list.
type item struct {
	start int // offset of the dash in block style, of the value in flow style
	value *Node
}

// stop is the offset behind the item.
func (it item) stop(s style) int {
	if s == block {
		return max(it.value.end, it.start+1)
	}
	return it.value.end
}

// Kind is the value's shape.
func (n *Node) Kind() Kind { return n.kind }

// Text is a scalar's text with YAML's quoting and folding undone, never
// converted: 00123 is "00123". It is empty for mappings and lists.
func (n *Node) Text() string { return n.text }

// IsNull reports whether nothing is written: an empty scalar, ~ or null
// without quotes.
func (n *Node) IsNull() bool {
	return n.kind == Scalar && n.style == plain && isNullWord(n.text)
}

// isNullWord knows the words for nothing (YAML 1.2.2, 10.3.2 Tag Resolution).
func isNullWord(s string) bool {
	switch s {
	case "", "~", "null", "Null", "NULL":
		return true
	}
	return false
}

// Quoted reports whether a scalar is text beyond doubt: in quotes, or a block
// text after | or >.
func (n *Node) Quoted() bool {
	return n.kind == Scalar && n.style != plain
}

// Line is the line the value begins on, from 1. What is empty counts where it
// would be written; an alias counts where the alias stands.
func (n *Node) Line() int { return n.line }

// Column is the column the value begins in, from 1, in characters.
func (n *Node) Column() int { return n.column }

// Span is the value's token as written, as byte offsets into the text: with
// its quotes or brackets, without anchor, tag and comment.
func (n *Node) Span() (start, end int) { return n.start, n.end }

// Keys lists a mapping's keys in the order written.
func (n *Node) Keys() []string {
	keys := make([]string, len(n.entries))
	for i, e := range n.entries {
		keys[i] = e.Key
	}
	return keys
}

// Entries lists a mapping's keys and values in the order written.
func (n *Node) Entries() []Entry { return slices.Clone(n.entries) }

// Items lists a list's values.
func (n *Node) Items() []*Node {
	values := make([]*Node, len(n.items))
	for i, it := range n.items {
		values[i] = it.value
	}
	return values
}

// Get is the value of a mapping's key, nil if it has none such.
func (n *Node) Get(key string) *Node {
	if i := n.find(key); i >= 0 {
		return n.entries[i].Value
	}
	return nil
}

// find is the entry of a key, -1 if there is none.
func (n *Node) find(key string) int {
	if n.index != nil {
		if i, ok := n.index[key]; ok {
			return i
		}
		return -1
	}
	return slices.IndexFunc(n.entries, func(e Entry) bool { return e.Key == key })
}

// At follows a path of keys, and of indices from "0" within lists; nil if
// there is no such value. Without a path it is the node itself.
func (n *Node) At(path ...string) *Node {
	for _, step := range path {
		if n = n.child(step); n == nil {
			return nil
		}
	}
	return n
}

// child is one step of a path.
func (n *Node) child(step string) *Node {
	if n.kind != List {
		return n.Get(step)
	}
	if i := n.itemIndex(step); i >= 0 {
		return n.items[i].value
	}
	return nil
}

// itemIndex reads an index into a list as written in a path, -1 if there is no
// such item.
func (n *Node) itemIndex(step string) int {
	i, err := strconv.Atoi(step)
	if err != nil || i < 0 || i >= len(n.items) || strconv.Itoa(i) != step {
		return -1
	}
	return i
}

// Comment is the comment behind the value on its line, with its #; empty if
// there is none.
func (n *Node) Comment() string { return n.comment }

// GluedComment gives a comment that looks like part of the value before it:
// a # with no space behind it, after a plain scalar or where nothing else is
// written. YAML reads "serial: R-1177 #2" as R-1177 and "serial: #1177" as
// nothing, which is seldom what was meant (R13).
func (n *Node) GluedComment() (text string, ok bool) {
	if n.kind != Scalar || n.style != plain || n.alias || len(n.comment) < 2 {
		return "", false
	}
	if strings.ContainsRune(" \t#", rune(n.comment[1])) {
		return "", false
	}
	return n.comment, true
}
