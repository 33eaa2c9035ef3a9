package app

import (
	"bytes"
	"io"
	"path/filepath"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"stackbook/cmd/internal/act"
	"stackbook/cmd/internal/page"
)

// handout is what one question is answered with, in every form.
type handout struct {
	document *page.Document
	data     nameable      // its JSON
	states   []*act.Loaded // whose figures the table holds
}

// nameable is a JSON document that can tell customers' names.
type nameable interface{ setNames(names map[string]string) }

// naming is the part of a sheet's JSON that tells customers' names by their
// codes; without --with-names there is none.
type naming struct {
	CustomerNames map[string]string `json:"customer_names,omitempty"`
}

func (n *naming) setNames(names map[string]string) { n.CustomerNames = names }

// question is one thing an export answers.
type question struct {
	word   string
	states int // the most states it takes, 0: any number from two
	answer func(a *app, s *act.Shop, states []string) (*handout, error)
}

// questions in the order a person reads them.
var questions = []question{
	{"rebuild", 1, (*app).forRebuild},
	{"warranty", 1, (*app).forWarranty},
	{"handover", 1, (*app).forHandover},
	{"comparison", 0, (*app).forComparison},
}

func (a *app) export() *cli.Command {
	return a.command(cli.Command{
		Name:      "export",
		Usage:     "a sheet to hand out",
		ArgsUsage: "[STATE]...",
		Description: "--for rebuild: what the next builder needs. What is fitted, readings with\n" +
			"their verdicts, what changed at each rebuild and why, what to look at first,\n" +
			"wear and when to measure again, photographs.\n" +
			"--for warranty: what is known of a delivered build. Limits as sent, what was\n" +
			"recorded beside them, what was found, a line of time, causes with how sure\n" +
			"each is, the proof. Facts with file and date, and nobody is judged.\n" +
			"--for handover: goes with the engine. Limits and what to do, fluids, priming,\n" +
			"open concessions, crack tests, the delivery code, a place to sign.\n" +
			"--for comparison: two or more states side by side, without what they share.\n\n" +
			"As a page that needs no other file, as Markdown, as JSON, or the figures\n" +
			"alone as a table (csv). Customers are told by their code; --with-names adds\n" +
			"the name from private/customers.yaml.\n\n" +
			"--all DIR: the whole book, engine by engine and build by build, what differs\n" +
			"between neighbours, and where each serial and lot ever was, as linked pages\n" +
			"that need no server and no script. Pages that are the same stay untouched,\n" +
			"and DIR may hold nothing but the pages of an earlier run. Exit status 1 when\n" +
			"records have problems.\n\n" +
			"Example: stackbook export SK-07 --for rebuild -o SK-07.html\n" +
			"         stackbook export --all pages",
		Flags: []cli.Flag{
			&cli.StringFlag{Name: "for", Usage: "`QUESTION` it answers, one of those above"},
			&cli.StringFlag{Name: "as", Usage: "html, md, json or csv as the `FORM`; else by the file"},
			&cli.StringFlag{Name: "output", Aliases: []string{"o"}, Usage: "write to `FILE`; - is standard output"},
			&cli.BoolFlag{Name: "with-names", Usage: "tell the customer's name"},
			&cli.StringFlag{Name: "all", Usage: "set the whole book as linked pages in `DIR`"},
		},
		Action: a.runExport,
	})
}

func (a *app) runExport(c *cli.Context) error {
	if c.IsSet("all") {
		return a.exportAll(c)
	}
	if err := fileNamed(c); err != nil {
		return err
	}
	q, err := exportQuestion(c)
	if err != nil {
		return err
	}
	form, err := exportForm(c)
	if err != nil {
		return err
	}
	s, err := a.shop()
	if err != nil {
		return err
	}
	states := c.Args().Slice()
	if len(states) == 0 {
		number, err := a.engineOr(s, "")
		if err != nil {
			return err
		}
		states = []string{number}
	}
	h, err := q.answer(a, s, states)
	if err != nil {
		return err
	}
	text, err := h.in(form)
	if err != nil {
		return err
	}
	if err := a.withNames(s, h, form, &text, c.Bool("with-names")); err != nil {
		return err
	}
	return a.exportTo(c.String("output"), func(w io.Writer) error {
		_, err := w.Write(text)
		return err
	})
}

