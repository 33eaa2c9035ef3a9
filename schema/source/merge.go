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

// MergeSides gives both sides of a text in which an unfinished merge left its marks;
// ok is false where there are none, or they are not in order.
func MergeSides(text string) (ours, theirs string, ok bool) {
	var sides [2]strings.Builder
	const outside, inOurs, inAncestor, inTheirs = 0, 1, 2, 3
	at := outside
	for line := range strings.Lines(text) {
		switch bare := strings.TrimRight(line, "\r\n"); {
		case at == outside && isMergeMark(bare, markOurs):
			at, ok = inOurs, true
		case at == inOurs && isMergeMark(bare, markAncestor):
			at = inAncestor
		case (at == inOurs || at == inAncestor) && isMergeMark(bare, markTheirs):
			at = inTheirs
		case at == inTheirs && isMergeMark(bare, markEnd):
			at = outside
		default:
			if at == outside || at == inOurs {
				sides[0].WriteString(line)
			}
			if at == outside || at == inTheirs {
				sides[1].WriteString(line)
			}
		}
	}
	return sides[0].String(), sides[1].String(), ok && at == outside
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
