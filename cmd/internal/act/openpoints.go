package act

import (
	"fmt"

	"stackbook/record"
	"stackbook/record/figure"
	"stackbook/record/travel"
)

// OpenPoints is what is still open of a build that is about to be delivered. None of
// it forbids a delivery: it is to be known to whoever signs.
type OpenPoints struct {
	Concessions []*record.Change  // what was accepted although it did not conform, not closed yet
	Failing     []*figure.Result  // that fail, or of which it is not decided
	Unmeasured  []*figure.Missing // that a limit asks for
	CrackTests  []travel.Guard    // parts whose bursting hurts, without a crack test in date that found them clear
	Limits      string            // why the operating limits are not with the customer, "" when they are
}

// Any tells whether anything is open.
func (o OpenPoints) Any() bool {
	return len(o.Concessions) > 0 || len(o.Failing) > 0 || len(o.Unmeasured) > 0 || len(o.CrackTests) > 0 || o.Limits != ""
}

// openOf finds what is open of an engine's build.
func openOf(l *Loaded) OpenPoints {
	e, figures := l.Engine, l.Figures
	o := OpenPoints{Concessions: e.OpenConcessions(), Limits: limitsUnsent(e)}
	for _, g := range l.Guards {
		if g.Standing != travel.Tested {
			o.CrackTests = append(o.CrackTests, g)
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
