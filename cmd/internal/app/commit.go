package app

import (
	"errors"
	"strings"

	"github.com/urfave/cli/v2"

	"stackbook/cmd/internal/act"
	"stackbook/record/book"
	"stackbook/record/figure"
)

func (a *app) commit() *cli.Command {
	return a.command(cli.Command{
		Name:      "commit",
		Usage:     "recompute an engine's figures and commit its records",
		ArgsUsage: "[ENGINE]",
		Description: "Commits the engine's records as they lie in its folder, with figures.yaml\n" +
			"computed anew, on the branch you are on; other edits and staged files stay\n" +
			"as they are. Problems in records stop it, a failing verdict never does.\n" +
			"Limits and book.yaml are those last committed: commit yours with --book.\n\n" +
			"Example: stackbook commit SK-07 -m \"mock-up measured\"",
		Flags: []cli.Flag{
			&cli.StringFlag{Name: "message", Aliases: []string{"m"}, Usage: "what was done and why, in `WORDS`"},
			&cli.BoolFlag{Name: "book", Usage: "commit book.yaml, limits, parts and schemas"},
		},
		Action: func(c *cli.Context) error {
			if err := tooMany(c, 1); err != nil {
				return err
			}
			s, err := a.shop()
			if err != nil {
				return err
			}
			o := act.CommitOptions{Message: c.String("message")}
			if c.Bool("book") {
				if c.NArg() > 0 {
					return &act.UsageError{Message: "--book commits no engine", Mend: "leave " + c.Args().First() + " out, or --book"}
				}
				done, err := s.CommitBook(o)
				return a.committed(done, err)
			}
			number, err := a.engineOr(s, c.Args().First())
			if err != nil {
				return err
			}
			done, err := s.Commit(number, o)
			return a.committed(done, err)
		},
	})
}

type commitDocument struct {
	Format   string         `json:"format"`
	Engine   string         `json:"engine,omitempty"`
	Build    int            `json:"build,omitempty"`
	Commit   *string        `json:"commit"` // null: there was nothing to commit
	Formulas int            `json:"formulas"`
	Paths    []string       `json:"paths"`
	Left     []string       `json:"left"`
	Pending  []string       `json:"pending"`
	Verdicts map[string]int `json:"verdicts,omitempty"`
}

func (a *app) committed(done *act.Committed, err error) error {
	nothing := errors.Is(err, book.ErrNothing)
	if err != nil && !nothing {
		return err
	}
	if a.json {
		return a.printJSON(commitJSON(done, nothing))
	}
	what := "the book"
	if done.Number != "" {
		what = done.Number
	}
	if nothing {
		a.term.Line("Nothing to commit: %s is as it was last committed.", what)
	} else {
		a.term.Line("Committed %s as %s: %s", what, done.Commit.Short(), count(len(done.Paths), "file"))
	}
	if done.Loaded != nil {
		a.term.Line("%s", verdictCount(done.Loaded.Figures.Count()))
		a.showFailed(done.Loaded.Display, done.Loaded.Figures.Results, done.Loaded.Figures.Overlaps())
		a.showSlips(done.Loaded.Engine.Slips())
	}
	for _, p := range done.Left {
		a.remark("left out: %s is no record, and none names it", p)
	}
	if len(done.Pending) > 0 {
		a.remark("judged without your edits of %s; commit them with: stackbook commit --book", strings.Join(done.Pending, ", "))
	}
	return nil
}

func commitJSON(done *act.Committed, nothing bool) commitDocument {
	d := commitDocument{Format: "commit/1", Engine: done.Number, Build: done.Build, Formulas: figure.FormulaSet,
		Paths: orEmpty(done.Paths), Left: orEmpty(done.Left), Pending: orEmpty(done.Pending)}
	if !nothing {
		d.Commit = &done.Commit.Hash
	} else {
		d.Paths = []string{}
	}
	if done.Loaded != nil {
		d.Verdicts = verdictsJSON(done.Loaded.Figures.Count())
	}
	return d
}

func orEmpty(list []string) []string {
	if list == nil {
		return []string{}
	}
	return list
}
