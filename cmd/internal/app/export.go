package app

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"github.com/urfave/cli/v2"

	"stackbook/cmd/internal/act"
	"stackbook/cmd/internal/page"
)

func (a *app) export() *cli.Command {
	return a.command(cli.Command{
		Name:      "export",
		Usage:     "a sheet to hand out",
		ArgsUsage: "[STATE]",
		Description: "--for rebuild: what the next builder needs. What is fitted, readings with\n" +
			"their verdicts, what changed at each rebuild and why, what to look at first.\n" +
			"As a page that needs no other file, as Markdown or as JSON.\n\n" +
			"Example: stackbook export SK-07 --for rebuild -o SK-07.html",
		Flags: []cli.Flag{
			&cli.StringFlag{Name: "for", Usage: "the `QUESTION` it answers: rebuild"},
			&cli.StringFlag{Name: "as", Usage: "`FORM`: html, md or json; else by the file's ending"},
			&cli.StringFlag{Name: "output", Aliases: []string{"o"}, Usage: "write to `FILE`; - is standard output"},
		},
		Action: func(c *cli.Context) error {
			if err := tooMany(c, 1); err != nil {
				return err
			}
			if c.IsSet("output") && c.String("output") == "" {
				return &act.UsageError{Message: "-o names no file", Mend: "leave it out for standard output"}
			}
			form, err := exportForm(c)
			if err != nil {
				return err
			}
			life, last, err := a.life(c.Args().First())
			if err != nil {
				return err
			}
			return a.exportTo(c.String("output"), func(w io.Writer) error {
				if form == "json" {
					return exportJSON(w, life, last)
				}
				return writeSheet(w, form, rebuildSheet(life, last))
			})
		},
	})
}

// exportForm settles what is asked for and in which form.
func exportForm(c *cli.Context) (string, error) {
	if q := c.String("for"); q != "rebuild" {
		return "", &act.UsageError{Message: "the question to answer is not known: " + orNoneNamed(q), Mend: "write: --for rebuild"}
	}
	form := c.String("as")
	if c.Bool("json") {
		form = "json"
	}
	if form == "" {
		form = strings.TrimPrefix(filepath.Ext(c.String("output")), ".")
	}
	switch form {
	case "html", "md", "json":
		return form, nil
	case "htm":
		return "html", nil
	case "":
		return "md", nil
	}
	return "", &act.UsageError{Message: "there is no form " + form, Mend: "write: --as html, --as md or --as json"}
}

func orNoneNamed(text string) string {
	if text == "" {
		return "none is named"
	}
	return text
}

func (a *app) exportTo(file string, write func(w io.Writer) error) error {
	if file == "" || file == "-" {
		return write(a.term)
	}
	file = a.path(file)
	if err := a.mayWrite(file); err != nil {
		return err
	}
	info, err := os.Stat(file)
	switch {
	case err == nil && info.IsDir():
		return &act.UsageError{Message: file + " is a folder", Mend: "name a file in it, such as -o " + filepath.Join(file, "sheet.html")}
	case err == nil && !info.Mode().IsRegular():
		return writeThrough(file, write)
	}
	if err := a.writeFile(file, func(f *os.File) error { return write(f) }); err != nil {
		return err
	}
	a.remark("written: %s", file)
	return nil
}

// mayWrite refuses what a sheet must never replace: what git keeps, and the
// book's own records.
func (a *app) mayWrite(file string) error {
	s, err := a.shop()
	if err != nil {
		return err
	}
	rel, err := s.Book.Rel(file)
	if err != nil {
		return nil // outside the book
	}
	for _, part := range strings.Split(rel, "/") {
		if part == ".git" {
			return &act.UsageError{Message: file + " belongs to git", Mend: "name a file of your own"}
		}
	}
	if strings.HasSuffix(rel, ".yaml") || strings.HasPrefix(rel, ".git") {
		return &act.UsageError{Message: file + " is a file of the book", Mend: "name a file that ends in .html, .md or .json"}
	}
	return nil
}

// writeThrough writes into a pipe or device that is there.
func writeThrough(file string, write func(w io.Writer) error) error {
	f, err := os.OpenFile(file, os.O_WRONLY, 0)
	if err != nil {
		return err
	}
	return errors.Join(write(f), f.Close())
}

func writeSheet(w io.Writer, form string, d *page.Document) error {
	if form == "md" {
		return page.Markdown(w, d)
	}
	return page.HTML(w, d)
}

// writeFile writes beside and renames, so that a failure leaves what was there.
func (a *app) writeFile(file string, write func(f *os.File) error) error {
	f, err := a.passing.CreateTemp(filepath.Dir(file), ".stackbook-*")
	if err != nil {
		var why *fs.PathError // of a name nobody typed
		if errors.As(err, &why) {
			err = why.Err
		}
		return fmt.Errorf("%s cannot be written: %w", file, err)
	}
	err = errors.Join(write(f), f.Chmod(0o644), f.Close())
	if err == nil {
		err = a.passing.Rename(f.Name(), file)
	}
	if err != nil {
		return errors.Join(err, a.passing.Remove(f.Name()))
	}
	return nil
}
