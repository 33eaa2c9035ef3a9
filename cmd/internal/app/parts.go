package app

import (
	"fmt"
	"strings"

	"github.com/urfave/cli/v2"

	"stackbook/cmd/internal/act"
	"stackbook/cmd/internal/term"
	"stackbook/record"
	"stackbook/record/travel"
)

func (a *app) parts() *cli.Command {
	return a.command(cli.Command{
		Name:      "parts",
		Usage:     "parts, their hours and crack tests; one part anywhere",
		ArgsUsage: "[STATE | SERIAL | LOT]",
		Description: "Of an engine: each part, since which build it is fitted, how long it has run\n" +
			"in all and from what that follows, and its last crack test. Of a serial or a\n" +
			"lot: where it is now and what the records in the folder tell of it; where it\n" +
			"was fitted and where it was found stand apart. Outside an engine's folder and\n" +
			"without a name: every part that has a file in parts/, and where it is. Hours\n" +
			"nobody recorded are 'not recorded', never none.\n\n" +
			"Example: stackbook parts SK-07\n" +
			"         stackbook parts R-1177",
		Action: func(c *cli.Context) error {
			if err := tooMany(c, 1); err != nil {
				return err
			}
			s, err := a.shop()
			if err != nil {
				return err
			}
			name := c.Args().First()
			if name == "" {
				name = s.EngineAt(a.Dir)
			}
			switch {
			case name == "":
				return a.partFiles(s)
			case s.IsState(name):
				return a.engineParts(s, name)
			}
			return a.partLife(s, name)
		},
	})
}

func (a *app) engineParts(s *act.Shop, state string) error {
	p, err := s.PartsOf(state)
	if err != nil {
		return err
	}
	if err := a.tell(p.Loaded); err != nil {
		return err
	}
	if a.json {
		return a.printJSON(enginePartsJSON(p))
	}
	e := p.Engine
	a.term.Heading(fmt.Sprintf("%s: %s, build %d", p.Name, e.Title, e.Build))
	a.showEngineHours(e)
	a.term.Line("")
	a.term.Table(partsTable(p))
	return nil
}

func (a *app) showEngineHours(e *record.Engine) {
	now, ok := e.HoursNow()
	if !ok {
		a.term.Line("engine in all: not recorded")
		return
	}
	line := fmt.Sprintf("engine in all: %s, by %s", now, now.Ref)
	if now.Source != "" {
		line += ", " + now.Source
	}
	a.term.Prose(2, "%s", line)
	if since, ok := e.HoursSinceBuild(); ok {
		a.term.Line("since build %d was opened: %s", e.Build, since)
	}
}

func partsTable(p *act.EngineParts) term.Table {
	t := term.Table{Columns: []term.Column{{Title: "at"}, {Title: "part"}, {Title: "serial"}, {Title: "lot"}, {Title: "since"},
		{Title: "hours"}, {Title: "had when fitted", Flex: true}, {Title: "crack test", Flex: true}}}
	tests := map[string]string{}
	for _, g := range p.Guards {
		tests[g.Position] = testText(g)
	}
	for _, part := range p.Engine.Parts() {
		run := p.Shop.Run(travel.Seat{Engine: p.Engine, Part: part})
		t.Rows = append(t.Rows, term.Row{Cells: []string{part.Position, part.Number, part.Serial, part.Lot, fmt.Sprintf("build %d", run.Fitting.Build),
			hoursOrNot(run.Now), fittedText(run), tests[part.Position]}})
		delete(tests, part.Position)
	}
	for _, g := range p.Guards {
		if test, left := tests[g.Position]; left {
			t.Rows = append(t.Rows, term.Row{Cells: []string{g.Position, "", "", "", "", "", "not in the spec", test}})
		}
	}
	return t
}

// fittedText tells what a part had run when it was fitted, and by what.
func fittedText(run travel.Run) string {
	switch {
	case run.AtFitting == nil:
		return ""
	case run.From == travel.AsNew || run.From == travel.SinceTheFirst:
		return run.From
	}
	return fmt.Sprintf("%s, by %s", run.AtFitting, run.From)
}

