package app

import (
	"errors"
	"fmt"
	"path"
	"strings"

	"github.com/urfave/cli/v2"

	"stackbook/cmd/internal/act"
	"stackbook/record"
	"stackbook/record/figure"
)

func (a *app) deliver() *cli.Command {
	return a.command(cli.Command{
		Name:      "deliver",
		Usage:     "close a build: commit its delivery and seal it",
		ArgsUsage: "[ENGINE]",
		Description: "Shows what is open of the build, then writes the delivery into changes/,\n" +
			"commits it with the engine's records, and seals the commit with the tag\n" +
			"build/ENGINE/BUILD. Prints the delivery code, which goes on the customer's\n" +
			"sheet: verify tells by it years later whether anything was altered. Problems\n" +
			"in records stop it; what is open does not, but is asked about, and in a\n" +
			"script it takes --yes. Run again after a crash, it makes the tag that is\n" +
			"missing. Without --hours, the most the build's records tell are taken;\n" +
			"without --what, it says: delivered to the customer's code.\n\n" +
			"Example: stackbook deliver SK-07 --hours '65 h' --receipt countersigned",
		Flags: append(momentFlags(),
			&cli.StringFlag{Name: "what", Usage: "what was delivered, in `WORDS`"},
			&cli.StringFlag{Name: "receipt", Usage: "how receipt was confirmed, in `WORDS`"},
			&cli.StringFlag{Name: "message", Aliases: []string{"m"}, Usage: "the commit's message, in `WORDS`"},
			&cli.BoolFlag{Name: "yes", Aliases: []string{"y"}, Usage: "deliver without asking, whatever is open"},
		),
		Action: func(c *cli.Context) error {
			s, number, err := a.shopAndEngine(c)
			if err != nil {
				return err
			}
			closing, err := s.Closing(number, act.DeliverOptions{Moment: moment(c), What: c.String("what"), Receipt: c.String("receipt"), Message: c.String("message")})
			if err != nil {
				return err
			}
			if err := a.agreed(closing, c.Bool("yes")); err != nil {
				return err
			}
			done, err := s.Deliver(closing)
			if err != nil {
				return err
			}
			return a.delivered(closing, done)
		},
	})
}

// momentFlags are the options of whatever happens to an engine on a day.
func momentFlags() []cli.Flag {
	return []cli.Flag{
		&cli.StringFlag{Name: "by", Usage: "who did it, by `INITIALS`; else of git's user.name"},
		&cli.StringFlag{Name: "date", Usage: "the `DAY`, perhaps with a time; else today"},
		&cli.StringFlag{Name: "hours", Usage: "running `HOURS` of the engine in all, such as '65 h'"},
		&cli.StringFlag{Name: "hours-error", Usage: "how many `HOURS` they may be off, such as '3 h'"},
	}
}

func moment(c *cli.Context) act.Moment {
	return act.Moment{By: c.String("by"), Date: c.String("date"), Hours: c.String("hours"), HoursError: c.String("hours-error")}
}

// shopAndEngine opens the book and gives the one engine a command was given.
func (a *app) shopAndEngine(c *cli.Context) (*act.Shop, string, error) {
	if err := tooMany(c, 1); err != nil {
		return nil, "", err
	}
	s, err := a.shop()
	if err != nil {
		return nil, "", err
	}
	number, err := a.engineOr(s, c.Args().First())
	return s, number, err
}

// errNotDelivered is a delivery that was asked about and declined.
var errNotDelivered = errors.New("nothing was delivered")

// agreed shows what is open, and has the person agree to deliver all the same.
func (a *app) agreed(c *act.Closing, yes bool) error {
	if !a.json {
		a.showOpen(c)
	}
	if c.Written || yes || !c.Open.Any() {
		return nil
	}
	if a.json || !a.term.CanAsk(a.In) {
		return &act.UsageError{Message: fmt.Sprintf("nothing was delivered: build %d of %s still has open: %s", c.Build, c.Number, openCount(c.Open)), Mend: "to deliver it all the same, add --yes"}
	}
	if !a.term.Ask(a.In, fmt.Sprintf("Deliver build %d of %s?", c.Build, c.Number)) {
		return errNotDelivered
	}
	return nil
}

