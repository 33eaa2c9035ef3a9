package act

import (
	"errors"
	"io/fs"
	"path"
	"strings"
	"unicode/utf8"

	"stackbook/record/book"
	"stackbook/schema/problem"
)

// ruleUnfit is for what lies where a record is due and is nothing the book
// takes: it is never followed, waited for or guessed at.
const ruleUnfit = "no-file"

// unfit makes a finding of an error that says so; of any other it makes none.
func unfit(err error) problem.List {
	var u *book.UnfitError
	if !errors.As(err, &u) {
		return nil
	}
	what, mend, told := strings.Cut(u.What, "; ")
	if !told {
		mend = "put a file of records in its place, or take it away"
	}
	return problem.List{{File: u.Path, Rule: ruleUnfit, Message: "this " + what, Mend: mend}}
}

// odd is a finding of a thing that is neither file nor folder where engines lie.
func odd(e book.Entry, name string) problem.List {
	if e.Dir || e.File {
		return nil
	}
	return problem.List{notFolder(name)}
}

func notFolder(name string) problem.Problem {
	return problem.Problem{File: name, Rule: ruleUnfit, Message: "this is no folder, and nothing in it is read", Mend: "put a folder in its place; the book follows no links"}
}

func badName(name string) problem.Problem {
	return problem.Problem{File: name, Rule: ruleUnfit, Message: "the name of this file is not UTF-8 text, and it is not read", Mend: "rename it to its date, stage and author: 2024-03-02-mock-up-KM.yaml"}
}

// isFileName says whether a text can be the name of a file, and of nothing
// elsewhere.
func isFileName(text string) bool {
	return text == path.Base(text) && fs.ValidPath(text) && !strings.ContainsAny(text, "\x00\\:") && utf8.ValidString(text)
}
