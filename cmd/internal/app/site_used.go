package app

import (
	"fmt"
	"strings"

	"stackbook/cmd/internal/act"
	"stackbook/cmd/internal/page"
	"stackbook/diff/history"
	"stackbook/record/travel"
)

// rowsOnPage is how many places one page lists of a name.
const rowsOnPage = 1000

// usedHead is what stands on the page of one serial or lot above where it was:
// what and where it is.
func usedHead(life *travel.Life) page.Document {
	at := usedPage(life.Name)
	d := page.Document{Title: lifeTitle(life), Kind: "Serial", Trail: []page.Link{{Text: "Engines", Href: way(at, sitePages)}, {Text: "Serials and lots", Href: way(at, siteParts)}},
		Facts: []page.Fact{{Label: "Now", Value: nowText(life)}}}
	if life.Lot {
		d.Kind = "Lot"
	}
	if text := piecesText(life); text != "" {
		d.Facts = append(d.Facts, page.Fact{Label: "Pieces", Value: strings.TrimPrefix(text, "pieces: ")})
	}
	return d
}

// putUsed sets the page of a name: below its head, where its parts ever were, and
// whom to call when they prove bad. Of a name with more places than a page holds
// there are several, the first with the calls.
func (x *site) putUsed(w *act.WholeBook, name string, head page.Document, uses []*history.Use) error {
	all := usesRows(uses)
	pages := max(1, (len(all)+rowsOnPage-1)/rowsOnPage)
	for n := 1; n <= pages; n++ {
		d := head
		if pages > 1 {
			d.Sections = append(d.Sections, usedPagesSection(name, all, n, pages))
		}
		d.Sections = append(d.Sections, x.whereSection(w, name, usedPart(all, n)))
		if n == 1 {
			d.Sections = append(d.Sections, callsSection(uses))
		}
		if err := x.put(usedPageOf(name, n), &d); err != nil {
			return err
		}
	}
	return nil
}

// usedPart is what the nth page lists.
func usedPart(all [][]string, n int) [][]string {
	return all[(n-1)*rowsOnPage : min(len(all), n*rowsOnPage)]
}

// usedPagesSection leads from one page of a name to the others.
func usedPagesSection(name string, all [][]string, n, pages int) page.Section {
	s := page.Section{Heading: "Pages"}
	for i := 1; i <= pages; i++ {
		part := usedPart(all, i)
		l := page.Link{Text: fmt.Sprintf("%d: %s to %s", i, part[0][0], part[len(part)-1][0])}
		if i != n {
			l.Href = way(usedPage(name), usedPageOf(name, i))
		}
		s.Links = append(s.Links, l)
	}
	return s
}

func (x *site) whereSection(w *act.WholeBook, name string, rows [][]string) page.Section {
	at := usedPage(name)
	t := &page.Table{Columns: []page.Column{{Title: "Engine", Names: true}, {Title: "Customer"}, {Title: "Build"}, {Title: "At"}, {Title: "Part"}, {Title: "Serial"}, {Title: "Lot"}, {Title: "Committed"}, {Title: "Out by"}, {Title: "Now", Names: true}}}
	for _, texts := range rows {
		row := cells(texts...)
		if x.engines[texts[0]] {
			row.Cells[0].Href = way(at, enginePage(texts[0]))
		}
		for _, i := range []int{5, 6} {
			if other := texts[i]; other != name && w.Has(other) {
				row.Cells[i] = toName(at, other)
			}
		}
		t.Rows = append(t.Rows, row)
	}
	return page.Section{Heading: "Where it was", Table: t, Note: "By the records of the folder and of every commit; the days are those of the commits that brought it and took it out."}
}

func callsSection(uses []*history.Use) page.Section {
	calls := &page.Table{Columns: []page.Column{{Title: "Customer"}, {Title: "Fitted now in", Names: true}, {Title: "Was in", Names: true}}}
	for _, c := range history.Callers(uses) {
		calls.Rows = append(calls.Rows, cells(or(c.Customer, "not recorded"), strings.Join(c.Now, ", "), strings.Join(c.Engines, ", ")))
	}
	return page.Section{Heading: "Whom to call", Table: calls}
}
