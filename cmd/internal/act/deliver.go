package act

import (
	"fmt"
	"path"
	"strconv"
	"strings"

	"stackbook/record"
	"stackbook/record/book"
	"stackbook/schema"
	"stackbook/schema/problem"
	"stackbook/schema/source"
)

// DeliverOptions says how to deliver an engine's build.
type DeliverOptions struct {
	Moment
	What              string // "delivered to C-03" when empty
	Receipt           string
	Message           string // of the commit
	Author, Committer book.Signature
}

// Closing is a build about to be delivered.
type Closing struct {
	Number    string
	Build     int
	Loaded    *Loaded
	Open      OpenPoints
	HoursFrom string // the record the hours were taken from, "" where they were given
	Written   bool   // the delivery is recorded already, and only its seal is missing

	options DeliverOptions
}

// Closing looks at the build of an engine that is to be delivered: what is open
// of it, and whether it can be. Records with problems are a problem.List; a
// build that was delivered and sealed already is a mistake in what was typed.
// Nothing is written.
func (s *Shop) Closing(number string, o DeliverOptions) (*Closing, error) {
	if err := s.complete(&o.Moment); err != nil {
		return nil, err
	}
	l, err := s.asCommit(number)
	if err != nil {
		return nil, err
	}
	e := l.Engine
	c := &Closing{Number: number, Build: e.Build, Loaded: l, options: o}
	if err := s.refuseSealed(c); err != nil {
		return nil, err
	}
	if c.Written = e.Delivered(e.Build) != nil; !c.Written {
		closed, err := s.checkClosed(s.Book.Folder(), l)
		if err != nil {
			return nil, err
		}
		l.Problems = append(l.Problems, closed...)
		l.Problems.Sort()
	}
	if len(l.Problems) > 0 {
		return nil, l.Problems
	}
	if c.Open = openOf(l); c.Written {
		return c, nil
	}
	if err := s.sealable(l.Place); err != nil {
		return nil, err
	}
	if err := afterRecords(e, o.Date); err != nil {
		return nil, err
	}
	if o.Hours == "" {
		from := mostHours(e)
		if from == nil {
			return nil, usage("write: --hours '65 h', and --hours-error '3 h' where they are not sure", "no record of build %d of %s tells the running hours", e.Build, number)
		}
		c.options.Hours, c.options.HoursError, c.HoursFrom = from.Text("hours"), from.Text("hours_error"), from.Path
	}
	return c, nil
}

// asCommit loads an engine's records in the folder as a commit would judge
// them: by the book.yaml and the limits of the last commit (R3).
func (s *Shop) asCommit(number string) (*Loaded, error) {
	folder := s.Book.Folder()
	place, err := FindEngine(folder, number)
	if err != nil {
		return nil, err
	}
	head, ok, err := s.Book.Head()
	if err != nil {
		return nil, err
	}
	if !ok {
		return nil, usage(`commit the book first: stackbook commit --book -m "..."`, "nothing is committed on this branch, and what is delivered rests on book.yaml")
	}
	l, err := s.load(folder, s.Book.At(head), place, number)
	if err != nil {
		return nil, err
	}
	if l.Engine == nil || l.Engine.Build < 1 || l.Engine.Build > 99 {
		return nil, l.Problems
	}
	return l, nil
}

// refuseSealed refuses a build that has its seal.
func (s *Shop) refuseSealed(c *Closing) error {
	tag, ok, err := s.tag(c.Number, c.Build)
	if err != nil || !ok {
		return err
	}
	d := c.Loaded.Engine.Delivered(c.Build)
	if d == nil {
		return problem.List{{File: c.Loaded.Place.Folder, Rule: "R2",
			Message: fmt.Sprintf("the tag %s seals build %d, and no delivery of it is written here", tag.Name, c.Build),
			Mend:    "put the delivery back from commit " + tag.Commit[:10] + ", or take the tag away and deliver again"}}
	}
	if tag.Tagger.Name == "" {
		return usage("take it away, and deliver makes the seal: git tag -d "+tag.Name, "build %d of %s was delivered on %s, and its tag is a plain one, without the sum of a seal", c.Build, c.Number, d.Date.Day())
	}
	return usage("open the next build with: stackbook reopen "+c.Number+" --why ...", "build %d of %s was delivered on %s", c.Build, c.Number, d.Date.Day())
}

// sealable refuses, before anything is committed, files that no seal can be
// worked from.
func (s *Shop) sealable(place Place) error {
	files, err := filesBelow(s.Book.Folder(), place.Folder)
	if err != nil {
		return err
	}
	for _, file := range sortedNames(files) {
		if err := oneLine(file); err != nil {
			return err
		}
	}
	return nil
}

// afterRecords refuses a delivery dated before what its build rests on (R18).
func afterRecords(e *record.Engine, date string) error {
	day := dayOf(date)
	for _, r := range e.Records()[1:] {
		if r.Number("build") != e.Build || r.AllowedLater() {
			continue
		}
		if of, ok := r.Date("date"); ok && of.Day() > day {
			return usage("write the day it was handed over: --date "+of.Day()+"; or mend the date of that record",
				"build %d of %s has a record of %s, %s, and the delivery would be of %s", e.Build, e.Number, of.Day(), r.Path, day)
		}
	}
	return nil
}

// mostHours is the record of the engine's build with the greatest running
// hours, nil where none tells them.
func mostHours(e *record.Engine) *record.Record {
	var most *record.Record
	greatest := -1.0
	for _, r := range e.Records()[1:] {
		if r.Number("build") != e.Build {
			continue
		}
		if q, _, ok := r.Quantity("hours"); ok && q.SI() > greatest {
			most, greatest = r, q.SI()
		}
	}
	return most
}

