package app

import (
	"fmt"
	"strings"

	"stackbook/cmd/internal/act"
	"stackbook/record/travel"
)

// serialLife shows one part through every engine it was in.
func (a *app) serialLife(state, serial string) error {
	s, err := a.shop()
	if err != nil {
		return err
	}
	if state != "" && !strings.HasPrefix(state, "@") {
		return &act.UsageError{Message: fmt.Sprintf("a part is followed through every engine, not through %s alone", state), Mend: "write: history --serial " + serial + ", or history @2020-05-01 --serial " + serial}
	}
	life, err := s.PartLifeAt(serial, state)
	if err != nil {
		return err
	}
	for _, r := range life.Remarks {
		a.remark("%s", r)
	}
	if a.json {
		return a.printJSON(partLifeJSON(life.Life))
	}
	a.term.Heading(lifeTitle(life.Life))
	a.term.Line("now: %s", nowText(life.Life))
	place := ""
	for _, e := range life.Events {
		if here := e.Engine + " at " + e.Position; e.Engine != "" && here != place {
			a.term.Line("")
			a.term.Heading(here)
			place = here
		}
		a.showLifeEvent(e, life.Display)
	}
	return nil
}

func (a *app) showLifeEvent(e travel.Event, d act.Display) {
	day := strings.Repeat(" ", len("2006-01-02"))
	if !e.Date.Time.IsZero() {
		day = e.Date.Day()
	}
	words := []string{string(e.What)}
	if e.Build > 0 {
		words[0] += fmt.Sprintf(", build %d", e.Build)
	}
	for _, w := range []struct{ label, text string }{{"found at ", e.FoundAt}, {"to ", e.To}, {"its hours ", hoursIf(e.Hours)}, {"the engine's hours ", hoursIf(e.EngineAt)}} {
		if w.text != "" {
			words = append(words, w.label+w.text)
		}
	}
	line := strings.Join(words, ", ")
	if e.Text != "" {
		line += ": " + e.Text
	}
	a.term.Prose(14, "  %s  %s", day, line)
	for _, line := range readingLines(d, e.Readings) {
		a.term.Prose(16, "              %s", line)
	}
}
