package act

import (
	"errors"
	"path"
	"strings"

	"stackbook/record"
	"stackbook/schema"
	"stackbook/schema/problem"
	"stackbook/schema/source"
)

// CloseConcession marks an open concession as closed, in its own file and
// without touching another byte of it. name is the file as a path or by its
// name alone; date is today where it is empty. The records of a delivered
// build stay as they are (R18).
func (d *Desk) CloseConcession(name, date, why string) (*Draft, error) {
	c, err := d.concession(name)
	if err != nil {
		return nil, err
	}
	if strings.TrimSpace(why) == "" {
		return nil, usage(`write: --why "measured again at 40 h: 0.06 mm, as before"`, "why it is closed is not said")
	}
	if date == "" {
		date = d.shop.Now().Format("2006-01-02")
	}
	day, err := schema.ParseDate(date)
	if err != nil {
		return nil, usage("write: --date 2024-03-02", "%s", err.Error())
	}
	why = strings.TrimSpace(why)
	doc, err := closed(c.Doc, day.String(), inBlock(why, schema.Words))
	if err != nil { // between braces more needs quotes
		doc, err = closed(c.Doc, day.String(), source.Quote(why))
	}
	var refused problem.Problem
	if errors.As(err, &refused) {
		return nil, problem.List{refused}
	}
	if err != nil {
		return nil, err
	}
	draft := &Draft{Kind: c.Kind.Name, What: c.What, Build: c.Build, File: c.Path, Text: doc.Text(), Closes: true}
	_, list, err := d.check(c.Path, draft.Text)
	if err != nil {
		return nil, err
	}
	return draft, list.Err()
}

// concession finds an open concession by the name of its file.
func (d *Desk) concession(name string) (*record.Change, error) {
	rel, _ := d.shop.Book.Rel(d.path(name)) // a name alone need not be a path
	var open []string
	var found *record.Change
	for _, c := range d.Engine.Changes {
		if c.Path == rel || c.Name() == name || strings.TrimSuffix(c.Name(), ".yaml") == name {
			found = c
		}
		if c.Kind != nil && c.Kind.Name == "concession" && c.Text("concession.closed") == "" {
			open = append(open, path.Base(c.Path))
		}
	}
	mend := "no concession of " + d.Place.Number + " is open"
	if len(open) > 0 {
		mend = "open are: " + Some(open, 8)
	}
	switch {
	case found == nil:
		return nil, usage(mend, "%s has no change %s", d.Place.Number, name)
	case found.Kind == nil || found.Kind.Name != "concession":
		return nil, usage(mend, "%s is no concession", found.Name())
	case found.Text("concession.closed") != "":
		return nil, usage(mend, "%s was closed on %s", found.Name(), found.Text("concession.closed"))
	case d.Engine.Delivered(d.Engine.Build) != nil:
		return nil, usage("open the next build first: stackbook reopen "+d.Place.Number+"; until then write a note",
			"build %d of %s is delivered, and its records stay as they are", d.Engine.Build, d.Place.Number)
	}
	return found, nil
}

// closed puts the day and the reason into a concession, both as written.
func closed(doc *source.Doc, day, why string) (*source.Doc, error) {
	if doc.Root().Get("concession") == nil {
		return doc.Insert(nil, "concession", "closed: "+day+"\nclosed_because: "+why)
	}
	for _, p := range []pair{{"closed", day}, {"closed_because", why}} {
		var err error
		if at := []string{"concession", p.key}; doc.Root().At(at...) != nil {
			doc, err = doc.SetRaw(at, p.value)
		} else {
			doc, err = doc.Insert(at[:1], p.key, p.value)
		}
		if err != nil {
			return nil, err
		}
	}
	return doc, nil
}
