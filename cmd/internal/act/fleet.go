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

// InFleet is one engine in a line, with no more than is told of it.
type InFleet struct {
	Number        string
	Read          bool // it is in the folder, and its spec can be read; else what follows from that is missing
	Title         string
	Customer      string
	Build         int
	Hours         *record.Hours          // of the engine in all; nil: not recorded
	Verdicts      map[figure.Verdict]int // nil where it has no figures
	Problems      int                    // with its records
	Standing      history.Standing
	Since         schema.Date // zero: not told
	Limits        string      // the set it is judged by
	SinceDelivery *record.Hours
	Word          *history.Word
	Due           []history.Due
}

// Worst is the worst verdict on the engine's figures, "" without any.
func (f *InFleet) Worst() figure.Verdict {
	for _, v := range []figure.Verdict{figure.Fails, figure.Undecided, figure.Unmeasured, figure.Conforms} {
		if f.Verdicts[v] > 0 {
			return v
		}
	}
	return figure.NoVerdict
}

// DueNow tells whether any work is due by now.
func (f *InFleet) DueNow() bool {
	return slices.ContainsFunc(f.Due, func(d history.Due) bool { return d.Now })
}

// Fleet tells every engine of a state of the book: "" is the folder, else
// @2024-06-01 or @4f2c9e1. What was worked out before is looked up, where the
// book keeps it; the others are loaded, on all cores.
func (s *Shop) Fleet(state string, step Steps) (*Fleet, error) {
	kept := make(chan *book.Results, 1)
	go func() { kept <- s.Book.Results("fleet") }() // while git is asked
	o, err := s.open(state)
	if err != nil {
		return nil, err
	}
	w, err := linesOf(o, <-kept)
	if err != nil {
		return nil, err
	}
	if err := w.all(step.of("reading engines")); err != nil {
		return nil, err
	}
	f := o.fleet()
	for i, one := range w.engines {
		f.Engines[i] = one.told
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
		if day = strings.TrimPrefix(state, "@"); !isDayForm(day) {
			day = m.commit.Committer.When.Format(time.DateOnly)
		}
	}
	date, _ := schema.ParseDate(day) // a day as just printed or matched
	return date
}

func inFleet(l *Loaded, bookRecord *record.Record, today schema.Date) *InFleet {
	f := &InFleet{Number: l.Place.Number, Problems: len(l.Problems)}
	if e := l.Engine; e != nil {
		f.Read, f.Title, f.Customer, f.Build = true, e.Title, e.Customer, e.Build
		if h, ok := e.HoursNow(); ok {
			f.Hours = &h
		}
		f.Verdicts = l.Figures.Count()
		f.stand(e, l.Guards, bookRecord, today)
	}
	return f
}

// stand works out where an engine stands.
func (f *InFleet) stand(e *record.Engine, guards []travel.Guard, bookRecord *record.Record, today schema.Date) {
	f.Standing, f.Since = history.StandingOf(e)
	_, f.Limits = limitSet(bookRecord, e)
	if since, ok := history.SinceDelivery(e); ok {
		f.SinceDelivery = &since
	}
	if word, ok := history.LastWord(e); ok {
		f.Word = &word
	}
	var opening *float64
	if interval := openingInterval(bookRecord, e); interval != nil {
		opening = &interval.Hours
	}
	f.Due = history.DueWork(e, guards, opening, today)
	if why := limitsUnsent(e); why != "" && f.Standing == history.Delivered {
		f.Due = append(f.Due, history.Due{What: "operating limits", Text: "not sent", Now: true, File: e.Spec.Path})
	}
}

// addAbsent adds the engines that the folder does not hold: those a sparse
// checkout keeps away, and those of which a build was sealed and that are gone.
func (s *Shop) addAbsent(f *Fleet) error {
	there := map[string]bool{}
	for _, one := range f.Engines {
		there[one.Number] = true
	}
	add := func(number string, standing history.Standing) {
		if !there[number] {
			there[number] = true
			f.Engines = append(f.Engines, &InFleet{Number: number, Standing: standing})
		}
	}
	places, err := s.Away()
	if err != nil {
		return err
	}
	for _, p := range places {
		add(p.Number, NotCheckedOut)
	}
	tags, err := s.Book.TagNames()
	if err != nil {
		f.Remarks = append(f.Remarks, "the tags that seal builds cannot be read, so an engine that is gone is not told: "+err.Error())
	}
	for _, tag := range tags {
		if number, _ := path.Split(strings.TrimPrefix(tag, book.BuildTags)); number != "" {
			add(strings.TrimSuffix(number, "/"), Removed)
		}
	}
	slices.SortStableFunc(f.Engines, func(a, b *InFleet) int { return strings.Compare(a.Number, b.Number) })
	return nil
}