// fileNamed refuses a file without a name: a script's unset variable.
func fileNamed(c *cli.Context) error {
	if c.IsSet("output") && c.String("output") == "" {
		return &act.UsageError{Message: "-o names no file", Mend: "leave it out for standard output"}
	}
	return nil
}

// withNames adds customers' names where they are wanted, and else sees that none
// is handed out (R15).
func (a *app) withNames(s *act.Shop, h *handout, form string, text *[]byte, names bool) error {
	if !names {
		return s.MayTell("the sheet", h.told(form, *text), ", or say --with-names")
	}
	known := map[string]string{}
	for _, l := range h.states {
		code := l.Engine.Customer
		if known[code] != "" {
			continue
		}
		name, err := s.CustomerName(code)
		if err != nil {
			return err
		}
		known[code] = name
		h.document.Facts = append(h.document.Facts, page.Fact{Label: "Customer " + code, Value: name})
	}
	h.data.setNames(known)
	var err error
	*text, err = h.in(form)
	return err
}

// told is all that a form tells, in words: a page's without its markup.
func (h *handout) told(form string, text []byte) string {
	if form == "csv" {
		return string(text)
	}
	words := strings.Join(h.document.Texts(), "\n")
	if form == "json" {
		words += "\n" + string(text)
	}
	return words
}

// in writes the handout in a form.
func (h *handout) in(form string) ([]byte, error) {
	var b bytes.Buffer
	var err error
	switch form {
	case "json":
		err = writeJSON(&b, h.data)
	case "csv":
		err = writeFigures(&b, h.states)
	case "md":
		err = page.Markdown(&b, h.document)
	default:
		err = page.HTML(&b, h.document)
	}
	return b.Bytes(), err
}

// exportQuestion settles what is asked, of how many states.
func exportQuestion(c *cli.Context) (*question, error) {
	var words []string
	for i := range questions {
		q := &questions[i]
		words = append(words, q.word)
		if q.word != c.String("for") {
			continue
		}
		if q.states > 0 {
			return q, tooMany(c, q.states)
		}
		if c.NArg() < 2 {
			return nil, &act.UsageError{Message: "a comparison is of two states or more", Mend: "write: stackbook export SK-01/1 SK-01/2 --for comparison"}
		}
		return q, nil
	}
	return nil, &act.UsageError{Message: "the question to answer is not known: " + orNoneNamed(c.String("for")), Mend: "write --for and one of: " + strings.Join(words, ", ")}
}

// exportForm settles in which form.
func exportForm(c *cli.Context) (string, error) {
	return formOf(c, "md", "html", "md", "json", "csv")
}

// formOf is the form a person asks for: by --as or --json, else by the name of
// the file, else the usual one.
func formOf(c *cli.Context, usual string, forms ...string) (string, error) {
	form := c.String("as")
	switch {
	case c.Bool("json") && form != "" && form != "json":
		return "", &act.UsageError{Message: "--json and --as " + form + " are two forms", Mend: "name one of them"}
	case c.Bool("json"):
		form = "json"
	case form == "":
		form = strings.TrimPrefix(filepath.Ext(c.String("output")), ".")
	}
	switch form {
	case "htm":
		form = "html"
	case "txt":
		form = "text"
	case "":
		form = usual
	}
	if slices.Contains(forms, form) {
		return form, nil
	}
	if form == "pdf" {
		return "", &act.UsageError{Message: "there is no form pdf", Mend: "write: --as html, and print the page into a PDF"}
	}
	last := len(forms) - 1
	return "", &act.UsageError{Message: "there is no form " + form, Mend: "write: --as " + strings.Join(forms[:last], ", --as ") + " or --as " + forms[last]}
}

func orNoneNamed(text string) string {
	if text == "" {
		return "none is named"
	}
	return text
}