// showOpen lists what is open.
func (a *app) showOpen(c *act.Closing) {
	o := c.Open
	if !o.Any() {
		a.term.Line("Nothing is open of build %d of %s.", c.Build, c.Number)
		return
	}
	a.term.Line("Open of build %d of %s:", c.Build, c.Number)
	for _, concession := range o.Concessions {
		a.term.Line("  concession of build %d, %s: %s%s", concession.Build, concession.Date.Day(), concession.What, lookAgain(concession))
	}
	for _, r := range o.Failing {
		if !hopeless(r) {
			a.term.Line("  %s", a.failedLine(c.Loaded.Display, r))
		}
	}
	for _, text := range tooNarrow(c.Loaded.Display, o.Failing) {
		a.term.Line("  %s", text)
	}
	for _, line := range notMeasured(o.Unmeasured) {
		a.term.Prose(4, "  %s", line)
	}
	for _, line := range crackRemarks(o.CrackTests) {
		a.term.Line("  %s", line)
	}
	if o.Limits != "" {
		a.term.Line("  %s", o.Limits)
	}
}

// notMeasured names what was not measured, a line a figure with all its places.
func notMeasured(missing []*figure.Missing) []string {
	var titles []string
	at := map[string][]string{}
	for _, m := range missing {
		if at[m.Figure.Title] == nil {
			titles = append(titles, m.Figure.Title)
		}
		at[m.Figure.Title] = append(at[m.Figure.Title], m.At)
	}
	for i, title := range titles {
		titles[i] = fmt.Sprintf("unmeasured: %s at %s", title, strings.Join(at[title], ", "))
	}
	return titles
}

func lookAgain(concession *record.Change) string {
	if when := concession.Text("concession.look_again"); when != "" {
		return "; look again " + when
	}
	return ""
}

// openCount sums up what is open.
func openCount(o act.OpenPoints) string {
	var parts []string
	undecided := 0
	for _, r := range o.Failing {
		if r.Verdict == figure.Undecided {
			undecided++
		}
	}
	for _, p := range []struct {
		n    int
		what string
	}{{len(o.Concessions), "concession"}, {len(o.Failing) - undecided, "failing figure"}, {undecided, "undecided figure"},
		{len(o.Unmeasured), "unmeasured figure"}, {len(o.CrackTests), "crack test"}} {
		if p.n > 0 {
			parts = append(parts, count(p.n, p.what))
		}
	}
	if o.Limits != "" {
		parts = append(parts, "operating limits not sent")
	}
	return strings.Join(parts, ", ")
}

func (a *app) delivered(c *act.Closing, d *act.Delivered) error {
	if a.json {
		return a.printJSON(deliverJSON(c, d))
	}
	if d.Committed == nil {
		a.term.Line("Build %d of %s was delivered on %s by commit %s; its seal was missing and is made now: %s", d.Build, d.Engine, d.Date, d.Commit.Short(), d.Tag)
	} else {
		a.term.Line("Delivered build %d of %s at %s as commit %s, sealed by the tag %s", d.Build, d.Engine, orDash(d.Hours), d.Commit.Short(), d.Tag)
		a.afterCommit(d.Committed)
	}
	if c.HoursFrom != "" {
		a.remark("hours %s are the most a record of the build tells: %s", d.Hours, path.Base(c.HoursFrom))
	}
	a.term.Line("delivery code %s", a.term.Strong(d.Sum.Code()))
	return nil
}

// afterCommit says what a commit left out or did not judge by.
func (a *app) afterCommit(done *act.Committed) {
	for _, p := range done.Left {
		a.remark("left out: %s is no record, and none names it", p)
	}
	if len(done.Pending) > 0 {
		a.remark("judged without your edits of %s; commit them with: stackbook commit --book", strings.Join(done.Pending, ", "))
	}
}
