package source

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"stackbook/schema/problem"
)

// A spot is a value that is to change, and what it hangs on.
type spot struct {
	path   []string
	node   *Node
	parent *Node // nil at the top
	i      int   // which entry or item of the parent
}

// spot finds the value at a path. What hangs on an alias cannot be edited:
// it is written elsewhere, for others too.
func (d *Doc) spot(path []string) (spot, error) {
	s := spot{path: path, node: d.root}
	for n, step := range path {
		s.parent = s.node
		if s.parent.kind == List {
			s.i = s.parent.itemIndex(step)
		} else {
			s.i = s.parent.find(step)
		}
		if s.i < 0 {
			return s, d.refuse(s.parent, "there is no "+strings.Join(path[:n+1], " > "), "put it in first")
		}
		if s.node = s.parent.child(step); s.node.alias {
			return s, d.refuse(s.node, "the value is an alias", "change it at its anchor, or write it out in place of the alias")
		}
	}
	if !s.node.proven {
		return s, d.refuse(s.node, "where this value ends is not certain", "change it by hand")
	}
	if len(path) > 0 && s.parent.kind == Map && s.parent.entries[s.i].explicit {
		return s, d.refuse(s.node, "the key is written with a question mark, or without a colon", "write it as key: value")
	}
	return s, nil
}

// after is the offset behind what leads to the value: the colon or the dash.
func (s spot) after() int {
	switch {
	case s.parent.kind == Map:
		return s.parent.entries[s.i].colon
	case s.parent.style == block:
		return s.parent.items[s.i].start + 1
	}
	return s.node.start
}

// inFlow reports whether the value stands within brackets.
func (s spot) inFlow() bool {
	return s.parent != nil && s.parent.style != block
}

// lead is how the value's line begins, for advice: its key as written, or its
// dash.
func (d *Doc) lead(s spot) string {
	if s.parent.kind == List {
		return "- "
	}
	e := s.parent.entries[s.i]
	return d.text[e.start:e.end] + ": "
}

// refuse is the error of an edit that is not made.
func (d *Doc) refuse(n *Node, why, mend string) error {
	return problem.Problem{File: d.name, Line: n.line, Column: n.column, Rule: "edit-refused", Message: why, Mend: mend}
}

// byHand is a refusal with what to type instead; of several lines the first.
func (d *Doc) byHand(n *Node, why, text string) error {
	first, _, more := strings.Cut(strings.TrimSpace(text), "\n")
	if more {
		first = strings.TrimRight(first, "\r") + " …"
	}
	return d.refuse(n, why, "type by hand: "+first)
}

// A splice is one stretch of the text replaced, and what must come of it.
type splice struct {
	start, end int
	text       string
	comments   []string // those within text, in order
	want       *Node    // the whole tree as it should read
}

// apply makes a splice and proves it: the bytes around it are the old ones by
// construction; the outcome must parse, read as wanted, and hold every comment
// outside the splice and those meant to be in it.
func (d *Doc) apply(s splice) (*Doc, error) {
	next, err := Parse(d.name, []byte(d.text[:s.start]+s.text+d.text[s.end:]))
	if err != nil {
		return nil, fmt.Errorf("the file could not be read any more: %s", err.(problem.List)[0].Message)
	}
	if !same(next.root, s.want) {
		return nil, errors.New("other values would read differently")
	}
	if !slices.Equal(next.commentTexts(), d.commentsAfter(s)) {
		return nil, errors.New("a comment would be lost")
	}
	return next, nil
}

// commentTexts lists the comments of the document.
func (d *Doc) commentTexts() []string {
	var texts []string
	for _, c := range d.comments {
		texts = append(texts, c.text)
	}
	return texts
}

// commentsAfter lists the comments that should be there after a splice.
func (d *Doc) commentsAfter(s splice) []string {
	var before, behind []string
	for _, c := range d.comments {
		if c.start < s.start {
			before = append(before, c.text)
		} else if c.start >= s.end {
			behind = append(behind, c.text)
		}
	}
	return slices.Concat(before, s.comments, behind)
}

// commentsIn lists the comments within a stretch of the text.
func (d *Doc) commentsIn(start, end int) []string {
	var texts []string
	for _, c := range d.comments {
		if c.start >= start && c.start < end {
			texts = append(texts, c.text)
		}
	}
	return texts
}

// same reports whether two values read the same: shape, keys in their order,
// items, text, and whether text is quoted or nothing is written.
func same(a, b *Node) bool {
	if a.kind != b.kind || a.text != b.text || a.Quoted() != b.Quoted() {
		return false
	}
	return slices.EqualFunc(a.entries, b.entries, func(x, y Entry) bool {
		return x.Key == y.Key && same(x.Value, y.Value)
	}) && slices.EqualFunc(a.items, b.items, func(x, y item) bool {
		return same(x.value, y.value)
	})
}

// changed is a tree with the value at a path replaced by what change makes of
// it; the tree itself stays as it is.
func changed(n *Node, path []string, change func(*Node) *Node) *Node {
	if len(path) == 0 {
		return change(n)
	}
	c := *n
	c.entries, c.items = slices.Clone(n.entries), slices.Clone(n.items)
	if n.kind == List {
		i := n.itemIndex(path[0])
		c.items[i].value = changed(c.items[i].value, path[1:], change)
		return &c
	}
	i := n.find(path[0])
	c.entries[i].Value = changed(c.entries[i].Value, path[1:], change)
	return &c
}

// with is a copy of a mapping or list with one more value at its end, under
// key if it is a mapping. Where nothing was written it becomes one.
func (n *Node) with(kind Kind, key string, value *Node) *Node {
	c := &Node{kind: kind}
	if kind == Map {
		c.entries = append(slices.Clone(n.entries), Entry{Key: key, Value: value})
	} else {
		c.items = append(slices.Clone(n.items), item{value: value})
	}
	return c
}

// without is a copy of a mapping or list with one value less.
func (n *Node) without(i int) *Node {
	c := &Node{kind: n.kind}
	if n.kind == Map {
		c.entries = slices.Delete(slices.Clone(n.entries), i, i+1)
	} else {
		c.items = slices.Delete(slices.Clone(n.items), i, i+1)
	}
	return c
}

// lineBefore is what stands before an offset on its line; a byte-order mark
// does not count.
func lineBefore(text string, offset int) string {
	start := strings.LastIndexAny(text[:offset], "\r\n") + 1
	return strings.TrimPrefix(text[start:offset], byteOrderMark)
}
