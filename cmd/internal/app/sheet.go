package app

import (
	"fmt"
	"strings"

	"stackbook/cmd/internal/act"
	"stackbook/cmd/internal/page"
	"stackbook/diff/history"
	"stackbook/record"
	"stackbook/record/figure"
	"stackbook/schema"
	"stackbook/schema/source"
)

// rebuilding is what the next builder is told of an engine.
type rebuilding struct {
	life     *history.Life
	last     *act.Loaded
	wear     *act.WearOf
	pictures []act.Picture
}

func (a *app) forRebuild(s *act.Shop, names []string) (*handout, error) {
	life, last, err := a.life(names[0])
	if err != nil {
		return nil, err
	}
	r, err := rebuildingOf(s, life, last)
	if err != nil {
		return nil, err
	}
	return &handout{document: rebuildSheet(r), data: exportJSON(r), states: []*act.Loaded{r.last}}, nil
}

func rebuildingOf(s *act.Shop, life *history.Life, last *act.Loaded) (*rebuilding, error) {
	r := &rebuilding{life: life, last: last}
	var err error
	if r.wear, err = s.WearIn(last); err != nil {
		return nil, err
	}
	r.pictures, err = s.PicturesIn(last)
	return r, err
}

// rebuildSheet is what the next builder needs of an engine.
func rebuildSheet(r *rebuilding) *page.Document {
	life, last := r.life, r.last
	e := life.Engine
	now := life.Builds[len(life.Builds)-1]
	d := &page.Document{
		Title: e.Number + ": " + e.Title, Kind: "Rebuild summary", Language: "en",
		Lead:  []string{fmt.Sprintf("What %s is made of, what was measured, what was altered at each rebuild and why. %s.", e.Number, capital(verdictCount(last.Figures.Count())))},
		Facts: sheetFacts(life, &now, last),
		Made:  madeFrom(last),
	}
	d.Sections = append(d.Sections, lookFirst(last, life))
	d.Sections = append(d.Sections, lifeSection(life, last.Display))
	d.Sections = append(d.Sections, figureSection(last))
	d.Sections = append(d.Sections, drawnSections(life, last)...)
	d.Sections = append(d.Sections, wearSection(r.wear), partsSection(e))
	d.Sections = append(d.Sections, specSections(e)...)
	d.Sections = append(d.Sections, readingSection(last), pictureSection(r.pictures))
	d.Cautions = cautions
	return d
}

// cautions stand on every sheet that goes with an engine. Common practice, no
// source.
var cautions = []string{
	"Prime until oil pressure shows, with plugs out, fuel and ignition off; never crank ceramic seals dry.",
	"Hot coolant is under pressure: open the cap only when cold. Exhaust parts reach some 1000 degC, and exhaust gas holds carbon monoxide.",
	"Rotors, shaft, counterweights and flywheel can burst: what was not crack-tested says so above. Nobody in the plane of rotation; scatter shield fitted.",
	"Independent fuel and ignition cut-off, throttle return, flame arrester and extinguisher before a first start.",
	"Local codes and class rules apply. Work on fuel, pressure and aircraft systems is for licensed hands.",
}

func sheetFacts(life *history.Life, now *history.Build, last *act.Loaded) []page.Fact {
	facts := []page.Fact{{Label: "Engine", Value: life.Engine.Number}, {Label: "Build", Value: fmt.Sprint(now.Number)}}
	add := func(label, value string) {
		if value != "" {
			facts = append(facts, page.Fact{Label: label, Value: value})
		}
	}
	add("Customer", life.Engine.Customer)
	add("Delivered", now.Delivered)
	add("Hours", now.Hours)
	add("Rotors", fmt.Sprint(life.Engine.Rotors))
	if last.Figures.Limits != nil {
		add("Judged by", "limit set "+last.Figures.Limits.Name)
	}
	return facts
}

func madeFrom(last *act.Loaded) string {
	if last.Commit == "" {
		return fmt.Sprintf("Made by stackbook from the working folder, formula set %d.", figure.FormulaSet)
	}
	return fmt.Sprintf("Made by stackbook from commit %.10s, formula set %d.", last.Commit, figure.FormulaSet)
}

func capital(s string) string { return strings.ToUpper(s[:1]) + s[1:] }

