// Package merge brings two people's work on one book together by meaning. From
// a common base, our side and theirs it makes a text and names what a person
// must decide, value by value. It is pure: no file is touched, nothing printed.
//
// It promises:
//
//   - The text is ours, with their changed lines and, where both sides touched
//     a line, their values written into it one by one; all other bytes stay:
//     comments, order, quotes, line ends (R21). Where one side did not touch a
//     file, the other side's bytes are the outcome.
//   - Nothing written by either side is lost without a conflict. What the
//     merged text says is read back and held against what was decided; where
//     the two disagree, the whole file is the conflict.
//   - The sides are alike: merged the other way round, a record says the same.
//   - What is merged is checked against the dictionary again.
//
// The cases, by number:
//
//	M1   order of keys, comments, blank lines, spelling of units: no difference
//	M2   two sessions, two parts, two readings of one session, two fields: both
//	M3   the same change on both sides: once
//	M4   one value changed two ways: a conflict at that value, the rest merges
//	M5   changed on one side, taken out on the other: a conflict
//	M6   list entries go by what names them: removed by from, photos by file,
//	     whereabouts by day, causes by cause; those that go by days stay in order
//	M7   lists of words and positions: what either side adds is in, what either
//	     takes out is out
//	M8   lists of numbers (phases, stations, repeats) are one value each; rows
//	     of a table go by their speed, unless its columns differ
//	M9   two things under one key are never blended: parts with two serials,
//	     instruments or entries that both sides added (R12), two readings of
//	     one place
//	M10  a reading keeps its meaning when its point's unit or particulars
//	     differ between the sides
//	M11  what cannot be written without loss is a conflict, with what to type
//	M12  specs of two ids are two engines: the whole file (R11)
//	M13  a file both sides added is merged only if it is of one thing: sessions
//	     by date, stage and person (R12), changes by date, kind, person and
//	     what was done, parts by serial or lot, limits by name
//	M14  what cannot be read, or is of a newer format: the whole file
//	M15  figures.yaml is not merged but computed anew (R4, R7)
//
// and between files, each a named Outcome:
//
//	M16  deleted on one side, edited on the other
//	M17  an engine number taken on two branches, or one id in two folders (R11)
//	M18  a build delivered on one side, its records edited on the other (R18)
//	M19  two deliveries of one build (R2)
//	M20  the next build opened on both sides
//	M21  an engine's folder moved on one side, its records edited on the other:
//	     edits follow the engine by its id
//	M22  a book or record of a newer stackbook
//	M23  a file that is no record, changed on both sides
package merge

import (
	"bytes"
	"fmt"
	"path"
	"slices"
	"strings"

	"stackbook/schema"
	"stackbook/schema/problem"
	"stackbook/schema/source"
)

// Result is one file merged.
type Result struct {
	// Text is the merged file. Conflicts stand in it between git's marks, our
	// side first; nil where there is nothing to write: the file is gone, or no
	// side of it could be read, and then git's own merge must do.
	Text      []byte
	Conflicts []Conflict   // in the order of the text
	Problems  problem.List // of the text, where it has no conflicts
}

// A Conflict is one value that a person must decide.
type Conflict struct {
	Path               string // dotted, of a reading point and place; "" for the whole file
	Base, Ours, Theirs string // as written; "" where missing
	Message            string // what stands against what
	Mend               string // what to do
	Line               int    // of its first mark in Text, from 1; 0 where Text is nil
}

// Record merges one record. base is nil for a file both sides added, ours or
// theirs for one that a side deleted. path is where the file lies in the book.
func Record(path string, base, ours, theirs []byte) Result {
	switch {
	case bytes.Equal(ours, theirs) && (ours == nil) == (theirs == nil), unchanged(base, theirs):
		return checked(path, ours)
	case unchanged(base, ours):
		return checked(path, theirs)
	case isFigures(path):
		return whole(nil, ours, theirs, "figures.yaml follows from the records and is not merged", "let it be computed anew, with the next commit")
	case ours == nil || theirs == nil:
		return whole(nil, ours, theirs, "deleted on one side and edited on the other", "keep the file or delete it")
	}
	s, fault := readSides(path, base, ours, theirs)
	if fault != nil {
		return *fault
	}
	return s.merge()
}

// unchanged tells whether a side holds the very bytes of the base.
func unchanged(base, side []byte) bool { return base != nil && side != nil && bytes.Equal(base, side) }

func isFigures(file string) bool { return path.Base(file) == "figures.yaml" }

// checked is a text taken as it is.
func checked(path string, text []byte) Result {
	if text == nil || isFigures(path) {
		return Result{Text: text}
	}
	return Result{Text: text, Problems: check(path, text)}
}

// check holds a text against the dictionary.
func check(path string, text []byte) problem.List {
	doc, err := source.Parse(path, text)
	if err != nil {
		return err.(problem.List)
	}
	kind := kindOf(doc)
	if schema.Kind(kind) == nil {
		return problem.List{{File: path, Line: 1, Column: 1, Rule: "format", Message: "the format line names no record", Mend: "write format: spec/1, or whatever it is"}}
	}
	return schema.Check(doc, kind, 0)
}

// kindOf is the word a record's format begins with.
func kindOf(doc *source.Doc) string {
	kind, _, _ := strings.Cut(textOf(doc.Root().Get("format")), "/")
	return kind
}

