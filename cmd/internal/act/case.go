package act

import (
	"errors"
	"slices"

	"stackbook/diff"
	"stackbook/record"
	"stackbook/record/book"
	"stackbook/schema"
)

// Case is what the records tell of one delivered build of which somebody asks:
// facts with the file and day of each, and no judgement of who is at fault.
type Case struct {
	Build      int
	Delivery   *record.Change
	Then, Now  *Loaded // as delivered, and as known in the state that was named
	Difference *diff.Result
	Sent       []Told     // operating limits, as the customer was told
	Recorded   []Recorded // what was recorded of its running since
	Events     []Event    // a line of time
	Out        []record.Removed
	Pictures   []Picture
	Proof      *Verified
	Commits    []book.Commit // of the engine's folder since the delivery, newest first
	Remarks    []string
}

// Event is one record of a line of time: a change or a session.
type Event struct {
	*record.Record
	Date    schema.Date
	Change  *record.Change  // nil: a session
	Session *record.Session // nil: a change
}

// Case gathers what is known of a delivered build. With SK-07/2 it is that one,
// as known in the folder; with any other state it is the last build delivered
// by then.
func (s *Shop) Case(text string) (*Case, error) {
	n, err := ParseName(text)
	if err != nil {
		return nil, err
	}
	c := &Case{Build: n.Build}
	if c.Now, err = s.known(n, text); err != nil {
		return nil, err
	}
	if c.Now.Engine == nil {
		return nil, c.Now.Problems
	}
	e := c.Now.Engine
	if c.Build == 0 {
		if c.Build = lastDelivered(e); c.Build == 0 {
			return nil, usage("a warranty sheet is of a delivered build", "no build of %s is delivered in %s", n.Engine, text)
		}
	}
	name := Name{Engine: n.Engine, Build: c.Build}
	if c.Then, err = s.build(name, name.String()); err != nil {
		return nil, err
	}
	if c.Then.Engine == nil {
		return nil, c.Then.Problems
	}
	if c.Delivery = e.Delivered(c.Build); c.Delivery == nil {
		return nil, usage("name a state that knows of it", "%s does not know of the delivery of build %d", text, c.Build)
	}
	c.Difference = diff.Compare(c.Then.State, c.Now.State)
	c.Sent, c.Events, c.Out = limitsTold(c.Then.Engine), eventsSince(e, c.Build), outSince(e, c.Build)
	c.Recorded = recordedIn(c.Events, c.Sent)
	if c.Pictures, err = s.pictures(c.Now, func(r *record.Record) bool { return r.Number("build") >= c.Build && r.Kind != "spec" }); err != nil {
		return nil, err
	}
	if c.Proof, err = s.Verify(name.String(), ""); err != nil {
		return nil, err
	}
	c.Commits, err = s.commitsSince(c.Now.Place.Folder, c.Proof.Commit)
	var cut *book.CutOffError
	if errors.As(err, &cut) {
		c.Remarks, err = append(c.Remarks, cut.Error()), nil
	}
	return c, err
}

// known is the state in which a build is asked about: the one named, or for
// SK-07/2 the latest there is.
func (s *Shop) known(n Name, text string) (*Loaded, error) {
	switch {
	case n.Build == 0:
		return s.State(text)
	case s.Book.Bare():
		return s.State(n.Engine + "@HEAD")
	}
	return s.State(n.Engine)
}

// lastDelivered is the latest build with a delivery, 0 where none has one.
func lastDelivered(e *record.Engine) int {
	for n := e.Build; n > 0; n-- {
		if e.Delivered(n) != nil {
			return n
		}
	}
	return 0
}

// foundStages are the stages that tell what became of the build before.
var foundStages = []string{"as-received", "as-found", "after-cleaning"}

// eventsSince lists what was recorded of a build since its delivery, by date:
// all of the build itself, how the next build's first sessions and its teardown
// found it, and every later claim and note.
func eventsSince(e *record.Engine, build int) []Event {
	delivery := e.Delivered(build)
	var list []Event
	for _, c := range e.Changes {
		if order, known := c.Date.Compare(delivery.Date); known && order < 0 {
			continue
		}
		own := c.Build == build
		found := c.Build == build+1 && kindIs(c, "teardown")
		if later := c.Build > build && kindIs(c, "claim", "note"); own || found || later {
			list = append(list, Event{Record: c.Record, Date: c.Date, Change: c})
		}
	}
	for _, m := range e.Sessions {
		order, known := m.Date.Compare(delivery.Date)
		since := m.Build == build && known && order > 0
		if since || m.Build == build+1 && m.Stage != nil && slices.Contains(foundStages, m.Stage.Name) {
			list = append(list, Event{Record: m.Record, Date: m.Date, Session: m})
		}
	}
	slices.SortStableFunc(list, func(a, b Event) int { return a.Date.Time.Compare(b.Date.Time) })
	return list
}

func kindIs(c *record.Change, names ...string) bool {
	return c.Kind != nil && slices.Contains(names, c.Kind.Name)
}

// outSince lists the parts that were taken out of a build when the next was
// opened, and those that went since.
func outSince(e *record.Engine, build int) []record.Removed {
	var list []record.Removed
	for _, c := range e.Changes {
		if c.Build == build || c.Build == build+1 {
			list = append(list, c.Removed()...)
		}
	}
	if before := e.Delivered(build); before != nil {
		list = slices.DeleteFunc(list, func(r record.Removed) bool {
			order, known := r.Change.Date.Compare(before.Date)
			return r.Change.Build == build && known && order <= 0
		})
	}
	return list
}

// commitsSince lists the commits of a folder that came after one.
func (s *Shop) commitsSince(folder string, delivery book.Commit) ([]book.Commit, error) {
	log, err := s.Book.Log(folder)
	if err != nil {
		return nil, err
	}
	if i := slices.IndexFunc(log, func(c book.Commit) bool { return c.Hash == delivery.Hash }); i >= 0 {
		log = log[:i]
	}
	return log, nil
}
