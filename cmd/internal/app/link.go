package app

import (
	"github.com/urfave/cli/v2"

	"stackbook/record/book"
)

func (a *app) link() *cli.Command {
	return a.command(cli.Command{
		Name:  "link",
		Usage: "let plain git check, merge and show records by meaning",
		Description: "Puts hooks and drivers into this clone's .git, and nothing into the book.\n" +
			"Then git commit and git merge check what is staged and stage the figures\n" +
			"computed anew; git merge, rebase, cherry-pick, revert and stash pop merge\n" +
			"records value by value; git diff, log -p and show print one line a value.\n" +
			"Hooks of your own go on running, before these, and git commit --no-verify\n" +
			"passes by both. Linking again brings all of it up to date.\n\n" +
			"Example: stackbook link",
		Action: func(c *cli.Context) error {
			if err := tooMany(c, 0); err != nil {
				return err
			}
			s, err := a.shop()
			if err != nil {
				return err
			}
			done, err := s.Link(a.Program)
			if err != nil {
				return err
			}
			if a.json {
				return a.printJSON(linkJSON("link/1", s.Book.Root(), a.Program, done))
			}
			a.showLinked(done)
			return nil
		},
	})
}

func (a *app) unlink() *cli.Command {
	return a.command(cli.Command{
		Name:  "unlink",
		Usage: "take out what link put into .git",
		Description: "Every file of .git is, byte for byte, as it would be without link, and hooks\n" +
			"of your own are back in their place. The book itself is not touched.\n\n" +
			"Example: stackbook unlink",
		Action: func(c *cli.Context) error {
			if err := tooMany(c, 0); err != nil {
				return err
			}
			s, err := a.shop()
			if err != nil {
				return err
			}
			done, err := s.Book.Unlink()
			if err != nil {
				return err
			}
			if a.json {
				return a.printJSON(linkJSON("unlink/1", s.Book.Root(), "", done))
			}
			a.showUnlinked(done)
			return nil
		},
	})
}

func (a *app) showLinked(done book.Linked) {
	if len(done.Written) == 0 {
		a.term.Line("Nothing to do: plain git is linked to this book, and calls %s.", a.Program)
	} else {
		a.term.Line("Plain git is linked to this book, and calls %s.", a.Program)
	}
	for _, name := range done.Written {
		a.term.Line("  written  %s", name)
	}
	for _, name := range done.Kept {
		a.term.Line("  kept     %s, your own, which runs first", name)
	}
	if done.Shared != "" {
		a.remark("%s is a folder of hooks outside this repository: they run for every repository that uses it, and pass where there is no book", done.Shared)
	}
}

func (a *app) showUnlinked(done book.Linked) {
	if len(done.Written) == 0 && len(done.Left) == 0 {
		a.term.Line("Nothing to do: plain git is not linked to this book.")
		return
	}
	if len(done.Written) > 0 {
		a.term.Line("Plain git is no longer linked to this book.")
	}
	for _, name := range done.Written {
		a.term.Line("  as before  %s", name)
	}
	if done.Shared != "" {
		a.remark("%s is a folder of hooks outside this repository: another linked book that uses it is without them now; type there: stackbook link", done.Shared)
	}
	for _, name := range done.Left {
		a.remark("left as it is, because it was changed since: %s; what is yours in it is for you to keep, then take the file away", name)
	}
}

type linkDocument struct {
	Format  string   `json:"format"`
	Book    string   `json:"book"`
	Program string   `json:"program,omitempty"` // what git calls
	Written []string `json:"written"`           // files written, or brought back
	Kept    []string `json:"kept"`              // hooks of the person's own that run first
	Left    []string `json:"left"`              // hooks of ours that were changed since, and stay
	Shared  *string  `json:"shared_hooks"`      // a folder of hooks outside the repository
}

func linkJSON(format, root, program string, done book.Linked) linkDocument {
	return linkDocument{format, root, program, orEmpty(done.Written), orEmpty(done.Kept), orEmpty(done.Left), orNull(done.Shared)}
}