// sides are three states of one record, read.
type sides struct {
	path               string
	kind               *schema.Field
	base, ours, theirs *value // base is nil where both sides added the file
}

// readSides reads the three states; where that cannot be, or they may not be
// blended, it gives the conflict instead.
func readSides(path string, base, ours, theirs []byte) (*sides, *Result) {
	fail := func(text bool, message, mend string) (*sides, *Result) {
		r := whole(nil, ours, theirs, message, mend)
		if text {
			r = whole(marked(ours, theirs), ours, theirs, message, mend)
		}
		return nil, &r
	}
	s := &sides{path: path}
	var kinds []string
	for _, side := range []struct {
		name string
		text []byte
		into **value
	}{{"our side", ours, &s.ours}, {"their side", theirs, &s.theirs}, {"the common base", base, &s.base}} {
		if side.text == nil {
			continue
		}
		doc, err := source.Parse(path, side.text)
		if err != nil {
			return fail(false, side.name+" cannot be read: "+err.(problem.List)[0].String(), "mend it there first, or merge the lines by hand")
		}
		kinds = append(kinds, textOf(doc.Root().Get("format")))
		if s.kind = schema.Kind(kindOf(doc)); s.kind == nil || kinds[0] != kinds[len(kinds)-1] {
			return fail(true, fmt.Sprintf("%s has the format %q, and the other %q", side.name, kinds[len(kinds)-1], kinds[0]), "keep one side")
		}
		if isNewer(path, doc) {
			return fail(true, side.name+" is of a newer format", "merge with a newer stackbook")
		}
		*side.into = read(doc, s.kind)
	}
	if why := s.twoThings(kindOf(s.ours.doc)); why != "" {
		return fail(true, why, "keep one here, and the other under a name of its own")
	}
	return s, nil
}

// isNewer tells whether a record was written by a newer stackbook.
func isNewer(path string, doc *source.Doc) bool {
	for _, p := range schema.Check(doc, kindOf(doc), 0) {
		if p.Rule == "newer-format" {
			return true
		}
	}
	return false
}

// naming are the keys that say what a record is about.
var naming = map[string][]string{
	"measurements": {"date", "stage", "by"},
	"change":       {"date", "kind", "by", "what"},
	"part":         {"serial", "lot"},
	"limits":       {"name"},
}

// twoThings tells why the sides are about two things, "" where they are of one.
func (s *sides) twoThings(kind string) string {
	for _, key := range naming[kind] {
		if o, t := s.ours.kid(key), s.theirs.kid(key); s.base == nil && !same(o, t) {
			return fmt.Sprintf("both sides added this file, with %s %s here and %s there: they are two", key, shown(o), shown(t))
		}
	}
	o, t := s.ours.kid("id"), s.theirs.kid("id")
	if kind == "spec" && !same(o, t) {
		return fmt.Sprintf("these are two engines of one number: id %s here and %s there", shown(o), shown(t))
	}
	return ""
}

// shown is a value as it is told in a sentence.
func shown(v *value) string {
	if v == nil {
		return "none"
	}
	return v.node.Text()
}

// merge decides, writes and marks.
func (s *sides) merge() Result {
	var best *writer
	for _, doc := range s.beginnings() {
		p := decide(s.base, s.ours, s.theirs)
		decided := len(p.clash)
		w := write(doc, s.kind, p)
		if !w.wholly() || !s.keepsOurs(w) {
			continue
		}
		if best == nil || len(p.clash) < len(best.plan.clash) {
			best = w
		}
		if len(p.clash) == decided {
			break // nothing was refused
		}
	}
	switch ours, theirs := s.ours.doc.Text(), s.theirs.doc.Text(); {
	case best == nil:
		return whole(marked(ours, theirs), ours, theirs, "the two sides could not be merged value by value", "keep one side, and write the other's changes into it")
	case len(best.plan.clash) == 0:
		text := best.doc.Text()
		return Result{Text: text, Problems: check(s.path, text)}
	}
	return s.mark(best)
}

// beginnings are the texts to write the merge into, the best first: that with
// the changed lines of both sides, which brings comments along, and ours.
func (s *sides) beginnings() []*source.Doc {
	docs := []*source.Doc{s.ours.doc}
	if s.base != nil {
		text := mergeLines(string(s.base.doc.Text()), string(s.ours.doc.Text()), string(s.theirs.doc.Text()))
		if doc, err := source.Parse(s.path, []byte(text)); err == nil {
			docs = []*source.Doc{doc, s.ours.doc}
		}
	}
	return docs
}

// keepsOurs tells whether a merged text has our side of what a person must
// decide: in meaning or, where its point gives it other things now, as written.
func (s *sides) keepsOurs(w *writer) bool {
	return !slices.ContainsFunc(w.plan.clash, func(c clash) bool {
		now, ours := w.tree.at(c.ids), s.ours.at(c.ids)
		return !same(now, ours) && raw(now) != raw(ours)
	})
}

// whole is a conflict about the whole file.
func whole(text, ours, theirs []byte, message, mend string) Result {
	c := Conflict{Ours: string(ours), Theirs: string(theirs), Message: message, Mend: mend}
	if text != nil {
		c.Line = 1
	}
	return Result{Text: text, Conflicts: []Conflict{c}}
}
