package app

import (
	"strings"

	"github.com/urfave/cli/v2"

	"stackbook/cmd/internal/act"
	"stackbook/schema"
)

func (a *app) measure() *cli.Command {
	return a.command(cli.Command{
		Name:      "measure",
		Usage:     "begin a measuring session, a line for each reading",
		ArgsUsage: "[ENGINE]",
		Description: "Writes a session with every line empty into the engine's measurements/: each\n" +
			"point that is asked for at the stage, at each place this engine has, with\n" +
			"how it is measured. Write readings behind their lines, and leave empty what\n" +
			"was not taken; stackbook check tells what is wrong, and commit takes it.\n\n" +
			stageHelp() + "\n\n" +
			"Example: stackbook measure SK-07 --stage mock-up\n" +
			"         stackbook measure SK-07 --stage assembly --point apex_seal_length",
		Flags: append([]cli.Flag{
			&cli.StringFlag{Name: "stage", Usage: "the `STAGE` the engine is at"},
			&cli.GenericFlag{Name: "point", Value: &texts{}, Usage: "this `POINT` alone; again for each"},
		}, momentFlags()...),
		Action: func(c *cli.Context) error {
			s, number, err := a.shopAndEngine(c)
			if err != nil {
				return err
			}
			begun, err := s.Measure(number, act.MeasureOptions{Moment: moment(c), Stage: c.String("stage"), Points: *c.Generic("point").(*texts)})
			if err != nil {
				return err
			}
			if a.json {
				return a.printJSON(writtenDocument{Format: "written/1", Engine: number, Build: begun.Build, Kind: begun.Stage, File: &begun.File, Photos: []string{}})
			}
			a.term.Line("Fill in, and leave empty what is not taken: %s", begun.File)
			a.term.Line("Then: stackbook check %s, and stackbook commit %s -m \"%s measured\"", number, number, begun.Stage)
			return nil
		},
	})
}

// stageHelp names the stages in lines of a page of help.
func stageHelp() string {
	const most = 76 // letters
	line, text := "Stages:", ""
	for i, stage := range schema.Stages {
		word := " " + stage.Name + ","
		if i == len(schema.Stages)-1 {
			word = " " + stage.Name + "."
		}
		if len(line)+len(word) > most {
			text, line = text+line+"\n", strings.TrimPrefix(word, " ")
			continue
		}
		line += word
	}
	return text + line
}
