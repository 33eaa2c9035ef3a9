package app

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/urfave/cli/v2"

	"stackbook/cmd/internal/act"
	"stackbook/cmd/internal/term"
	"stackbook/diff/history"
	"stackbook/record/figure"
	"stackbook/schema"
)

func (a *app) fleet() *cli.Command {
	return a.command(cli.Command{
		Name:      "fleet",
		Usage:     "every engine in a line: state, hours, last word, due work",
		ArgsUsage: "[@STATE]",
		Description: "States: on the bench, in for rebuild, laid up, delivered; removed, where a\n" +
			"sealed build's folder is gone; not checked out. The last word is the latest\n" +
			"claim, session in the customer's hands, or event or note that names its\n" +
			"source. Due by the shop's own intervals (book.yaml,\n" +
			"targets.service_interval, test_every): opening, crack tests, concessions to\n" +
			"look at again, operating limits not sent. A narrow terminal leaves out\n" +
			"customer and hours since delivery. Exit status 1 when records have problems.\n\n" +
			"Sorted by: " + strings.Join(fleetOrderNames(), ", ") + ".\n\n" +
			"Example: stackbook fleet --due --sort due\n" +
			"         stackbook fleet @2020-05-01 --state delivered --as csv",
		Flags: []cli.Flag{
			&cli.StringFlag{Name: "state", Usage: "only engines in that `STATE`, such as 'laid up'"},
			&cli.BoolFlag{Name: "due", Usage: "only engines with work due by now"},
			&cli.StringFlag{Name: "customer", Usage: "only engines of that customer's `CODE`"},
			&cli.StringFlag{Name: "limits", Usage: "only engines judged by the limit set of that `NAME`"},
			&cli.StringFlag{Name: "sort", Usage: "in another `ORDER` than by number"},
			&cli.StringFlag{Name: "as", Usage: "csv: a table for a spreadsheet (RFC 4180)", DefaultText: "text"},
		},
		Action: func(c *cli.Context) error {
			if err := tooMany(c, 1); err != nil {
				return err
			}
			choose, err := fleetChoice(c)
			if err != nil {
				return err
			}
			s, err := a.shop()
			if err != nil {
				return err
			}
			steps, done := a.steps()
			f, err := s.Fleet(c.Args().First(), steps)
			done()
			if err != nil {
				return err
			}
			choose(f)
			return a.printFleet(f, c.String("as"))
		},
	})
}

func (a *app) printFleet(f *act.Fleet, as string) error {
	for _, r := range f.Remarks {
		a.remark("%s", r)
	}
	a.tellFlawed(flawedIn(f))
	switch {
	case a.json:
		return a.printJSON(fleetJSON(f))
	case as == "csv":
		return a.fleetCSV(f)
	case len(f.Engines) == 0:
		a.term.Line("no engine")
	default:
		a.term.Table(fleetTable(f, a.term.Width))
	}
	return nil
}

// tellFlawed names the engines whose records have problems: what is told of them
// is of what could be read.
func (a *app) tellFlawed(flawed []string) {
	if a.flawed = len(flawed) > 0; a.flawed && !a.json {
		a.remark("records with problems: %s; stackbook check tells them", act.Some(flawed, 8))
	}
}

func flawedIn(f *act.Fleet) []string {
	var flawed []string
	for _, one := range f.Engines {
		if one.Problems > 0 {
			flawed = append(flawed, one.Number)
		}
	}
	return flawed
}

// fleetChoice reads the filters and the order, and gives what applies them.
func fleetChoice(c *cli.Context) (func(*act.Fleet), error) {
	if as := c.String("as"); as != "" && as != "csv" {
		return nil, &act.UsageError{Message: fmt.Sprintf("a fleet is not told as %q", as), Mend: "write --as csv, or --json"}
	}
	state := history.Standing(c.String("state"))
	if state != "" && !slices.Contains(standings, state) {
		return nil, unknown("state", string(state), standingNames(), "states are "+strings.Join(standingNames(), ", "))
	}
	order := fleetOrders[0]
	if by := c.String("sort"); by != "" {
		i := slices.Index(fleetOrderNames(), by)
		if i < 0 {
			return nil, unknown("order", by, fleetOrderNames(), "orders are "+strings.Join(fleetOrderNames(), ", "))
		}
		order = fleetOrders[i]
	}
	due, customer, limits := c.Bool("due"), c.String("customer"), c.String("limits")
	return func(f *act.Fleet) {
		f.Engines = slices.DeleteFunc(f.Engines, func(one *act.InFleet) bool {
			return state != "" && one.Standing != state || due && !one.DueNow() || customer != "" && one.Customer != customer || limits != "" && one.Limits != limits
		})
		slices.SortStableFunc(f.Engines, order.compare)
	}, nil
}

var standings = []history.Standing{history.OnBench, history.InRebuild, history.LaidUp, history.Delivered, act.Removed, act.NotCheckedOut}

func standingNames() []string {
	var names []string
	for _, s := range standings {
		names = append(names, string(s))
	}
	return names
}

// fleetOrder is one way to sort a fleet; equal ones stay by number.
type fleetOrder struct {
	name    string
	compare func(a, b *act.InFleet) int
}

