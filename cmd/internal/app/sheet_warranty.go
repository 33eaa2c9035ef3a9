package app

import (
	"fmt"
	"path"
	"strconv"
	"strings"
	"time"

	"stackbook/cmd/internal/act"
	"stackbook/cmd/internal/page"
	"stackbook/record"
	"stackbook/schema/quantity"
)

func (a *app) forWarranty(s *act.Shop, names []string) (*handout, error) {
	c, err := s.Case(names[0])
	if err != nil {
		return nil, err
	}
	for _, l := range []*act.Loaded{c.Then, c.Now} {
		if err := a.tell(l); err != nil {
			return nil, err
		}
	}
	for _, remark := range append(c.Remarks, c.Proof.Remarks...) {
		a.remark("%s", remark)
	}
	return &handout{document: warrantySheet(c), data: warrantyJSON(c), states: []*act.Loaded{c.Then}}, nil
}

// warrantySheet tells what is known of a delivered build. Every line has the
// file it comes from; nothing in it says who is at fault.
func warrantySheet(c *act.Case) *page.Document {
	e := c.Then.Engine
	return &page.Document{
		Title: e.Number + ", build " + fmt.Sprint(c.Build) + ": " + e.Title, Kind: "Warranty sheet", Language: "en", Made: madeFrom(c.Now),
		Lead: []string{fmt.Sprintf("What the records tell of %s from its delivery on: facts, each with its file and day. What led to what is told as it was written, with how sure it is, and apart from what was agreed; who is at fault is not said here.", c.Then.Name)},
		Facts: []page.Fact{{Label: "Engine", Value: e.Number}, {Label: "Build", Value: fmt.Sprint(c.Build)}, {Label: "Customer", Value: e.Customer}, {Label: "Delivered", Value: c.Delivery.Date.Day()},
			{Label: "Hours then", Value: c.Delivery.Hours()}, {Label: "As known in", Value: c.Now.Name}, {Label: "Delivery code", Value: c.Proof.Sum.Code()}},
		Sections: []page.Section{limitsSent(c), recordedSection(c), foundSection(c), timeSection(c), causeSection(c), settlementSection(c), keptSection(c), filesSection(c), sinceSection(c), proofSection(c)},
	}
}

// fileAndLine is where a value stands: all records here are of one engine, and
// their names tell them apart.
func fileAndLine(r record.Ref) string { return path.Base(r.String()) }

func limitsSent(c *act.Case) page.Section {
	e := c.Then.Engine
	receipt, from := e.Spec.Text("operating.receipt"), e.Spec
	if receipt == "" {
		receipt, from = c.Delivery.Text("receipt"), c.Delivery.Record
	}
	s := page.Section{Heading: "Operating limits as sent", Note: "From the spec as it was delivered.", Facts: []page.Fact{
		{Label: "sent", Value: or(e.Spec.Text("operating.sent"), notRecorded)},
		{Label: "receipt", Value: or(receipt, notRecorded)}}}
	if receipt != "" {
		s.Facts[1].Value += " (" + from.Name() + ")"
	}
	t := &page.Table{Columns: []page.Column{{Title: "Limit"}, {Title: "As sent", Right: true}, {Title: "File"}}}
	for _, told := range c.Sent {
		t.Rows = append(t.Rows, cells(told.Label(), told.Text, fileAndLine(told.Ref)))
	}
	if s.Table = t; len(t.Rows) == 0 {
		s.Table, s.Text = nil, []string{"Limits: " + notRecorded + "."}
	}
	return s
}

