package act

import (
	"slices"
	"time"

	"stackbook/record/book"
	"stackbook/record/figure"
	"stackbook/schema"
)

// FigurePast is one figure of an engine through the commits that altered its
// records.
type FigurePast struct {
	Number  string
	Display Display
	Commits int       // that were looked at
	Turns   []Turning // oldest first
	Remarks []string
}

// Turning is a commit in which the figure came to have another value at a
// position, or came or went there.
type Turning struct {
	Hash, Day string // of the commit
	Build     int    // 0 where the records cannot be read
	At        string
	Result    *figure.Result // with no more than the value; nil: there is none from here on
}

// FigurePast follows a figure of an engine through all commits of its folder, by
// today's formulas and without uncertainties; at is a position, "" all of them.
// Another engine that once had the number is left out (R11).
func (s *Shop) FigurePast(number string, f *figure.Figure, at string, step Steps) (*FigurePast, error) {
	head, _, err := s.Book.Head()
	if err != nil {
		return nil, err
	}
	tree := s.Book.At(head)
	place, err := FindEngine(tree, number)
	if err != nil {
		return nil, s.notCommitted(number, err)
	}
	bookRecord, _, err := readBook(tree)
	if err != nil {
		return nil, err
	}
	log, err := s.Book.Log(place.Folder)
	if err != nil {
		return nil, err
	}
	slices.Reverse(log)
	all, err := s.valuesOf(log, place, step.of("working figures"))
	if err != nil {
		return nil, err
	}
	p := &FigurePast{Number: number, Display: displayOf(bookRecord), Commits: len(log), Turns: turnings(log, all, f, at)}
	if at != "" && len(p.Turns) == 0 {
		return nil, usage("stackbook explain "+number+" "+f.ID+" --past shows where it was", "%s never had a value at %q in %s", f.ID, at, number)
	}
	if c, is, err := s.Book.CutOff(); err == nil && is {
		p.Remarks = append(p.Remarks, c.CutOff()+": what was before is not told; type: git fetch --unshallow")
	}
	return p, nil
}

// notCommitted says why the last commit has no engine of a number: it may lie in
// the folder alone.
func (s *Shop) notCommitted(number string, err error) error {
	tree, other := s.latest()
	if other == nil {
		_, other = FindEngine(tree, number)
	}
	if other != nil {
		return err
	}
	return usage("commit it with: stackbook commit "+number, "no commit holds %s yet", number)
}

// valuesOf gives the values of an engine's figures at some commits, nil where it
// cannot be read.
func (s *Shop) valuesOf(log []book.Commit, place Place, step func(done, of int)) ([]*Values, error) {
	past := s.PastFigures()
	all := make([]*Values, len(log))
	err := onAllCores(len(log), step, func(i int) (err error) {
		all[i], err = past.At(s.Book, log[i].Hash, place)
		return err
	})
	past.Save()
	return all, err
}

// turnings lists where a figure became another from one commit to the next.
func turnings(log []book.Commit, all []*Values, f *figure.Figure, at string) []Turning {
	id := ""
	for _, v := range all {
		if v != nil && v.Engine != "" {
			id = v.Engine // the last one's
		}
	}
	var list []Turning
	before := map[string]*figure.Result{}
	for i, v := range all {
		if v != nil && v.Engine != "" && v.Engine != id {
			continue
		}
		now, build := map[string]*figure.Result{}, 0
		if v != nil {
			now, build = v.of(f, at), v.Build
		}
		for _, position := range positionsOf(before, now) {
			was, is := before[position], now[position]
			if was != nil && is != nil && was.Value == is.Value && was.Decimals == is.Decimals {
				continue
			}
			list = append(list, Turning{log[i].Hash, log[i].Committer.When.Format(time.DateOnly), build, position, is})
		}
		before = now
	}
	return list
}

// of gives the values of one figure, by position.
func (v *Values) of(f *figure.Figure, only string) map[string]*figure.Result {
	found := map[string]*figure.Result{}
	for i := range v.Len() {
		if id, at, si, decimals := v.Value(i); id == f.ID && (only == "" || at == only) {
			found[at] = &figure.Result{Figure: f, At: at, Value: si, Decimals: decimals}
		}
	}
	return found
}

func positionsOf(a, b map[string]*figure.Result) []string {
	var list []string
	for at := range a {
		list = append(list, at)
	}
	for at := range b {
		if a[at] == nil {
			list = append(list, at)
		}
	}
	slices.SortFunc(list, func(a, b string) int {
		switch {
		case a == b:
			return 0
		case schema.Less(a, b):
			return -1
		}
		return 1
	})
	return list
}
