package act

import (
	"errors"
	"fmt"
	"path"
	"slices"
	"strings"

	"stackbook/record"
	"stackbook/record/book"
	"stackbook/schema"
	"stackbook/schema/problem"
)

// checkClosed holds an engine, in the folder or as it is staged, against its
// delivered builds (R18). From its delivery on, a build takes events, claims,
// notes and running sessions; until the next build is opened, no file that was
// delivered may be altered or gone, figures.yaml aside.
func (s *Shop) checkClosed(tree book.Tree, l *Loaded) (problem.List, error) {
	if l.Engine == nil {
		return nil, nil
	}
	var problems problem.List
	for build := 1; build <= min(l.Engine.Build, 99); build++ {
		d, err := s.delivery(tree, l.Engine, l.Place, build)
		if err != nil {
			return nil, err
		}
		if d == nil {
			continue
		}
		problems = append(problems, d.added(l.Engine)...)
		if build < l.Engine.Build {
			continue
		}
		altered, err := s.alteredSince(d)
		if err != nil {
			return nil, err
		}
		problems = append(problems, altered...)
	}
	return problems, nil
}

// delivery is a delivered build with the files of its engine's folder then.
type delivery struct {
	build  int
	date   string            // of the delivery change
	tag    string            // "" where no tag seals it
	tree   book.Tree         // as delivered
	folder book.Tree         // as it is now, or is staged
	now    Place             // where the engine lies now
	then   Place             // and lay then
	files  map[string]string // below the engine's folder, with git's names for their contents
	opened bool              // a later build is open
}

// delivery finds what was delivered of a build: the tree of its tag, or without
// one that of the last commit, if that holds the delivery. It is nil for a
// build that was not delivered, or by a tag that is not on a delivery (which is
// another finding).
func (s *Shop) delivery(tree book.Tree, e *record.Engine, now Place, build int) (*delivery, error) {
	tag := TagName(now.Number, build)
	c, sealed, err := s.Book.ResolveTag(tag)
	var none *book.NoCommitError
	if errors.As(err, &none) {
		return nil, nil // which is another finding
	}
	if err != nil {
		return nil, err
	}
	if !sealed {
		if tag = ""; e.Delivered(build) == nil {
			return nil, nil
		}
		head, ok, err := s.Book.Head()
		if err != nil || !ok {
			return nil, err
		}
		c = head
	}
	d := &delivery{build: build, tag: tag, tree: s.Book.At(c), folder: tree, now: now, opened: e.Build > build}
	if d.then, err = FindEngine(d.tree, now.Number); err != nil {
		return nil, nil // it was not there: the tag is on another commit, or nothing was committed yet
	}
	then, err := withoutSessions(d.tree, d.then)
	if err != nil {
		return nil, err
	}
	if then == nil || then.Delivered(build) == nil || then.Build < build || sealed && then.Build > build {
		return nil, nil
	}
	if e.Delivered(build) == nil {
		older, err := s.before(then.Delivered(build).Path)
		if err != nil || older {
			return nil, err // the folder is a state from before the delivery
		}
	}
	d.date = then.Delivered(build).Date.Day()
	d.files, err = filesBelow(d.tree, d.then.Folder)
	return d, err
}

// before tells whether the last commit does not hold a delivery: an older state
// is checked out, or another branch.
func (s *Shop) before(delivery string) (bool, error) {
	head, ok, err := s.Book.Head()
	if err != nil || !ok {
		return true, err
	}
	hash, err := hashAt(s.Book.At(head), delivery)
	return hash == "", err
}

// withoutSessions reads an engine's spec and changes alone, which tell its
// builds; nil where the spec cannot be read.
func withoutSessions(tree book.Tree, place Place) (*record.Engine, error) {
	files, _, err := gather(tree, place.Folder)
	if err != nil {
		return nil, err
	}
	files = slices.DeleteFunc(files, func(f record.File) bool { return path.Base(path.Dir(f.Path)) == "measurements" })
	e, _ := record.Load(place.Folder, files)
	return e, nil
}

// inFolder is a file of the book as seen from the engine's folder now.
func (d *delivery) inFolder(file string) string { return strings.TrimPrefix(file, d.now.Folder+"/") }

// delivered tells whether a file of the folder now was there at the delivery.
func (d *delivery) delivered(file string) bool {
	_, ok := d.files[path.Join(d.then.Folder, d.inFolder(file))]
	return ok
}

// added finds records of the build that came after its delivery and that it
// takes no more.
func (d *delivery) added(e *record.Engine) problem.List {
	var problems problem.List
	for _, r := range e.Records()[1:] {
		if r.Number("build") != d.build || d.delivered(r.Path) || r.AllowedLater() || !isKnown(r) {
			continue
		}
		n := r.Node("build")
		problems = append(problems, problem.Problem{File: r.Path, Line: n.Line(), Column: n.Column(), Rule: "R18",
			Message: fmt.Sprintf("build %d was delivered on %s; since then it takes events, claims, notes and running sessions only", d.build, d.date),
			Mend:    d.mend(e)})
	}
	return problems
}

