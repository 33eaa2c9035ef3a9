package app

import (
	"fmt"
	"strings"

	"stackbook/cmd/internal/act"
	"stackbook/diff"
	"stackbook/diff/history"
	"stackbook/record"
)

// showStanding tells what an engine has run and which concessions are open.
func (a *app) showStanding(e *record.Engine) {
	if hours, ok := e.HoursNow(); ok {
		line := fmt.Sprintf("%s in all", hours)
		if since, ok := e.HoursSinceBuild(); ok {
			line += fmt.Sprintf(", %s since build %d was opened", since, e.Build)
		}
		a.term.Line("%s", line)
	}
	for _, c := range e.OpenConcessions() {
		a.term.Prose(4, "  open concession of build %d, %s: %s%s", c.Build, c.Date.Day(), c.What, lookAgain(c))
	}
}

// showAltered sums up what a build altered: the parts, and the judged figures
// that moved by more than they may be off. The rest is a diff away.
func (a *app) showAltered(b *history.Build, d act.Display) {
	a.term.Line("")
	a.term.Prose(4, "  against build %d: %s altered in the spec, %s, %s", b.Number-1, count(len(b.Altered.Changes), "value"), count(len(b.Altered.Readings), "reading"), count(len(b.Altered.Figures), "figure"))
	for _, line := range partLines(b.Altered.Changes) {
		a.term.Prose(6, "    %s", line)
	}
	for _, line := range movedLines(b.Altered.Figures, d) {
		a.term.Prose(6, "    %s", line)
	}
}

// partLines tells what became of the parts, those of which the same is to be
// said together.
func partLines(changes []diff.Change) []string {
	var order []string
	at := map[string][]string{}
	for _, r := range changeRows(partsOnly(changes)) {
		what := wasAndIs(r)
		if at[what] == nil {
			order = append(order, what)
		}
		at[what] = append(at[what], r.Where)
	}
	lines := make([]string, len(order))
	for i, what := range order {
		lines[i] = act.Some(at[what], 2) + ": " + what
	}
	return lines
}

func wasAndIs(r changeRow) string {
	switch {
	case r.Was == nothing:
		return "now " + r.Is
	case r.Is == nothing:
		return "no longer " + r.Was
	}
	return r.Was + "; now " + r.Is
}

func partsOnly(changes []diff.Change) []diff.Change {
	var parts []diff.Change
	for _, c := range changes {
		if c.What == diff.Moved || strings.HasPrefix(c.Path, "parts.") {
			parts = append(parts, c)
		}
	}
	return parts
}

// movedLines tells the judged figures that moved beyond their uncertainty, a
// line a figure, with the least and the greatest difference of its places.
func movedLines(figures []diff.FigureChange, d act.Display) []string {
	var lines []string
	for i := 0; i < len(figures); {
		j := i
		var moved []diff.FigureChange
		for ; j < len(figures) && figures[j].Figure == figures[i].Figure; j++ {
			if c := figures[j]; c.From != nil && c.To != nil && c.To.Limit != nil && !c.NoChange && moves(c) {
				moved = append(moved, c)
			}
		}
		i = j
		if len(moved) > 0 {
			lines = append(lines, movedLine(moved, d))
		}
	}
	return lines
}

// moves tells whether a figure moved by more than it may be off, as far as that
// is known, or got another verdict.
func moves(c diff.FigureChange) bool {
	known := c.From.Uncertainty != nil && c.To.Uncertainty != nil
	return known && !c.Within || c.From.Verdict != c.To.Verdict
}

func movedLine(moved []diff.FigureChange, d act.Display) string {
	least, most := moved[0], moved[0]
	for _, c := range moved {
		if *c.Difference < *least.Difference {
			least = c
		}
		if *c.Difference > *most.Difference {
			most = c
		}
	}
	texts := func(c diff.FigureChange) (difference, unit string) {
		t := figureTexts(c, d)
		return t[2], t[3]
	}
	low, unit := texts(least)
	if high, _ := texts(most); high != low {
		low += " to " + high
	}
	where := moved[0].At
	if len(moved) > 1 {
		where = fmt.Sprintf("%d places", len(moved))
	}
	return strings.TrimSpace(fmt.Sprintf("%s at %s: %s %s", moved[0].Figure.Title, where, low, unit))
}
