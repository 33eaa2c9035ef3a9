package act

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"stackbook/record"
	"stackbook/record/book"
	"stackbook/record/figure"
	"stackbook/schema"
)

// Name is a state as a person names it (R16):
//
//	SK-07              what is in the folder now, uncommitted edits included
//	SK-07/2            build 2 as delivered
//	SK-07@2024-06-01   as last committed on or before that day
//	SK-07@4f2c9e1      at that commit
type Name struct {
	Engine string
	Build  int    // 0: none named
	Rev    string // after the @
}

// isDayForm tells whether a text is written as a day is, of any calendar.
func isDayForm(text string) bool {
	for i := range len(text) {
		if digit := text[i] >= '0' && text[i] <= '9'; digit == (i == 4 || i == 7) || !digit && text[i] != '-' {
			return false
		}
	}
	return len(text) == len(time.DateOnly)
}

// ParseName reads the name of a state.
func ParseName(text string) (Name, error) {
	head, rev, at := strings.Cut(text, "@")
	number, build, slash := strings.Cut(head, "/")
	n := Name{Engine: number, Rev: rev}
	const forms = "write SK-07, SK-07/2, SK-07@2024-06-01 or SK-07@4f2c9e1"
	switch {
	case number == "" && (at || slash):
		return n, usage(forms, "%q names no engine", text)
	case at && rev == "":
		return n, usage(forms, "%q names no date or commit after the @", text)
	case at && slash:
		return n, usage(forms, "%q names both a build and a commit", text)
	case isDayForm(rev) && !isDay(rev):
		return n, usage(forms, "%q is no day of any calendar", rev)
	}
	if slash {
		var err error
		if n.Build, err = strconv.Atoi(build); err != nil || n.Build < 1 || build != strconv.Itoa(n.Build) {
			return n, usage(forms, "%q is no build", build)
		}
	}
	return n, nil
}

func isDay(text string) bool {
	_, err := time.Parse(time.DateOnly, text)
	return err == nil
}

// State loads the engine in the state a person named.
func (s *Shop) State(text string) (*Loaded, error) {
	n, err := ParseName(text)
	if err != nil {
		return nil, err
	}
	switch {
	case n.Build > 0:
		return s.build(n, text)
	case n.Rev != "":
		return s.past(n, text)
	}
	tree, err := s.folder()
	if err != nil {
		return nil, err
	}
	place, err := FindEngine(tree, n.Engine)
	if err != nil {
		return nil, err
	}
	return s.load(tree, tree, place, text)
}

// States loads the states a person named, on all cores. Each has its own error.
func (s *Shop) States(names []string) ([]*Loaded, []error) {
	states, errs := make([]*Loaded, len(names)), make([]error, len(names))
	_ = onAllCores(len(names), silently, func(i int) error {
		states[i], errs[i] = s.State(names[i])
		return nil
	})
	return states, errs
}

// folder is the book as it lies in the folder; a bare repository has none.
func (s *Shop) folder() (book.Tree, error) {
	if s.Book.Bare() {
		return nil, usage("name a state of its history: SK-01/1 or SK-01@HEAD", "%s is a bare repository: it has no folder to read", s.Book.Root())
	}
	return s.Book.Folder(), nil
}

// latest is the folder, or the last commit where there is none.
func (s *Shop) latest() (book.Tree, error) {
	if !s.Book.Bare() {
		return s.Book.Folder(), nil
	}
	head, _, err := s.Book.Head()
	return s.Book.At(head), err
}

// Today judges a state anew by the limits and book.yaml now in the folder; its
// records stay those of the state.
func (s *Shop) Today(l *Loaded) (*Loaded, error) {
	if l.Engine == nil || l.Commit == "" {
		return l, nil
	}
	c, err := s.Book.Resolve(l.Commit)
	if err != nil {
		return nil, err
	}
	rules, err := s.latest()
	if err != nil {
		return nil, err
	}
	anew, err := s.load(s.Book.At(c), rules, l.Place, l.Name)
	if err == nil {
		anew.Commit, anew.Remarks = l.Commit, l.Remarks
	}
	return anew, err
}

// past loads a state by date or revision.
func (s *Shop) past(n Name, text string) (*Loaded, error) {
	c, remark, err := s.revision(n.Rev)
	if err != nil {
		return nil, err
	}
	l, err := s.at(c, n.Engine, text)
	if err == nil && remark != "" {
		l.Remarks = append(l.Remarks, remark)
	}
	return l, err
}

// revision gives the commit of a day, or the one of that name (R16).
func (s *Shop) revision(rev string) (c book.Commit, remark string, err error) {
	if isDayForm(rev) {
		return s.Book.OnOrBefore(rev)
	}
	c, err = s.Book.Resolve(rev)
	return c, "", err
}

// at loads an engine at a commit; it is looked up by number in that tree.
func (s *Shop) at(c book.Commit, number, name string) (*Loaded, error) {
	tree := s.Book.At(c)
	place, err := s.placeAt(c, number)
	if err != nil {
		return nil, err
	}
	l, err := s.load(tree, tree, place, name)
	if err == nil {
		l.Commit = c.Hash
	}
	return l, err
}

// placeAt finds an engine's folder at a commit.
func (s *Shop) placeAt(c book.Commit, number string) (Place, error) {
	place, err := s.find(s.Book.At(c), number)
	if err != nil && schema.CheckNumber(number) == nil { // one that no engine has is in no commit
		err = atCommit(c, err)
	}
	return place, err
}

