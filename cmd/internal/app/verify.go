package app

import (
	"fmt"
	"strings"
	"time"

	"github.com/urfave/cli/v2"

	"stackbook/cmd/internal/act"
	"stackbook/record/book"
)

func (a *app) verify() *cli.Command {
	return a.command(cli.Command{
		Name:      "verify",
		Usage:     "tell whether a delivered build is as it was delivered",
		ArgsUsage: "ENGINE/BUILD",
		Description: "Works the delivery code anew from the files of the sealed commit, and holds\n" +
			"it against what the seal says and, with --code, against the customer's sheet.\n" +
			"Then says what was altered or added since, and by which commits; whether the\n" +
			"seal is signed; and whether the pictures are still those named. Exit status 1\n" +
			"when anything does not match.\n\n" +
			"Example: stackbook verify SK-07/2 --code 1-QX3M-27LA-VZ5K-OPDE-HRT4-B6WY-J",
		Flags: []cli.Flag{&cli.StringFlag{Name: "code", Usage: "the delivery `CODE` on the customer's sheet"}},
		Action: func(c *cli.Context) error {
			if err := tooMany(c, 1); err != nil {
				return err
			}
			if c.NArg() == 0 {
				return &act.UsageError{Message: "no build is named", Mend: "write: stackbook verify SK-07/2"}
			}
			if c.IsSet("code") && c.String("code") == "" {
				return &act.UsageError{Message: "--code is empty, and nothing would be held against the sheet", Mend: "write the code of the sheet, or leave --code out"}
			}
			s, err := a.shop()
			if err != nil {
				return err
			}
			v, err := s.Verify(c.Args().First(), c.String("code"))
			if err != nil {
				return err
			}
			if a.json {
				err = a.printJSON(verifyJSON(v))
			} else {
				a.showVerified(v)
			}
			if err == nil && v.Mismatch() {
				return errStrict
			}
			return err
		},
	})
}

func (a *app) showVerified(v *act.Verified) {
	a.term.Line("%s, delivered on %s", act.BuildName(v.Engine, v.Build), v.Date)
	a.term.Line("  code       %s, from the files of commit %s", a.term.Strong(v.Sum.Code()), v.Commit.Short())
	a.term.Line("  seal       %s", a.sealText(v))
	if v.Tag != nil {
		a.term.Line("  signature  %s", a.signatureText(v))
	}
	if v.Given != "" {
		a.term.Line("  sheet      %s", a.verdictOn(v.AsGiven(), "says the same", v.Given+" is not this code"))
	}
	for _, c := range v.Altered {
		a.term.Line("  %s %s%s", a.term.Bad(altered(c)), c.File, byWhom(c))
	}
	for _, m := range v.Missing {
		a.term.Line("  %s %s, named by %s, %s", a.term.Bad("attachment"), m.File, m.Record, m.Why)
	}
	for _, d := range v.Added {
		if d.Allowed {
			a.term.Line("  added      %s: %s", d.What, d.File)
		} else {
			a.term.Line("  %s      %s, which a delivered build does not take: %s", a.term.Bad("added"), d.What, d.File)
		}
	}
	if o := v.Opened; o != nil {
		a.term.Line("  since      build %d is open%s: spec.yaml is its own, with %s", o.Build, since(o), count(o.Records, "record"))
	}
	if len(v.Altered)+len(v.Missing) == 0 {
		a.term.Line("  files      none that was delivered is altered")
	}
	for _, remark := range v.Remarks {
		a.remark("%s", remark)
	}
}

func (a *app) verdictOn(fits bool, yes, no string) string {
	if fits {
		return yes
	}
	return a.term.Bad("does not match:") + " " + no
}

func (a *app) sealText(v *act.Verified) string {
	switch {
	case v.Tag == nil:
		return fmt.Sprintf("none: there is no tag %s", act.TagName(v.Engine, v.Build))
	case v.Told == "":
		return fmt.Sprintf("tag %s, whose message tells no code", v.Tag.Name)
	}
	return fmt.Sprintf("tag %s of %s, by %s: %s", v.Tag.Name, v.Tag.Tagger.When.Format(time.DateOnly), v.Tag.Tagger.Name,
		a.verdictOn(v.AsTold(), "says the same", "it says SHA-256 "+v.Told+", and the files have "+v.Sum.String()))
}

func (a *app) signatureText(v *act.Verified) string {
	switch v.Signed {
	case book.Good:
		return "good, by " + v.By
	case book.Bad:
		return a.term.Bad("bad:") + " the tag is not what was signed"
	case book.Unchecked:
		return "there is one, and it cannot be checked here: " + v.By
	}
	return "none"
}

func altered(c act.Alteration) string {
	return strings.TrimPrefix(strings.TrimPrefix(c.What, "was "), "is ")
}

// byWhom tells which commits altered a file, and whether the folder does.
func byWhom(c act.Alteration) string {
	var parts []string
	for _, commit := range c.Commits {
		parts = append(parts, fmt.Sprintf("commit %s of %s by %s: %s", commit.Short(), commit.Author.When.Format(time.DateOnly), commit.Author.Name, commit.Subject()))
	}
	if c.Pending {
		parts = append(parts, "in the folder, not committed")
	}
	return " (" + strings.Join(parts, "; ") + ")"
}

func since(o *act.Opening) string {
	if o.Since == "" {
		return ""
	}
	return " since " + o.Since
}
