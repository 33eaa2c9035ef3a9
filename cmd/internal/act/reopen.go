package act

import (
	"fmt"
	"maps"
	"path"
	"strconv"
	"strings"

	"stackbook/record"
	"stackbook/record/book"
	"stackbook/schema"
	"stackbook/schema/problem"
)

// ReopenOptions says how to open an engine's next build.
type ReopenOptions struct {
	Moment
	Why               string
	Message           string // of the commit
	Author, Committer book.Signature
}

// Reopened is a build that was opened.
type Reopened struct {
	Engine    string
	Build     int
	Files     []string // the spec, the teardown, and the sessions to fill in, in working order
	New       []string // positions of parts the spec still calls new
	Unsealed  bool     // the build before has no tag
	Committed *Committed
}

// teardownStages are the stages a rebuild begins with.
var teardownStages = []string{"as-received", "as-found", "after-cleaning"}

// Reopen opens the build after the one that was delivered: it raises build in
// the spec, no other byte of which changes, records the teardown, writes the
// three sessions of it with every line empty (R20), and commits all of that.
func (s *Shop) Reopen(number string, o ReopenOptions) (*Reopened, error) {
	if strings.TrimSpace(o.Why) == "" {
		return nil, usage(`write: --why "what the engine came back for"`, "a build is opened for a reason")
	}
	if err := s.complete(&o.Moment); err != nil {
		return nil, err
	}
	l, err := s.asCommit(number)
	if err != nil {
		return nil, err
	}
	done := &Reopened{Engine: number, Build: l.Engine.Build + 1, New: newParts(l.Engine)}
	if done.Unsealed, err = s.refuseOpen(l, o.Date); err != nil {
		return nil, err
	}
	if strings.TrimSpace(o.Message) == "" {
		o.Message = fmt.Sprintf("%s: build %d opened", number, done.Build)
	}
	typed := map[string][]byte{}
	done.Committed, err = s.Commit(number, CommitOptions{Message: o.Message, Author: o.Author, Committer: o.Committer,
		files: func(place Place) (files map[string][]byte, err error) {
			done.Files, files, err = s.teardown(place, o)
			typed = maps.Clone(files)
			delete(typed, path.Join(place.Folder, "spec.yaml")) // which is there
			return files, err
		}})
	return done, asTyped(err, typed)
}

// refuseOpen refuses an engine whose build is not delivered, was delivered
// later than the day it would be opened, or whose delivery is not committed:
// nothing could show what was delivered any more.
func (s *Shop) refuseOpen(l *Loaded, date string) (unsealed bool, err error) {
	e := l.Engine
	d := e.Delivered(e.Build)
	if d == nil {
		return false, usage("close it with: stackbook deliver "+e.Number, "build %d of %s is open: it was not delivered", e.Build, e.Number)
	}
	if dayOf(date) < d.Date.Day() {
		return false, usage("write the day it came back: --date "+d.Date.Day()+", or later", "build %d of %s was delivered on %s, and the next would be opened on %s", e.Build, e.Number, d.Date.Day(), dayOf(date))
	}
	if e.Build == 99 {
		return false, usage("", "build 99 of %s is the last there can be", e.Number)
	}
	head, ok, err := s.Book.Head()
	if err != nil {
		return false, err
	}
	if ok {
		if ok, err = holdsDelivery(s.Book.At(head), l.Place, e.Build); err != nil {
			return false, err
		}
	}
	if !ok {
		return false, usage("do that with: stackbook deliver "+e.Number, "the delivery of build %d of %s is not committed", e.Build, e.Number)
	}
	_, sealed, err := s.tag(e.Number, e.Build)
	return !sealed, err
}

// newParts lists the parts that the spec of a delivered build calls new.
func newParts(e *record.Engine) []string {
	var positions []string
	for _, p := range e.Parts() {
		if p.Origin == "new" {
			positions = append(positions, p.Position)
		}
	}
	return positions
}

// teardown is what opening a build writes: the files in the order a person
// looks at them, and their texts.
func (s *Shop) teardown(place Place, o ReopenOptions) (order []string, files map[string][]byte, err error) {
	records, _, err := gather(s.Book.Folder(), place.Folder)
	if err != nil {
		return nil, nil, err
	}
	e, problems := record.Load(place.Folder, records)
	if e == nil {
		return nil, nil, problems
	}
	build := e.Build + 1
	spec, err := e.Spec.Doc.SetRaw([]string{"build"}, strconv.Itoa(build))
	if err != nil {
		return nil, nil, problem.List{{File: e.Spec.Path, Rule: "edit", Message: "build cannot be raised here: " + err.Error(), Mend: "write it yourself: build: " + strconv.Itoa(build)}}
	}
	change, err := s.newChange(place, build, "teardown", o.Moment, [][2]string{{"what", fmt.Sprintf("opened for build %d", build)}, {"why", o.Why}})
	if err != nil {
		return nil, nil, err
	}
	files = map[string][]byte{e.Spec.Path: spec.Text()}
	maps.Copy(files, change)
	order = append([]string{e.Spec.Path}, sortedNames(change)...)
	for _, stage := range teardownStages {
		name, text, err := s.blankSession(e, build, stage, o.Moment, nil)
		if err != nil {
			return nil, nil, err
		}
		order, files[name] = append(order, name), text
	}
	return order, files, nil
}

// blankSession is an empty session of an engine and the path it will have, in
// the units the book shows: of some points, or nil for those of its stage.
func (s *Shop) blankSession(e *record.Engine, build int, stage string, m Moment, points []string) (file string, text []byte, err error) {
	bookRecord, _, err := readBook(s.Book.Folder())
	if err != nil {
		return "", nil, err
	}
	date, err := schema.ParseDate(m.Date)
	if err != nil {
		return "", nil, err
	}
	file, err = freeName(s.Book.Folder(), path.Join(e.Folder, "measurements"), func(n int) string {
		return record.SessionName(date, stage, m.By, n)
	})
	if err != nil {
		return "", nil, err
	}
	of, _ := schema.FindStage(stage)
	return file, e.BlankSession(record.Blank{Build: build, Stage: of, Date: date, By: m.By, Hours: m.Hours, HoursError: m.HoursError,
		Unit: displayOf(bookRecord).pointUnit, Points: points}), nil
}

// pointUnit is the unit a person of this book writes a point's readings in.
func (d Display) pointUnit(p *schema.Point) string {
	if symbol := Symbol(p.Unit, d.Unit(p.Unit, p.Dim)); symbol != "" {
		return symbol
	}
	return p.Unit
}
