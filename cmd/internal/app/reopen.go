package app

import (
	"strings"

	"github.com/urfave/cli/v2"

	"stackbook/cmd/internal/act"
)

func (a *app) reopen() *cli.Command {
	return a.command(cli.Command{
		Name:      "reopen",
		Usage:     "open the build after a delivered one",
		ArgsUsage: "[ENGINE]",
		Description: "Raises build in spec.yaml, records the teardown, writes the three sessions a\n" +
			"rebuild begins with (as received, as found, after cleaning) with every line\n" +
			"empty, and commits all of it. Each point says how it is measured; write a\n" +
			"reading behind its line, and leave empty what was not taken.\n\n" +
			"Example: stackbook reopen SK-07 --why \"down 350 rpm, takes water\" \\\n" +
			"           --hours '126 h' --hours-error '3 h'",
		Flags: append(momentFlags(),
			&cli.StringFlag{Name: "why", Usage: "what it came back for, in `WORDS`"},
			&cli.StringFlag{Name: "message", Aliases: []string{"m"}, Usage: "the commit's message, in `WORDS`"},
		),
		Action: func(c *cli.Context) error {
			s, number, err := a.shopAndEngine(c)
			if err != nil {
				return err
			}
			done, err := s.Reopen(number, act.ReopenOptions{Moment: moment(c), Why: c.String("why"), Message: c.String("message")})
			if err != nil {
				return err
			}
			return a.reopened(done)
		},
	})
}

type reopenDocument struct {
	Format   string   `json:"format"`
	Engine   string   `json:"engine"`
	Build    int      `json:"build"`
	Commit   string   `json:"commit"`
	Files    []string `json:"files"`     // the spec, the teardown, and the sessions to fill in
	NewParts []string `json:"new_parts"` // positions of parts the spec still calls new
	Left     []string `json:"left"`
}

func (a *app) reopened(done *act.Reopened) error {
	if a.json {
		return a.printJSON(reopenDocument{"reopen/1", done.Engine, done.Build, done.Committed.Commit.Hash, done.Files, orEmpty(done.New), orEmpty(done.Committed.Left)})
	}
	a.term.Line("Opened build %d of %s as commit %s", done.Build, done.Engine, done.Committed.Commit.Short())
	a.term.Line("Fill in, and leave empty what is not taken:")
	for _, file := range done.Files[2:] {
		a.term.Line("  %s", file)
	}
	a.afterCommit(done.Committed)
	if len(done.New) > 0 {
		a.remark("the spec still calls %s new: write origin: used for what goes in again, so that it is judged as such and keeps its readings", strings.Join(done.New, ", "))
	}
	if done.Unsealed {
		a.remark("no tag seals build %d: verify will go by the first commit that holds its delivery", done.Build-1)
	}
	return nil
}
