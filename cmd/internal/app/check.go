package app

import (
	"fmt"
	"path"
	"strings"

	"github.com/urfave/cli/v2"

	"stackbook/cmd/internal/act"
	"stackbook/record/figure"
	"stackbook/schema/problem"
)

func (a *app) check() *cli.Command {
	return a.command(cli.Command{
		Name:      "check",
		Usage:     "check records and figures, of all engines or some",
		ArgsUsage: "[ENGINE ...]",
		Description: "Reports every problem with file, line, column and what would be right, then\n" +
			"the verdicts. Nothing is written. Exit status 1 when records have problems.\n\n" +
			"Example: stackbook check SK-07",
		Flags: []cli.Flag{&cli.BoolFlag{Name: "strict", Usage: "exit 1 also when a verdict fails"}},
		Action: func(c *cli.Context) error {
			s, err := a.shop()
			if err != nil {
				return err
			}
			numbers := c.Args().Slice()
			if here := s.EngineAt(a.Dir); len(numbers) == 0 && here != "" {
				numbers = []string{here}
			}
			steps, done := a.steps()
			checked, err := s.Check(numbers, steps)
			done()
			if err != nil {
				return err
			}
			away, err := a.away(s, numbers)
			if err != nil {
				return err
			}
			if a.json {
				err = a.printJSON(checkJSON(checked))
			} else {
				a.showCheck(checked, away)
			}
			if err != nil {
				return err
			}
			if err := a.tellStaleSchemas(s); err != nil {
				return err
			}
			return checkStatus(checked, c.Bool("strict"))
		},
	})
}

// checkStatus is errStrict, told already, when something is wrong.
func checkStatus(checked []*act.Checked, strict bool) error {
	for _, c := range checked {
		if len(c.Problems) > 0 || strict && c.Verdicts[figure.Fails] > 0 {
			if newer(c.Problems) {
				return errCouldNot
			}
			return errStrict
		}
	}
	return nil
}

// showCheck shows what a check found; away is how many engines it did not see.
func (a *app) showCheck(checked []*act.Checked, away int) {
	problems := 0
	for _, c := range checked {
		a.problems(c.Problems)
		problems += len(c.Problems)
	}
	more := between(checked)
	for _, c := range checked {
		if c.Number == "" {
			continue
		}
		a.term.Line("%s", checkLine(c, more[c.Folder]))
		a.showFailed(c.Display, c.Remarked, c.Overlaps)
		a.showSlips(c.Slips)
		for _, line := range crackRemarks(c.Guards) {
			a.term.Line("  %s", line)
		}
		if c.Stale != "" {
			a.term.Prose(4, "  %s; %s", c.Stale, c.StaleMend)
		}
		if c.Unsealed > 0 {
			a.term.Line("  build %d is delivered and has no seal; stackbook deliver %s makes it", c.Unsealed, c.Number)
		}
	}
	if len(checked) == 0 && away == 0 {
		a.term.Line("There is no engine in this book yet: stackbook enrol SK-01")
	}
}

// away names the engines that are not in the folder to be checked, and counts
// them; a check of named engines misses none.
func (a *app) away(s *act.Shop, named []string) (int, error) {
	if len(named) > 0 {
		return 0, nil
	}
	places, err := s.Away()
	for _, line := range awayLines(places) {
		a.remark("%s", line)
	}
	return len(places), err
}

// fewAway is how many engines that are not checked out are named one by one.
const fewAway = 8

// awayLines names engines that are not checked out, many of them by their groups,
// with what to type.
func awayLines(places []act.Place) []string {
	var lines []string
	for at := 0; at < len(places); {
		folder, end := places[at].Folder, at+1
		what := places[at].Number + " is not checked out here"
		if len(places) > fewAway {
			folder = path.Dir(folder)
			for end < len(places) && path.Dir(places[end].Folder) == folder {
				end++
			}
		}
		if n := end - at; n > 1 {
			what = fmt.Sprintf("%d engines of %s are not checked out here, %s to %s", n, folder, places[at].Number, places[end-1].Number)
		}
		lines = append(lines, fmt.Sprintf("not checked: %s; type: git sparse-checkout add %s", what, folder))
		at = end
	}
	return lines
}

// between counts, by an engine's folder, what is wrong between it and others and
// is told of one of its records, such as a part that is in two.
func between(checked []*act.Checked) map[string]int {
	found := map[string]int{}
	for _, c := range checked {
		for _, p := range c.Problems {
			if s := strings.SplitN(p.File, "/", 4); c.Number == "" && len(s) == 4 {
				found[strings.Join(s[:3], "/")]++
			}
		}
	}
	return found
}

