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
	states  []*act.Loaded
	parts   []sideRow
	spec    []sideRow
	figures []figureSide
	shared  map[string]int // how many rows of each kind are the same in all
}

// sideRow is one thing that is written, in each state; "" where nothing is.
type sideRow struct {
	Path  string
	Cells []string
}

// figureSide is one figure in each state; nil where it could not be computed.
type figureSide struct {
	Figure *figure.Figure
	At     string
	Sides  []*figure.Result
}

func (a *app) forComparison(s *act.Shop, names []string) (*handout, error) {
	var states []*act.Loaded
	for _, name := range names {
		l, err := s.State(name)
		if err != nil {
			return nil, err
		}
		if err := a.tell(l); err != nil {
			return nil, err
		}
		states = append(states, l)
	}
	c := compareStates(states)
	return &handout{document: c.document(), data: c.json(), states: states}, nil
}

// compareStates holds every state against the first: what differs there in any
// of them has a row.
func compareStates(states []*act.Loaded) *comparison {
	c := &comparison{states: states, shared: map[string]int{}}
	var results []*diff.Result
	for _, l := range states[1:] {
		results = append(results, diff.Compare(states[0].State, l.State))
	}
	c.compareParts()
	c.compareSpec(results)
	c.compareFigures(results)
	return c
}

// compareParts sets what is fitted at each position beside each other.
func (c *comparison) compareParts() {
	var order []string
	at := map[string][]string{}
	for i, l := range c.states {
		for _, p := range l.Engine.Parts() {
			if at[p.Position] == nil {
				at[p.Position] = make([]string, len(c.states))
				order = append(order, p.Position)
			}
			at[p.Position][i] = nodeText(l.Engine.Spec.Doc.Root().At("parts", p.Position))
		}
	}
	for _, position := range order {
		c.side(&c.parts, "parts", position, at[position])
	}
}

// side adds a row where its cells differ, and counts it where they do not.
func (c *comparison) side(rows *[]sideRow, kind, path string, cells []string) {
	if len(slices.Compact(slices.Clone(cells))) == 1 {
		c.shared[kind]++
		return
	}
	*rows = append(*rows, sideRow{path, cells})
}

// compareSpec takes from the differences against the first state which fields
// differ, and what stands there in each. Which customer an engine is for is no
// difference of engines.
func (c *comparison) compareSpec(results []*diff.Result) {
	var order []string
	cells := map[string][]string{}
	for i, r := range results {
		for _, change := range r.Changes {
			path := change.Path
			if strings.HasPrefix(path, "parts") || wholeRecord(change) || strings.Contains(path, ".yaml") || path == "customer" {
				continue
			}
			if cells[path] == nil {
				cells[path] = slices.Repeat([]string{change.From}, len(c.states))
				order = append(order, path)
			}
			cells[path][i+1] = change.To
		}
	}
	for _, path := range order {
		c.side(&c.spec, "spec", path, cells[path])
	}
}

// compareFigures takes from the differences which figures differ.
func (c *comparison) compareFigures(results []*diff.Result) {
	differs := map[string]bool{}
	for _, r := range results {
		for _, f := range r.Figures {
			differs[f.Figure.ID+" "+f.At] = true
		}
	}
	seen := map[string]bool{}
	for _, f := range figure.All() {
		for _, l := range c.states {
			for _, r := range l.Figures.Results {
				key := r.Figure.ID + " " + r.At
				if r.Figure != f || seen[key] {
					continue
				}
				seen[key] = true
				if !differs[key] {
					c.shared["figures"]++
					continue
				}
				side := figureSide{Figure: f, At: r.At}
				for _, each := range c.states {
					side.Sides = append(side.Sides, each.Figures.Find(f.ID, r.At))
				}
				c.figures = append(c.figures, side)
			}
		}
	}
}

func (c *comparison) names() []string {
	var names []string
	for _, l := range c.states {
		names = append(names, l.Name)
	}
	return names
}