// Delivered is a build that was closed and sealed.
type Delivered struct {
	Engine    string
	Build     int
	Date      string
	Hours     string
	File      string // the delivery
	Commit    book.Commit
	Tag       string
	Sum       record.Sum
	Committed *Committed // nil where the delivery was committed before
}

// Deliver writes and commits the delivery, then seals the commit with a tag. A
// commit that is refused leaves the folder as it was. Where an earlier run
// ended between commit and tag, only the tag is made (R2).
func (s *Shop) Deliver(c *Closing) (*Delivered, error) {
	o := CommitOptions{Message: c.options.Message, Author: c.options.Author, Committer: c.options.Committer}
	if strings.TrimSpace(o.Message) == "" {
		o.Message = fmt.Sprintf("%s: build %d delivered", c.Number, c.Build)
	}
	if err := s.signatures(&o); err != nil {
		return nil, err
	}
	typed := map[string][]byte{}
	if !c.Written {
		o.files = func(place Place) (files map[string][]byte, err error) {
			files, err = s.deliveryFile(c, place)
			typed = files
			return files, err
		}
	}
	done, commit, err := s.deliveryCommit(c, o)
	if err != nil {
		return nil, asTyped(err, typed)
	}
	l, err := s.at(commit, c.Number, BuildName(c.Number, c.Build))
	if err != nil {
		return nil, err
	}
	if l.Engine == nil || l.Engine.Build != c.Build || l.Engine.Delivered(c.Build) == nil {
		return nil, append(l.Problems, tagAtOdds(Name{Engine: c.Number, Build: c.Build}, commit, l.Place.Folder))
	}
	written := l.Engine.Delivered(c.Build)
	d := &Delivered{Engine: c.Number, Build: c.Build, Date: written.Date.Day(), Hours: written.Hours(), File: written.Path,
		Commit: commit, Tag: TagName(c.Number, c.Build), Committed: done}
	if d.Sum, err = s.seal(c.Number, c.Build, commit, o.Committer); err != nil {
		return nil, fmt.Errorf("build %d of %s is delivered by commit %s, and its seal could not be made: %w; once that is mended: stackbook deliver %s",
			c.Build, c.Number, commit.Short(), err, c.Number)
	}
	return d, nil
}

// deliveryCommit gives the commit to seal: the one that first held the
// delivery, or one made now.
func (s *Shop) deliveryCommit(c *Closing, o CommitOptions) (*Committed, book.Commit, error) {
	if c.Written {
		first, ok, err := s.committedIn(c.Loaded.Engine.Delivered(c.Build))
		if err != nil || ok {
			return nil, first, err
		}
	}
	done, err := s.Commit(c.Number, o)
	if err != nil {
		return nil, book.Commit{}, s.otherwiseDelivered(c, err)
	}
	return done, done.Commit, nil
}

// otherwiseDelivered gives the reason why a delivery was refused: another run
// that delivered the same build meanwhile, else err.
func (s *Shop) otherwiseDelivered(c *Closing, err error) error {
	if now, failed := withoutSessions(s.Book.Folder(), c.Loaded.Place); c.Written || failed != nil || now == nil || now.Delivered(c.Build) == nil {
		return err
	}
	return usage("look at it: stackbook verify "+BuildName(c.Number, c.Build), "build %d of %s was delivered meanwhile, by another run", c.Build, c.Number)
}

// committedIn finds the commit that added a delivery: the first that holds it,
// and not one before it was taken back and written again. ok is false where the
// last commit does not hold it.
func (s *Shop) committedIn(d *record.Change) (first book.Commit, ok bool, err error) {
	log, err := s.Book.Log(d.Path)
	if err != nil {
		return first, false, err
	}
	for _, c := range log {
		hash, err := hashAt(s.Book.At(c), d.Path)
		if err != nil || hash == "" {
			return first, ok, err
		}
		if c.Cut {
			return first, false, &book.CutOffError{What: "which commit delivered this build", At: c}
		}
		first, ok = c, true
	}
	return first, ok, nil
}

// deliveryFile is the delivery as a change of the engine.
func (s *Shop) deliveryFile(c *Closing, place Place) (map[string][]byte, error) {
	what := c.options.What
	if what == "" {
		what = "delivered to " + orWord(c.Loaded.Engine.Customer, "the customer")
	}
	return s.newChange(place, c.Build, "delivery", c.options.Moment, [][2]string{{"what", what}, {"receipt", c.options.Receipt}})
}

func orWord(text, otherwise string) string {
	if text == "" {
		return otherwise
	}
	return text
}

// newChange is a change of an engine, by the path it will have; keys without a
// value are left out.
func (s *Shop) newChange(place Place, build int, kind string, m Moment, words [][2]string) (map[string][]byte, error) {
	date, err := schema.ParseDate(m.Date)
	if err != nil {
		return nil, err
	}
	file, err := freeName(s.Book.Folder(), path.Join(place.Folder, "changes"), func(n int) string {
		if n == 1 {
			return date.Day() + "-" + kind + ".yaml"
		}
		return date.Day() + "-" + kind + "-" + strconv.Itoa(n) + ".yaml"
	})
	if err != nil {
		return nil, err
	}
	var b strings.Builder
	fmt.Fprintf(&b, "%s\nformat: change/1\nengine: %s\nbuild: %d\ndate: %s\nkind: %s\n", schema.EditorHint("change", file), place.Number, build, m.Date, kind)
	words = append([][2]string{{"by", m.By}, {"hours", m.Hours}, {"hours_error", m.HoursError}}, words...)
	for _, w := range words {
		if w[1] != "" {
			fmt.Fprintf(&b, "%s: %s\n", w[0], source.Quote(w[1]))
		}
	}
	return map[string][]byte{file: []byte(b.String())}, nil
}
