// Package problem is the finding: what is wrong with a record, where, and
// what would be right. A sorted list of them is an error.
package problem

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

// Problem is one finding. File is relative to the book; Line and Column count
// from 1 (Column in characters), 0 where the finding is about the whole file.
type Problem struct {
	File    string `json:"file"`
	Line    int    `json:"line"`
	Column  int    `json:"column"`
	Rule    string `json:"rule"`    // a short stable name: "unknown-key"
	Message string `json:"message"` // what is wrong
	Mend    string `json:"mend"`    // what would be right, ready to type where it can be
}

// String gives "file:line:column: message; mend", leaving out what is not known.
func (p Problem) String() string {
	var b strings.Builder
	b.WriteString(p.Where())
	if b.Len() > 0 {
		b.WriteString(": ")
	}
	b.WriteString(p.Message)
	if p.Mend != "" {
		b.WriteString("; ")
		b.WriteString(p.Mend)
	}
	return b.String()
}

// Where gives "file:line:column" as far as it is known.
func (p Problem) Where() string {
	switch {
	case p.File == "":
		return ""
	case p.Line == 0:
		return p.File
	case p.Column == 0:
		return fmt.Sprintf("%s:%d", p.File, p.Line)
	}
	return fmt.Sprintf("%s:%d:%d", p.File, p.Line, p.Column)
}

// Error makes one Problem usable where an error is due.
func (p Problem) Error() string { return p.String() }

// List is a list of problems, an error when it is not empty.
type List []Problem

// Error gives every problem on a line of its own.
func (l List) Error() string {
	lines := make([]string, len(l))
	for i, p := range l {
		lines[i] = p.String()
	}
	return strings.Join(lines, "\n")
}

// Err returns the list as an error, or nil when it is empty.
func (l List) Err() error {
	if len(l) == 0 {
		return nil
	}
	return l
}

// Sort orders the list by file, line, column, message and then the rest, and
// drops doubles.
func (l *List) Sort() {
	slices.SortFunc(*l, func(a, b Problem) int {
		return cmp.Or(
			cmp.Compare(a.File, b.File),
			cmp.Compare(a.Line, b.Line),
			cmp.Compare(a.Column, b.Column),
			cmp.Compare(a.Message, b.Message),
			cmp.Compare(a.Rule, b.Rule),
			cmp.Compare(a.Mend, b.Mend),
		)
	})
	*l = slices.Compact(*l)
}
