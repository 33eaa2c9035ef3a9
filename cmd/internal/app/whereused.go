package app

import (
	"fmt"
	"strings"
	"sync"

	"github.com/urfave/cli/v2"

	"stackbook/cmd/internal/act"
	"stackbook/cmd/internal/term"
	"stackbook/diff/history"
)

func (a *app) whereUsed() *cli.Command {
	return a.command(cli.Command{
		Name:      "where-used",
		Usage:     "every engine that ever carried a lot, serial or part",
		ArgsUsage: "NAME[@STATE]",
		Description: "Looks through the records in the folder and through every commit, so that\n" +
			"what was replaced, or deleted with its engine, is found too: engine, builds,\n" +
			"positions, when it was committed and when it went, what took it out and\n" +
			"where it is now. A part number or a supplier's code also stands for the lots\n" +
			"and serials whose files in parts/ name it. With --customers, whom to call\n" +
			"when a batch proves bad. A name with an @ in it is written with a state\n" +
			"behind it: where-used 'B@7' @HEAD.\n\n" +
			"Example: stackbook where-used L-2304 --customers\n" +
			"         stackbook where-used S-02@2020-05-01",
		Flags: []cli.Flag{&cli.BoolFlag{Name: "customers", Usage: "list the customers to call, those first who have one fitted now"}},
		Action: func(c *cli.Context) error {
			if err := tooMany(c, 2); err != nil {
				return err
			}
			name, state, err := nameAndState(c.Args().Slice())
			if err != nil {
				return err
			}
			s, err := a.shop()
			if err != nil {
				return err
			}
			steps, done := a.steps()
			w, err := s.WhereUsed(name, state, steps)
			done()
			if err != nil {
				return err
			}
			for _, r := range w.Remarks {
				a.remark("%s", r)
			}
			for _, unread := range w.Unread {
				a.remark("not looked at, for it cannot be read: %s", unread)
			}
			switch {
			case a.json:
				return a.printJSON(whereUsedJSON(w))
			case len(w.Uses) == 0 && len(w.Lives) == 0:
				a.showUnused(w)
			case c.Bool("customers"):
				a.showCallers(w)
			default:
				a.showUses(w)
			}
			return nil
		},
	})
}

// nameAndState parts what is asked for from the state of the book.
func nameAndState(words []string) (name, state string, err error) {
	switch {
	case len(words) == 0:
		return "", "", &act.UsageError{Message: "nothing is asked for", Mend: "name a serial, a lot, a part number or a supplier's code"}
	case len(words) == 2:
		return words[0], words[1], nil
	}
	name = words[0]
	if i := strings.LastIndex(name, "@"); i >= 0 {
		name, state = name[:i], name[i:]
	}
	if name == "" {
		return "", "", &act.UsageError{Message: fmt.Sprintf("%q names a state, and nothing to look for", words[0]), Mend: "write L-2304@2020-05-01"}
	}
	return name, state, nil
}

// steps shows the progress of work in several pieces; done ends it.
func (a *app) steps() (tell act.Steps, done func()) {
	pieces := map[string]*term.Progress{}
	var lock sync.Mutex
	at := func(what string) *term.Progress {
		lock.Lock()
		defer lock.Unlock()
		if pieces[what] == nil {
			pieces[what] = a.term.Progress(what, 0)
		}
		return pieces[what]
	}
	return func(what string, done, of int) { at(what).At(done, of) }, func() {
		for _, p := range pieces {
			p.Done()
		}
	}
}

// fewOwned is how many engines of a customer are named in a sentence.
const fewOwned = 6

func (a *app) showUnused(w *act.WhereUsed) {
	line := fmt.Sprintf("no record names %s as a serial, a lot, a part number or a supplier, now or in any commit", w.Name)
	switch {
	case w.Engine:
		line += fmt.Sprintf("; it is an engine: stackbook history %s", w.Name)
	case len(w.Owns) > 0:
		of := strings.Join(w.Owns, ", ")
		if len(w.Owns) > fewOwned {
			of = count(len(w.Owns), "engine")
		}
		line += fmt.Sprintf("; it is the customer of %s: stackbook fleet --customer %s", of, w.Name)
	case w.Near != "":
		line += fmt.Sprintf("; did you mean %s?", w.Near)
	}
	a.term.Line("%s", line)
}