// lookFirst is what the next builder looks at first: what fails, what is
// undecided, what nobody measured, and open concessions.
func lookFirst(l *act.Loaded, life *history.Life) page.Section {
	s := page.Section{Heading: "Look at first"}
	for _, r := range l.Figures.Results {
		verdict := ""
		if hopeless(r) {
			continue
		}
		switch r.Verdict {
		case figure.Fails:
			verdict = "fails"
		case figure.Undecided:
			verdict = "is undecided"
		default:
			continue
		}
		s.List = append(s.List, fmt.Sprintf("%s at %s %s: %s, limit %s", r.Figure.Title, r.At, verdict, judgedText(l.Display, r), limitText(l.Display, r, r.Limit)))
	}
	for _, text := range append(tooNarrow(l.Display, l.Figures.Results), overlaps(l.Display, l.Figures.Overlaps())...) {
		s.List = append(s.List, capital(text))
	}
	for _, c := range life.Engine.OpenConcessions() {
		s.List = append(s.List, fmt.Sprintf("Open concession of %s, build %d: %s. Look again: %s", c.Date.Day(), c.Build, c.What, orDash(c.Text("concession.look_again"))))
	}
	for _, line := range crackRemarks(l.Guards) {
		s.List = append(s.List, capital(line))
	}
	s.List = append(s.List, unmeasured(l)...)
	if len(s.List) == 0 {
		s.Text = []string{"Nothing fails, no concession is open, and everything judged was measured."}
	}
	return s
}

func orDash(s string) string {
	if s == "" {
		return "not said"
	}
	return s
}

// unmeasured names what a limit asks for and nobody read, one line a figure.
func unmeasured(l *act.Loaded) []string {
	var lines []string
	at := map[string][]string{}
	var order []*figure.Figure
	for _, m := range l.Figures.Missing {
		if m.Judged != figure.Unmeasured {
			continue
		}
		if at[m.Figure.ID] == nil {
			order = append(order, m.Figure)
		}
		at[m.Figure.ID] = append(at[m.Figure.ID], m.At)
	}
	for _, f := range order {
		lines = append(lines, fmt.Sprintf("Not measured: %s at %s", f.Title, act.Some(at[f.ID], 6)))
	}
	return lines
}

func lifeSection(life *history.Life, d act.Display) page.Section {
	s := page.Section{Heading: "Builds"}
	for i := range life.Builds {
		b := &life.Builds[i]
		inner := page.Section{Heading: capital(buildTitle(b))}
		if len(b.Changes) > 0 {
			inner.Table = changeTable(b.Changes)
		}
		s.Sections = append(s.Sections, inner)
		if b.Altered != nil {
			s.Sections = append(s.Sections, alteredSection(b, d))
		}
	}
	return s
}

func changeTable(changes []*record.Change) *page.Table {
	t := &page.Table{Stack: true, Caption: "Changes and events", Columns: []page.Column{{Title: "Date"}, {Title: "Kind"}, {Title: "What"}, {Title: "Why"}, {Title: "Touches"}}}
	for _, c := range changes {
		t.Rows = append(t.Rows, cells(c.Date.Day(), c.Text("kind"), c.What, c.Why, strings.Join(c.Touches, ", ")))
	}
	return t
}

func cells(texts ...string) page.Row {
	var r page.Row
	for _, t := range texts {
		r.Cells = append(r.Cells, page.Cell{Text: t})
	}
	return r
}

func alteredSection(b *history.Build, d act.Display) page.Section {
	s := page.Section{Heading: fmt.Sprintf("What build %d altered", b.Number)}
	if len(b.Altered.Changes) > 0 {
		t := &page.Table{Caption: "Spec", Columns: []page.Column{{Title: "Where"}, {Title: "Was"}, {Title: "Is"}}}
		for _, r := range changeRows(b.Altered.Changes) {
			t.Rows = append(t.Rows, cells(r.Where, r.Was, r.Is))
		}
		s.Table = t
	}
	if len(b.Altered.Figures) > 0 {
		t := &page.Table{Caption: "Figures", Columns: []page.Column{{Title: "Figure"}, {Title: "At"}, {Title: "Was", Right: true}, {Title: "Is", Right: true}, {Title: "Difference", Right: true}, {Title: "Unit"}, {Title: "Verdict"}}}
		for _, c := range b.Altered.Figures {
			t.Rows = append(t.Rows, cells(append([]string{c.Figure.Title, c.At}, figureTexts(c, d)...)...))
		}
		s.Sections = append(s.Sections, page.Section{Heading: fmt.Sprintf("Figures that build %d moved", b.Number), Table: t})
	}
	return s
}

func figureSection(l *act.Loaded) page.Section {
	t := &page.Table{Columns: []page.Column{{Title: "Figure"}, {Title: "At"}, {Title: "Value", Right: true}, {Title: "±", Right: true}, {Title: "Unit"}, {Title: "Verdict"}, {Title: "Limit"}, {Title: "From"}}}
	topic := ""
	for _, r := range figureRows(l) {
		if r.Topic != topic {
			topic = r.Topic
			t.Rows = append(t.Rows, page.Row{Group: capital(topic)})
		}
		row := cells(r.Title, r.At, r.Value, r.Off, r.Unit, string(r.Verdict), r.Limit, r.Origin)
		row.Cells[5].Mark = markOf(r.Verdict)
		t.Rows = append(t.Rows, row)
	}
	return page.Section{Heading: "Figures", Table: t, Note: "Computed from the readings. ± is the expanded uncertainty, k = 2, from repeats, resolution and certificates; where nothing stands it is not known, and a value close to its limit may lie on either side of it. Compression ratios are geometric; residual unbalance holds on the machine, with its bob weights."}
}

