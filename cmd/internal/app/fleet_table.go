package app

import (
	"encoding/csv"
	"strconv"
	"strings"

	"stackbook/cmd/internal/act"
	"stackbook/cmd/internal/term"
	"stackbook/record"
	"stackbook/record/figure"
)

// The shape of a fleet: fleet/1. Hours are in h.
type fleetDocument struct {
	Format  string       `json:"format"`
	Commit  *string      `json:"commit"` // null for the working folder
	Day     string       `json:"day"`    // that it is asked about
	Engines []fleetEntry `json:"engines"`
}

type fleetEntry struct {
	Engine        string         `json:"engine"`
	Title         string         `json:"title"`
	Customer      *string        `json:"customer"`
	Build         int            `json:"build"`
	State         *string        `json:"state"` // null where the spec cannot be read
	Since         *string        `json:"since"` // day; null: not told
	Limits        *string        `json:"limits"`
	Hours         *hoursEntry    `json:"hours"`          // in all; null: not recorded
	SinceDelivery *hoursEntry    `json:"since_delivery"` // null: never delivered, or not recorded
	Worst         *string        `json:"worst"`          // verdict; null: none
	Verdicts      map[string]int `json:"verdicts"`
	Word          *wordEntry     `json:"last_word"`
	Due           []dueEntry     `json:"due"`
	DueNow        bool           `json:"due_now"`
	Problems      int            `json:"problems"`
}

type wordEntry struct {
	Date   string `json:"date"`
	Days   int    `json:"days"` // ago
	Kind   string `json:"kind"`
	What   string `json:"what"`
	Source string `json:"source"`
	File   string `json:"file"`
}

type dueEntry struct {
	What string   `json:"what"` // opening, crack test, look again, operating limits
	At   []string `json:"at"`
	Text string   `json:"text"`
	Left *float64 `json:"hours_left"` // less than 0 when over; null: not counted in hours
	Now  bool     `json:"now"`
	File string   `json:"file,omitempty"`
}

func fleetJSON(f *act.Fleet) fleetDocument {
	d := fleetDocument{Format: "fleet/1", Commit: orNull(f.Commit), Day: f.Today.Day(), Engines: []fleetEntry{}}
	for _, one := range f.Engines {
		d.Engines = append(d.Engines, inFleetJSON(f, one))
	}
	return d
}

func inFleetJSON(f *act.Fleet, one *act.InFleet) fleetEntry {
	e := fleetEntry{Engine: one.Number, State: orNull(string(one.Standing)), Limits: orNull(one.Limits), SinceDelivery: hoursJSON(one.SinceDelivery),
		Worst: orNull(string(one.Worst())), Due: []dueEntry{}, DueNow: one.DueNow(), Problems: one.Problems}
	if !one.Since.Time.IsZero() {
		e.Since = orNull(one.Since.Day())
	}
	if one.Read {
		e.Title, e.Customer, e.Build, e.Hours = one.Title, orNull(one.Customer), one.Build, hoursJSON(one.Hours)
	}
	if one.Verdicts != nil {
		e.Verdicts = verdictsJSON(one.Verdicts)
	}
	if w := one.Word; w != nil {
		e.Word = &wordEntry{w.Date.String(), daysSince(w, f.Today), w.Kind, w.What, w.Source, w.File}
	}
	for _, d := range one.Due {
		entry := dueEntry{What: d.What, At: orEmpty(d.At), Text: d.Text, Now: d.Now, File: d.File}
		if d.Left != nil {
			entry.Left = tidied(*d.Left)
		}
		e.Due = append(e.Due, entry)
	}
	return e
}

// fleetColumns is the head of the table for a spreadsheet.
var fleetColumns = []string{"engine", "title", "customer", "build", "state", "since", "limits", "hours", "hours_error", "since_delivery", "since_delivery_error",
	"worst", "conforms", "undecided", "fails", "unmeasured", "last_word", "last_word_days", "last_word_kind", "last_word_what", "due_now", "due", "problems"}

// fleetCSV prints the fleet by RFC 4180: commas, quotes where needed, lines that
// end in CR LF, and a head.
func (a *app) fleetCSV(f *act.Fleet) error {
	w := csv.NewWriter(a.term)
	w.UseCRLF = true
	rows := [][]string{fleetColumns}
	for _, one := range f.Engines {
		rows = append(rows, fleetRow(f, one))
	}
	for _, row := range rows {
		for i := range row {
			row[i] = term.Clean(row[i])
		}
		if err := w.Write(row); err != nil {
			return err
		}
	}
	w.Flush()
	return w.Error()
}

func fleetRow(f *act.Fleet, one *act.InFleet) []string {
	row := make([]string, len(fleetColumns))
	set := func(column, text string) {
		for i, name := range fleetColumns {
			if name == column {
				row[i] = text
			}
		}
	}
	hours := func(column string, h *record.Hours) {
		if h == nil {
			return
		}
		set(column, hoursText(h.Value))
		if h.Error != nil {
			set(column+"_error", hoursText(*h.Error))
		}
	}
	set("engine", one.Number)
	set("state", string(one.Standing))
	set("limits", asText(one.Limits))
	set("worst", string(one.Worst()))
	set("due_now", yesNo(one.DueNow()))
	set("due", asText(dueText(one.Due)))
	set("problems", strconv.Itoa(one.Problems))
	if !one.Since.Time.IsZero() {
		set("since", one.Since.Day())
	}
	if one.Read {
		set("title", asText(one.Title))
		set("customer", asText(one.Customer))
		set("build", strconv.Itoa(one.Build))
	}
	hours("hours", one.Hours)
	hours("since_delivery", one.SinceDelivery)
	if one.Verdicts != nil {
		for _, v := range []figure.Verdict{figure.Conforms, figure.Undecided, figure.Fails, figure.Unmeasured} {
			set(string(v), strconv.Itoa(one.Verdicts[v]))
		}
	}
	if w := one.Word; w != nil {
		set("last_word", w.Date.Day())
		set("last_word_days", strconv.Itoa(daysSince(w, f.Today)))
		set("last_word_kind", w.Kind)
		set("last_word_what", asText(w.What))
	}
	return row
}

// asText keeps a spreadsheet from taking a record's words for a formula: words
// that begin like one get an apostrophe before them, which it does not show.
func asText(words string) string {
	if words != "" && strings.ContainsAny(words[:1], "=+-@\t\r") {
		return "'" + words
	}
	return words
}

func yesNo(is bool) string {
	if is {
		return "yes"
	}
	return "no"
}
