package app

import (
	"os"
	"path/filepath"

	"github.com/urfave/cli/v2"

	"stackbook/cmd/internal/act"
)

func (a *app) demo() *cli.Command {
	return a.command(cli.Command{
		Name:      "demo",
		Usage:     "make a worked example: one engine in two builds",
		ArgsUsage: "DIR",
		Description: "Makes the invented book of Skarvik in an empty folder, commit by commit with\n" +
			"past dates, shows what differs between the two builds and writes the\n" +
			"engine's page.\n\n" +
			"Example: stackbook demo /tmp/skarvik",
		Action: func(c *cli.Context) error {
			if err := tooMany(c, 1); err != nil {
				return err
			}
			if c.NArg() == 0 {
				return &act.UsageError{Message: "no folder is named", Mend: "write: stackbook demo DIR"}
			}
			dir := a.path(c.Args().First())
			progress := a.term.Progress("making the demo book", 0)
			s, err := act.Demo(dir, act.BeginOptions{Book: a.bookOptions(), Passing: a.passing, Now: a.Now}, progress.At)
			progress.Done()
			if err != nil {
				return err
			}
			return a.shownDemo(s, dir)
		},
	})
}

type demoDocument struct {
	Format string       `json:"format"`
	Book   string       `json:"book"`
	Page   string       `json:"page"`
	Diff   diffDocument `json:"diff"`
}

// shownDemo shows what the book holds and what to try next.
func (a *app) shownDemo(s *act.Shop, dir string) error {
	r, _, to, err := s.Diff("SK-01/1", "SK-01/2")
	if err != nil {
		return err
	}
	life, last, err := s.History("SK-01")
	if err != nil {
		return err
	}
	page := filepath.Join(dir, "SK-01-rebuild.html")
	if err := a.writeFile(page, func(f *os.File) error { return writeSheet(f, "html", rebuildSheet(life, last)) }); err != nil {
		return err
	}
	if a.json {
		return a.printJSON(demoDocument{"demo/1", s.Book.Root(), page, diffJSON(r)})
	}
	a.showDiff(r, to.Display)
	a.term.Line("")
	a.term.Line("A book was made in %s: one engine, two builds, %s.", dir, count(len(life.Builds[0].Changes)+len(life.Builds[1].Changes), "change"))
	a.term.Line("Its page: %s", page)
	a.term.Line("Now try, in that folder (go install ./cmd/stackbook puts it on your path):")
	for _, line := range []string{"stackbook figures SK-01", "stackbook explain SK-01 rotor.side_clearance", "stackbook history SK-01", "stackbook diff SK-01/1 SK-01@2019-07-26"} {
		a.term.Line("  %s", line)
	}
	return nil
}
