// Package record is an engine's records in memory: typed, read-only, each
// value knowing the line it stands on. It turns checked text into meaning and
// decides which reading counts (R1); what follows from the readings is package
// figure's.
//
// A record written today stays readable: a newer version of a format is
// refused by number, an older one never.
package record

import (
	"fmt"
	"path"
	"strings"

	"stackbook/schema"
	"stackbook/schema/problem"
	"stackbook/schema/quantity"
	"stackbook/schema/source"
)

// File is one file of a state: its path inside the book and its bytes.
type File struct {
	Path string
	Data []byte
}

// Ref is where a value stands.
type Ref struct {
	File         string
	Line, Column int
}

// String is "file:line".
func (r Ref) String() string {
	if r.Line == 0 {
		return r.File
	}
	return fmt.Sprintf("%s:%d", r.File, r.Line)
}

// Record is one YAML file held against the dictionary.
type Record struct {
	Path  string // inside the book
	Kind  string // "spec"
	Doc   *source.Doc
	Field *schema.Field
}

// Read parses and checks one record of a kind. The record is nil when the text
// cannot be read at all; with problems of content it is given all the same, so
// that what is right in it can be used.
func Read(f File, kind string, rotors int) (*Record, problem.List) {
	r, problems := parse(f, kind)
	if r == nil {
		return nil, problems
	}
	return r, schema.Check(r.Doc, kind, rotors)
}

// parse reads a record's text without judging it.
func parse(f File, kind string) (*Record, problem.List) {
	doc, err := source.Parse(f.Path, f.Data)
	if err != nil {
		return nil, asProblems(f.Path, err)
	}
	return &Record{Path: f.Path, Kind: kind, Doc: doc, Field: schema.Kind(kind)}, nil
}

func asProblems(file string, err error) problem.List {
	if list, ok := err.(problem.List); ok {
		return list
	}
	return problem.List{{File: file, Rule: "unreadable", Message: err.Error()}}
}

// Node returns what stands at a dotted path, or nil; a position key such as
// rotor/1 is one step.
func (r *Record) Node(dotted string) *source.Node {
	if r == nil {
		return nil
	}
	n := r.Doc.Root()
	for key := range strings.SplitSeq(dotted, ".") {
		if n = n.At(key); n == nil {
			return nil
		}
	}
	return n
}

// Text returns the words at a path, "" where nothing is written.
func (r *Record) Text(dotted string) string {
	return written(r.Node(dotted))
}

// written is the text of a scalar, "" where there is none or nothing is to be
// read in it.
func written(n *source.Node) string {
	if n == nil || n.Kind() != source.Scalar || schema.IsEmpty(n) {
		return ""
	}
	return n.Text()
}

// TextAt is Text for a path whose keys stand one by one.
func (r *Record) TextAt(keys ...string) string { return written(r.Doc.Root().At(keys...)) }

// Texts returns the words of a list at a path.
func (r *Record) Texts(dotted string) []string {
	n := r.Node(dotted)
	if n == nil {
		return nil
	}
	var list []string
	for _, item := range n.Items() {
		list = append(list, item.Text())
	}
	return list
}

// Number returns the whole number at a path, 0 where none is written.
func (r *Record) Number(dotted string) int {
	n := 0
	if _, err := fmt.Sscanf(r.Text(dotted), "%d", &n); err != nil {
		return 0
	}
	return n
}

// Date returns the date at a path; ok is false where none is written.
func (r *Record) Date(dotted string) (schema.Date, bool) {
	d, err := schema.ParseDate(r.Text(dotted))
	return d, err == nil
}

// Quantity returns the quantity at a path and where it stands; ok is false
// where none is written or it cannot be read.
func (r *Record) Quantity(dotted string) (quantity.Quantity, Ref, bool) {
	if r == nil {
		return quantity.Quantity{}, Ref{}, false
	}
	n := r.Node(dotted)
	f := r.Field.At(dotted)
	if written(n) == "" || f == nil {
		return quantity.Quantity{}, Ref{}, false
	}
	q, err := quantity.Parse(n.Text(), f.Dim, f.Unit)
	return q, r.Ref(n), err == nil
}

// Ref is where a node of this record stands.
func (r *Record) Ref(n *source.Node) Ref {
	return Ref{File: r.Path, Line: n.Line(), Column: n.Column()}
}

// Name is the record's file name.
func (r *Record) Name() string { return path.Base(r.Path) }

// KindOf tells from a path inside an engine's folder which kind of record lies
// there, "" for anything else.
func KindOf(inFolder string) string {
	dir, file := path.Split(inFolder)
	if !strings.HasSuffix(file, ".yaml") {
		return ""
	}
	switch {
	case inFolder == "spec.yaml":
		return "spec"
	case dir == "measurements/":
		return "measurements"
	case dir == "changes/":
		return "change"
	}
	return ""
}
