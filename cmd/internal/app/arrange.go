package app

import (
	"strings"

	"github.com/urfave/cli/v2"

	"stackbook/cmd/internal/act"
)

// arrange puts a command's flags in front of its arguments. The library stops
// looking for flags at the first argument and would take the --json of
// "figures SK-07 --json" for an engine; people write it so all the same.
// What follows -- is left alone.
func arrange(program *cli.App, args []string) ([]string, error) {
	at := 0
	for at < len(args) && strings.HasPrefix(args[at], "-") {
		if takesValue(program.Flags, args[at]) {
			at++
		}
		at++
	}
	if at >= len(args) {
		return args, nil
	}
	command := program.Command(args[at])
	if command == nil {
		return args, nil
	}
	var flags, rest []string
	for i := at + 1; i < len(args); i++ {
		word := args[i]
		switch {
		case word == "--":
			rest = append(rest, args[i+1:]...)
			i = len(args)
		case len(word) < 2 || word[0] != '-':
			rest = append(rest, word)
		case takesValue(command.Flags, word):
			if i+1 >= len(args) {
				return nil, &act.UsageError{Message: word + " needs a value", Mend: "stackbook " + command.Name + " --help shows its options"}
			}
			flags = append(flags, word, args[i+1])
			i++
		default:
			flags = append(flags, word)
		}
	}
	arranged := append(append([]string{}, args[:at+1]...), flags...)
	return append(append(arranged, "--"), rest...), nil
}

// takesValue tells whether a flag as typed takes the next word as its value.
func takesValue(flags []cli.Flag, word string) bool {
	name := strings.TrimLeft(word, "-")
	if strings.Contains(name, "=") {
		return false
	}
	for _, f := range flags {
		for _, known := range f.Names() {
			if known == name {
				_, isBool := f.(*cli.BoolFlag)
				return !isBool
			}
		}
	}
	return false
}

// asksForJSON tells, before anything is parsed, whether a failure is to be
// told as JSON.
func asksForJSON(args []string) bool {
	for _, word := range args {
		if word == "--" {
			return false
		}
		if word == "--json" || word == "-json" {
			return true
		}
	}
	return false
}
