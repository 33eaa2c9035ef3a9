package app

import (
	"path/filepath"
	"strings"

	"github.com/urfave/cli/v2"

	"stackbook/cmd/internal/act"
)

func (a *app) begin() *cli.Command {
	return a.command(cli.Command{
		Name:      "begin",
		Usage:     "make a new book",
		ArgsUsage: "DIR",
		Description: "Makes a git repository with book.yaml, an empty limit set, the JSON Schemas for\n" +
			"editors and the attributes git needs, and commits them.\n\n" +
			"Ready-made limit sets for --limits, to judge engines of their own class by:\n" +
			"  " + strings.Join(act.ReadyLimits(), "\n  ") + "\n\n" +
			"Example: stackbook begin ~/book --shop \"Skarvik Rotary\"",
		Flags: []cli.Flag{
			&cli.StringFlag{Name: "shop", Usage: "the shop's `NAME`"},
			&cli.StringSliceFlag{Name: "limits", Usage: "a ready-made limit set to begin with, by `NAME`; may be given several times"},
		},
		Action: func(c *cli.Context) error {
			if err := tooMany(c, 1); err != nil {
				return err
			}
			if c.NArg() == 0 {
				return &act.UsageError{Message: "no folder is named", Mend: `write: stackbook begin DIR --shop "Skarvik Rotary"`}
			}
			if c.String("shop") == "" {
				return &act.UsageError{Message: "the shop has no name yet", Mend: `write: stackbook begin ` + c.Args().First() + ` --shop "Skarvik Rotary"`}
			}
			dir := a.path(c.Args().First())
			s, err := act.Begin(dir, act.BeginOptions{Shop: c.String("shop"), Limits: c.StringSlice("limits"), Env: a.Env, Now: a.Now})
			if err != nil {
				return err
			}
			return a.begun(s)
		},
	})
}

type begunJSON struct {
	Format string `json:"format"`
	Book   string `json:"book"`
	Commit string `json:"commit"`
}

func (a *app) begun(s *act.Shop) error {
	head, _, err := s.Book.Head()
	if err != nil {
		return err
	}
	if a.json {
		return a.printJSON(begunJSON{"begin/1", s.Book.Root(), head.Hash})
	}
	a.term.Line("A book was begun in %s, commit %s.", s.Book.Root(), head.Short())
	a.term.Line("Next, inside it: stackbook enrol SK-01 --rotors 2 --title \"two-rotor lake hydroplane\"")
	return nil
}

// path is a path as typed, from the folder the command was typed in.
func (a *app) path(typed string) string {
	if filepath.IsAbs(typed) {
		return typed
	}
	return filepath.Join(a.Dir, typed)
}

func (a *app) enrol() *cli.Command {
	return a.command(cli.Command{
		Name:      "enrol",
		Usage:     "add a new engine",
		ArgsUsage: "NUMBER",
		Description: "Writes the engine's spec.yaml, every size still empty with what it means beside\n" +
			"it. Nothing is committed. Numbers are permanent: capital letters, digits, hyphens.\n\n" +
			"Example: stackbook enrol SK-16 --rotors 4 --title \"four-rotor hydroplane\"",
		Flags: []cli.Flag{
			&cli.IntFlag{Name: "rotors", Usage: "number of `ROTORS`"},
			&cli.StringFlag{Name: "title", Usage: "the engine in a few `WORDS`"},
			&cli.StringFlag{Name: "group", Usage: "the `FOLDER` under engines/ it goes to; this year's when left out"},
		},
		Action: func(c *cli.Context) error {
			if err := tooMany(c, 1); err != nil {
				return err
			}
			s, err := a.shop()
			if err != nil {
				return err
			}
			number := c.Args().First()
			file, err := s.Enrol(act.EnrolOptions{Number: number, Title: c.String("title"), Rotors: c.Int("rotors"), Group: c.String("group")})
			if err != nil {
				return err
			}
			if a.json {
				return a.printJSON(enrolledJSON{"enrol/1", number, file})
			}
			a.term.Line("%s is enrolled: fill in %s", number, file)
			a.term.Line("Then: stackbook check %s, and stackbook commit %s -m \"enrol %s\"", number, number, number)
			return nil
		},
	})
}

type enrolledJSON struct {
	Format string `json:"format"`
	Engine string `json:"engine"`
	File   string `json:"file"`
}
