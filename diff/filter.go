package diff

import (
	"strings"

	"stackbook/schema"
)

// The kinds of difference a Filter can keep.
const (
	Parts    = "parts"    // what is fitted
	Spec     = "spec"     // everything else the spec says
	Records  = "records"  // sessions and changes that were written
	Readings = "readings" // the readings that count
	Figures  = "figures"
)

// Kinds lists the kinds of difference in the order they are shown.
var Kinds = []string{Parts, Spec, Records, Readings, Figures}

// Filter says which differences are wanted. Its zero value wants all.
type Filter struct {
	Kinds []string // none: every kind
	Topic string   // a section of the spec or a topic of figures: cooling, fits
	At    string   // a position; everything within it counts
}

// Keep gives the differences a filter wants.
func (r *Result) Keep(f Filter) *Result {
	kept := &Result{States: r.States, TwoIDs: r.TwoIDs, Apart: r.Apart.keep(f)}
	for _, c := range r.Changes {
		if f.Wants(c.Kind()) && f.topic(section(c.Path)) && f.atChange(c) {
			kept.Changes = append(kept.Changes, c)
		}
	}
	for _, c := range r.Readings {
		if f.Wants(Readings) && f.topic("") && f.at(c.At) {
			kept.Readings = append(kept.Readings, c)
		}
	}
	for _, c := range r.Figures {
		if f.Wants(Figures) && f.topic(c.Figure.Topic) && f.at(c.At) {
			kept.Figures = append(kept.Figures, c)
		}
	}
	return kept
}

// Wants tells whether a filter keeps a kind of difference.
func (f Filter) Wants(kind string) bool {
	for _, k := range f.Kinds {
		if k == kind {
			return true
		}
	}
	return len(f.Kinds) == 0
}

func (f Filter) topic(topic string) bool { return f.Topic == "" || f.Topic == topic }

func (f Filter) at(position string) bool {
	return f.At == "" || position != "" && schema.Below(position, f.At)
}

// atChange tells whether a change is wanted; a move is at both its ends.
func (f Filter) atChange(c Change) bool {
	if c.What == Moved {
		return f.at(c.From) || f.at(c.To)
	}
	return f.at(c.position())
}

// Kind is the kind of difference a change is.
func (c Change) Kind() string { return kindOf(c.Path) }

// Kind is the kind of difference a row of changes is.
func (r *ChangeRow) Kind() string { return kindOf(r.Path) }

// kindOf tells by its path what a change is of; that of a part that moved is
// parts alone.
func kindOf(path string) string {
	switch {
	case path == "parts", strings.HasPrefix(path, "parts."):
		return Parts
	case strings.HasPrefix(path, "measurements/"), strings.HasPrefix(path, "changes/"):
		return Records
	}
	return Spec
}

// position is the position a change speaks of, "" where it speaks of none.
func (c Change) position() string {
	for _, key := range strings.Split(c.Path, ".") {
		if schema.CheckPosition(key, 0) == nil {
			return key
		}
	}
	return ""
}

// section is the section of the spec a path lies in.
func section(path string) string {
	head, _, _ := strings.Cut(path, ".")
	return head
}
