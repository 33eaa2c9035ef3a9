package app

import (
	"stackbook/cmd/internal/act"
	"stackbook/cmd/internal/page"
	"stackbook/diff/history"
)

// numbersTable is an empty list of part numbers and suppliers.
func numbersTable() *page.Table {
	return &page.Table{Search: true, Columns: []page.Column{{Title: "Number or code"}, {Title: "Is"}, {Title: "Fitted now in", Names: true}, {Title: "Was in", Names: true}}}
}

// numberKind tells what a name is: a part number where a part bore it as such,
// else the code of who made or sold it.
func numberKind(name string, uses []*history.Use) string {
	for _, use := range uses {
		if use.Number == name {
			return "Part number"
		}
	}
	return "Supplier"
}

// numbersRow is a part number or supplier in a line, with a way to its page.
func numbersRow(name string, uses []*history.Use) page.Row {
	var now []*history.Use
	for _, use := range uses {
		if use.Now {
			now = append(now, use)
		}
	}
	row := cells(name, numberKind(name, uses), act.Some(enginesIn(now), 6), act.Some(enginesIn(uses), 6))
	row.Cells[0] = toName(siteNumbers, name)
	return row
}

// numbersDocument is the list of part numbers and suppliers.
func numbersDocument(t *page.Table) *page.Document {
	return &page.Document{Title: "Part numbers and suppliers", Kind: "Book", Trail: []page.Link{{Text: "Engines", Href: way(siteNumbers, sitePages)}},
		Lead:     []string{"Every part number and supplier that a spec ever named, in the folder or in an old commit, but for names that are a serial or lot as well."},
		Sections: []page.Section{{Heading: "Where the parts of each are, and were", Table: t}}}
}

// numberHead is what stands on the page of a part number or supplier above where
// its parts were.
func numberHead(name string, uses []*history.Use) page.Document {
	at := usedPage(name)
	return page.Document{Title: name, Kind: numberKind(name, uses), Trail: []page.Link{{Text: "Engines", Href: way(at, sitePages)}, {Text: "Part numbers and suppliers", Href: way(at, siteNumbers)}},
		Lead: []string{"The parts that a spec names so, and those whose file in parts/ does."}}
}
