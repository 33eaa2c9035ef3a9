// Package source holds one YAML file as its text: what is written at a path,
// on which line, and how to change one value without touching another byte.
//
// People keep the records in their own editors, with their own comments,
// alignment, quotes and line ends. So nothing here ever writes a file anew
// from its values. Reading gives every scalar as the text that was typed
// (00123 stays 00123; what it means is the schema's business). Writing
// replaces one stretch of bytes, parses the outcome again, and gives it back
// only if all other bytes, values and comments are as they were; otherwise
// the edit is refused with the line to type by hand.
//
// What is read: one YAML document a file whose top level is a mapping, block
// or flow style, with comments, a byte-order mark, any of the line ends LF,
// CRLF and CR, with or without a last line end. An alias is read as what it
// stands for, up to MaxNodes values in all. What would be read differently by
// different programs is refused: merge keys, two equal keys, keys that are
// lists or mappings, a second document, tabs as indentation, control
// characters, and the line separators U+0085, U+2028 and U+2029.
// Tags are accepted and have no effect.
package source

import (
	"slices"
	"strings"

	"gopkg.in/yaml.v3"

	"stackbook/schema/problem"
)

// Bounds of what is read. A record is some 2 kB and four levels deep; the
// bounds keep a broken or hostile file from costing more than a moment.
const (
	MaxSize  = 1 << 20 // bytes of text
	MaxDepth = 40      // mappings and lists within one another
	MaxNodes = 100_000 // values, those behind aliases counted wherever they appear
)

// A Doc is one YAML document: its text and what was read from it. It never
// changes; an edit gives a new one. It may be read by many goroutines.
type Doc struct {
	name     string
	text     string
	root     *Node
	comments []comment // all of them, in the order of the text
}

// A comment is the text from a # to the end of its line.
type comment struct {
	start int
	text  string
}

// Parse reads one YAML document. name is the file name its problems carry.
// The error is a problem.List, sorted; the Doc is nil then. Problems of bytes
// and of keys are all listed, up to a hundred; of faults in the YAML itself
// the first.
func Parse(name string, text []byte) (*Doc, error) {
	s := string(text)
	if list := checkBytes(name, s); len(list) > 0 {
		list.Sort()
		return nil, list
	}
	if tree, ok := quickTree(s); ok {
		if d := walkThrough(name, s, tree); d != nil {
			return d, nil
		}
	}
	return parseAll(name, s)
}

// walkThrough is the document of a tree that the quick reader gave; nil where
// something is to be reported, or the walker cannot follow.
func walkThrough(name, text string, tree *yaml.Node) *Doc {
	w := newWalker(name, text)
	root := w.document(tree)
	if w.lost || len(w.problems) > 0 {
		return nil
	}
	return &Doc{name: name, text: text, root: root, comments: w.comments}
}

// parseAll reads a text by the parser for all of YAML.
func parseAll(name, s string) (*Doc, error) {
	tree, fault := shielded(name, func() (*yaml.Node, *problem.Problem) { return parseTree(name, s) })
	if fault != nil {
		return nil, problem.List{*fault}
	}
	w := newWalker(name, s)
	root := w.document(tree)
	if len(w.problems) > 0 {
		w.problems.Sort()
		return nil, w.problems
	}
	return &Doc{name: name, text: s, root: root, comments: w.comments}, nil
}

// Name is the file name given to Parse.
func (d *Doc) Name() string { return d.name }

// Text is the text exactly as it was parsed, as a copy.
func (d *Doc) Text() []byte { return []byte(d.text) }

// Root is the top level: always a mapping, an empty one if the file holds
// nothing but blank lines and comments.
func (d *Doc) Root() *Node { return d.root }

// Only is the document with no more than some keys of its root, in the order
// written, each value knowing its line as before. It is to be read, and kept where
// the whole would take too much memory: it has no text, and is never edited.
func (d *Doc) Only(keys ...string) *Doc {
	root := &Node{kind: Map, style: d.root.style, line: d.root.line, column: d.root.column, size: 1}
	for _, e := range d.root.entries {
		if slices.Contains(keys, e.Key) {
			root.entries = append(root.entries, e)
			root.size += e.Value.size
		}
	}
	return &Doc{name: d.name, root: root}
}

// lineEnd is the line end the text uses first, LF where it has none.
func lineEnd(text string) string {
	i := strings.IndexAny(text, "\r\n")
	switch {
	case i < 0 || text[i] == '\n':
		return "\n"
	case strings.HasPrefix(text[i:], "\r\n"):
		return "\r\n"
	}
	return "\r"
}
