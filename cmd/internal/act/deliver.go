package act

import (
	"fmt"
	"path"
	"strconv"
	"strings"
	"unicode"

	"stackbook/record"
	"stackbook/record/book"
	"stackbook/schema"
	"stackbook/schema/problem"
	"stackbook/schema/quantity"
	"stackbook/schema/source"
)

// Moment is who did something to an engine, when, and at how many hours.
type Moment struct {
	By         string // initials; from git's user name when empty
	Date       string // today when empty
	Hours      string // "65 h"
	HoursError string // "3 h"
}

// complete fills in what was left out and checks what was not.
func (s *Shop) complete(m *Moment) error {
	if m.Date == "" {
		m.Date = s.Now().Format("2006-01-02")
	}
	date, err := schema.ParseDate(m.Date)
	if err != nil {
		return usage("write: --date 2024-03-02, or --date '2024-03-02 14:30'", "%s", err.Error())
	}
	m.Date = date.String()
	for _, amount := range []struct{ option, text string }{{"hours", m.Hours}, {"hours-error", m.HoursError}} {
		if amount.text == "" {
			continue
		}
		if _, err := quantity.Parse(amount.text, quantity.Time, "h"); err != nil {
			return usage("write it like: --"+amount.option+" '65 h'", "--%s: %s", amount.option, err.Error())
		}
	}
	if strings.TrimSpace(m.By) == "" {
		who, err := s.Book.Author(s.Now())
		if err != nil {
			return err
		}
		m.By = initials(who.Name)
	}
	return nil
}

// initials are the first letters of a name; one short word is initials already.
func initials(name string) string {
	words := strings.FieldsFunc(name, func(r rune) bool { return unicode.IsSpace(r) || r == '-' || r == '.' })
	if len(words) == 1 && len(words[0]) <= 3 {
		return strings.ToUpper(words[0])
	}
	letters := ""
	for _, w := range words {
		letters += strings.ToUpper(string([]rune(w)[:1]))
	}
	return letters
}

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
	rules := folder
	head, ok, err := s.Book.Head()
	if err != nil {
		return nil, err
	}
	if ok {
		rules = s.Book.At(head)
	}
	l, err := load(folder, rules, place, number)
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
	tag, ok, err := s.Book.Tag(TagName(c.Number, c.Build))
	if err != nil || !ok {
		return err
	}
	d := c.Loaded.Engine.Delivered(c.Build)
	if d == nil {
		return problem.List{{File: c.Loaded.Place.Folder, Rule: "R2",
			Message: fmt.Sprintf("the tag %s seals build %d, and no delivery of it is written here", tag.Name, c.Build),
			Mend:    "put the delivery back from commit " + tag.Commit[:10] + ", or take the tag away and deliver again"}}
	}
	return usage("open the next build with: stackbook reopen "+c.Number+" --why ...", "build %d of %s was delivered on %s", c.Build, c.Number, d.Date.Day())
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
	if !c.Written {
		o.files = func(place Place) (map[string][]byte, error) { return s.deliveryFile(c, place) }
	}
	done, commit, err := s.deliveryCommit(c, o)
	if err != nil {
		return nil, err
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
	d.Sum, err = s.seal(c.Number, c.Build, commit, o.Committer)
	return d, err
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
		return nil, book.Commit{}, err
	}
	return done, done.Commit, nil
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
