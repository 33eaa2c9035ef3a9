package app

import (
	"encoding/csv"

	"stackbook/cmd/internal/act"
	"stackbook/cmd/internal/term"
)

// commitList lists the commits that altered an engine.
func (a *app) commitList(name, as string) error {
	s, err := a.shop()
	if err != nil {
		return err
	}
	if name, err = a.engineOr(s, name); err != nil {
		return err
	}
	list, err := s.Commits(name)
	if err != nil {
		return err
	}
	for _, r := range list.Remarks {
		a.remark("%s", r)
	}
	switch {
	case a.json:
		return a.printJSON(commitsJSON(list))
	case as == "csv":
		return a.commitsCSV(list)
	case len(list.Lines) == 0:
		a.term.Line("no commit has altered %s yet", list.Folder)
		return nil
	}
	a.term.Line("%s: %s of %s, the newest first", list.Number, count(len(list.Lines), "commit"), list.Folder)
	a.term.Line("")
	t := term.Table{Columns: []term.Column{{Title: "date"}, {Title: "commit"}, {Title: "by"}, {Title: "subject", Flex: true}}}
	for _, l := range list.Lines {
		t.Rows = append(t.Rows, term.Row{Cells: []string{l.Day, l.Short(), l.Author, l.Subject}})
	}
	a.term.Table(t)
	return nil
}

// commitsCSV prints the list by RFC 4180, with the commits' whole names.
func (a *app) commitsCSV(list *act.Commits) error {
	w := csv.NewWriter(a.term)
	w.UseCRLF = true
	rows := [][]string{{"date", "commit", "by", "subject"}}
	for _, l := range list.Lines {
		rows = append(rows, []string{l.Day, l.Hash, tableCell(l.Author), tableCell(l.Subject)})
	}
	if err := w.WriteAll(rows); err != nil {
		return err
	}
	return w.Error()
}

// The shape of a list of commits: commits/1.
type commitsDocument struct {
	Format  string        `json:"format"`
	Engine  string        `json:"engine"`
	Folder  string        `json:"folder"`
	Commits []alteredJSON `json:"commits"` // newest first
}

func commitsJSON(list *act.Commits) commitsDocument {
	d := commitsDocument{Format: "commits/1", Engine: list.Number, Folder: list.Folder, Commits: []alteredJSON{}}
	for _, l := range list.Lines {
		d.Commits = append(d.Commits, alteredJSON{l.Hash, l.Day, l.Author, l.Subject})
	}
	return d
}
