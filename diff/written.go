package diff

import (
	"fmt"
	"sort"
	"strings"

	"stackbook/record"
	"stackbook/schema"
	"stackbook/schema/quantity"
)

// recordChanges compares which sessions and changes two states of one engine
// hold, and what was altered in those they share.
func recordChanges(a, b *record.Engine) []Change {
	w := &walker{}
	from, to := recordsOf(a), recordsOf(b)
	var paths []string
	for p := range from {
		paths = append(paths, p)
	}
	for p := range to {
		if _, both := from[p]; !both {
			paths = append(paths, p)
		}
	}
	sort.Strings(paths)
	for _, p := range paths {
		x, y := from[p], to[p]
		switch {
		case x.record == nil:
			w.add(p, Added, "", y.summary)
		case y.record == nil:
			w.add(p, Removed, x.summary, "")
		default:
			w.within(p, x, y)
		}
	}
	return w.changes
}

// within compares two states of one record.
func (w *walker) within(path string, x, y summarised) {
	inner := &walker{}
	for i := range x.record.Field.Fields {
		f := &x.record.Field.Fields[i]
		if f.Keys == schema.PointKey && f.Type == schema.Keyed {
			inner.written(x.session, y.session)
			continue
		}
		inner.value(f.Key, f, x.record.Node(f.Key), y.record.Node(f.Key))
	}
	for _, c := range inner.changes {
		c.Path = path + " " + c.Path
		w.changes = append(w.changes, c)
	}
}

// written compares the lines of two states of one session: a reading is what
// it means, whatever unit it is written in.
func (w *walker) written(a, b *record.Session) {
	x, y := linesOf(a), linesOf(b)
	for _, key := range mergedKeys(x, y) {
		from, inA := x[key]
		to, inB := y[key]
		if inA != inB || from.canonical != to.canonical {
			w.add(key, whatOf(inA, inB), from.text, to.text)
		}
	}
}

func linesOf(s *record.Session) map[string]leaf {
	lines := map[string]leaf{}
	for i := range s.Readings {
		r := &s.Readings[i]
		text, canonical := []string{}, []string{r.Text, r.Instrument, r.Temperature, r.Method, r.Note}
		for _, q := range append(append([]quantity.Quantity(nil), r.Values...), r.Between...) {
			text, canonical = append(text, q.String()), append(canonical, q.Canonical())
		}
		if r.Text != "" {
			text = append(text, r.Text)
		}
		lines[r.Point.ID+" "+r.Key] = leaf{strings.Join(text, ", "), strings.Join(canonical, "\n")}
	}
	return lines
}

// summarised is a record with the words that sum it up; session is nil for a
// change.
type summarised struct {
	record  *record.Record
	session *record.Session
	summary string
}

func recordsOf(e *record.Engine) map[string]summarised {
	list := map[string]summarised{}
	for _, s := range e.Sessions {
		summary := fmt.Sprintf("%s by %s, %d readings", s.Text("stage"), s.By, len(s.Readings))
		list[strings.TrimPrefix(s.Path, e.Folder+"/")] = summarised{s.Record, s, summary}
	}
	for _, c := range e.Changes {
		list[strings.TrimPrefix(c.Path, e.Folder+"/")] = summarised{c.Record, nil, c.Text("kind") + ": " + c.What}
	}
	return list
}
