package app

import (
	"fmt"

	"stackbook/cmd/internal/act"
	"stackbook/cmd/internal/page"
	"stackbook/diff/history"
	"stackbook/record/figure"
	"stackbook/record/travel"
)

// enginesDocument is the first page: every engine in a line.
func (x *site) enginesDocument(w *act.WholeBook, parts, numbers int) *page.Document {
	t := &page.Table{Search: true, Columns: []page.Column{{Title: "Engine", Names: true}, {Title: "State"}, {Title: "Worst"}, {Title: "Due"}, {Title: "Last word"}, {Title: "Title"}, {Title: "Build", Right: true},
		{Title: "Hours"}, {Title: "Since delivery"}, {Title: "Customer"}}}
	for _, one := range w.Engines {
		t.Rows = append(t.Rows, x.engineRow(one))
	}
	d := &page.Document{Title: "Engines", Kind: "Book", Made: fmt.Sprintf("Made by stackbook, formula set %d.", figure.FormulaSet),
		Lead: []string{fmt.Sprintf("%s, as their records stand in the book's folder. Each has a page of its own, with its builds and what differs between them.", capital(count(len(w.Engines), "engine")))}}
	d.Sections = []page.Section{
		{Heading: "Serials and lots", Links: []page.Link{{Text: fmt.Sprintf("Where each of %d parts and lots ever was", parts), Href: siteParts}}},
		{Heading: "All engines", Table: t, Note: "The last word is the latest claim, session in the customer's hands, or event or note that names its source. Due by the shop's own intervals."}}
	if numbers > 0 {
		d.Sections[0].Links = append(d.Sections[0].Links, page.Link{Text: fmt.Sprintf("Where the parts of each of %d part numbers and suppliers ever were", numbers), Href: siteNumbers})
	}
	if w.Remarks != nil {
		d.Sections[0].Text = w.Remarks
	}
	return d
}

func (x *site) engineRow(one *act.InFleet) page.Row {
	first := page.Cell{Text: one.Number}
	if x.engines[one.Number] {
		first.Href = enginePage(one.Number)
	}
	row := page.Row{Cells: []page.Cell{first}}
	if !one.Read {
		standing := string(one.Standing)
		if standing == "" {
			standing = "cannot be read"
		}
		row.Cells = append(row.Cells, page.Cell{Text: standing})
		return row
	}
	word := ""
	if one.Word != nil {
		word = one.Word.Date.Day() + ": " + one.Word.Kind
	}
	row.Cells = append(row.Cells, cells(string(one.Standing), string(one.Worst()), dueText(one.Due), word, one.Title, fmt.Sprint(one.Build), hoursIf(one.Hours), hoursIf(one.SinceDelivery), one.Customer).Cells...)
	row.Cells[2].Mark = markOf(one.Worst())
	if one.Problems > 0 {
		row.Cells[2] = page.Cell{Text: joinTexts(", ", row.Cells[2].Text, "problems in records"), Mark: page.Bad}
	}
	return row
}

// namesOnPage is how many serials and lots one list holds.
const namesOnPage = 1000

// namesTable is an empty list of serials and lots.
func namesTable() *page.Table {
	return &page.Table{Search: true, Columns: []page.Column{{Title: "Serial or lot"}, {Title: "Part"}, {Title: "What"}, {Title: "Now", Names: true}, {Title: "Was in", Names: true}}}
}

// namesRow is a serial or lot in a line, with a way to where it was.
func namesRow(life *travel.Life, uses []*history.Use) page.Row {
	row := cells(life.Name, life.Number, life.What, nowText(life), act.Some(enginesIn(uses), 6))
	row.Cells[0] = toName(siteParts, life.Name)
	return row
}

// namesDocument is the nth list of serials and lots; all are those of every list.
func namesDocument(all []string, t *page.Table, n int) *page.Document {
	at := partsPage(n)
	d := &page.Document{Title: "Serials and lots", Kind: "Book", Trail: []page.Link{{Text: "Engines", Href: way(at, sitePages)}},
		Lead: []string{fmt.Sprintf("Every serial and lot that a spec or a change ever named, in the folder or in an old commit: %d.", len(all))}}
	if pages := (len(all) + namesOnPage - 1) / namesOnPage; pages > 1 {
		s := page.Section{Heading: "Lists"}
		for i := range pages {
			part := all[i*namesOnPage : min(len(all), (i+1)*namesOnPage)]
			l := page.Link{Text: part[0] + " to " + part[len(part)-1], Href: way(at, partsPage(i+1))}
			if i+1 == n {
				l.Href = ""
			}
			s.Links = append(s.Links, l)
		}
		d.Sections = append(d.Sections, s)
	}
	d.Sections = append(d.Sections, page.Section{Heading: "Where each is, and was", Table: t})
	return d
}

func enginesIn(uses []*history.Use) []string {
	var list []string
	for _, use := range uses {
		if n := len(list); n == 0 || list[n-1] != use.Engine {
			list = append(list, use.Engine)
		}
	}
	return list
}
