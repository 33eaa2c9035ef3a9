package app

import (
	"time"

	"stackbook/cmd/internal/act"
	"stackbook/record"
	"stackbook/schema/source"
)

// The shape of a warranty sheet: warranty/1. Texts are as written; files are
// paths in the book.
type warrantyDocument struct {
	Format      string           `json:"format"`
	Engine      string           `json:"engine"`
	Build       int              `json:"build"`
	Customer    string           `json:"customer"`
	KnownIn     string           `json:"known_in"` // the state it is told from
	Delivered   string           `json:"delivered"`
	Hours       *hoursEntry      `json:"hours"` // at the delivery; null: not recorded
	Sent        *string          `json:"sent"`
	Receipt     *string          `json:"receipt"`
	Limits      []sentLimitEntry `json:"limits"`
	Recorded    []recordedEntry  `json:"recorded"`
	Events      []caseEvent      `json:"events"`
	Causes      []causeText      `json:"causes"`
	Settlements []factEntry      `json:"settlements"`
	Kept        []factEntry      `json:"kept"`
	Removed     []removedOut     `json:"removed"`
	RawFiles    []rawFile        `json:"raw_files"`
	Pictures    []pictureEntry   `json:"pictures"`
	Difference  diffDocument     `json:"difference"`
	Proof       verifyDocument   `json:"proof"`
	Commits     []alteredJSON    `json:"commits"` // of the engine's folder since the delivery, newest first
	naming
}

type sentLimitEntry struct {
	Limit string  `json:"limit"`
	Text  string  `json:"text"`
	Value float64 `json:"value"`
	Unit  string  `json:"unit"`
	File  string  `json:"file"`
	Line  int     `json:"line"`
}

type recordedEntry struct {
	Date   string        `json:"date"`
	What   string        `json:"what"`
	Text   string        `json:"text"`
	Hours  *hoursEntry   `json:"hours"`
	File   string        `json:"file"`
	Line   int           `json:"line"`
	Beside []besideEntry `json:"beside"` // empty: no limit that was sent belongs to it
}

// besideEntry is how far a recorded value lies above a limit, below it negative.
type besideEntry struct {
	Limit string  `json:"limit"`
	Less  float64 `json:"value_less_limit"`
	Unit  string  `json:"unit"`
}

type caseEvent struct {
	Date     string      `json:"date"`
	Kind     string      `json:"kind"` // of a change, or the stage of a session
	Build    int         `json:"build"`
	What     string      `json:"what"`
	Why      string      `json:"why,omitempty"`
	By       string      `json:"by"`
	Hours    *hoursEntry `json:"hours"`
	Facts    []string    `json:"facts"`
	Readings []foundJSON `json:"readings"`
	File     string      `json:"file"`
}

type foundJSON struct {
	Point string `json:"point"`
	At    string `json:"at"`
	Text  string `json:"text"` // as written
	Line  int    `json:"line"`
}

type causeText struct {
	Date      string `json:"date"`
	Cause     string `json:"cause"`
	Certainty string `json:"certainty"` // confirmed, probable, unknown, no proven part; "": not said
	File      string `json:"file"`
}

type factEntry struct {
	Date string `json:"date"`
	Text string `json:"text"`
	File string `json:"file"`
}

type removedOut struct {
	Date    string      `json:"date"`
	From    string      `json:"from"`
	FoundAt string      `json:"found_at,omitempty"`
	Serial  string      `json:"serial,omitempty"`
	Lot     string      `json:"lot,omitempty"`
	Hours   *hoursEntry `json:"hours"`
	To      string      `json:"to"`
	Where   string      `json:"where,omitempty"`
	File    string      `json:"file"`
	Line    int         `json:"line"`
}

type rawFile struct {
	File   string `json:"file"`
	SHA256 string `json:"sha256"`
	Kept   string `json:"kept"`
	Record string `json:"record"`
}

type pictureEntry struct {
	File    string `json:"file"`
	SHA256  string `json:"sha256"`
	Caption string `json:"caption"`
	At      string `json:"at"`
	Record  string `json:"record"`
	Missing string `json:"missing,omitempty"` // why it cannot be shown
}