// recordedSection sets what was recorded beside the limits as sent, as numbers.
func recordedSection(c *act.Case) page.Section {
	t := &page.Table{Columns: []page.Column{{Title: "Date"}, {Title: "Recorded"}, {Title: "Value", Right: true}, {Title: "Limit as sent"}, {Title: "Value less limit", Right: true}, {Title: "Hours"}, {Title: "File"}}}
	for _, r := range c.Recorded {
		first := []string{r.Date.Day(), r.What, r.Text}
		rest := []string{hoursAndSource(r.Record), fileAndLine(r.Ref)}
		if len(r.Beside) == 0 {
			t.Rows = append(t.Rows, cells(append(append(first, "", ""), rest...)...))
		}
		for i, b := range r.Beside {
			if i > 0 {
				first, rest = []string{"", "", ""}, []string{"", ""}
			}
			t.Rows = append(t.Rows, cells(append(append(first, b.Limit.Label()+" "+b.Limit.Text, apartText(c.Now.Display, b)), rest...)...))
		}
	}
	s := page.Section{Heading: "Recorded running, beside these limits", Table: t, Note: "A positive difference lies above the limit. Values are as recorded; where no limit stands beside one, none that was sent belongs to it."}
	if len(t.Rows) == 0 {
		s.Table, s.Text = nil, []string{"Nothing is recorded of its running since the delivery."}
	}
	return s
}

// apartText prints how far a value lies from a limit, in the person's unit.
func apartText(d act.Display, b act.Beside) string {
	kept := b.Unit.Symbol()
	shown := d.Unit(strings.TrimSuffix(kept, " gauge"), b.Unit.Dimension())
	one := (quantity.ToSI(1, b.Unit) - quantity.ToSI(0, b.Unit)) / (quantity.ToSI(1, shown) - quantity.ToSI(0, shown))
	text := strconv.FormatFloat(quantity.RoundTo(float64(b.Apart*one), 0.01), 'f', -1, 64)
	if b.Apart > 0 {
		text = "+" + text
	}
	return text + " " + act.Symbol(kept, shown)
}

func hoursAndSource(r *record.Record) string {
	return strings.Trim(r.Hours()+", "+r.Text("hours_source"), ", ")
}

// foundSection tells how the engine was found when it came back: facts as
// written, and every reading with its position.
func foundSection(c *act.Case) page.Section {
	s := page.Section{Heading: "Found, and facts written since"}
	t := &page.Table{Caption: "Readings as received, as found and after cleaning", Columns: []page.Column{{Title: "Point"}, {Title: "At"}, {Title: "Reading", Right: true}, {Title: "Unit"}, {Title: "Line", Right: true}}}
	for _, ev := range c.Events {
		if ev.Change != nil {
			for _, fact := range ev.Texts("findings.facts") {
				s.List = append(s.List, fmt.Sprintf("%s (%s, %s)", fact, ev.Date.Day(), ev.Name()))
			}
			continue
		}
		if ev.Session.Build == c.Build {
			continue // how it ran stands above
		}
		t.Rows = append(t.Rows, page.Row{Group: ev.Date.Day() + ", " + stageTitle(ev.Session) + ": " + ev.Name()})
		last := ""
		for i := range ev.Session.Readings {
			m := &ev.Session.Readings[i]
			title := m.Point.Title
			if title == last {
				title = ""
			} else {
				last = title
			}
			row := readingRow(c.Now, title, record.Counted{Reading: m, Session: ev.Session, Origin: record.Measured})
			if how := joinTexts(", ", m.Method, m.Note); m.Point.Text && how != "" {
				row.Cells[2].Text += " (" + how + ")"
			}
			row.Cells = append(row.Cells[:4], page.Cell{Text: strconv.Itoa(m.Node.Line())})
			t.Rows = append(t.Rows, row)
		}
	}
	if s.Table = t; len(t.Rows) == 0 {
		s.Table, s.Text = nil, []string{"It was not received or opened since, by the records."}
	}
	return s
}