func (a *app) showUses(w *act.WhereUsed) {
	a.usedHeading(w)
	if len(w.Uses) == 0 {
		a.term.Line("never fitted in an engine, by the records and all commits")
		return
	}
	a.term.Line("")
	a.term.Table(usesTable(w.Uses))
}

func (a *app) usedHeading(w *act.WhereUsed) {
	title := w.Name
	for _, l := range w.Lives {
		if l.Name == w.Name {
			title = lifeTitle(l)
		}
	}
	a.term.Heading(title)
	for _, l := range w.Lives {
		now := nowText(l)
		if text := piecesText(l); text != "" {
			now += "; " + text
		}
		label := "now"
		if l.Name != w.Name {
			label = l.Name
		}
		a.term.Prose(2, "%s: %s", label, now)
	}
}

func usesTable(uses []*history.Use) term.Table {
	t := term.Table{Columns: []term.Column{{Title: "engine"}, {Title: "customer"}, {Title: "build"}, {Title: "at", Flex: true}, {Title: "part"}, {Title: "serial"}, {Title: "lot"},
		{Title: "committed"}, {Title: "out by"}, {Title: "now", Flex: true}}}
	for _, row := range usesRows(uses) {
		t.Rows = append(t.Rows, term.Row{Cells: row})
	}
	return t
}

// usesRows has a line for all positions of an engine of which the same is told:
// engine, customers, builds, positions, part number, serial, lot, the days it was
// committed and went, and what became of it.
func usesRows(uses []*history.Use) [][]string {
	var rows [][]string
	for _, use := range uses {
		row := []string{use.Engine, strings.Join(use.Customers, ", "), numbersText(use.Builds), use.Position, use.Number, use.Serial, use.Lot, dayOf(use.Since), dayOf(use.Until), useNow(use)}
		if n := len(rows); n > 0 && sameBut(rows[n-1], row, 3) {
			rows[n-1][3] += ", " + use.Position
			continue
		}
		rows = append(rows, row)
	}
	return rows
}

// sameBut tells whether two rows differ in one column alone.
func sameBut(a, b []string, column int) bool {
	for i := range a {
		if i != column && a[i] != b[i] {
			return false
		}
	}
	return true
}

func numbersText(list []int) string {
	return strings.Trim(strings.ReplaceAll(fmt.Sprint(list), " ", ", "), "[]")
}

func dayOf(m *history.Moment) string {
	if m == nil {
		return ""
	}
	return m.Day
}

// useNow tells whether a part is still there, else what took it out.
func useNow(use *history.Use) string {
	switch {
	case use.Now:
		return "fitted"
	case len(use.Removed) == 0 && use.Until == nil:
		return "not there"
	case len(use.Removed) == 0:
		return "out"
	}
	var outs []string
	for _, r := range use.Removed {
		text := "out " + r.Change.Date.Day()
		if r.To != "" {
			text += " to " + r.To
		}
		if r.FoundAt != "" {
			text += ", found at " + r.FoundAt
		}
		if !r.Now {
			text += ", by a change no longer there"
		}
		outs = append(outs, text)
	}
	return strings.Join(outs, "; ")
}

func (a *app) showCallers(w *act.WhereUsed) {
	a.usedHeading(w)
	a.term.Line("")
	t := term.Table{Columns: []term.Column{{Title: "customer"}, {Title: "fitted now in"}, {Title: "was in"}, {Title: "where", Flex: true}}}
	for _, c := range history.Callers(w.Uses) {
		code := c.Customer
		if code == "" {
			code = "not recorded"
		}
		var where []string
		for _, use := range c.Uses {
			where = append(where, use.Engine+" "+use.Position)
		}
		t.Rows = append(t.Rows, term.Row{Cells: []string{code, strings.Join(c.Now, ", "), strings.Join(c.Engines, ", "), act.Some(where, 4)}})
	}
	a.term.Table(t)
}

