package app

import (
	"fmt"
	"strings"

	"stackbook/cmd/internal/act"
	"stackbook/diff/history"
	"stackbook/record"
	"stackbook/schema"
	"stackbook/schema/quantity"
)

// positionLife shows what was at one position of an engine.
func (a *app) positionLife(named, position string) error {
	s, err := a.shop()
	if err != nil {
		return err
	}
	if named, err = a.engineOr(s, named); err != nil {
		return err
	}
	p, last, err := s.PositionLife(named, position)
	if err != nil {
		return err
	}
	if err := a.tell(last); err != nil {
		return err
	}
	if a.json {
		return a.printJSON(positionJSON(p))
	}
	a.term.Heading(fmt.Sprintf("%s at %s: %s", p.Engine.Number, p.At, p.Engine.Title))
	for i := range p.Builds {
		a.showPositionBuild(&p.Builds[i], p.At, last.Display)
	}
	return nil
}

func (a *app) showPositionBuild(b *history.PositionBuild, position string, d act.Display) {
	a.term.Line("")
	a.term.Heading(buildTitle(&b.Build))
	switch {
	case !b.Known:
		a.term.Line("  what was fitted is not known: this build's own state is not in the book")
	case len(b.Fitted) == 0:
		a.term.Line("  the spec lists no part there")
	}
	for _, line := range fittedLines(b.Fitted) {
		a.term.Prose(4, "  fitted  %s", line)
	}
	for _, e := range b.Events {
		a.showPositionEvent(e, d)
	}
}

func (a *app) showPositionEvent(e history.PositionEvent, d act.Display) {
	if e.Session != nil {
		serial := ""
		if e.Serial != "" {
			serial = ", " + e.Serial
		}
		a.term.Prose(14, "  %s  %s%s%s", e.Date.Day(), stageTitle(e.Session), serial, hoursBehind(e.Session.Record))
		for _, line := range readingLines(d, e.Readings) {
			a.term.Prose(16, "              %s", line)
		}
		return
	}
	a.showChange(e.Change)
	for _, r := range e.Removed {
		a.term.Prose(16, "              out: %s", removedText(r))
	}
}

func hoursBehind(r *record.Record) string {
	if h, ok := r.EngineHours(); ok {
		return ", at " + h.String()
	}
	return ""
}

// fittedLines tells parts in a line each; those that differ in their number
// alone share one.
func fittedLines(parts []record.Part) []string {
	var rows []figureRow
	for _, p := range parts {
		rows = append(rows, figureRow{At: p.Position, Title: partWords(p)})
	}
	var lines []string
	for i := 0; i < len(rows); {
		n, row := runLength(rows[i:]), rows[i]
		if n > 1 {
			_, last := splitNumber(rows[i+n-1].At)
			row.At = fmt.Sprintf("%s to %d", row.At, last)
		}
		lines = append(lines, row.At+": "+row.Title)
		i += n
	}
	return lines
}

// partWords tells a part by what it is known by.
func partWords(p record.Part) string {
	var words []string
	for _, w := range []struct{ label, text string }{{"serial ", p.Serial}, {"", p.Number}, {"lot ", p.Lot}, {"from ", p.Supplier}, {"", p.Origin}} {
		if w.text != "" {
			words = append(words, w.label+w.text)
		}
	}
	return strings.Join(words, ", ")
}

func removedText(r record.Removed) string {
	words := []string{r.From}
	for _, w := range []struct{ label, text string }{{"found at ", r.FoundAt}, {"serial ", r.Serial}, {"lot ", r.Lot}, {"after ", hoursIf(r.Hours)}, {"to ", r.To}, {"", r.Where}, {"", r.Note}} {
		if w.text != "" {
			words = append(words, w.label+w.text)
		}
	}
	return strings.Join(words, ", ")
}

// readingLines sums readings up, a line a point: the least and the greatest of
// its places, with how many were read; of words each that was written.
func readingLines(d act.Display, readings []*schema.Reading) []string {
	var order []*schema.Point
	of := map[*schema.Point][]*schema.Reading{}
	for _, r := range readings {
		if of[r.Point] == nil {
			order = append(order, r.Point)
		}
		of[r.Point] = append(of[r.Point], r)
	}
	var lines []string
	for _, p := range order {
		lines = append(lines, p.Title+": "+rangeText(d, of[p]))
	}
	return lines
}

func rangeText(d act.Display, readings []*schema.Reading) string {
	point := readings[0].Point
	if point.Text {
		var words []string
		for _, r := range readings {
			words = append(words, r.Key+" "+joinWords(r.Text, r.Method, r.Note))
		}
		return strings.Join(words, "; ")
	}
	unit := d.Unit(point.Unit, point.Dim)
	least, most := readings[0], readings[0]
	for _, r := range readings {
		if value(r) < value(least) {
			least = r
		}
		if value(r) > value(most) {
			most = r
		}
	}
	text := oneReading(least, unit)
	if value(least) != value(most) {
		text += " to " + oneReading(most, unit)
	}
	text = strings.TrimSpace(text + " " + act.Symbol(point.Unit, unit))
	if n := len(readings); n > 1 {
		text += fmt.Sprintf(", %d places", n)
	}
	return text
}

func joinWords(words ...string) string {
	var there []string
	for _, w := range words {
		if w != "" {
			there = append(there, w)
		}
	}
	return strings.Join(there, ", ")
}

func value(r *schema.Reading) float64 {
	q, _ := record.Mean(r)
	return q.SI()
}

func oneReading(r *schema.Reading, unit quantity.Unit) string {
	q, _ := record.Mean(r)
	return readingText(record.Counted{Reading: r}, q, unit)
}
