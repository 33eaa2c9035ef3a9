// Package app is the words a person types: one file a command with its
// options, flags and run, and one switch from a kind of error to an exit
// status.
package app

import (
	"fmt"
	"io"
	"runtime/debug"
	"slices"
	"strings"
	"sync"
	"time"
	"unicode/utf8"

	"github.com/urfave/cli/v2"

	"stackbook/cmd/internal/act"
	"stackbook/cmd/internal/term"
	"stackbook/record/book"
	"stackbook/record/book/passing"
	"stackbook/record/figure"
	"stackbook/schema"
)

// Surroundings is all a run gets from outside: nothing here reads the
// environment, the clock or the working folder by itself.
type Surroundings struct {
	Out, Err io.Writer
	In       io.Reader
	Env      func(string) string
	Dir      string // the folder the command was typed in
	Program  string // the path of this program, by which git can call it
	Now      func() time.Time
	// Interrupted is closed when the run is to end at once; nil never is.
	Interrupted <-chan struct{}
}

// app is one run.
type app struct {
	Surroundings
	term    *term.Terminal
	passing *passing.Files // what an interrupted run must not leave behind
	json    bool           // the person asked for JSON: errors go there too

	flawed bool // records with problems were shown as far as they could be read
}

// Run runs the program with its arguments, its own name left out, and returns
// the exit status (R23). Of an interrupted run it first clears away what it
// made in passing; the program must end then.
func Run(args []string, s Surroundings) int {
	a := &app{Surroundings: s, term: term.New(s.Out, s.Err, s.Env), passing: passing.New()}
	status := make(chan int, 1)
	go func() {
		defer func() {
			if fault := recover(); fault != nil {
				status <- a.failed(fault, debug.Stack())
			}
		}()
		status <- a.run(args)
	}()
	select {
	case done := <-status:
		return done
	case <-s.Interrupted:
		a.passing.Clear()
		return statusInterrupted
	}
}

// failed tells of a mistake in the program itself, once what was made in passing
// is cleared away. Where it lies is told to whoever asks, for a report.
func (a *app) failed(fault any, stack []byte) int {
	if crash, ok := fault.(*act.Crash); ok {
		stack = crash.Stack
	}
	a.passing.Clear()
	a.failText(fmt.Errorf("this is a mistake in stackbook, and none of yours: %v; please report it with what you typed, and with what is printed besides when STACKBOOK_TRACE=1 is set", fault))
	if a.Env("STACKBOOK_TRACE") != "" {
		fmt.Fprintln(a.Err, term.CleanLines(string(stack)))
	}
	return statusCouldNot
}

func (a *app) run(args []string) int {
	program := a.program()
	var typed bool
	if program.Commands, typed = a.commandsFor(program.Flags, args); !typed {
		program.Version = version() // else nobody asks, and it takes a while to find
	}
	arranged, err := arrange(program, args)
	a.json = asksForJSON(arranged)
	if err == nil {
		err = program.Run(append([]string{"stackbook"}, arranged...))
	}
	return a.finish(err)
}

// maker makes a command of that name.
type maker struct {
	name string
	make func() *cli.Command
}

func (a *app) makers() []maker {
	return []maker{
		{"begin", a.begin}, {"enrol", a.enrol}, {"check", a.check}, {"figures", a.figures}, {"explain", a.explain}, {"reckon", a.reckon},
		{"measure", a.measure}, {"change", a.change}, {"commit", a.commit}, {"deliver", a.deliver}, {"reopen", a.reopen}, {"verify", a.verify},
		{"diff", a.diff}, {"history", a.history}, {"show", a.show}, {"parts", a.parts}, {"where-used", a.whereUsed}, {"wear", a.wear}, {"fleet", a.fleet}, {"export", a.export},
		{"sync", a.sync}, {"link", a.link}, {"unlink", a.unlink}, {"demo", a.demo}, {"for-git", a.forGit},
	}
}

// commandsFor makes the command that is typed first, or all where there is none:
// the words of their help are a good part of a start.
func (a *app) commandsFor(flags []cli.Flag, args []string) (list []*cli.Command, typed bool) {
	if slices.Equal(args, []string{"--version"}) {
		return nil, false
	}
	at := firstWord(flags, args)
	if at+1 < len(args) && args[at] == "help" {
		at++
	}
	own := func(word string) bool { return strings.HasPrefix(word, "-") && named(flags, word) == nil } // such as --version
	for _, m := range a.makers() {
		if at < len(args) && m.name == args[at] && !slices.ContainsFunc(args[:at], own) {
			return []*cli.Command{m.make()}, true
		}
	}
	for _, m := range a.makers() {
		list = append(list, m.make())
	}
	return list, false
}

