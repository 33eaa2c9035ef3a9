package record

import (
	"stackbook/schema/source"
)

// Removed is one part a change says was taken out.
type Removed struct {
	From    string // the position it was fitted at
	FoundAt string // the position it was found at, "" where the same
	Serial  string
	Lot     string
	Hours   *Hours // the part's own, in all engines; nil where not said
	To      string // a word of schema.Whereabouts, or ""
	Where   string
	Note    string
	Change  *Change
	Ref     Ref
}

// Removed lists the parts the change took out, as written.
func (c *Change) Removed() []Removed {
	n := c.Node("removed")
	if n == nil {
		return nil
	}
	var list []Removed
	for _, item := range n.Items() {
		if item.Kind() != source.Map {
			continue
		}
		list = append(list, Removed{From: textOf(item, "from"), FoundAt: textOf(item, "found_at"), Serial: textOf(item, "serial"), Lot: textOf(item, "lot"),
			Hours: hoursAt(c.Record, item), To: textOf(item, "to"), Where: textOf(item, "where"), Note: textOf(item, "note"), Change: c, Ref: c.Ref(item)})
	}
	return list
}

// Fitting is when a part came to the position it is fitted at.
type Fitting struct {
	Change *Change // that put it there; nil: no change tells
	Build  int
	Hours  *Hours // of the engine then; nil where no record tells
	First  bool   // there since the first build: nothing says otherwise
}

// Fitting tells when a part of the spec was fitted: by its own
// engine_hours_at_fitting, else by the last change that replaced what was there
// or took out another part, else it is there since the first build.
func (e *Engine) Fitting(p Part) Fitting {
	f := Fitting{Build: 1, Change: e.lastFitting(p)}
	if f.Change != nil {
		f.Build = f.Change.Build
	}
	if given, ok := e.partHours(p, "engine_hours_at_fitting"); ok {
		f.Hours = &given
		if f.Change == nil {
			f.Build = e.buildAt(given)
		}
		return f
	}
	if f.Change == nil {
		f.First, f.Hours = true, &Hours{}
		return f
	}
	if given, ok := f.Change.EngineHours(); ok {
		f.Hours = &given
	} else if known, ok := e.HoursOn(f.Change.Date); ok {
		f.Hours = &known
	}
	return f
}

// lastFitting is the last change that put another part where this one is.
func (e *Engine) lastFitting(p Part) *Change {
	for i := len(e.Changes) - 1; i >= 0; i-- {
		c := e.Changes[i]
		if c.Kind != nil && c.Kind.Name == "replacement" && c.Reaches(p.Position) || c.tookOther(p) {
			return c
		}
	}
	return nil
}

// tookOther tells whether the change took another part from where this one is.
func (c *Change) tookOther(p Part) bool {
	for _, r := range c.Removed() {
		if r.From == p.Position && (p.Serial == "" || r.Serial != p.Serial) {
			return true
		}
	}
	return false
}
