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
		Description: "Makes a git repository with book.yaml, an empty limit set, the JSON Schemas\n" +
			"for editors and the attributes git needs, and commits them.\n\n" +
			"With --refresh an existing book is brought up to this stackbook's\n" +
			"dictionary: the schemas are written anew and the dictionary in book.yaml is\n" +
			"raised, nothing else. An older stackbook then refuses the book. Nothing is\n" +
			"committed, since edits of your own may lie in the same files: stackbook\n" +
			"commit --book does it.\n\n" +
			"Ready-made limit sets for --limits, to judge engines of their own class by:\n" +
			"  " + strings.Join(act.ReadyLimits(), "\n  ") + "\n" +
			"The first one named judges every engine whose spec names no other; without\n" +
			"--limits it is the shop's own set, which is empty.\n\n" +
			"Example: stackbook begin ~/book --shop \"Skarvik Rotary\"",
		Flags: []cli.Flag{
			&cli.StringFlag{Name: "shop", Usage: "the shop's `NAME`"},
			&cli.BoolFlag{Name: "refresh", Usage: "bring an existing book up to date"},
			&cli.StringSliceFlag{Name: "limits", Usage: "a ready-made limit set; `NAME` as above"},
		},
		Action: func(c *cli.Context) error {
			if err := tooMany(c, 1); err != nil {
				return err
			}
			if c.Bool("refresh") {
				return a.refresh(c)
			}
			if c.NArg() == 0 {
				return &act.UsageError{Message: "no folder is named", Mend: `write: stackbook begin DIR --shop "Skarvik Rotary"`}
			}
			if strings.TrimSpace(c.String("shop")) == "" {
				return &act.UsageError{Message: "the shop has no name yet", Mend: `write: stackbook begin ` + c.Args().First() + ` --shop "Skarvik Rotary"`}
			}
			dir := a.path(c.Args().First())
			s, err := act.Begin(dir, act.BeginOptions{Shop: c.String("shop"), Limits: c.StringSlice("limits"), Book: a.bookOptions(), Now: a.Now})
			if err != nil {
				return err
			}
			return a.begun(s, c.StringSlice("limits"))
		},
	})
}

type begunJSON struct {
	Format string `json:"format"`
	Book   string `json:"book"`
	Commit string `json:"commit"`
}

// begun tells of a new book, begun with these ready-made limit sets.
func (a *app) begun(s *act.Shop, limits []string) error {
	head, _, err := s.Book.Head()
	if err != nil {
		return err
	}
	if a.json {
		return a.printJSON(begunJSON{"begin/1", s.Book.Root(), head.Hash})
	}
	a.term.Line("A book was begun in %s, commit %s.", s.Book.Root(), head.Short())
	if len(limits) > 0 {
		a.term.Line("Engines are judged by limits/%s.yaml where their spec names no other.", limits[0])
	}
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