// document is the page: judged figures first, then the others, what is fitted
// and what the spec says.
func (c *comparison) document() *page.Document {
	names := c.names()
	d := &page.Document{Title: strings.Join(names, ", "), Kind: "Comparison", Language: "en", Made: madeFrom(c.states[len(c.states)-1]),
		Lead: []string{fmt.Sprintf("What differs between %s. The same in all, and folded away: %s, %s; and every field of the spec that is not below.",
			strings.Join(names, ", "), count(c.shared["figures"], "figure"), count(c.shared["parts"], "part"))}}
	for _, l := range c.states {
		d.Facts = append(d.Facts, page.Fact{Label: l.Name, Value: fmt.Sprintf("%s; build %d", l.Engine.Title, l.Engine.Build)})
	}
	d.Sections = append(d.Sections,
		page.Section{Heading: "Judged figures that differ", Table: c.figureTable(true), Note: "Each by its own state's limits. Geometric ratios, residuals on the machine; ± is the expanded uncertainty, k = 2, where it is known."},
		page.Section{Heading: "Other figures that differ", Table: c.figureTable(false), Note: "Nothing judges these."},
		page.Section{Heading: "Parts that differ", Table: sideTable("Position", c.parts, names)},
		page.Section{Heading: "Spec that differs", Table: sideTable("Field", c.spec, names)})
	d.Sections = append(d.Sections, sections("Drawn over one another", drawRuns(drawnStates(c.states)), drawCoolant(drawnStates(c.states)), drawChambers(drawnStates(c.states)))...)
	return d
}

func sideTable(title string, rows []sideRow, names []string) *page.Table {
	t := &page.Table{Columns: []page.Column{{Title: title}}}
	for _, name := range names {
		t.Columns = append(t.Columns, page.Column{Title: name})
	}
	for _, r := range rows {
		t.Rows = append(t.Rows, cells(append([]string{r.Path}, r.Cells...)...))
	}
	return t
}

// judged tells whether any state judges the figure.
func (f *figureSide) judged() bool {
	return slices.ContainsFunc(f.Sides, func(r *figure.Result) bool { return r != nil && r.Verdict != figure.NoVerdict })
}

// figureTable has a column a state; with two states one more, the difference.
func (c *comparison) figureTable(judged bool) *page.Table {
	t := &page.Table{Columns: []page.Column{{Title: "Figure"}, {Title: "At"}}}
	for _, name := range c.names() {
		t.Columns = append(t.Columns, page.Column{Title: name, Right: true})
	}
	if len(c.states) == 2 {
		t.Columns = append(t.Columns, page.Column{Title: "Difference", Right: true})
	}
	t.Columns = append(t.Columns, page.Column{Title: "Unit"})
	last := ""
	for i := range c.figures {
		f := &c.figures[i]
		if f.judged() != judged {
			continue
		}
		title := titleOf(f.Figure)
		if title == last {
			title = ""
		} else {
			last = title
		}
		t.Rows = append(t.Rows, f.row(title, c.states[len(c.states)-1].Display))
	}
	return t
}

// row prints a figure in each state, all in the last one's units, with its verdict where that is not plain
// conforming.
func (f *figureSide) row(title string, d act.Display) page.Row {
	row := cells(title, f.At)
	var values []string
	unit := ""
	for _, r := range f.Sides {
		if r == nil {
			row.Cells = append(row.Cells, page.Cell{Text: "none"})
			continue
		}
		var text string
		text, unit = d.Figure(r)
		values = append(values, text)
		if r.Uncertainty != nil {
			text += " ± " + d.Off(r, r.Uncertainty.Expanded)
		}
		cell := page.Cell{Text: text}
		if r.Verdict == figure.Fails || r.Verdict == figure.Undecided {
			cell = page.Cell{Text: text + ", " + string(r.Verdict), Mark: markOf(r.Verdict)}
		}
		row.Cells = append(row.Cells, cell)
	}
	if len(f.Sides) == 2 {
		difference := ""
		if len(values) == 2 {
			difference = printedDifference(values[0], values[1])
		}
		row.Cells = append(row.Cells, page.Cell{Text: difference})
	}
	row.Cells = append(row.Cells, page.Cell{Text: unit})
	return row
}