func (a *app) program() *cli.App {
	return &cli.App{
		Name:            "stackbook",
		Usage:           "the build records of rotary engines, kept in git",
		HideHelpCommand: true,
		Writer:          a.term,
		ErrWriter:       a.Err,
		Description: "A book is a git repository; each engine is a folder of YAML records in it.\n" +
			"States of an engine: SK-07 (the folder now), SK-07/2 (build 2 as delivered),\n" +
			"SK-07@2024-06-01 (as committed by that day), SK-07@4f2c9e1 (at that commit).\n" +
			"Inside an engine's folder its number may be left out.\n\n" +
			"Exit status: 0 done, also with failing verdicts; 1 problems in records, a\n" +
			"build that is not as delivered, or what --strict asks for; 2 a mistake in\n" +
			"typing; 3 could not.",
		Flags: []cli.Flag{
			&cli.StringFlag{Name: "in", Usage: "work as if started in `DIR`"},
		},
		Before: func(c *cli.Context) error {
			if dir := c.String("in"); dir != "" {
				a.Dir = dir
			}
			return nil
		},
		// The library would print help on standard output for a mistake, exit
		// by itself and call an unknown command status 3: all three are ours.
		ExitErrHandler:  func(*cli.Context, error) {},
		OnUsageError:    func(_ *cli.Context, err error, _ bool) error { return flagMistake(err, "stackbook") },
		CommandNotFound: nil,
		Action: func(c *cli.Context) error {
			if c.NArg() > 0 {
				return unknownCommand(c.App, c.Args().First())
			}
			return cli.ShowAppHelp(c)
		},
	}
}

func unknownCommand(program *cli.App, word string) error {
	var known []string
	for _, c := range program.VisibleCommands() {
		known = append(known, c.Name)
	}
	mend := "stackbook --help lists the commands"
	if near := schema.Nearest(word, known); near != "" {
		mend = "did you mean: stackbook " + near + "?"
	}
	return &act.UsageError{Message: fmt.Sprintf("there is no command %q", word), Mend: mend}
}

// version tells the program's version, its dictionary and its formula set.
func version() string {
	v := "(devel)"
	if info, ok := debug.ReadBuildInfo(); ok && info.Main.Version != "" {
		v = info.Main.Version
	}
	return fmt.Sprintf("%s, dictionary %d, formula set %d", v, schema.Dictionary, figure.FormulaSet)
}

// command fills in what every command has in common.
func (a *app) command(c cli.Command) *cli.Command {
	c.Flags = append(c.Flags, &cli.BoolFlag{Name: "json", Usage: "print one JSON document instead of text"})
	return a.plumbing(c)
}

// plumbing fills in what a command has in common with the others even where no
// person types it.
func (a *app) plumbing(c cli.Command) *cli.Command {
	c.HideHelpCommand = true
	for _, f := range c.Flags {
		if b, ok := f.(*cli.BoolFlag); ok {
			b.DisableDefaultText = true
		}
	}
	c.Before = sound
	c.OnUsageError = func(_ *cli.Context, err error, _ bool) error {
		return flagMistake(err, "stackbook "+c.Name)
	}
	return &c
}

// flagMistake says in our words what the library found wrong with a flag.
func flagMistake(err error, command string) error {
	message := err.Error()
	if name, ok := strings.CutPrefix(message, "flag provided but not defined: -"); ok {
		message = "there is no option --" + name
	}
	return &act.UsageError{Message: message, Mend: command + " --help shows its options"}
}

// shop opens the book around the current folder.
func (a *app) shop() (*act.Shop, error) { return act.Open(a.Dir, a.Now, a.bookOptions()...) }

// bookOptions is what a book is told of the run.
func (a *app) bookOptions() []book.Option {
	return []book.Option{book.WithEnv(a.Env), book.WithPassing(a.passing), book.WithIndexing(a.indexing()), book.WithProgram(act.Identity)}
}

// indexing shows that the index of history is made.
func (a *app) indexing() func(done, of int) {
	var line *term.Progress
	var lock sync.Mutex
	return func(done, of int) {
		lock.Lock()
		defer lock.Unlock()
		if line == nil {
			line = a.term.Progress("reading history for its index", 0)
		}
		if line.At(done, of); done == of {
			line.Done()
			line = nil
		}
	}
}

// engineOr gives the engine named first, else the one of the current folder.
func (a *app) engineOr(s *act.Shop, named string) (string, error) {
	if named != "" {
		return named, nil
	}
	if number := s.EngineAt(a.Dir); number != "" {
		return number, nil
	}
	return "", &act.UsageError{Message: "no engine is named, and this folder belongs to none", Mend: "name one, such as SK-07, or go into its folder"}
}

// tooMany refuses arguments beyond those a command takes.
func tooMany(c *cli.Context, most int) error {
	if c.NArg() <= most {
		return nil
	}
	return &act.UsageError{Message: fmt.Sprintf("%q is one argument too many", c.Args().Get(most)), Mend: "stackbook " + c.Command.Name + " --help shows what it takes"}
}

// sound refuses what nobody types on purpose.
func sound(c *cli.Context) error {
	// A script's unset variable leaves an empty argument: it would pass for
	// none, and mean the engine of the folder.
	if slices.Contains(c.Args().Slice(), "") {
		return &act.UsageError{Message: "an argument is empty", Mend: "leave it out, or write what is meant"}
	}
	for _, name := range c.LocalFlagNames() {
		// Words go into records, which are UTF-8; a path goes nowhere.
		if !slices.Contains([]string{"from", "output", "o"}, name) && !utf8.ValidString(fmt.Sprint(c.Value(name))) {
			return &act.UsageError{Message: "--" + name + " is not UTF-8 text", Mend: "set the terminal to UTF-8, and type it again"}
		}
	}
	return nil
}

// remark says something on standard error.
func (a *app) remark(format string, args ...any) {
	a.term.Say(format, args...)
}