var fleetOrders = []fleetOrder{
	{"number", func(a, b *act.InFleet) int { return strings.Compare(a.Number, b.Number) }},
	{"customer", func(a, b *act.InFleet) int { return strings.Compare(a.Customer, b.Customer) }},
	{"state", func(a, b *act.InFleet) int {
		return slices.Index(standings, a.Standing) - slices.Index(standings, b.Standing)
	}},
	{"hours", func(a, b *act.InFleet) int { return mostFirst(hoursRun(a), hoursRun(b)) }},
	{"verdict", func(a, b *act.InFleet) int { return gravityOf(a) - gravityOf(b) }},
	{"silence", func(a, b *act.InFleet) int { return strings.Compare(heard(a), heard(b)) }},
	{"due", func(a, b *act.InFleet) int { return mostFirst(-leastLeft(a), -leastLeft(b)) }},
}

func fleetOrderNames() []string {
	var names []string
	for _, o := range fleetOrders {
		names = append(names, o.name)
	}
	return names
}

func mostFirst(a, b float64) int {
	switch {
	case a > b:
		return -1
	case a < b:
		return 1
	}
	return 0
}

func hoursRun(one *act.InFleet) float64 {
	switch {
	case !one.Read:
		return -1
	case one.Hours == nil:
		return 0
	}
	return one.Hours.Value
}

func gravityOf(one *act.InFleet) int {
	return slices.Index([]figure.Verdict{figure.Fails, figure.Undecided, figure.Unmeasured, figure.Conforms, figure.NoVerdict}, one.Worst())
}

// heard is the day of the last word; of whom nothing was ever heard come first.
func heard(one *act.InFleet) string {
	if one.Word == nil {
		return ""
	}
	return one.Word.Date.Day()
}

// leastLeft is how many hours are left until the next work; what is due and not
// counted in hours comes first.
func leastLeft(one *act.InFleet) float64 {
	const never, atOnce = 1e9, -1e9 // beyond any engine's hours
	least := never
	for _, d := range one.Due {
		switch {
		case d.Left != nil:
			least = min(least, *d.Left)
		case d.Now:
			least = atOnce
		}
	}
	return least
}

// wholeFleet is the width below which a table of the fleet leaves out two columns, so
// that the others keep in their lines; 0 is no limit.
const wholeFleet = 108

func fleetTable(f *act.Fleet, width int) term.Table {
	t := term.Table{Columns: []term.Column{{Title: "engine"}, {Title: "build", Right: true}, {Title: "state"}, {Title: "hours"},
		{Title: "worst"}, {Title: "last word", Flex: true}, {Title: "due", Flex: true}, {Title: "customer"}, {Title: "since delivery"}}}
	narrow := width > 0 && width < wholeFleet
	for _, one := range f.Engines {
		cells := []string{one.Number, "", string(one.Standing)}
		if one.Read {
			cells = []string{one.Number, fmt.Sprint(one.Build), string(one.Standing), hoursIf(one.Hours), string(one.Worst()), wordText(one.Word, f.Today), dueText(one.Due)}
			if !narrow {
				cells = append(cells, one.Customer, hoursIf(one.SinceDelivery))
			}
		} else if one.Standing == "" {
			cells[2] = "cannot be read"
		}
		t.Rows = append(t.Rows, term.Row{Cells: cells})
	}
	return t
}

// wordText tells what was last heard, and how long ago.
func wordText(w *history.Word, today schema.Date) string {
	if w == nil {
		return ""
	}
	return fmt.Sprintf("%s, %s: %s", w.Date.Day(), agoText(daysSince(w, today)), w.Kind)
}

func daysSince(w *history.Word, today schema.Date) int {
	return int(today.Time.Sub(w.Date.Time.Truncate(24*time.Hour)).Hours() / 24)
}

// agoText tells days as a person does: in years and months from two months on.
func agoText(days int) string {
	const year, month = 365.25, 365.25 / 12 // days, on the average
	switch months := int(float64(days) / month); {
	case days < 0:
		return "later"
	case days == 0:
		return "today"
	case months < 2:
		return count(days, "day") + " ago"
	case months < 24:
		return count(months, "month") + " ago"
	}
	return count(int(float64(days)/year), "year") + " ago"
}

// dueText tells what is due now; where nothing is, what comes next.
func dueText(list []history.Due) string {
	var now []string
	var next *history.Due
	for i, d := range list {
		switch {
		case d.Now:
			now = append(now, oneDue(d))
		case d.Left != nil && (next == nil || *d.Left < *next.Left):
			next = &list[i]
		}
	}
	if len(now) == 0 && next != nil {
		return "next " + oneDue(*next)
	}
	return strings.Join(now, "; ")
}

// oneDue tells one piece of work: "crack test of 4 parts over by 4 h".
func oneDue(d history.Due) string {
	text := d.What
	switch {
	case len(d.At) == 1 || d.What == "look again" && len(d.At) > 0:
		text += " " + act.Some(d.At, 2)
	case len(d.At) > 1:
		text += fmt.Sprintf(" of %d parts", len(d.At))
	}
	switch {
	case d.Left != nil && *d.Left <= 0:
		text += " over by " + hoursText(-*d.Left) + " h"
	case d.Left != nil:
		text += " in " + hoursText(*d.Left) + " h"
	case d.Text != "":
		text += ": " + d.Text
	}
	return text
}
