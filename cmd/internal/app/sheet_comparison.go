package app

import (
	"fmt"
	"slices"
	"strings"

	"stackbook/cmd/internal/act"
	"stackbook/cmd/internal/page"
	"stackbook/diff"
	"stackbook/record/figure"
)

// comparison is two states or more side by side: every row differs in at least
// one of them, and has a cell a state.
type comparison struct {
	states []*act.Loaded
	filter diff.Filter
	table  *diff.Table
	pair   *diff.Result   // of two states: what only a pair has, such as what moved a figure; nil of more
	shared map[string]int // how many figures and parts are the same in all
}

func (a *app) forComparison(s *act.Shop, names []string) (*handout, error) {
	states, err := a.statesOf(s, names)
	if err != nil {
		return nil, err
	}
	c := compareStates(states, diff.Filter{})
	// Which customer an engine is for is no difference of engines.
	c.table.Changes = slices.DeleteFunc(c.table.Changes, func(r diff.ChangeRow) bool { return r.Path == "customer" })
	return &handout{document: c.document(), data: c.json(), states: states}, nil
}

// statesOf loads the states a person named and tells what is wrong with them.
func (a *app) statesOf(s *act.Shop, names []string) ([]*act.Loaded, error) {
	states, errs := s.States(names)
	for i, l := range states {
		if errs[i] != nil {
			return nil, errs[i]
		}
		if err := a.tell(l); err != nil {
			a.remark("%s cannot be read, and so nothing is compared", names[i])
			return nil, err
		}
	}
	return states, nil
}

// compareStates holds every state against the first: what differs there in any
// of them has a row.
func compareStates(states []*act.Loaded, f diff.Filter) *comparison {
	c := &comparison{states: states, filter: f}
	var list []diff.State
	for _, l := range states {
		list = append(list, l.State)
	}
	c.table = diff.Side(list, f)
	if len(list) == 2 {
		c.pair = diff.Compare(list[0], list[1]).Keep(f)
		c.pair.Apart = c.table.Apart // which looked at the states, too
	}
	c.shared = map[string]int{"figure": c.sharedFigures(), "part": c.sharedParts()}
	return c
}

// empty tells whether nothing differs.
func (c *comparison) empty() bool {
	return c.table.Empty() && (c.pair == nil || c.pair.Empty())
}

// sharedFigures counts the figures that all states have and that have no row.
func (c *comparison) sharedFigures() int {
	differs := map[string]bool{}
	for _, r := range c.table.Figures {
		differs[r.Figure.ID+" "+r.At] = true
	}
	n := 0
	for _, r := range c.states[0].Figures.Results {
		lacking := func(l *act.Loaded) bool { return l.Figures.Find(r.Figure.ID, r.At) == nil }
		if !differs[r.Figure.ID+" "+r.At] && !slices.Contains(c.table.Apart.Whole, r.Figure) && !slices.ContainsFunc(c.states, lacking) {
			n++
		}
	}
	return n
}

// sharedParts counts the parts that all states have alike.
func (c *comparison) sharedParts() int {
	differs := c.positions()
	n := 0
	for _, p := range c.states[0].Engine.Parts() {
		lacking := func(l *act.Loaded) bool { _, ok := l.Engine.PartAt(p.Position); return !ok }
		if !slices.Contains(differs, p.Position) && !slices.ContainsFunc(c.states, lacking) {
			n++
		}
	}
	return n
}

// sentences begins each text as a sentence and ends it as one.
func sentences(texts []string) []string {
	var list []string
	for _, text := range texts {
		list = append(list, strings.ToUpper(text[:1])+text[1:]+".")
	}
	return list
}

// positions lists where something differs of what is fitted, front to rear.
func (c *comparison) positions() []string {
	var list []string
	for _, r := range c.table.Changes {
		if position, _, ok := partPath(r.Path); ok && !slices.Contains(list, position) {
			list = append(list, position)
		}
	}
	return list
}

func (c *comparison) names() []string {
	var names []string
	for _, l := range c.states {
		names = append(names, l.Name)
	}
	return names
}

func (c *comparison) display() act.Display { return c.states[len(c.states)-1].Display }