// The shape of where-used: where-used/1.
type whereUsedDocument struct {
	Format     string             `json:"format"`
	Name       string             `json:"name"`
	Commit     *string            `json:"commit"` // of the state; null for the working folder
	Uses       []useEntry         `json:"uses"`
	Now        []partLifeDocument `json:"now"` // each serial and lot found, where it is now
	Customers  []callerEntry      `json:"customers"`
	CustomerOf []string           `json:"customer_of"` // engines, where it is a customer and no part
	Near       string             `json:"near,omitempty"`
	Remarks    []string           `json:"remarks"`
	Unread     []string           `json:"unread"`
}

type useEntry struct {
	Engine      string         `json:"engine"`
	Customers   []string       `json:"customers"`
	Builds      []int          `json:"builds"`
	At          string         `json:"at"`
	Part        string         `json:"part"`
	Serial      string         `json:"serial"`
	Lot         string         `json:"lot"`
	Fitted      bool           `json:"fitted"`       // there in the state asked about
	Since       *string        `json:"since"`        // day of the first commit that has it there; null: none has
	SinceCommit *string        `json:"since_commit"` //
	Until       *string        `json:"until"`        // day of the commit that took it out; null: none did
	UntilCommit *string        `json:"until_commit"`
	Removed     []removedEntry `json:"removed"`
	Read        []string       `json:"read"` // files of the sessions that read it there
}

type removedEntry struct {
	Date    string      `json:"date"`
	FoundAt string      `json:"found_at,omitempty"`
	To      string      `json:"to,omitempty"`
	Where   string      `json:"where,omitempty"`
	Hours   *hoursEntry `json:"hours"`
	File    string      `json:"file"`
	There   bool        `json:"there"` // false: the change is in old commits alone
}

type callerEntry struct {
	Customer *string  `json:"customer"` // null: the specs name none
	Engines  []string `json:"engines"`
	Now      []string `json:"fitted_now_in"`
}

func whereUsedJSON(w *act.WhereUsed) whereUsedDocument {
	d := whereUsedDocument{Format: "where-used/1", Name: w.Name, Uses: []useEntry{}, Now: []partLifeDocument{}, Customers: []callerEntry{},
		CustomerOf: orEmpty(w.Owns), Near: w.Near, Remarks: orEmpty(w.Remarks), Unread: orEmpty(w.Unread)}
	if w.Commit != "" {
		d.Commit = &w.Commit
	}
	for _, use := range w.Uses {
		d.Uses = append(d.Uses, useJSON(use))
	}
	for _, l := range w.Lives {
		d.Now = append(d.Now, partLifeJSON(l))
	}
	for _, c := range history.Callers(w.Uses) {
		entry := callerEntry{Engines: c.Engines, Now: orEmpty(c.Now)}
		if c.Customer != "" {
			entry.Customer = &c.Customer
		}
		d.Customers = append(d.Customers, entry)
	}
	return d
}

func useJSON(use *history.Use) useEntry {
	e := useEntry{Engine: use.Engine, Customers: orEmpty(use.Customers), Builds: append([]int{}, use.Builds...), At: use.Position, Part: use.Number, Serial: use.Serial,
		Lot: use.Lot, Fitted: use.Now, Removed: []removedEntry{}, Read: []string{}}
	if use.Since != nil {
		e.Since, e.SinceCommit = &use.Since.Day, &use.Since.Commit
	}
	if use.Until != nil {
		e.Until, e.UntilCommit = &use.Until.Day, &use.Until.Commit
	}
	for _, r := range use.Removed {
		e.Removed = append(e.Removed, removedEntry{r.Change.Date.String(), r.FoundAt, r.To, r.Where, hoursJSON(r.Hours), r.Ref.File, r.Now})
	}
	for _, s := range use.Read {
		e.Read = append(e.Read, s.Path)
	}
	return e
}
