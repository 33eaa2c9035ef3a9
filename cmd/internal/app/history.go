package app

import (
	"fmt"
	"strings"

	"github.com/urfave/cli/v2"

	"stackbook/cmd/internal/act"
	"stackbook/diff/history"
	"stackbook/record"
	"stackbook/schema/quantity"
)

func (a *app) history() *cli.Command {
	return a.command(cli.Command{
		Name:      "history",
		Usage:     "one engine's life: builds, changes and why",
		ArgsUsage: "[STATE]",
		Description: "With a past state, answers as it was known then. With --part, one position\n" +
			"through the builds: what was fitted there and in it, what was read, what\n" +
			"changed it. With --serial, one part through every engine it was in, by the\n" +
			"records of the folder or of a state of the book: history @2020-05-01\n" +
			"--serial R-1177. With --commits, the list of git's commits that altered the\n" +
			"engine's folder, newest first: day, hash, who wrote it and its subject.\n\n" +
			"Example: stackbook history SK-07@2020-05-01\n" +
			"         stackbook history SK-07 --part rotor/2\n" +
			"         stackbook history --serial R-1177\n" +
			"         stackbook history SK-07 --commits --as csv",
		Flags: []cli.Flag{
			&cli.StringFlag{Name: "part", Usage: "follow one `POSITION`, such as rotor/2"},
			&cli.StringFlag{Name: "serial", Usage: "follow the part with that `SERIAL`, or a lot"},
			&cli.BoolFlag{Name: "commits", Usage: "list the commits that altered the engine"},
			&cli.StringFlag{Name: "as", Usage: "csv, of --commits: a table for a spreadsheet", DefaultText: "text"},
		},
		Action: func(c *cli.Context) error {
			if err := tooMany(c, 1); err != nil {
				return err
			}
			position, serial, commits := c.String("part"), c.String("serial"), c.Bool("commits")
			if err := oneQuestion(position, serial, commits, c.String("as")); err != nil {
				return err
			}
			switch {
			case commits:
				return a.commitList(c.Args().First(), c.String("as"))
			case position != "":
				return a.positionLife(c.Args().First(), position)
			case serial != "":
				return a.serialLife(c.Args().First(), serial)
			}
			life, last, err := a.life(c.Args().First())
			if err != nil {
				return err
			}
			if a.json {
				return a.printJSON(historyJSON(life, last))
			}
			a.showLife(life, last)
			return nil
		},
	})
}

// oneQuestion refuses options of history that do not go together.
func oneQuestion(position, serial string, commits bool, as string) error {
	var asked []string
	for _, o := range []struct {
		name string
		is   bool
	}{{"--part", position != ""}, {"--serial", serial != ""}, {"--commits", commits}} {
		if o.is {
			asked = append(asked, o.name)
		}
	}
	switch {
	case len(asked) > 1:
		return &act.UsageError{Message: strings.Join(asked, " and ") + " ask " + []string{"two", "three"}[len(asked)-2] + " questions", Mend: "ask one at a time"}
	case as != "" && as != "csv":
		return &act.UsageError{Message: fmt.Sprintf("a history is not told as %q", as), Mend: "write --commits --as csv, or --json"}
	case as != "" && !commits:
		return &act.UsageError{Message: "only a list of commits is told as csv", Mend: "add --commits"}
	}
	return nil
}

func (a *app) life(name string) (*history.Life, *act.Loaded, error) {
	s, err := a.shop()
	if err != nil {
		return nil, nil, err
	}
	if name, err = a.engineOr(s, name); err != nil {
		return nil, nil, err
	}
	life, last, err := s.History(name)
	if err != nil {
		return nil, nil, err
	}
	return life, last, a.tell(last)
}

func (a *app) showLife(life *history.Life, last *act.Loaded) {
	e := life.Engine
	a.term.Heading(fmt.Sprintf("%s: %s", e.Number, e.Title))
	if e.Customer != "" {
		a.term.Line("customer %s", e.Customer)
	}
	a.showStanding(e)
	for i := range life.Builds {
		a.showBuild(life.Engine, &life.Builds[i], last.Display)
	}
	if remarks := crackRemarks(last.Guards); len(remarks) > 0 {
		a.term.Line("")
		for _, line := range remarks {
			a.term.Line("%s", line)
		}
	}
}

func (a *app) showBuild(e *record.Engine, b *history.Build, d act.Display) {
	a.term.Line("")
	a.term.Heading(buildTitle(b))
	for _, s := range b.Sessions {
		a.term.Prose(14, "  %s  %s, %s", s.Date.Day(), stageTitle(s), count(len(s.Readings), "reading"))
		if tests := sessionTests(e, s); tests != "" {
			a.term.Prose(14, "              crack test: %s", tests)
		}
	}
	if len(b.Sessions) > 0 && len(b.Changes) > 0 {
		a.term.Line("")
	}
	for _, c := range b.Changes {
		a.showChange(c)
	}
	if b.Altered != nil {
		a.showAltered(b, d)
	}
	if len(b.Failed) > 0 {
		a.term.Line("")
		for _, r := range b.Failed {
			a.term.Prose(8, "  %s", a.failedLine(d, r))
		}
	}
}