// timeSection is the line of time, from the delivery on.
func timeSection(c *act.Case) page.Section {
	t := &page.Table{Stack: true, Columns: []page.Column{{Title: "Date"}, {Title: "Hours"}, {Title: "What"}, {Title: "Further"}, {Title: "By"}, {Title: "File"}}}
	for _, ev := range c.Events {
		what, further, by := "", "", ev.Text("by")
		if ch := ev.Change; ch != nil {
			what = ch.Text("kind") + ": " + ch.What
			further = joinTexts("; ", labelled("why", ch.Why), labelled("source", ch.Text("source")), ch.Text("note"))
		} else {
			what = ev.Session.Text("stage") + ": " + count(len(ev.Session.Readings), "reading")
			further = joinTexts("; ", ev.Text("conditions"), ev.Text("note"))
		}
		t.Rows = append(t.Rows, cells(ev.Date.String(), hoursAndSource(ev.Record), what, further, by, ev.Name()))
	}
	return page.Section{Heading: "Line of time", Table: t, Note: "The build's own records since its delivery, how the next build's first sessions found it, and every later claim and note."}
}

func labelled(label, text string) string {
	if text == "" {
		return ""
	}
	return label + ": " + text
}

func joinTexts(by string, list ...string) string {
	var words []string
	for _, text := range list {
		if text != "" {
			words = append(words, text)
		}
	}
	return strings.Join(words, by)
}

// causeSection tells causes as they were written, each with how sure it is.
func causeSection(c *act.Case) page.Section {
	t := &page.Table{Columns: []page.Column{{Title: "Date"}, {Title: "Cause"}, {Title: "How sure"}, {Title: "File"}}}
	for _, cause := range causesOf(c) {
		t.Rows = append(t.Rows, cells(cause.Date, cause.Cause, or(cause.Certainty, notRecorded), path.Base(cause.File)))
	}
	s := page.Section{Heading: "Causes, with how sure each is", Table: t, Note: "As written at the time; a later line may say otherwise than an earlier one. Both stand."}
	if len(t.Rows) == 0 {
		s.Table, s.Note, s.Text = nil, "", []string{"No cause is written down."}
	}
	return s
}

// settlementSection tells what was agreed, apart from the causes.
func settlementSection(c *act.Case) page.Section {
	s := page.Section{Heading: "Settlement"}
	for _, ev := range c.Events {
		if text := ev.Text("findings.settlement"); text != "" {
			s.List = append(s.List, fmt.Sprintf("%s (%s, %s)", text, ev.Date.Day(), ev.Name()))
		}
	}
	if len(s.List) == 0 {
		s.Text = []string{"Nothing was agreed, by the records."}
	}
	return s
}

// keptSection tells which parts came out and where they are, and what is kept.
func keptSection(c *act.Case) page.Section {
	s := page.Section{Heading: "Parts and samples"}
	for _, ev := range c.Events {
		if text := ev.Text("kept"); text != "" {
			s.List = append(s.List, fmt.Sprintf("Kept: %s (%s, %s)", text, ev.Date.Day(), ev.Name()))
		}
	}
	t := &page.Table{Caption: "Taken out", Columns: []page.Column{{Title: "Date"}, {Title: "From"}, {Title: "Serial"}, {Title: "Lot"}, {Title: "Its hours"}, {Title: "To"}, {Title: "Where"}, {Title: "File"}}}
	for _, r := range c.Out {
		hours := ""
		if r.Hours != nil {
			hours = r.Hours.String()
		}
		t.Rows = append(t.Rows, cells(r.Change.Date.Day(), r.From, r.Serial, r.Lot, hours, or(r.To, notRecorded), joinTexts("; ", r.Where, r.Note), fileAndLine(r.Ref)))
	}
	if s.Table = t; len(t.Rows) == 0 {
		s.Table = nil
		s.Text = []string{"No part is recorded as taken out."}
	}
	return s
}

// filesSection names raw files and pictures by their SHA-256, and shows the
// pictures.
func filesSection(c *act.Case) page.Section {
	s := page.Section{Heading: "Raw files and pictures"}
	t := &page.Table{Columns: []page.Column{{Title: "File"}, {Title: "SHA-256"}, {Title: "Kept, or what it shows"}, {Title: "Named by"}}}
	for _, f := range rawFilesOf(c) {
		t.Rows = append(t.Rows, cells(f.File, or(f.SHA256, notRecorded), f.Kept, path.Base(f.Record)))
	}
	for _, p := range c.Pictures {
		t.Rows = append(t.Rows, cells(p.File, or(p.Sum, notRecorded), joinTexts(", ", p.Caption, p.At), strings.TrimPrefix(p.Record, c.Now.Engine.Folder+"/")))
		s.Pictures = append(s.Pictures, pictureOn(p))
	}
	if s.Table = t; len(t.Rows) == 0 {
		s.Table, s.Text = nil, []string{"None is named."}
	}
	return s
}

