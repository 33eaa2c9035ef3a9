package app

import (
	"os"
	"path/filepath"

	"github.com/urfave/cli/v2"

	"stackbook/cmd/internal/act"
	"stackbook/cmd/internal/page"
)

func (a *app) demo() *cli.Command {
	return a.command(cli.Command{
		Name:      "demo",
		Usage:     "make a worked example: five engines over twelve years",
		ArgsUsage: "DIR",
		Description: "Makes the invented book of Skarvik in an empty folder, commit by commit with\n" +
			"past dates, shows what differs between two builds of one engine and writes\n" +
			"that engine's page. Six builds are delivered. One engine lies on the bench,\n" +
			"not committed: a clearance is out of its band, and a record holds a mistake\n" +
			"to mend.\n\n" +
			"Example: stackbook demo /tmp/skarvik",
		Flags: []cli.Flag{
			&cli.BoolFlag{Name: "short", Usage: "the first two builds of SK-01 alone: small, all in order"},
		},
		Action: func(c *cli.Context) error {
			if err := tooMany(c, 1); err != nil {
				return err
			}
			if c.NArg() == 0 {
				return &act.UsageError{Message: "no folder is named", Mend: "write: stackbook demo DIR"}
			}
			dir := a.path(c.Args().First())
			progress := a.term.Progress("making the demo book", 0)
			s, made, err := act.Demo(dir, act.DemoOptions{Short: c.Bool("short"), Book: a.bookOptions(), Passing: a.passing, Now: a.Now}, progress.At)
			progress.Done()
			if err != nil {
				return err
			}
			return a.shownDemo(s, dir, made)
		},
	})
}

type demoDocument struct {
	Format string       `json:"format"`
	Book   string       `json:"book"`
	Page   string       `json:"page"`
	Diff   diffDocument `json:"diff"`
}

// What to try first in each demo.
var (
	demoTries  = []string{"stackbook check SK-11", "stackbook explain SK-01 rotor.side_clearance", "stackbook history SK-01", "stackbook diff SK-07 SK-09"}
	shortTries = []string{"stackbook figures SK-01", "stackbook explain SK-01 rotor.side_clearance", "stackbook history SK-01", "stackbook diff SK-01/1 SK-01@2019-07-26"}
)

// shownDemo shows what the book holds and what to try next.
func (a *app) shownDemo(s *act.Shop, dir string, made act.DemoMade) error {
	r, _, to, err := s.Diff("SK-01/1", "SK-01/2")
	if err != nil {
		return err
	}
	life, last, err := s.History("SK-01")
	if err != nil {
		return err
	}
	sheet, err := rebuildingOf(s, life, last)
	if err != nil {
		return err
	}
	file := filepath.Join(dir, "SK-01-rebuild.html")
	if err := a.writeFile(file, func(f *os.File) error { return page.HTML(f, rebuildSheet(sheet)) }); err != nil {
		return err
	}
	if a.json {
		return a.printJSON(demoDocument{"demo/1", s.Book.Root(), file, diffJSON(r)})
	}
	a.showDiff(r, to.Display)
	a.term.Line("")
	a.term.Line("A book was made in %s: %s, %s, %s delivered.", dir, count(made.Engines, "engine"), count(made.Commits, "commit"), count(made.Delivered, "build"))
	a.term.Line("The page of SK-01: %s", file)
	tries := shortTries
	if made.OnBench != "" {
		tries = demoTries
		a.term.Line("%s lies on the bench, its last session not committed: one clearance out of its band, one mistake to mend.", made.OnBench)
	}
	a.term.Line("Now try, in that folder (go install ./cmd/stackbook puts it on your path):")
	for _, line := range tries {
		a.term.Line("  %s", line)
	}
	return nil
}