// isKnown tells whether a record's kind or stage is one of the dictionary's;
// what is not is another finding.
func isKnown(r *record.Record) bool {
	if r.Kind == "change" {
		return schema.FindChangeKind(r.Text("kind")) != nil
	}
	stage, _ := schema.FindStage(r.Text("stage"))
	return stage != nil
}

// mend says what would be right for a record that a delivered build does not
// take.
func (d *delivery) mend(e *record.Engine) string {
	if d.opened {
		return fmt.Sprintf("write build: %d, which is open", e.Build)
	}
	return fmt.Sprintf("open the next build for it: stackbook reopen %s --why ..., then write build: %d", e.Number, d.build+1)
}

// alteredSince finds the delivered files that the folder no longer holds as
// they were delivered.
func (s *Shop) alteredSince(d *delivery) (problem.List, error) {
	var problems problem.List
	for _, file := range sortedNames(d.files) {
		state, err := s.compare(d, file)
		if err != nil {
			return nil, err
		}
		if state == "" {
			continue
		}
		now := path.Join(d.now.Folder, strings.TrimPrefix(file, d.then.Folder+"/"))
		problems = append(problems, problem.Problem{File: now, Rule: "R18",
			Message: fmt.Sprintf("build %d was delivered on %s, and this file %s since", d.build, d.date, state),
			Mend:    d.putBack(file) + ", or open the next build: stackbook reopen " + d.now.Number + " --why ..."})
	}
	return problems, nil
}

func (d *delivery) putBack(file string) string {
	rev := d.tag
	if rev == "" {
		rev = "HEAD"
	}
	return "put it back: git checkout " + rev + " -- " + file
}

// The ways a delivered file can differ.
const (
	isAltered = "was altered"
	isGone    = "is gone"
)

// compare tells how the folder differs from a delivered file, "" where it does
// not, and where that is of no account.
func (s *Shop) compare(d *delivery, file string) (string, error) {
	inFolder := strings.TrimPrefix(file, d.then.Folder+"/")
	if inFolder == "figures.yaml" {
		return "", nil
	}
	what, err := s.differs(d.folder, path.Join(d.now.Folder, inFolder), d.files[file])
	if err != nil || what != "" && d.tag == "" && d.maybeLater(file) {
		return "", err
	}
	return what, nil
}

// differs tells how a file of the folder differs from the content git has that
// name for, "" where it does not. Only what seems to differ is put to the book,
// which knows of conversions and of files not checked out; what is staged knows
// neither.
func (s *Shop) differs(folder book.Tree, file, hash string) (string, error) {
	data, there, unreadable := read(folder, file)
	if there && s.Book.Hash(data) == hash {
		return "", nil
	}
	if _, staged := folder.(*book.Staged); !staged {
		if unaltered, err := s.asCommitted(file, hash); err != nil || unaltered {
			return "", err
		}
	}
	switch {
	case !there && unreadable == nil:
		return isGone, nil
	}
	return isAltered, nil
}

// maybeLater tells whether a file of the last commit, which stands in for a
// seal, may have been added after the delivery.
func (d *delivery) maybeLater(file string) bool {
	kind := record.KindOf(strings.TrimPrefix(file, d.then.Folder+"/"))
	data, err := d.tree.Read(file)
	if err != nil || kind == "" {
		return false
	}
	r, _ := record.Read(record.File{Path: file, Data: data}, kind, 0)
	return r != nil && r.AllowedLater()
}

// asCommitted tells whether the last commit holds this content at a path and
// the folder holds what that commit does.
func (s *Shop) asCommitted(file, hash string) (bool, error) {
	head, ok, err := s.Book.Head()
	if err != nil || !ok {
		return false, err
	}
	if at, err := hashAt(s.Book.At(head), file); err != nil || at != hash {
		return false, err
	}
	changes, err := s.Book.Changes(file)
	return len(changes) == 0, err
}

// hashAt is git's name for the file at a path of a commit's tree, "" where
// there is none.
func hashAt(tree book.Tree, file string) (string, error) {
	entries, err := list(tree, path.Dir(file))
	if err != nil {
		return "", err
	}
	for _, e := range entries {
		if e.Name == path.Base(file) && !e.Dir {
			return e.Hash, nil
		}
	}
	return "", nil
}

func sortedNames[V any](files map[string]V) []string {
	names := make([]string, 0, len(files))
	for name := range files {
		names = append(names, name)
	}
	slices.Sort(names)
	return names
}