// checkLine sums up a check; more is how many problems were told besides its own.
func checkLine(c *act.Checked, more int) string {
	what := "records in order"
	if n := len(c.Problems) + more; n > 0 {
		what = count(n, "problem")
	}
	if c.Verdicts == nil {
		return c.Number + ": " + what
	}
	return c.Number + ": " + what + "; " + verdictCount(c.Verdicts)
}

func count(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// verdictCount sums verdicts up: "31 conform, 1 fails, 4 unmeasured".
func verdictCount(n map[figure.Verdict]int) string {
	parts := []string{plural(n[figure.Conforms], "conforms", "conform"), plural(n[figure.Fails], "fails", "fail")}
	if n[figure.Undecided] > 0 {
		parts = append(parts, fmt.Sprintf("%d undecided", n[figure.Undecided]))
	}
	return strings.Join(append(parts, fmt.Sprintf("%d unmeasured", n[figure.Unmeasured])), ", ")
}

func plural(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

// showFailed lists what fails and what is undecided, each with its limit; bands
// too narrow for the gauge once; and sizes that cannot go together.
func (a *app) showFailed(d act.Display, results []*figure.Result, overlapping []figure.Overlap) {
	for _, r := range results {
		if (r.Verdict == figure.Fails || r.Verdict == figure.Undecided) && !hopeless(r) {
			a.term.Prose(8, "  %s", a.failedLine(d, r))
		}
	}
	for _, text := range append(tooNarrow(d, results), overlaps(d, overlapping)...) {
		a.term.Prose(8, "  %s", text)
	}
}

// failedLine tells a figure that does not conform, or of which nobody knows.
func (a *app) failedLine(d act.Display, r *figure.Result) string {
	verdict := string(r.Verdict)
	if r.Verdict == figure.Fails {
		verdict = a.term.Bad(verdict)
	}
	return fmt.Sprintf("%s %s at %s: %s, limit %s", verdict, r.Figure.Title, r.At, judgedText(d, r), limitText(d, r, r.Limit))
}

// judgedText is what a figure's verdict rests on, with its unit: the ends of
// what it may be where it rests on an interval; its value, and how far it
// may be off where that is known.
func judgedText(d act.Display, r *figure.Result) string {
	text, unit := d.Figure(r)
	if low, high, ok := d.Extent(r); ok {
		text = low + " to " + high
	} else if r.Uncertainty != nil {
		text += " ± " + d.Off(r, r.Uncertainty.Expanded)
	}
	return strings.TrimSpace(text + " " + unit)
}

type checkDocument struct {
	Format  string         `json:"format"`
	Engines []checkedEntry `json:"engines"`
}

type checkedEntry struct {
	Engine   *string        `json:"engine"` // null: the book itself
	Problems problem.List   `json:"problems"`
	Verdicts map[string]int `json:"verdicts"` // null for the book itself
	Stale    string         `json:"stale,omitempty"`
	Unsealed bool           `json:"unsealed"`    // its build is delivered, and no tag seals it
	Crack    []guardEntry   `json:"crack_tests"` // of parts that must not burst: what is to be looked at
	Overlaps []overlapEntry `json:"overlaps"`    // sizes that cannot go together
	Slips    []slipEntry    `json:"slips"`       // readings whose decimal point seems to have slipped
}

func checkJSON(checked []*act.Checked) checkDocument {
	d := checkDocument{Format: "check/1", Engines: []checkedEntry{}}
	for _, c := range checked {
		e := checkedEntry{Problems: orNone(c.Problems), Stale: c.Stale, Unsealed: c.Unsealed > 0, Crack: []guardEntry{}, Overlaps: []overlapEntry{}, Slips: slipsJSON(c.Slips)}
		if c.Number != "" {
			e.Engine = &c.Number
			e.Verdicts = verdictsJSON(c.Verdicts)
			e.Crack, e.Overlaps = remarksJSON(c.Guards), overlapsJSON(c.Overlaps)
		}
		d.Engines = append(d.Engines, e)
	}
	return d
}

func orNone(list problem.List) problem.List {
	if list == nil {
		return problem.List{}
	}
	return list
}

func verdictsJSON(n map[figure.Verdict]int) map[string]int {
	counts := map[string]int{}
	for _, v := range []figure.Verdict{figure.Conforms, figure.Undecided, figure.Fails, figure.Unmeasured} {
		counts[string(v)] = n[v]
	}
	return counts
}