func warrantyJSON(c *act.Case) *warrantyDocument {
	e := c.Then.Engine
	d := &warrantyDocument{Format: "warranty/1", Engine: e.Number, Build: c.Build, Customer: e.Customer, KnownIn: c.Now.Name, Delivered: c.Delivery.Date.String(),
		Hours: knownHours(c.Delivery.EngineHours()), Sent: orNull(e.Spec.Text("operating.sent")), Receipt: orNull(or(e.Spec.Text("operating.receipt"), c.Delivery.Text("receipt"))),
		Limits: []sentLimitEntry{}, Recorded: []recordedEntry{}, Events: []caseEvent{}, Causes: causesOf(c), Settlements: factsAt(c, "findings.settlement"), Kept: factsAt(c, "kept"),
		Removed: []removedOut{}, RawFiles: rawFilesOf(c), Pictures: picturesJSON(c.Pictures), Difference: diffJSON(c.Difference), Proof: verifyJSON(c.Proof), Commits: []alteredJSON{}}
	for _, t := range c.Sent {
		value, _ := t.Value.Rat().Float64()
		d.Limits = append(d.Limits, sentLimitEntry{t.Key, t.Text, value, t.Value.Unit().Symbol(), t.Ref.File, t.Ref.Line})
	}
	for _, r := range c.Recorded {
		d.Recorded = append(d.Recorded, recordedOf(r))
	}
	for _, ev := range c.Events {
		d.Events = append(d.Events, eventJSON(ev))
	}
	for _, r := range c.Out {
		d.Removed = append(d.Removed, removedOut{r.Change.Date.Day(), r.From, r.FoundAt, r.Serial, r.Lot, hoursJSON(r.Hours), r.To, r.Where, r.Ref.File, r.Ref.Line})
	}
	for _, commit := range c.Commits {
		d.Commits = append(d.Commits, alteredJSON{commit.Hash, commit.Author.When.Format(time.DateOnly), commit.Author.Name, commit.Subject()})
	}
	return d
}

func recordedOf(r act.Recorded) recordedEntry {
	e := recordedEntry{r.Date.String(), r.What, r.Text, knownHours(r.EngineHours()), r.Ref.File, r.Ref.Line, []besideEntry{}}
	for _, b := range r.Beside {
		e.Beside = append(e.Beside, besideEntry{b.Limit.Key, tidy(b.Apart), b.Unit.Symbol()})
	}
	return e
}

func eventJSON(ev act.Event) caseEvent {
	e := caseEvent{Date: ev.Date.String(), Build: ev.Number("build"), By: ev.Text("by"), Hours: knownHours(ev.EngineHours()), Facts: orEmpty(ev.Texts("findings.facts")), Readings: []foundJSON{}, File: ev.Path}
	if ev.Change != nil {
		e.Kind, e.What, e.Why = ev.Text("kind"), ev.Change.What, ev.Change.Why
		return e
	}
	e.Kind = ev.Text("stage")
	for i := range ev.Session.Readings {
		m := &ev.Session.Readings[i]
		e.Readings = append(e.Readings, foundJSON{m.Point.ID, m.Key, nodeText(m.Node), m.Node.Line()})
	}
	return e
}

// causesOf lists the causes that were written, in words or with how sure they
// are.
func causesOf(c *act.Case) []causeText {
	list := []causeText{}
	for _, ev := range c.Events {
		if text := ev.Text("findings.cause"); text != "" {
			list = append(list, causeText{ev.Date.Day(), text, "", ev.Path})
		}
		for _, item := range items(ev.Record, "findings.causes") {
			list = append(list, causeText{ev.Date.Day(), keyText(item, "cause"), keyText(item, "certainty"), ev.Path})
		}
	}
	return list
}

func factsAt(c *act.Case, path string) []factEntry {
	list := []factEntry{}
	for _, ev := range c.Events {
		if text := ev.Text(path); text != "" {
			list = append(list, factEntry{ev.Date.Day(), text, ev.Path})
		}
	}
	return list
}

func rawFilesOf(c *act.Case) []rawFile {
	list := []rawFile{}
	for _, ev := range c.Events {
		for _, item := range items(ev.Record, "raw_files") {
			list = append(list, rawFile{keyText(item, "file"), keyText(item, "sha256"), keyText(item, "kept"), ev.Path})
		}
	}
	return list
}

// items are the entries of a list of a record that are written key by key.
func items(r *record.Record, path string) []*source.Node {
	n := r.Node(path)
	if n == nil {
		return nil
	}
	return n.Items()
}

func keyText(n *source.Node, key string) string {
	if v := n.Get(key); v != nil && v.Kind() == source.Scalar && !v.IsNull() {
		return v.Text()
	}
	return ""
}
