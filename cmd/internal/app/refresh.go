package app

import (
	"fmt"
	"strings"

	"github.com/urfave/cli/v2"

	"stackbook/cmd/internal/act"
)

// refresh brings an existing book up to today's dictionary: the one around the
// folder named, or around the current one.
func (a *app) refresh(c *cli.Context) error {
	if c.String("shop") != "" {
		return &act.UsageError{Message: "--refresh leaves the shop's name as it is", Mend: "write it in book.yaml, or leave --shop out"}
	}
	if c.NArg() > 0 {
		a.Dir = a.path(c.Args().First())
	}
	s, err := a.shop()
	if err != nil {
		return err
	}
	done, err := s.Refresh()
	if err != nil {
		return err
	}
	if a.json {
		return a.printJSON(refreshedJSON{"refresh/1", s.Book.Root(), done.From, done.To, orEmpty(done.Paths)})
	}
	if len(done.Paths) == 0 {
		a.term.Line("Nothing to do: schemas and dictionary %d are today's.", done.To)
		return nil
	}
	what := ""
	if done.From != done.To {
		what = fmt.Sprintf("; book.yaml is of dictionary %d now, it was of %d", done.To, done.From)
	}
	a.term.Line("Written: %s%s.", strings.Join(done.Paths, ", "), what)
	a.term.Line("Nothing is committed yet: stackbook commit --book -m \"bring the schemas up to date\"")
	return nil
}

type refreshedJSON struct {
	Format string   `json:"format"`
	Book   string   `json:"book"`
	From   int      `json:"from"` // dictionary
	To     int      `json:"to"`
	Paths  []string `json:"paths"`
}

// tellStaleSchemas says that an editor would check against schemas of another
// stackbook. It is no problem of a record.
func (a *app) tellStaleSchemas(s *act.Shop) error {
	stale, err := s.StaleSchemas()
	if err == nil && len(stale) > 0 {
		a.remark("not today's: %s; stackbook begin --refresh brings schemas and dictionary up to date", strings.Join(stale, ", "))
	}
	return err
}