// sinceSection tells what differs between the build as delivered and what is
// known now, by meaning.
func sinceSection(c *act.Case) page.Section {
	r := c.Difference
	s := page.Section{Heading: "As delivered, against " + c.Now.Name, Note: fmt.Sprintf("%s is build %d.", c.Now.Name, c.Now.Engine.Build)}
	spec := &page.Table{Columns: []page.Column{{Title: "Where"}, {Title: "As delivered"}, {Title: "Now"}}}
	for _, row := range changeRows(r.Changes) {
		if !strings.HasPrefix(row.Where, "measurements/") && !strings.HasPrefix(row.Where, "changes/") {
			spec.Rows = append(spec.Rows, cells(row.Where, row.Was, row.Is))
		}
	}
	figures := &page.Table{Columns: []page.Column{{Title: "Figure"}, {Title: "At"}, {Title: "As delivered", Right: true}, {Title: "Now", Right: true}, {Title: "Difference", Right: true}, {Title: "Unit"}, {Title: "Verdict"}}}
	for _, f := range r.Figures {
		figures.Rows = append(figures.Rows, cells(append([]string{titleOf(f.Figure), f.At}, figureTexts(f, c.Now.Display)...)...))
	}
	if len(spec.Rows) > 0 {
		s.Sections = append(s.Sections, page.Section{Heading: "Spec and parts", Table: spec})
	}
	if len(figures.Rows) > 0 {
		s.Sections = append(s.Sections, page.Section{Heading: "Figures", Table: figures})
	}
	if len(s.Sections) == 0 {
		s.Text = []string{"Neither what is built nor a figure differs."}
	}
	return s
}

// proofSection tells what proves that the records are those of the delivery,
// and every commit since.
func proofSection(c *act.Case) page.Section {
	v := c.Proof
	seal := "none: there is no tag " + act.TagName(v.Engine, v.Build)
	if v.Tag != nil {
		seal = fmt.Sprintf("tag %s of %s, by %s", v.Tag.Name, v.Tag.Tagger.When.Format(time.DateOnly), v.Tag.Tagger.Name)
		if !v.AsTold() {
			seal += "; its message names another SHA-256 than the files have"
		}
	}
	s := page.Section{Heading: "Proof", Note: "stackbook verify " + c.Then.Name + " --code CODE holds the customer's sheet against the book.", Facts: []page.Fact{
		{Label: "delivery code", Value: v.Sum.Code()}, {Label: "SHA-256", Value: v.Sum.String()}, {Label: "commit", Value: v.Commit.Hash},
		{Label: "seal", Value: seal}, {Label: "signature", Value: strings.TrimSpace(string(v.Signed) + " " + v.By)}}}
	for _, alteration := range v.Altered {
		s.List = append(s.List, fmt.Sprintf("%s %s since the delivery%s", alteration.File, alteration.What, byWhom(alteration)))
	}
	for _, m := range v.Missing {
		s.List = append(s.List, fmt.Sprintf("attachment %s, named by %s, %s", m.File, m.Record, m.Why))
	}
	if len(s.List) == 0 {
		s.List = []string{"No delivered file is altered since."}
	}
	s.Table = &page.Table{Caption: "Commits of the engine's folder since", Columns: []page.Column{{Title: "Date"}, {Title: "Commit"}, {Title: "By"}, {Title: "Subject"}}}
	for _, commit := range c.Commits {
		s.Table.Rows = append(s.Table.Rows, cells(commit.Committer.When.Format(time.DateOnly), commit.Short(), commit.Author.Name, commit.Subject()))
	}
	return s
}
