package app

import (
	"fmt"
	"strconv"
	"strings"

	"github.com/urfave/cli/v2"

	"stackbook/cmd/internal/act"
	"stackbook/cmd/internal/term"
)

func (a *app) enrol() *cli.Command {
	return a.command(cli.Command{
		Name:      "enrol",
		Usage:     "add a new engine, perhaps like another",
		ArgsUsage: "NUMBER",
		Description: "Writes the engine's spec.yaml, every size still empty with what it means\n" +
			"beside it. Nothing is committed. Numbers are permanent: capital letters,\n" +
			"digits, hyphens.\n\n" +
			"With --like the spec is that of another engine in any state: sizes, part\n" +
			"numbers, materials, targets and operating limits come along as written,\n" +
			"comments included; serials, lots, origin, hours, customer and all readings\n" +
			"and changes stay with the other engine. Both lists are shown first. On a\n" +
			"terminal you are asked before anything is written; in a script nobody is,\n" +
			"since one new file not yet committed is all that is written.\n\n" +
			"Example: stackbook enrol SK-16 --rotors 4 --title \"four-rotor hydroplane\"\n" +
			"         stackbook enrol SK-17 --like SK-07/2",
		Flags: []cli.Flag{
			&cli.IntFlag{Name: "rotors", Usage: "number of `ROTORS`", DefaultText: "with --like, the other engine's"},
			&cli.StringFlag{Name: "title", Usage: "the engine in a few `WORDS`"},
			&cli.StringFlag{Name: "group", Usage: "the `FOLDER` under engines/; this year's when left out"},
			&cli.StringFlag{Name: "like", Usage: "a sister of this `ENGINE`: SK-07, SK-07/2, SK-07@2024-06-01"},
			&cli.BoolFlag{Name: "look", Usage: "with --like: only show what comes along and what stays"},
			&cli.BoolFlag{Name: "yes", Usage: "with --like: write without asking"},
		},
		Action: a.runEnrol,
	})
}

func (a *app) runEnrol(c *cli.Context) error {
	if err := tooMany(c, 1); err != nil {
		return err
	}
	s, err := a.shop()
	if err != nil {
		return err
	}
	o := act.EnrolOptions{Number: c.Args().First(), Title: c.String("title"), Rotors: c.Int("rotors"), Group: c.String("group")}
	if c.String("like") != "" {
		return a.enrolLike(c, s, o)
	}
	if c.Bool("look") || c.Bool("yes") {
		return &act.UsageError{Message: "--look and --yes go with --like", Mend: "name the engine it is like: --like SK-07/2"}
	}
	file, remark, err := s.Enrol(o)
	if err != nil {
		return err
	}
	if remark != "" {
		a.remark("%s", remark)
	}
	if a.json {
		return a.printJSON(enrolledJSON{Format: "enrol/1", Engine: o.Number, File: file, Written: true})
	}
	a.enrolled(o.Number, file)
	return nil
}

func (a *app) enrolled(number, file string) {
	a.term.Line("%s is enrolled: fill in %s", number, file)
	a.term.Line("Then: stackbook check %s, and stackbook commit %s -m \"enrol %s\"", number, number, number)
}

// enrolLike shows what comes along of another engine and what stays, asks, and
// writes.
func (a *app) enrolLike(c *cli.Context, s *act.Shop, o act.EnrolOptions) error {
	sister, err := s.Sister(o, c.String("like"))
	if err != nil {
		return err
	}
	for _, r := range sister.Remarks {
		a.remark("%s", r)
	}
	if !a.json {
		a.showSister(sister)
	}
	write := !c.Bool("look")
	if write && !a.json && !c.Bool("yes") {
		if write, err = a.agrees("Enrol " + sister.Number + " so?"); err != nil {
			return err
		}
	}
	if write {
		if err := s.PutSister(sister); err != nil {
			return err
		}
	}
	return a.sisterDone(sister, write)
}

// agrees asks on a terminal; where nobody is there to answer, it is agreed.
func (a *app) agrees(question string) (bool, error) {
	yes, asked, err := a.term.Confirm(a.In, question)
	return yes || !asked, err
}

func (a *app) sisterDone(x *act.Sister, written bool) error {
	if a.json {
		return a.printJSON(sisterJSON(x, written))
	}
	a.term.Line("")
	if !written {
		a.term.Line("Nothing is written.")
		return nil
	}
	a.enrolled(x.Number, x.File)
	if n := len(x.Problems); n > 0 {
		a.remark("%s came along from %s: stackbook check %s tells each", count(n, "problem"), x.Like, x.Number)
	}
	return nil
}

func (a *app) showSister(x *act.Sister) {
	a.term.Heading(x.Number + ": " + x.Title)
	a.showShares(fmt.Sprintf("comes along from %s: %s", x.Like, count(sum(x.Carried), "value")), x.Carried)
	a.showShares(fmt.Sprintf("stays with %s: %s, and its records", x.Like, count(sum(x.Stays), "value")), append(x.Stays, x.Records...))
	a.term.Line("")
	a.term.Line("Comments and notes come along as they are written: read them, for some may speak of the other engine.")
}

func sum(list []act.Share) int {
	n := 0
	for _, s := range list {
		n += s.Count
	}
	return n
}

// showShares shows one of the two lists.
func (a *app) showShares(title string, list []act.Share) {
	t := term.Table{Columns: []term.Column{{Title: "  section"}, {Title: "count", Right: true}, {Title: "which", Flex: true}, {Title: "why", Flex: true}}}
	for _, s := range list {
		t.Rows = append(t.Rows, term.Row{Cells: []string{"  " + s.What, strconv.Itoa(s.Count), strings.Join(s.Which, ", "), s.Why}})
	}
	a.term.Line("")
	a.term.Line("%s", title)
	a.term.Table(t)
}

// enrolledJSON is the shape of a new engine: enrol/1. The lists are those of a
// sister and are left out without --like.
type enrolledJSON struct {
	Format   string       `json:"format"`
	Engine   string       `json:"engine"`
	File     string       `json:"file"`
	Written  bool         `json:"written"`
	Like     string       `json:"like,omitempty"`
	Title    string       `json:"title,omitempty"`
	Carried  []shareEntry `json:"carried,omitempty"`
	Stays    []shareEntry `json:"stays,omitempty"`
	Records  []shareEntry `json:"records,omitempty"`  // of the other engine, which stay too
	Problems int          `json:"problems,omitempty"` // that came along with the spec
}

type shareEntry struct {
	What  string   `json:"what"`
	Count int      `json:"count"`
	Which []string `json:"which"`
	Why   string   `json:"why,omitempty"`
}

func sisterJSON(x *act.Sister, written bool) enrolledJSON {
	return enrolledJSON{Format: "enrol/1", Engine: x.Number, File: x.File, Written: written, Like: x.Like, Title: x.Title,
		Carried: sharesJSON(x.Carried), Stays: sharesJSON(x.Stays), Records: sharesJSON(x.Records), Problems: len(x.Problems)}
}

func sharesJSON(list []act.Share) []shareEntry {
	var entries []shareEntry
	for _, s := range list {
		entries = append(entries, shareEntry{s.What, s.Count, orEmpty(s.Which), s.Why})
	}
	return entries
}
