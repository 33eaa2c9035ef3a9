package act

import (
	"fmt"

	"stackbook/record"
	"stackbook/record/figure"
	"stackbook/schema"
)

// OpenPoints is what is still open of a build that is about to be delivered. None of
// it forbids a delivery: it is to be known to whoever signs.
type OpenPoints struct {
	Concessions []*record.Change  // what was accepted although it did not conform, not closed yet
	Failing     []*figure.Result  // that fail, or of which it is not decided
	Unmeasured  []*figure.Missing // that a limit asks for
	Untested    []Untested        // parts whose bursting hurts, without a clear crack test
	Limits      string            // why the operating limits are not with the customer, "" when they are
}

// Untested is a part that was never tested for cracks, or not found clear.
type Untested struct {
	At     string
	Result string // of its last test, "" for none
}

// Any tells whether anything is open.
func (o OpenPoints) Any() bool {
	return len(o.Concessions) > 0 || len(o.Failing) > 0 || len(o.Unmeasured) > 0 || len(o.Untested) > 0 || o.Limits != ""
}

// openOf finds what is open of an engine's build.
func openOf(e *record.Engine, figures *figure.Set) OpenPoints {
	o := OpenPoints{Untested: untested(e), Limits: limitsUnsent(e)}
	for _, c := range e.Changes {
		conceded := c.Kind != nil && c.Kind.Name == "concession" || c.Node("concession") != nil
		if conceded && c.Text("concession.closed") == "" {
			o.Concessions = append(o.Concessions, c)
		}
	}
	for _, r := range figures.Results {
		if r.Verdict == figure.Fails || r.Verdict == figure.Undecided {
			o.Failing = append(o.Failing, r)
		}
	}
	for _, m := range figures.Missing {
		if m.Judged == figure.Unmeasured {
			o.Unmeasured = append(o.Unmeasured, m)
		}
	}
	return o
}

// mayBurst are the parts whose bursting hurts people. Common practice, no
// source.
var mayBurst = []schema.Pattern{"shaft", "rotor/*r", "rotor/*r/gear", "gear/front|centre|rear", "gear/*n", "counterweight/front|rear", "flywheel"}

// untested lists the fitted parts that may burst and have no clear crack test.
func untested(e *record.Engine) []Untested {
	var list []Untested
	for _, kind := range mayBurst {
		for _, p := range e.Parts() {
			if result := crackTest(e, p); kind.Match(p.Position, e.Rotors) && result != "clear" {
				list = append(list, Untested{p.Position, result})
			}
		}
	}
	return list
}

// crackTest is the result of the last crack test of a part now fitted, "" where
// there is none of it.
func crackTest(e *record.Engine, p record.Part) string {
	result := ""
	for _, s := range e.Sessions { // by date
		for i := range s.Readings {
			if r := &s.Readings[i]; r.Point.ID == "crack_test" && r.Text != "" && testedThis(e, p, s, r) {
				result = r.Text
			}
		}
	}
	return result
}

// testedThis tells whether a crack test was made on the part now fitted: by its
// serial, or without one at its position with no replacement since.
func testedThis(e *record.Engine, p record.Part, s *record.Session, r *schema.Reading) bool {
	if serial := s.Serial(r.Position); p.Serial != "" && serial != "" {
		return serial == p.Serial
	}
	fresh := p.Origin == "new" && s.Build < e.Build
	return r.Position == p.Position && !fresh && !e.ReplacedSince(p.Position, s.Date)
}

// limitsUnsent tells why the customer does not have this build's operating
// limits; what was sent before the build before was delivered was that one's.
func limitsUnsent(e *record.Engine) string {
	sent, ok := e.Spec.Date("operating.sent")
	if !ok {
		return "operating limits are not sent to the customer: operating.sent is empty in " + e.Spec.Path
	}
	if before := e.Delivered(e.Build - 1); before != nil && !sent.Time.After(before.Date.Time) {
		return fmt.Sprintf("operating limits of this build are not sent: operating.sent is %s, and build %d was delivered on %s", sent.Day(), before.Build, before.Date.Day())
	}
	return ""
}