func markOf(v figure.Verdict) page.Mark {
	switch v {
	case figure.Conforms:
		return page.Good
	case figure.Fails:
		return page.Bad
	case figure.Undecided, figure.Unmeasured:
		return page.Open
	}
	return page.None
}

func partsSection(e *record.Engine) page.Section {
	t := &page.Table{Columns: []page.Column{{Title: "Position"}, {Title: "Part"}, {Title: "Serial"}, {Title: "Lot"}, {Title: "Origin"}, {Title: "Further"}}}
	for _, p := range e.Parts() {
		t.Rows = append(t.Rows, cells(p.Position, p.Number, p.Serial, p.Lot, p.Origin, further(e.Spec.Doc.Root().At("parts", p.Position))))
	}
	return page.Section{Heading: "Parts fitted", Table: t}
}

// further is what else the spec says of a part.
func further(n *source.Node) string {
	var words []string
	for _, e := range n.Entries() {
		switch e.Key {
		case "part", "serial", "lot", "origin":
			continue
		}
		if text := nodeText(e.Value); text != "" {
			words = append(words, strings.ReplaceAll(e.Key, "_", " ")+" "+text)
		}
	}
	return strings.Join(words, ", ")
}

// nodeText is a value in words, "" where there is none.
func nodeText(n *source.Node) string {
	if n == nil {
		return ""
	}
	var words []string
	for _, item := range n.Items() {
		words = append(words, nodeText(item))
	}
	for _, e := range n.Entries() {
		words = append(words, e.Key+" "+nodeText(e.Value))
	}
	if n.Kind() == source.Scalar && !n.IsNull() {
		return n.Text()
	}
	return strings.Join(words, ", ")
}

// specSections are the sections of the spec a person filled in.
func specSections(e *record.Engine) []page.Section {
	var sections []page.Section
	for i := range schema.Spec().Fields {
		f := &schema.Spec().Fields[i]
		n := e.Spec.Node(f.Key)
		if f.Key == "parts" || n == nil || n.Kind() != source.Map && f.Type != schema.Free {
			continue
		}
		s := page.Section{Heading: capital(f.Label())}
		for _, entry := range n.Entries() {
			if text := nodeText(entry.Value); text != "" {
				s.Facts = append(s.Facts, page.Fact{Label: strings.ReplaceAll(entry.Key, "_", " "), Value: text})
			}
		}
		if len(s.Facts) > 0 {
			sections = append(sections, s)
		}
	}
	return sections
}

// readingSection lists every reading that counts, with where it comes from.
func readingSection(l *act.Loaded) page.Section {
	t := &page.Table{Columns: []page.Column{{Title: "Point"}, {Title: "At"}, {Title: "Reading", Right: true}, {Title: "Unit"}, {Title: "Read"}, {Title: "Instrument"}}}
	for i := range schema.Points() {
		p := &schema.Points()[i]
		title := p.Title
		for _, position := range l.Engine.Positions(p) {
			counted, _ := l.Engine.Counting(p, position)
			for _, c := range counted {
				t.Rows = append(t.Rows, readingRow(l, title, c))
				title = ""
			}
		}
	}
	return page.Section{Heading: "Readings that count", Table: t, Note: "The latest reading of each point at each place on the part now fitted. Readings of parts as received or found are under their sessions."}
}

func readingRow(l *act.Loaded, title string, c record.Counted) page.Row {
	text, unit := c.Text, ""
	if q, ok := c.Mean(); ok {
		shown := l.Display.Unit(c.Point.Unit, c.Point.Dim)
		text, unit = readingText(c, q, shown), act.Symbol(c.Point.Unit, shown)
	}
	read := c.Session.Date.Day() + ", " + c.Session.Text("stage") + ", " + c.Session.By
	if c.Origin == record.Carried {
		read += fmt.Sprintf(", carried from %d", c.From)
	}
	return cells(title, c.Key, text, unit, read, strings.TrimSpace(c.Instrument+" "+c.Method))
}

// plainOf turns a record into plain JSON values; every scalar is text as
// written, nothing is guessed.
func plainOf(n *source.Node) any {
	switch n.Kind() {
	case source.Map:
		m := map[string]any{}
		for _, e := range n.Entries() {
			m[e.Key] = plainOf(e.Value)
		}
		return m
	case source.List:
		list := []any{}
		for _, item := range n.Items() {
			list = append(list, plainOf(item))
		}
		return list
	}
	if n.IsNull() {
		return nil
	}
	return n.Text()
}