func buildTitle(b *history.Build) string {
	var words []string
	if b.Opened != "" {
		words = append(words, "opened "+b.Opened)
	}
	if b.Delivered != "" {
		words = append(words, "delivered "+b.Delivered)
	} else {
		words = append(words, "open")
	}
	if b.Hours != "" {
		words = append(words, b.Hours)
	}
	return fmt.Sprintf("build %d: %s", b.Number, strings.Join(words, ", "))
}

func stageTitle(s *record.Session) string {
	if s.Stage == nil {
		return s.Text("stage") + " by " + s.By
	}
	return s.Stage.Title + ", by " + s.By
}

func (a *app) showChange(c *record.Change) {
	line := fmt.Sprintf("  %s  %s: %s", c.Date.Day(), c.Text("kind"), c.What)
	if len(c.Touches) > 0 {
		line += " (" + act.Some(c.Touches, 3) + ")"
	}
	a.term.Prose(14, "%s", line)
	if c.Why != "" {
		a.term.Prose(19, "              why: %s", c.Why)
	}
	for _, told := range []struct{ label, path string }{{"accepted by", "concession.accepted_by"}, {"told", "concession.told"}, {"look again", "concession.look_again"}, {"closed", "concession.closed"}} {
		if text := c.Text(told.path); text != "" {
			a.term.Prose(19, "              %s: %s", told.label, text)
		}
	}
}

// The shape of a life: history/1.
type historyDocument struct {
	Format string       `json:"format"`
	Engine string       `json:"engine"`
	Title  string       `json:"title"`
	Builds []buildEntry `json:"builds"`
	Crack  []guardEntry `json:"crack_tests"` // of the parts that must not burst, as fitted now
}

type buildEntry struct {
	Build     int            `json:"build"`
	Opened    *string        `json:"opened"`      // null where no record tells
	Delivered *string        `json:"delivered"`   // null while open
	Hours     *float64       `json:"hours"`       // h, of the engine in all; null where not told
	Error     *float64       `json:"hours_error"` // h
	Commit    *string        `json:"commit"`      // null for the working folder
	Changes   []lifeChange   `json:"changes"`
	Sessions  []lifeSession  `json:"sessions"`
	Altered   *diffDocument  `json:"altered"` // null for the first build
	Verdicts  map[string]int `json:"verdicts"`
}

type lifeChange struct {
	File    string   `json:"file"`
	Date    string   `json:"date"`
	Kind    string   `json:"kind"`
	By      string   `json:"by"`
	What    string   `json:"what"`
	Why     string   `json:"why"`
	Touches []string `json:"touches"`
}

type lifeSession struct {
	File     string `json:"file"`
	Date     string `json:"date"`
	Stage    string `json:"stage"`
	By       string `json:"by"`
	Readings int    `json:"readings"`

	CrackTests []testEntry `json:"crack_tests"`
}

func historyJSON(life *history.Life, last *act.Loaded) historyDocument {
	d := historyDocument{Format: "history/1", Engine: life.Engine.Number, Title: life.Engine.Title, Builds: []buildEntry{}, Crack: []guardEntry{}}
	for _, g := range last.Guards {
		d.Crack = append(d.Crack, guardJSON(g))
	}
	for i := range life.Builds {
		d.Builds = append(d.Builds, buildJSON(life.Engine, &life.Builds[i]))
	}
	return d
}

func hoursOf(r *record.Record, key string) *float64 {
	q, _, ok := r.Quantity(key)
	if !ok {
		return nil
	}
	h := tidy(quantity.FromSI(q.SI(), quantity.MustLookup("h")))
	return &h
}

func buildJSON(engine *record.Engine, b *history.Build) buildEntry {
	e := buildEntry{Build: b.Number, Hours: hoursOf(b.HoursFrom, "hours"), Error: hoursOf(b.HoursFrom, "hours_error"), Changes: []lifeChange{}, Sessions: []lifeSession{}, Verdicts: map[string]int{}}
	if b.Opened != "" {
		e.Opened = &b.Opened
	}
	if b.Delivered != "" {
		e.Delivered = &b.Delivered
	}
	if b.Commit != "" {
		e.Commit = &b.Commit
	}
	for _, c := range b.Changes {
		e.Changes = append(e.Changes, lifeChange{c.Path, c.Date.String(), c.Text("kind"), c.By, c.What, c.Why, orEmpty(c.Touches)})
	}
	for _, s := range b.Sessions {
		e.Sessions = append(e.Sessions, lifeSession{s.Path, s.Date.String(), s.Text("stage"), s.By, len(s.Readings), testsJSON(engine, s)})
	}
	if b.Altered != nil {
		altered := diffJSON(b.Altered)
		e.Altered = &altered
	}
	if b.Figures != nil {
		e.Verdicts = verdictsJSON(b.Figures.Count())
	}
	return e
}
