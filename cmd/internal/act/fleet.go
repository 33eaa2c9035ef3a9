package act

import (
	"path"
	"slices"
	"strings"
	"time"

	"stackbook/diff/history"
	"stackbook/record"
	"stackbook/record/book"
	"stackbook/record/figure"
	"stackbook/record/travel"
	"stackbook/schema"
)

// Standings of engines that are not in the folder.
const (
	Removed       history.Standing = "removed"         // a build of it was sealed, and its folder is gone
	NotCheckedOut history.Standing = "not checked out" // a sparse checkout keeps it away
)

// Fleet is every engine of a state of the book.
type Fleet struct {
	Commit  string // of the state; "" for the folder
	Today   schema.Date
	Engines []*InFleet // by number
	Remarks []string
}

// InFleet is one engine in a line. Loaded.Engine is nil where it is not in the
// folder or cannot be read.
type InFleet struct {
	*Loaded
	Number        string
	Standing      history.Standing
	Since         schema.Date // zero: not told
	Limits        string      // the set it is judged by
	SinceDelivery *record.Hours
	Word          *history.Word
	Due           []history.Due
}

// Worst is the worst verdict on the engine's figures, "" without any.
func (f *InFleet) Worst() figure.Verdict {
	if f.Figures == nil {
		return figure.NoVerdict
	}
	count := f.Figures.Count()
	for _, v := range []figure.Verdict{figure.Fails, figure.Undecided, figure.Unmeasured, figure.Conforms} {
		if count[v] > 0 {
			return v
		}
	}
	return figure.NoVerdict
}

// DueNow tells whether any work is due by now.
func (f *InFleet) DueNow() bool {
	return slices.ContainsFunc(f.Due, func(d history.Due) bool { return d.Now })
}

// Fleet loads every engine of a state of the book, on all cores: "" is the
// folder, else @2024-06-01 or @4f2c9e1.
func (s *Shop) Fleet(state string, step Steps) (*Fleet, error) {
	m, err := s.moment(state)
	if err != nil {
		return nil, err
	}
	bookRecord, _, err := readBook(m.tree)
	if err != nil {
		return nil, err
	}
	places, _, err := Engines(m.tree)
	if err != nil {
		return nil, err
	}
	f := &Fleet{Commit: m.hash(), Today: s.today(m, state), Engines: make([]*InFleet, len(places)), Remarks: m.remarks}
	err = onAllCores(len(places), step.of("reading engines"), func(i int) error {
		l, err := load(m.tree, m.tree, places[i], places[i].Number)
		f.Engines[i] = &InFleet{Loaded: l, Number: places[i].Number}
		return err
	})
	if err != nil {
		return nil, err
	}
	if err := f.stand(m.tree, bookRecord); err != nil {
		return nil, err
	}
	if state == "" {
		if err := s.addAbsent(f); err != nil {
			return nil, err
		}
	}
	return f, nil
}

// today is the day a state is asked about: the one named, else that of its
// commit, else the clock's.
func (s *Shop) today(m moment, state string) schema.Date {
	day := s.Now().Format(time.DateOnly)
	if state != "" {
		if day = strings.TrimPrefix(state, "@"); !dayForm.MatchString(day) {
			day = m.commit.Committer.When.Format(time.DateOnly)
		}
	}
	date, _ := schema.ParseDate(day) // a day as just printed or matched
	return date
}

// stand works out where each engine stands; crack tests made in one count for its
// parts in another.
func (f *Fleet) stand(tree book.Tree, bookRecord *record.Record) error {
	var engines []*record.Engine
	for _, one := range f.Engines {
		if one.Engine != nil {
			engines = append(engines, one.Engine)
		}
	}
	shop, _, err := shopOf(tree, engines)
	if err != nil {
		return err
	}
	for _, one := range f.Engines {
		if e := one.Engine; e != nil {
			one.stand(e, shop, bookRecord, f.Today)
		}
	}
	return nil
}

func (f *InFleet) stand(e *record.Engine, shop *travel.Shop, bookRecord *record.Record, today schema.Date) {
	f.Standing, f.Since = history.StandingOf(e)
	_, f.Limits = limitSet(bookRecord, e)
	if since, ok := history.SinceDelivery(e); ok {
		f.SinceDelivery = &since
	}
	if word, ok := history.LastWord(e); ok {
		f.Word = &word
	}
	f.Guards = shop.Guards(e)
	var opening *float64
	if interval := openingInterval(bookRecord, e); interval != nil {
		opening = &interval.Hours
	}
	f.Due = history.DueWork(e, f.Guards, opening, today)
	if why := limitsUnsent(e); why != "" && f.Standing == history.Delivered {
		f.Due = append(f.Due, history.Due{What: "operating limits", Text: "not sent", Now: true, File: e.Spec.Path})
	}
}

// addAbsent adds the engines that the folder does not hold: those a sparse
// checkout keeps away, and those of which a build was sealed and that are gone.
func (s *Shop) addAbsent(f *Fleet) error {
	add := func(number string, standing history.Standing) {
		if !slices.ContainsFunc(f.Engines, func(one *InFleet) bool { return one.Number == number }) {
			f.Engines = append(f.Engines, &InFleet{Loaded: &Loaded{}, Number: number, Standing: standing})
		}
	}
	places, err := s.Away()
	if err != nil {
		return err
	}
	for _, p := range places {
		add(p.Number, NotCheckedOut)
	}
	tags, err := s.Book.Tags()
	if err != nil {
		f.Remarks = append(f.Remarks, "the tags that seal builds cannot be read, so an engine that is gone is not told: "+err.Error())
	}
	for _, tag := range tags {
		if number, _ := path.Split(strings.TrimPrefix(tag.Name, book.BuildTags)); number != "" {
			add(strings.TrimSuffix(number, "/"), Removed)
		}
	}
	slices.SortStableFunc(f.Engines, func(a, b *InFleet) int { return strings.Compare(a.Number, b.Number) })
	return nil
}