func hoursOrNot(h *record.Hours) string {
	if h == nil {
		return "not recorded"
	}
	return h.String()
}

func hoursText(hours float64) string { return record.HoursText(hours) }

func (a *app) partLife(s *act.Shop, name string) error {
	life, err := s.PartLife(name)
	if err != nil {
		return err
	}
	if a.json {
		return a.printJSON(partLifeJSON(life))
	}
	a.term.Heading(lifeTitle(life))
	a.term.Line("now: %s", nowText(life))
	if text := piecesText(life); text != "" {
		a.term.Line("%s", text)
	}
	if len(life.Events) > 0 {
		a.term.Line("")
		a.term.Table(eventTable(life.Events))
	}
	return nil
}

func lifeTitle(l *travel.Life) string {
	title := l.Name
	for _, word := range []string{l.Number, l.What} {
		if word != "" {
			title += ", " + word
		}
	}
	if l.Lot {
		title += ", a lot"
	}
	return title
}

// nowText tells where a part is, since when, and how long it has run by then. A
// lot fitted at several positions came to each on a day of its own.
func nowText(l *travel.Life) string {
	text := l.Place.String()
	if !l.Place.Since.Time.IsZero() && (len(l.Place.Seats) == 0 || !l.Lot) {
		text += ", since " + l.Place.Since.Day()
	}
	if l.Place.Hours != nil {
		text += ", " + l.Place.Hours.String()
	}
	return text
}

func piecesText(l *travel.Life) string {
	if l.File == nil || l.File.Pieces == 0 {
		return ""
	}
	text := fmt.Sprintf("pieces: %d came", l.File.Pieces)
	if left, ok := l.File.Left(); ok {
		return text + fmt.Sprintf(", %d left by %s", left, l.File.Path)
	}
	return text + ", how many are left is not recorded"
}

func eventTable(events []travel.Event) term.Table {
	t := term.Table{Columns: []term.Column{{Title: "date"}, {Title: "what"}, {Title: "engine"}, {Title: "build"}, {Title: "at"}, {Title: "found at"},
		{Title: "its hours"}, {Title: "engine's hours"}, {Title: "to"}, {Title: "further", Flex: true}}}
	for _, e := range events {
		day, build := "", ""
		if !e.Date.Time.IsZero() {
			day = e.Date.Day()
		}
		if e.Build > 0 {
			build = fmt.Sprint(e.Build)
		}
		t.Rows = append(t.Rows, term.Row{Cells: []string{day, string(e.What), e.Engine, build, e.Position, e.FoundAt, hoursIf(e.Hours), hoursIf(e.EngineAt), e.To, eventWords(e)}})
	}
	return t
}

func hoursIf(h *record.Hours) string {
	if h == nil {
		return ""
	}
	return h.String()
}

func eventWords(e travel.Event) string {
	switch {
	case e.What == travel.Read:
		return e.Text + ", " + count(e.Count, "reading")
	case e.Count > 0:
		return strings.TrimPrefix(e.Text+", "+count(e.Count, "piece"), ", ")
	}
	return e.Text
}

func (a *app) partFiles(s *act.Shop) error {
	lives, problems, err := s.PartFiles()
	if err != nil {
		return err
	}
	if len(problems) > 0 {
		a.flawed = true
		if !a.json {
			a.problems(problems)
		}
	}
	if a.json {
		return a.printJSON(partFilesJSON(lives, problems))
	}
	if len(lives) == 0 {
		a.term.Line("No part has a file in parts/ yet. stackbook parts SK-07 lists those of an engine.")
		return nil
	}
	t := term.Table{Columns: []term.Column{{Title: "part or lot"}, {Title: "number"}, {Title: "what", Flex: true}, {Title: "now", Flex: true}, {Title: "left", Right: true}}}
	for _, l := range lives {
		left := ""
		if n, ok := l.File.Left(); ok {
			left = fmt.Sprint(n)
		}
		t.Rows = append(t.Rows, term.Row{Cells: []string{l.Name, l.Number, l.What, nowText(l), left}})
	}
	a.term.Table(t)
	return nil
}
