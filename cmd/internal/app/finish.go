package app

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"

	"stackbook/cmd/internal/act"
	"stackbook/cmd/internal/term"
	"stackbook/record/book"
	"stackbook/schema"
	"stackbook/schema/problem"
)

// The exit statuses (R23).
const (
	statusDone     = 0
	statusProblems = 1 // problems in records, what verify finds altered, or what --strict asks for
	statusUsage    = 2
	statusCouldNot = 3

	statusInterrupted = 130 // as a shell says it of a program ended by SIGINT
)

// These end a command that has said all there is to say: errStrict found
// problems in records, what verify finds, or what --strict asks for; errCouldNot
// could not, as where a record is of a newer program.
var (
	errStrict   = errors.New("")
	errCouldNot = errors.New("")
)

// finish tells an error, if there is one, and gives the exit status.
func (a *app) finish(err error) int {
	if lost := a.term.WriteError(); lost != nil && (err == nil || errors.Is(err, errStrict)) {
		err = fmt.Errorf("the output could not be written: %w", lost)
	}
	switch {
	case err == nil && a.flawed:
		return statusProblems
	case err == nil:
		return statusDone
	case errors.Is(err, errStrict):
		return statusProblems
	case errors.Is(err, errCouldNot):
		return statusCouldNot
	case a.json:
		a.failJSON(err)
	default:
		a.failText(err)
	}
	return status(err)
}

// status is the one switch from a kind of error to an exit status.
func status(err error) int {
	var list problem.List
	var use *act.UsageError
	switch {
	case errors.As(err, &list):
		if newer(list) {
			return statusCouldNot
		}
		return statusProblems
	case errors.As(err, &use):
		return statusUsage
	}
	return statusCouldNot
}

// newer tells whether a record was refused because a newer program wrote it.
func newer(list problem.List) bool {
	for _, p := range list {
		if p.Rule == "newer-format" {
			return true
		}
	}
	return false
}

// failText prints an error with its mend on lines of their own.
func (a *app) failText(err error) {
	var list problem.List
	if errors.As(err, &list) {
		a.problems(list)
		return
	}
	message, mend := split(err)
	fmt.Fprintln(a.Err, a.term.ErrBad("stackbook:")+" "+term.Clean(message))
	if mend != "" {
		fmt.Fprintln(a.Err, "  "+term.Clean(mend))
	}
}

// split parts an error into what is wrong and what would be right.
func split(err error) (message, mend string) {
	var use *act.UsageError
	if errors.As(err, &use) {
		return use.Message, use.Mend
	}
	if errors.Is(err, book.ErrMoved) {
		return err.Error(), "other commits keep coming in between: try again"
	}
	message, mend, _ = strings.Cut(err.Error(), "; ")
	return message, mend
}

// problems prints findings, each with its mend below it.
func (a *app) problems(list problem.List) {
	for _, p := range list {
		fmt.Fprintln(a.Err, a.term.ErrStrong(term.Clean(p.Where()))+": "+term.Clean(p.Message))
		if p.Mend != "" {
			fmt.Fprintln(a.Err, "  "+term.Clean(p.Mend))
		}
	}
}

// failure is the shape of an error in JSON.
type failure struct {
	Format string `json:"format"`
	Errors []any  `json:"errors"`
}

type plainError struct {
	Message string `json:"message"`
	Mend    string `json:"mend"`
}

func (a *app) failJSON(err error) {
	f := failure{Format: "error/1"}
	var list problem.List
	if errors.As(err, &list) {
		for _, p := range list {
			f.Errors = append(f.Errors, p)
		}
	} else {
		message, mend := split(err)
		f.Errors = append(f.Errors, plainError{message, mend})
	}
	if err := a.printJSON(f); err != nil {
		fmt.Fprintln(a.Err, "stackbook:", err)
	}
}

// printJSON prints one document.
func (a *app) printJSON(v any) error { return writeJSON(a.term, v) }

// writeJSON writes one document. No character in it steers a terminal or turns
// text round: each such one is escaped, and its value stays.
func writeJSON(w io.Writer, v any) error {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	if err := e.Encode(v); err != nil {
		return err
	}
	_, err := w.Write(term.CleanJSON(b.Bytes()))
	return err
}

// unknown is the mistake of naming what there is none of; the nearest of those
// there are is the mend, or else where they are listed.
func unknown(what, id string, known []string, listed string) error {
	mend := listed
	if near := schema.Nearest(id, known); near != "" {
		mend = "did you mean " + near + "?"
	}
	return &act.UsageError{Message: fmt.Sprintf("there is no %s %q", what, id), Mend: mend}
}
