package app

import (
	"fmt"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"stackbook/cmd/internal/act"
)

// arrange puts a command's flags in front of its arguments, and the program's in
// front of the command. The library stops looking for flags at the first
// argument and would take the --json of "figures SK-07 --json" for an engine;
// people write it so all the same. What follows -- is left alone.
func arrange(program *cli.App, args []string) ([]string, error) {
	at := firstWord(program.Flags, args)
	if at >= len(args) {
		return args, nil
	}
	if args[at] == "help" {
		return helpFor(args[:at], args[at+1:])
	}
	command := program.Command(args[at])
	if command == nil {
		return args, nil
	}
	var flags, rest []string
	front := append([]string{}, args[:at]...)
	for i := at + 1; i < len(args); i++ {
		word := args[i]
		list, known := &flags, command.Flags
		if named(program.Flags, word) != nil {
			list, known = &front, program.Flags
		}
		switch {
		case word == "--":
			rest = append(rest, args[i+1:]...)
			i = len(args)
		case len(word) < 2 || word[0] != '-':
			rest = append(rest, word)
		case takesValue(known, word):
			if i+1 >= len(args) {
				return nil, &act.UsageError{Message: word + " needs a value", Mend: "stackbook " + command.Name + " --help shows its options"}
			}
			*list = append(*list, word, args[i+1])
			i++
		default:
			*list = append(*list, word)
		}
	}
	arranged := append(append(front, args[at]), flags...)
	return append(append(arranged, "--"), rest...), nil
}

// firstWord gives the place of the first word that is neither one of the
// program's flags nor its value.
func firstWord(flags []cli.Flag, args []string) int {
	at := 0
	for at < len(args) && strings.HasPrefix(args[at], "-") {
		if takesValue(flags, args[at]) {
			at++
		}
		at++
	}
	return at
}

// helpFor turns "help" and "help commit", which people type as words, into the
// options they stand for.
func helpFor(front, words []string) ([]string, error) {
	if len(words) > 1 {
		return nil, &act.UsageError{Message: fmt.Sprintf("%q is one argument too many", words[1]), Mend: "write: stackbook help, or stackbook help COMMAND"}
	}
	return append(append(slices.Clone(front), words...), "--help"), nil
}

// takesValue tells whether a flag as typed takes the next word as its value.
func takesValue(flags []cli.Flag, word string) bool {
	if strings.Contains(word, "=") {
		return false
	}
	f := named(flags, word)
	_, isBool := f.(*cli.BoolFlag)
	return f != nil && !isBool
}

// named is the flag a word names, nil where it names none of them.
func named(flags []cli.Flag, word string) cli.Flag {
	if !strings.HasPrefix(word, "-") {
		return nil
	}
	name, _, _ := strings.Cut(strings.TrimLeft(word, "-"), "=")
	for _, f := range flags {
		if slices.Contains(f.Names(), name) {
			return f
		}
	}
	return nil
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
