package app

import (
	"errors"
	"runtime/debug"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"stackbook/cmd/internal/act"
)

// exportAll sets the whole book as linked pages.
func (a *app) exportAll(c *cli.Context) error {
	dir := c.String("all")
	if dir == "" {
		return &act.UsageError{Message: "--all names no folder", Mend: "write: stackbook export --all DIR"}
	}
	if err := alone(c); err != nil {
		return err
	}
	s, err := a.shop()
	if err != nil {
		return err
	}
	dir = a.path(dir)
	if err := a.maySetPages(s, dir); err != nil {
		return err
	}
	watch, err := s.Watch()
	if err != nil {
		return err
	}
	folder, err := openSite(dir, a.passing)
	if err != nil {
		return err
	}
	// Engines come and go by the hundred: what they leave behind is to be taken
	// away before it is as much again as what is wanted.
	defer debug.SetGCPercent(debug.SetGCPercent(thrift))
	x := &site{folder: folder, watch: watch, engines: map[string]bool{}}
	w, err := a.setPages(s, x)
	if err != nil {
		_ = folder.discard()
		return err
	}
	p, err := folder.finish()
	if err != nil {
		return err
	}
	return a.tellPages(dir, w, p)
}

// setPages sets every page; none is in its place yet.
func (a *app) setPages(s *act.Shop, x *site) (*act.WholeBook, error) {
	steps, done := a.steps()
	defer done()
	w, err := s.Whole(steps, x.folder.scratch, x.engine)
	if err != nil {
		return nil, err
	}
	if err := errors.Join(x.whole(w, steps), w.Close()); err != nil {
		return nil, err
	}
	x.refused.Sort()
	return w, x.refused.Err()
}

// thrift is how much more memory than is wanted may be in use, in per cent.
const thrift = 50

// alone refuses what says something of one sheet, beside --all.
func alone(c *cli.Context) error {
	if c.NArg() > 0 {
		return &act.UsageError{Message: "--all sets the whole book, and " + c.Args().First() + " is one engine", Mend: "leave one of them out"}
	}
	for _, flag := range []string{"for", "as", "output", "with-names"} {
		if c.IsSet(flag) {
			return &act.UsageError{Message: "--all and --" + flag + " are two things to ask for", Mend: "leave one of them out"}
		}
	}
	return nil
}

// maySetPages refuses a folder that is the book's own or git's.
func (a *app) maySetPages(s *act.Shop, dir string) error {
	rel, err := s.Book.Rel(dir)
	if err != nil {
		return nil // outside the book
	}
	first, _, _ := strings.Cut(rel, "/")
	own := []string{"engines", "limits", "parts", "schemas", "private", ".", ""}
	if slices.Contains(own, first) || slices.ContainsFunc(strings.Split(rel, "/"), func(part string) bool { return strings.EqualFold(part, ".git") }) {
		return &act.UsageError{Message: dir + " is a folder of the book", Mend: "name one of your own, such as " + s.Book.Root() + "-pages"}
	}
	return nil
}

// The shape of what a run did: export-all/1.
type exportAllDocument struct {
	Format  string   `json:"format"`
	Folder  string   `json:"folder"`
	Engines int      `json:"engines"`
	Pages   int      `json:"pages"`   // files in the folder, the style sheet with them
	Written int      `json:"written"` // of these, new or other than they were
	Removed int      `json:"removed"` // of things that are gone
	Left    []string `json:"left"`    // of things that are gone, altered by hand and not removed
	Remarks []string `json:"remarks"`
	Unread  []string `json:"unread"` // versions of records in old commits that cannot be read
}

func (a *app) tellPages(dir string, w *act.WholeBook, p setDown) error {
	a.tellFlawed(flawedIn(w.Fleet))
	if a.json {
		return a.printJSON(exportAllDocument{"export-all/1", dir, len(w.Engines), p.pages, p.written, p.removed, orEmpty(p.left), orEmpty(w.Remarks), orEmpty(w.Unread)})
	}
	for _, r := range w.Remarks {
		a.remark("%s", r)
	}
	if len(w.Unread) > 0 {
		a.remark("not looked at, for it cannot be read: %s", act.Some(w.Unread, 8))
	}
	if len(p.left) > 0 {
		a.remark("not removed, for it was altered by hand: %s", act.Some(p.left, 8))
	}
	a.remark("written: %s: %s of %s anew, %d removed; begin with %s", dir, count(p.written, "file"), count(p.pages, "file"), p.removed, sitePages)
	return nil
}
