package app

import (
	"bytes"
	"encoding/base64"
	"strings"
	"unicode/utf8"

	"github.com/urfave/cli/v2"

	"stackbook/cmd/internal/act"
	"stackbook/cmd/internal/term"
)

func (a *app) show() *cli.Command {
	return a.command(cli.Command{
		Name:      "show",
		Usage:     "one file of an engine as it was, byte for byte",
		ArgsUsage: "[STATE [FILE]]",
		Description: "FILE lies in the engine's folder, and is its spec.yaml where none is named.\n" +
			"In a pipe or a file it is the same byte for byte, pictures too; on a\n" +
			"terminal what could steer it is shown as an escape. Nothing is checked.\n" +
			"Inside an engine's folder FILE alone is that of the folder.\n\n" +
			"Example: stackbook show SK-07@2024-06-01\n" +
			"         stackbook show SK-07/2 changes/2024-03-10-pocket-recut.yaml\n" +
			"         stackbook show SK-07@4f2c9e1 photos/plugs.jpg > plugs.jpg",
		Action: func(c *cli.Context) error {
			if err := tooMany(c, 2); err != nil {
				return err
			}
			s, err := a.shop()
			if err != nil {
				return err
			}
			name, file := stateAndFile(c.Args().First(), c.Args().Get(1))
			if name, err = a.engineOr(s, name); err != nil {
				return err
			}
			shown, err := s.Show(name, file)
			if err != nil {
				return err
			}
			for _, r := range shown.Remarks {
				a.remark("%s", r)
			}
			if a.json {
				return a.printJSON(showJSON(shown))
			}
			return a.printFile(shown)
		},
	})
}

// stateAndFile tells a file of the folder's own engine, named alone, from a
// state: no engine's number has a full stop in it.
func stateAndFile(first, second string) (name, file string) {
	if second == "" && strings.Contains(first, ".") && !strings.Contains(first, "@") {
		return "", first
	}
	return first, second
}

// printFile prints a file as it is or, on a terminal, without what could steer
// that.
func (a *app) printFile(shown *act.Shown) error {
	data := shown.Data
	if a.term.Width > 0 {
		if bytes.IndexByte(data, 0) >= 0 {
			return &act.UsageError{Message: shown.File + " is no text for a terminal", Mend: "send it into a file: stackbook show ... > FILE"}
		}
		data = []byte(term.CleanLines(strings.ReplaceAll(string(data), "\r\n", "\n")))
	}
	_, err := a.term.Write(data)
	return err
}

// The shape of a file: show/1.
type showDocument struct {
	Format string  `json:"format"`
	Engine string  `json:"engine"`
	Commit *string `json:"commit"` // null for the working folder
	File   string  `json:"file"`
	Text   *string `json:"text"`   // null where it is not UTF-8
	Base64 *string `json:"base64"` // null where it is
}

func showJSON(shown *act.Shown) showDocument {
	d := showDocument{Format: "show/1", Engine: shown.Number, File: shown.File}
	if shown.Commit != "" {
		d.Commit = &shown.Commit
	}
	if text := string(shown.Data); utf8.ValidString(text) {
		d.Text = &text
	} else {
		coded := base64.StdEncoding.EncodeToString(shown.Data)
		d.Base64 = &coded
	}
	return d
}