// find finds an engine's folder by its number. Where one engine is read in many
// states it is looked for where it is now, which is told from the folder above
// it; the lists of all the others are not gone through.
func (s *Shop) find(tree book.Tree, number string) (Place, error) {
	if s.place.Number == number {
		if entries, err := list(tree, s.place.Folder); err == nil && slices.ContainsFunc(entries, func(e book.Entry) bool { return e.Name == "spec.yaml" && e.File }) {
			return s.place, nil
		}
	}
	return FindEngine(tree, number)
}

// atCommit says in which commit an engine was looked for in vain.
func atCommit(c book.Commit, err error) error {
	var use *UsageError
	if errors.As(err, &use) {
		return usage("name a later state, or an engine that was there by then", "%s at commit %s of %s", use.Message, c.Short(), c.Committer.When.Format(time.DateOnly))
	}
	return fmt.Errorf("at commit %s: %w", c.Short(), err)
}

// TagName is the name of the tag that seals a delivered build.
func TagName(number string, build int) string { return fmt.Sprintf("build/%s/%d", number, build) }

// build loads a delivered build: by its tag, or, without one, at the first
// commit that holds its delivery (R2).
func (s *Shop) build(n Name, text string) (*Loaded, error) {
	c, untagged, err := s.delivered(n, text)
	if err != nil {
		return nil, err
	}
	l, err := s.at(c, n.Engine, text)
	switch {
	case err != nil:
		return nil, err
	case untagged != "":
		l.Remarks = append(l.Remarks, untagged)
	case l.Engine != nil && !seals(l.Engine, n.Build):
		l.Problems = append(l.Problems, tagAtOdds(n, c, l.Place.Folder))
	}
	return asTold(l), nil
}

// delivered finds the commit of a delivered build, with what is to be said where
// no tag names it.
func (s *Shop) delivered(n Name, text string) (c book.Commit, untagged string, err error) {
	c, ok, err := s.Book.ResolveTag(TagName(n.Engine, n.Build))
	if err != nil {
		return c, "", sealsNothing(err)
	}
	if ok {
		return c, "", nil
	}
	c, ok, err = s.firstDelivered(n)
	if err == nil && !ok {
		err = s.notDelivered(n)
	}
	return c, fmt.Sprintf("%s has no tag %s; taken from commit %s, the first that holds its delivery", text, TagName(n.Engine, n.Build), c.Short()), err
}

// asTold adds to a delivered build what was told otherwise when it was
// delivered: an old build keeps its word (R4).
func asTold(l *Loaded) *Loaded {
	if l != nil && l.Figures != nil && l.Stored != nil && l.Stored.Formulas != figure.FormulaSet {
		l.Told = l.Stored.Told(l.Figures)
	}
	return l
}

func (s *Shop) notDelivered(n Name) error {
	tree, err := s.latest()
	if err != nil {
		return err
	}
	place, err := FindEngine(tree, n.Engine)
	if err != nil {
		return err
	}
	l, err := s.load(tree, tree, place, n.Engine)
	if err == nil && l.Engine != nil && n.Build == l.Engine.Build {
		return usage("write "+n.Engine+" for the build in the folder", "build %d of %s is not delivered yet", n.Build, n.Engine)
	}
	return usage("", "there is no delivered build %d of %s", n.Build, n.Engine)
}

// firstDelivered finds the oldest commit that holds the delivery of a build.
// Where history is cut off at a commit that holds it already, or before one
// that does was met, no commit is the first: the answer is a CutOffError (R2).
func (s *Shop) firstDelivered(n Name) (book.Commit, bool, error) {
	head, ok, err := s.Book.Head()
	if err != nil || !ok {
		return book.Commit{}, false, err
	}
	place, err := FindEngine(s.Book.At(head), n.Engine)
	var unknown *UsageError
	if errors.As(err, &unknown) {
		return book.Commit{}, false, nil // not committed yet: no commit holds it
	}
	if err != nil {
		return book.Commit{}, false, err
	}
	log, err := s.Book.Log(place.Folder)
	if err != nil {
		return book.Commit{}, false, err
	}
	var first, end book.Commit
	found := false
	for i := len(log) - 1; i >= 0; i-- {
		if found && !log[i].Cut {
			continue
		}
		delivered, err := holdsDelivery(s.Book.At(log[i]), place, n.Build)
		switch {
		case err != nil:
			return book.Commit{}, false, err
		case delivered && log[i].Cut:
			return book.Commit{}, false, &book.CutOffError{What: "how " + n.String() + " was delivered", At: log[i]}
		case delivered:
			first, found = log[i], true
		case log[i].Cut:
			end = log[i]
		}
	}
	if !found && end.Cut && !s.stillOpen(n) {
		return book.Commit{}, false, &book.CutOffError{What: "whether " + n.String() + " was delivered", At: end}
	}
	return first, found, nil
}

// stillOpen tells whether a build is the one in the folder's last commit, or a
// later one, so that no past commit can hold its delivery.
func (s *Shop) stillOpen(n Name) bool {
	l, err := s.State(n.Engine + "@HEAD")
	return err == nil && l.Engine != nil && n.Build >= l.Engine.Build
}

func holdsDelivery(tree book.Tree, place Place, build int) (bool, error) {
	files, _, err := gather(tree, place.Folder)
	if err != nil {
		return false, err
	}
	e, _ := record.Load(place.Folder, files)
	return e != nil && e.Delivered(build) != nil, nil
}

// String is the name as a person writes it.
func (n Name) String() string {
	switch {
	case n.Build > 0:
		return fmt.Sprintf("%s/%d", n.Engine, n.Build)
	case n.Rev != "":
		return n.Engine + "@" + n.Rev
	}
	return n.Engine
}