// document is the page: judged figures first, then the others, the readings
// that count, what is fitted, what the spec and the other records say. A section
// of which nothing differs is left out.
func (c *comparison) document() *page.Document {
	d := &page.Document{Title: strings.Join(c.names(), ", "), Kind: "Comparison", Language: "en", Made: madeFrom(c.states[len(c.states)-1]), Lead: []string{c.lead()}}
	for _, l := range c.states {
		d.Facts = append(d.Facts, page.Fact{Label: l.Name, Value: fmt.Sprintf("%s; build %d", l.Engine.Title, l.Engine.Build)})
	}
	if ids := diff.TwoIDs(c.states[0].Engine, c.states[len(c.states)-1].Engine); ids != nil {
		d.Lead = append(d.Lead, twoIDsText(ids))
	}
	for _, s := range []page.Section{
		{Heading: "Judged figures that differ", Table: c.figureTable(true), Note: "Each by its own state's limits. Geometric ratios, residuals on the machine; ± is the expanded uncertainty, k = 2, where it is known."},
		{Heading: "Other figures that differ", Table: c.figureTable(false), Note: strings.Join(append([]string{"Nothing judges these."}, sentences(advice(c.table.Figures, func(r diff.FigureRow) *figure.Figure { return r.Figure }))...), " ")},
		{Heading: "Readings that differ", Table: c.readingTable(), Note: "The readings that count in each state."},
		{Heading: "Parts that differ", Table: c.changeTable("Position", diff.Parts)},
		{Heading: "Spec that differs", Table: c.changeTable("Field", diff.Spec)},
		{Heading: "Sessions and changes that differ", Table: c.changeTable("Record", diff.Records)},
		{Heading: "What moved the figures", Table: c.movedTable(), Note: "The inputs that moved each one most, and by how much of its difference."},
	} {
		if len(s.Table.Rows) > 0 {
			d.Sections = append(d.Sections, s)
		}
	}
	if apart := apartTexts(&c.table.Apart, c.names()); len(apart) > 0 {
		d.Sections = append(d.Sections, page.Section{Heading: "Not compared", List: apart})
	}
	d.Sections = append(d.Sections, c.told()...)
	if c.whole() {
		d.Sections = append(d.Sections, sections("Drawn over one another", drawRuns(drawnStates(c.states)), drawCoolant(drawnStates(c.states)), drawChambers(drawnStates(c.states)))...)
	}
	return d
}

// whole tells whether no filter was asked for.
func (c *comparison) whole() bool {
	return len(c.filter.Kinds) == 0 && c.filter.Topic == "" && c.filter.At == ""
}

// lead says what is shown, and what is folded away.
func (c *comparison) lead() string {
	names := strings.Join(c.names(), ", ")
	switch {
	case c.empty() && c.whole():
		return strings.TrimSuffix(nothingText(&c.table.Apart), ".") + " between " + names + "."
	case c.empty():
		return strings.TrimSuffix(nothingText(&c.table.Apart), ".") + " between " + names + ", of what was asked for: " + filterText(c.filter) + "."
	case !c.whole():
		return "What differs between " + names + ", of what was asked for: " + filterText(c.filter) + "."
	}
	return fmt.Sprintf("What differs between %s. The same in all, and folded away: %s, %s; and every reading and field of the spec that is not below.",
		names, count(c.shared["figure"], "figure"), count(c.shared["part"], "part"))
}

// filterText says what of a difference was asked for.
func filterText(f diff.Filter) string {
	words := slices.Clone(f.Kinds)
	if f.Topic != "" {
		words = append(words, "topic "+f.Topic)
	}
	if f.At != "" {
		words = append(words, "at "+f.At)
	}
	return strings.Join(words, ", ")
}

// told sets apart what today's formulas give otherwise than was told at a
// delivery (R4): such a difference is none of the engine.
func (c *comparison) told() []page.Section {
	var list []page.Section
	for _, l := range c.states {
		if len(l.Told) == 0 {
			continue
		}
		t := &page.Table{Columns: []page.Column{{Title: "Figure"}, {Title: "At"}, {Title: "Told then", Right: true}, {Title: "Today", Right: true}, {Title: "Unit"}, {Title: "Verdict then"}, {Title: "Verdict today"}}}
		for _, told := range l.Told {
			t.Rows = append(t.Rows, cells(toldCells(told)...))
		}
		list = append(list, page.Section{Heading: "Told otherwise when " + l.Name + " was delivered", Table: t,
			Note: fmt.Sprintf("With formula set %d then, and %d today; all else on this sheet is by today's.", l.Told[0].Formulas, figure.FormulaSet)})
	}
	return list
}
