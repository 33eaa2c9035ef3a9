package diff

import (
	"fmt"
	"sort"
	"strings"

	"stackbook/record"
	"stackbook/schema"
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

// within compares two states of one record, which lie in one place of the
// folder and so are of one kind.
func (w *walker) within(path string, x, y summarised) {
	inner := &walker{}
	for i := range x.record.Field.Fields {
		f := &x.record.Field.Fields[i]
		switch {
		case x.session != nil && f.Keys == schema.PointKey:
			inner.readings(x.session, y.session)
		case x.session != nil && f.Key == "tables":
			inner.tables(f, x.session, y.session)
		default:
			inner.value(f.Key, f, x.record.Node(f.Key), y.record.Node(f.Key))
		}
	}
	for _, c := range inner.changes {
		c.Path = path + " " + c.Path
		w.changes = append(w.changes, c)
	}
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
