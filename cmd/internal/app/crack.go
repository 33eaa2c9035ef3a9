package app

import (
	"fmt"
	"strings"

	"stackbook/record"
	"stackbook/record/travel"
)

// crackRemarks say what is to be looked at of the parts that must not burst: a
// crack, a test never made, overdue or due nobody knows when. They are remarks,
// no problems of a record.
func crackRemarks(guards []travel.Guard) []string {
	var lines, never []string
	for _, g := range guards {
		switch g.Standing {
		case travel.NeverTested:
			never = append(never, guardName(g))
		case travel.Cracked, travel.Marked:
			lines = append(lines, fmt.Sprintf("crack test of %s on %s: %s", guardName(g), g.Last.Session.Date.Day(), g.Last.Words()))
		case travel.Overdue:
			lines = append(lines, fmt.Sprintf("crack test of %s is overdue: the last was on %s, %s ago, and one is due every %s h", guardName(g), g.Last.Session.Date.Day(), *g.Last.Since, hoursText(g.Every.Hours)))
		case travel.DueUnknown:
			lines = append(lines, fmt.Sprintf("crack test of %s: whether the next is due is not known, for its hours at the last one, on %s, are not recorded", guardName(g), g.Last.Session.Date.Day()))
		}
	}
	if len(never) > 0 {
		lines = append(lines, "never crack-tested, by its records: "+strings.Join(never, ", "))
	}
	return lines
}

// sessionTests tells the crack tests of a session in a line, "" where it made
// none: "shaft clear; rotor/2: cracked, dye, by TR". How they were made is told
// where one is not clear.
func sessionTests(e *record.Engine, s *record.Session) string {
	var words []string
	for _, t := range travel.TestsIn(e, s) {
		text := t.Position + " " + t.Result
		if t.Result != "clear" {
			text = t.Position + ": " + t.Words()
		}
		words = append(words, text)
	}
	return strings.Join(words, "; ")
}

// guardName names a part by its position and serial: "rotor/1 (R-1177)".
func guardName(g travel.Guard) string {
	if g.Seat.Part.Serial == "" {
		return g.Position
	}
	return g.Position + " (" + g.Seat.Part.Serial + ")"
}

// testText tells a part's last crack test in a cell of a table.
func testText(g travel.Guard) string {
	if g.Last == nil {
		return string(g.Standing)
	}
	text := g.Last.Result + ", " + g.Last.Session.Date.Day()
	if g.Last.Hours != nil {
		text += " at " + g.Last.Hours.String()
	}
	switch {
	case g.Standing == travel.Overdue:
		text += ", overdue"
	case g.Standing == travel.DueUnknown:
		text += ", not known when due"
	}
	if g.Due != nil && g.Standing != travel.Cracked {
		text += fmt.Sprintf(", due at %s h", hoursText(*g.Due))
	}
	return text
}

// guardEntry is a part that must not burst, in JSON.
type guardEntry struct {
	At       string      `json:"at"`
	Serial   string      `json:"serial,omitempty"`
	Standing string      `json:"standing"` // tested, marked, not known when due, test overdue, never tested, cracked
	Result   *string     `json:"result"`   // null: never tested
	Method   string      `json:"method,omitempty"`
	By       string      `json:"by,omitempty"`
	Note     string      `json:"note,omitempty"`
	Date     *string     `json:"date"`
	Engine   string      `json:"engine,omitempty"` // where it was tested
	Hours    *hoursEntry `json:"hours"`            // of the part at the test; null: not known
	Since    *hoursEntry `json:"since"`            // of the part since the test; null: not known
	Every    *float64    `json:"every"`            // h; null: no interval is set
	Due      *float64    `json:"due"`              // h of the part; null: not known
	File     string      `json:"file,omitempty"`
	Line     int         `json:"line,omitempty"`
}

func guardJSON(g travel.Guard) guardEntry {
	e := guardEntry{At: g.Position, Serial: g.Seat.Part.Serial, Standing: string(g.Standing), Due: g.Due}
	if g.Every != nil {
		e.Every = &g.Every.Hours
	}
	if t := g.Last; t != nil {
		date := t.Session.Date.String()
		e.Result, e.Date = &t.Result, &date
		e.Method, e.By, e.Note, e.Engine = t.Method, t.By, t.Note, t.Engine.Number
		e.Hours, e.Since = hoursJSON(t.Hours), hoursJSON(t.Since)
		e.File, e.Line = t.Ref.File, t.Ref.Line
	}
	return e
}

// remarksJSON are the guards a check remarks on.
func remarksJSON(guards []travel.Guard) []guardEntry {
	list := []guardEntry{}
	for _, g := range guards {
		if g.Standing != travel.Tested {
			list = append(list, guardJSON(g))
		}
	}
	return list
}

// testEntry is one crack test of a session, in JSON.
type testEntry struct {
	At     string `json:"at"`
	Serial string `json:"serial,omitempty"`
	Result string `json:"result"`
	Method string `json:"method,omitempty"`
	By     string `json:"by"`
	Note   string `json:"note,omitempty"`
	Line   int    `json:"line"`
}

func testsJSON(e *record.Engine, s *record.Session) []testEntry {
	list := []testEntry{}
	for _, t := range travel.TestsIn(e, s) {
		list = append(list, testEntry{t.Position, s.Serial(t.Position), t.Result, t.Method, t.By, t.Note, t.Ref.Line})
	}
	return list
}
