package schema

import (
	"slices"
	"strings"
	"time"
)

// oneOf is what to write instead of a place that there is none of: the nearest,
// where a word is misspelt, and all that there are, where a number or a letter is
// another, for then nobody can tell which was meant.
func oneOf(written, near string, known []string) string {
	at, parts := otherIndex(written, near), strings.Split(written, "/")
	if at < 0 {
		return "did you mean " + near + "?"
	}
	var there []string
	for _, k := range known {
		other := strings.Split(k, "/")
		if len(other) == len(parts) && isIndex(other[at]) {
			word := other[at]
			if other[at] = parts[at]; slices.Equal(other, parts) && !slices.Contains(there, word) {
				there = append(there, word)
			}
		}
	}
	if len(there) < 2 {
		return "did you mean " + near + "?"
	}
	for i, word := range there {
		parts[at] = word
		there[i] = strings.Join(parts, "/")
	}
	if last := len(there) - 1; last > 4 {
		return "write one from " + there[0] + " to " + there[last]
	}
	return "write " + strings.Join(there[:len(there)-1], ", ") + " or " + there[len(there)-1]
}

// otherIndex is which one step of a place is another in the two, if it is a number
// or a letter; else -1.
func otherIndex(a, b string) int {
	x, y := strings.Split(a, "/"), strings.Split(b, "/")
	at := -1
	for i := range x {
		switch {
		case len(x) != len(y), x[i] != y[i] && (at >= 0 || !isIndex(x[i]) || !isIndex(y[i])):
			return -1
		case x[i] != y[i]:
			at = i
		}
	}
	return at
}

// isIndex tells whether a step of a place counts: rotor/2, at/B.
func isIndex(step string) bool {
	return step != "" && (strings.Trim(step, "0123456789") == "" || len(step) == 1)
}

// dayMend is what to write instead of a text that is no date: the day it may mean,
// in the order of year, month and day; both, where day and month may be either way
// round.
func dayMend(text string) string {
	text = strings.TrimSpace(text)
	var days []string
	for _, form := range dayForms {
		t, err := time.Parse(form, text)
		if day := t.Format(time.DateOnly); err == nil && checkDay(day) == nil && !slices.Contains(days, day) {
			days = append(days, day)
		}
	}
	if len(days) == 0 {
		return "write year, month and day, such as 2024-03-02, or 2024-03-02 14:30"
	}
	return "write " + strings.Join(days, " or ")
}

// dayForms are ways of writing a day elsewhere, in the form of package time.
var dayForms = []string{
	"2006-1-2", "2006/1/2", "2006.1.2", "20060102",
	"2.1.2006", "2. 1. 2006", "2-1-2006", "2/1/2006", "1/2/2006",
	"2 Jan 2006", "2 January 2006", "2. January 2006", "Jan 2, 2006", "January 2, 2006", "Jan 2 2006", "January 2 2006",
}
