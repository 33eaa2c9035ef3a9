package app

import (
	"bytes"
	"slices"
	"strings"
	"sync"

	"stackbook/cmd/internal/act"
	"stackbook/cmd/internal/page"
	"stackbook/schema/problem"
)

// site is a whole book on its way to linked pages.
type site struct {
	folder *siteFolder
	watch  *act.Watch // sees that no customer is named (R15)

	mu      sync.Mutex
	refused problem.List
	engines map[string]bool // those that have pages
}

// put sets a page and hands it to the folder. One that names a customer is
// refused, and with it in the end the whole run: nothing is put in place then.
func (x *site) put(name string, d *page.Document) error {
	d.Language = "en"
	if x.watch != nil {
		if err := x.watch.MayTell(name, strings.Join(d.Texts(), "\n"), ""); err != nil {
			x.refuse(err)
			return nil
		}
	}
	var b bytes.Buffer
	if err := page.Linked(&b, d, way(name, siteStyle)); err != nil {
		return err
	}
	return x.folder.put(name, b.Bytes())
}

func (x *site) refuse(err error) {
	list, ok := err.(problem.List)
	if !ok {
		list = problem.List{{File: "pages", Rule: "R15", Message: err.Error()}}
	}
	x.mu.Lock()
	defer x.mu.Unlock()
	x.refused = append(x.refused, list...)
}

// engine sets all pages of one engine.
func (x *site) engine(e *act.WholeEngine) error {
	x.mu.Lock()
	x.engines[e.Number] = true
	x.mu.Unlock()
	if err := x.put(enginePage(e.Number), x.engineDocument(e)); err != nil || e.Life == nil {
		return err
	}
	states := x.builds(e)
	for i, s := range states {
		d, err := x.buildDocument(e, s)
		if err != nil {
			return err
		}
		if err := x.put(buildPage(e.Number, s.build.Number), d); err != nil {
			return err
		}
		if i == 0 || s.build.Altered == nil {
			continue
		}
		before := states[i-1]
		if err := x.put(differencePage(e.Number, before.build.Number, s.build.Number), x.differenceDocument(e, before, s)); err != nil {
			return err
		}
	}
	return nil
}

// whole sets the pages that tell of many engines, when each has been told.
func (x *site) whole(w *act.WholeBook, step act.Steps) error {
	names := w.Names()
	n := 0
	for some := range slices.Chunk(names, namesOnPage) {
		t := namesTable()
		for _, name := range some {
			step("setting the pages of serials and lots", n, len(names))
			n++
			row, err := x.used(w, name)
			if err != nil {
				return err
			}
			t.Rows = append(t.Rows, row)
		}
		list := (n + namesOnPage - 1) / namesOnPage
		if err := x.put(partsPage(list), namesDocument(names, t, list)); err != nil {
			return err
		}
	}
	if len(names) == 0 {
		if err := x.put(siteParts, namesDocument(nil, namesTable(), 1)); err != nil {
			return err
		}
	}
	numbers := w.Numbers()
	if err := x.numbers(w, numbers, step); err != nil {
		return err
	}
	if err := x.folder.put(siteStyle, page.Style()); err != nil {
		return err
	}
	return x.put(sitePages, x.enginesDocument(w, len(names), len(numbers)))
}

// numbers sets the pages of part numbers and suppliers, and their list.
func (x *site) numbers(w *act.WholeBook, numbers []string, step act.Steps) error {
	t := numbersTable()
	for i, name := range numbers {
		step("setting the pages of part numbers and suppliers", i, len(numbers))
		uses, err := w.Used(name)
		if err != nil {
			return err
		}
		if err := x.putUsed(w, name, numberHead(name, uses), uses); err != nil {
			return err
		}
		t.Rows = append(t.Rows, numbersRow(name, uses))
	}
	if len(numbers) == 0 {
		return nil
	}
	return x.put(siteNumbers, numbersDocument(t))
}

// used sets the page of a serial or lot, and gives its row in the list.
func (x *site) used(w *act.WholeBook, name string) (page.Row, error) {
	life, err := w.Now(name)
	if err != nil {
		return page.Row{}, err
	}
	uses, err := w.Used(name)
	if err != nil {
		return page.Row{}, err
	}
	return namesRow(life, uses), x.putUsed(w, name, usedHead(life), uses)
}

// linked is a cell whose words lead to another page.
func linked(text, href string) page.Cell { return page.Cell{Text: text, Href: href} }

// toName is a cell with a serial or lot, which leads to where it was; an empty
// one leads nowhere.
func toName(from, name string) page.Cell {
	if name == "" {
		return page.Cell{}
	}
	return linked(name, way(from, usedPage(name)))
}
