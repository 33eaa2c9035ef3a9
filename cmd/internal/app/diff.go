package app

import (
	"bytes"
	"io"
	"strings"

	"github.com/urfave/cli/v2"

	"stackbook/cmd/internal/act"
	"stackbook/cmd/internal/page"
	"stackbook/cmd/internal/term"
)

func (a *app) diff() *cli.Command {
	return a.command(cli.Command{
		Name:      "diff",
		Usage:     "what differs between two states, by meaning",
		ArgsUsage: "STATE [STATE ...]",
		Description: "Compares records, the readings that count, and figures, all by today's\n" +
			"formulas. The order of keys, comments and the spelling of units are no\n" +
			"difference; a difference within the uncertainty of both sides is marked.\n" +
			"Beside a figure stand the inputs that moved it most. With one engine alone:\n" +
			"the last commit against the folder. Three states or more are lined up side by\n" +
			"side. Engines of different numbers of rotors are compared in what each rotor\n" +
			"and chamber is; what cannot be compared is named.\n" +
			"Kinds: parts, spec, records, readings, figures.\n\n" +
			"As text, as Markdown, as a page that needs no other file, a column a state,\n" +
			"or as JSON. A sheet, and what goes to a file, tells no customer's name.\n\n" +
			"Example: stackbook diff SK-07/1 SK-07/2\n" +
			"         stackbook diff SK-07 SK-09 SK-04 --only figures --topic fits\n" +
			"         stackbook diff SK-07/1 SK-07/2 -o SK-07.html",
		Flags: append([]cli.Flag{
			&cli.BoolFlag{Name: "strict", Usage: "exit 1 on a difference, or nothing to compare"},
			&cli.StringFlag{Name: "as", Usage: "`FORM`: text, md, html, json; else by the file"},
			&cli.StringFlag{Name: "output", Aliases: []string{"o"}, Usage: "write to `FILE`; - is standard output"},
		}, filterFlags...),
		Action: a.runDiff,
	})
}

func (a *app) runDiff(c *cli.Context) error {
	f, err := filterOf(c)
	if err != nil {
		return err
	}
	if err := fileNamed(c); err != nil {
		return err
	}
	form, err := formOf(c, "text", "text", "md", "html", "json")
	if err != nil {
		return err
	}
	s, err := a.shop()
	if err != nil {
		return err
	}
	names, err := a.statesNamed(s, c.Args().Slice())
	if err != nil {
		return err
	}
	states, err := a.statesOf(s, names)
	if err != nil {
		return err
	}
	if err := someHas(f.At, states); err != nil {
		return err
	}
	d := compareStates(states, f)
	if err := a.handDiff(s, d, form, c.String("output")); err != nil {
		return err
	}
	if c.Bool("strict") && (!d.empty() || d.table.Apart.Nothing) {
		return errStrict
	}
	return nil
}

// handDiff prints a comparison in a form, or writes it to a file. What goes to a
// file or is set as a sheet may be handed out, and so tells no customer's name
// (R15).
func (a *app) handDiff(s *act.Shop, d *comparison, form, file string) error {
	if file == "" && (form == "text" || form == "json") {
		return d.write(a, form)
	}
	var text bytes.Buffer
	paper := *a
	paper.term = term.New(&text, a.Err, a.Env)
	if err := d.write(&paper, form); err != nil {
		return err
	}
	told := text.String() + strings.Join(d.document().Texts(), "\n")
	if form == "html" {
		told = strings.Join(d.document().Texts(), "\n") // without its markup
	}
	if err := s.MayTell("the sheet", told, ""); err != nil {
		return err
	}
	return a.exportTo(file, func(w io.Writer) error {
		_, err := w.Write(text.Bytes())
		return err
	})
}

// write prints a comparison in a form.
func (c *comparison) write(a *app, form string) error {
	switch {
	case form == "md":
		return page.Markdown(a.term.Out, c.document())
	case form == "html":
		return page.HTML(a.term.Out, c.document())
	case form == "json" && c.pair != nil:
		return a.printJSON(diffJSON(c.pair))
	case form == "json":
		return a.printJSON(sideJSON(c.table))
	case c.pair != nil:
		a.showDiff(c.pair, c.display())
	default:
		a.showSide(c.table, c.display())
	}
	for _, l := range c.states {
		a.showTold(l, l.Name+": ")
	}
	return nil
}

// statesNamed are the states to compare, at least two.
func (a *app) statesNamed(s *act.Shop, args []string) ([]string, error) {
	if len(args) > 1 {
		return args, nil
	}
	from, to, err := a.twoStates(s, args)
	return []string{from, to}, err
}

// twoStates fills in what was left out: one engine alone is its last commit
// against the folder, and a past state is held against the folder.
func (a *app) twoStates(s *act.Shop, args []string) (from, to string, err error) {
	to = ""
	if len(args) == 1 {
		to = args[0]
	}
	if to, err = a.engineOr(s, to); err != nil {
		return "", "", err
	}
	n, err := act.ParseName(to)
	if err != nil {
		return "", "", err
	}
	if n.Build > 0 || n.Rev != "" {
		return to, n.Engine, nil
	}
	return n.Engine + "@HEAD", to, nil
}
