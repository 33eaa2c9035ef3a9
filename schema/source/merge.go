package source

import (
	"fmt"
	"strings"

	"stackbook/schema/problem"
)

// The marks git leaves at the beginning of a line where two sides of a merge
// differ (git-merge(1), "How conflicts are presented"): before our side, before
// the common ancestor's where it is shown, before their side, and behind it.
const (
	markOurs     = "<<<<<<<"
	markAncestor = "|||||||"
	markTheirs   = "======="
	markEnd      = ">>>>>>>"
)

// checkMerge finds the conflicts an unfinished merge left, one problem each at
// its first line.
func checkMerge(name, text string) problem.List {
	if !strings.Contains(text, markOurs) && !strings.Contains(text, markEnd) {
		return nil
	}
	var list problem.List
	var marks []int // lines of the conflict being read
	tell := func() {
		if marks != nil && len(list) < maxProblems {
			list = append(list, unfinishedMerge(name, marks))
		}
		marks = nil
	}
	for i, line := range splitLines(strings.TrimPrefix(text, byteOrderMark)) {
		switch {
		case isMergeMark(line, markOurs):
			tell()
			marks = append(marks, i+1)
		case isMergeMark(line, markEnd):
			marks = append(marks, i+1)
			tell()
		case marks != nil && (isMergeMark(line, markAncestor) || isMergeMark(line, markTheirs)):
			marks = append(marks, i+1)
		}
	}
	tell()
	return list
}

// isMergeMark reports whether a line is a mark, alone or with a name behind it.
func isMergeMark(line, mark string) bool {
	rest, ok := strings.CutPrefix(line, mark)
	return ok && (rest == "" || rest[0] == ' ')
}

func unfinishedMerge(name string, marks []int) problem.Problem {
	p := problem.Problem{File: name, Line: marks[0], Column: 1, Rule: "unfinished-merge",
		Message: "an unfinished merge left its mark on line " + fmt.Sprint(marks[0]),
		Mend:    "keep the lines that are right and delete the mark"}
	if last := len(marks) - 1; last > 0 {
		numbers := strings.Trim(strings.Join(strings.Fields(fmt.Sprint(marks[:last])), ", "), "[]")
		p.Message = fmt.Sprintf("an unfinished merge left its marks on lines %s and %d, with both sides between them", numbers, marks[last])
		p.Mend = "keep one side, and delete the other and the lines with the marks"
	}
	return p
}
