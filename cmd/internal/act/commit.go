package act

import (
	"bytes"
	"errors"
	"fmt"
	"path"
	"strings"

	"stackbook/record"
	"stackbook/record/book"
	"stackbook/record/figure"
	"stackbook/schema/problem"
	"stackbook/schema/source"
)

// Committed is what a commit did.
type Committed struct {
	Commit  book.Commit
	Number  string
	Build   int
	Paths   []string // files that went in
	Left    []string // files in the engine's folder that were left out
	Pending []string // edits of book.yaml and the limit sets, judged without
	Loaded  *Loaded
}

// CommitOptions says how to commit an engine.
type CommitOptions struct {
	Message           string
	Author, Committer book.Signature // empty: from git's configuration

	// files gives files of the engine that the commit puts into its folder, by
	// their paths in the book; it is asked anew when another commit came in
	// between.
	files func(place Place) (map[string][]byte, error)
}

const tries = 5

// Commit checks an engine's records, recomputes its figures and commits both.
// Records with problems stop it, as a problem.List; a failed verdict never
// does. Only the engine's own records go in (R10); book.yaml and the limit
// sets are those of the last commit (R3). When another commit came in between,
// everything is computed anew.
func (s *Shop) Commit(number string, opts CommitOptions) (*Committed, error) {
	if strings.TrimSpace(opts.Message) == "" {
		return nil, usage(`say it with: -m "what was done and why"`, "a commit needs a message")
	}
	if err := s.signatures(&opts); err != nil {
		return nil, err
	}
	for try := 1; ; try++ {
		done, err := s.tryCommit(number, opts)
		if !errors.Is(err, book.ErrMoved) || try == tries {
			return done, err
		}
	}
}

// signatures fills in author and committer from git's configuration.
func (s *Shop) signatures(opts *CommitOptions) (err error) {
	if opts.Author == (book.Signature{}) {
		if opts.Author, err = s.Book.Author(s.Now()); err != nil {
			return err
		}
	}
	if opts.Committer == (book.Signature{}) {
		opts.Committer, err = s.Book.Committer(s.Now())
	}
	return err
}

func (s *Shop) tryCommit(number string, opts CommitOptions) (*Committed, error) {
	folder := s.Book.Folder()
	place, err := FindEngine(folder, number)
	if err != nil {
		return nil, err
	}
	head, hasHead, err := s.Book.Head()
	if err != nil {
		return nil, err
	}
	rules := folder
	if hasHead {
		rules = s.Book.At(head)
	}
	changes, err := s.Book.Changes(place.Folder)
	if err != nil {
		return nil, err
	}
	named, filled, err := s.fill(place, changes)
	if err != nil {
		return nil, err
	}
	if changes, err = opts.add(place, changes, filled); err != nil {
		return nil, err
	}
	overlay := overlay{folder, filled}
	l, err := load(overlay, rules, place, number)
	if err != nil {
		return nil, err
	}
	closed, err := s.checkClosed(l)
	if err != nil {
		return nil, err
	}
	l.Problems = append(l.Problems, closed...)
	l.Problems.Sort()
	unseen, err := ignoredRecords(l, rules, changes)
	if err != nil {
		return nil, err
	}
	if l.Problems = append(l.Problems, unseen...); len(l.Problems) > 0 {
		return nil, l.Problems
	}
	done := &Committed{Number: number, Build: l.Engine.Build, Loaded: l}
	edits, err := s.edits(l, overlay, rules, changes, named, done)
	if err != nil {
		return nil, err
	}
	if done.Pending, err = s.pending(); err != nil {
		return nil, err
	}
	if err := s.private(edits, opts.Message); err != nil {
		return nil, err
	}
	done.Commit, err = s.Book.Commit(edits, book.CommitOptions{
		Message: trailers(opts.Message, l), Author: opts.Author, Committer: opts.Committer, Expect: head.Hash,
	})
	return done, err
}

// ignoredRecords names records that are neither in the last commit nor about to
// be: git ignores them, and figures computed from them would rest on nothing.
func ignoredRecords(l *Loaded, rules book.Tree, changes []book.Change) (problem.List, error) {
	if l.Engine == nil {
		return nil, nil
	}
	known := map[string]bool{}
	for _, c := range changes {
		known[c.Path] = true
	}
	for _, dir := range []string{l.Place.Folder, path.Join(l.Place.Folder, "measurements"), path.Join(l.Place.Folder, "changes")} {
		entries, err := list(rules, dir)
		if err != nil {
			return nil, err
		}
		for _, e := range entries {
			known[path.Join(dir, e.Name)] = true
		}
	}
	var problems problem.List
	for _, r := range l.Engine.Records() {
		if !known[r.Path] {
			problems = append(problems, problem.Problem{File: r.Path, Rule: "ignored", Message: "git ignores this record, so it would not be committed with the figures computed from it", Mend: "see which line does, and take it out: git check-ignore -v " + r.Path})
		}
	}
	return problems, nil
}

// trailers adds engine, build and formula set to a message.
func trailers(message string, l *Loaded) string {
	return fmt.Sprintf("%s\n\nEngine: %s\nBuild: %d\nFormulas: %d\n", strings.TrimSpace(message), l.Engine.Number, l.Engine.Build, figure.FormulaSet)
}

// overlay is the folder with some files as the commit will leave them.
type overlay struct {
	book.Tree
	files map[string][]byte
}

func (o overlay) Read(name string) ([]byte, error) {
	if data, ok := o.files[name]; ok {
		return data, nil
	}
	return o.Tree.Read(name)
}

// edits gathers what goes into the commit (R10): the records, what a record
// names, what is tracked already, and the figures.
func (s *Shop) edits(l *Loaded, tree overlay, rules book.Tree, changes []book.Change, named map[string]bool, done *Committed) ([]book.Edit, error) {
	var edits []book.Edit
	figures := path.Join(l.Place.Folder, "figures.yaml")
	for _, c := range changes {
		inFolder := strings.TrimPrefix(c.Path, l.Place.Folder+"/")
		switch {
		case c.Path == figures:
			continue
		case c.What == book.Deleted:
			edits = append(edits, book.Edit{Path: c.Path, Delete: true})
		case record.KindOf(inFolder) == "" && !c.Tracked && !named[inFolder]:
			done.Left = append(done.Left, c.Path)
			continue
		default:
			data, err := tree.Read(c.Path)
			if err != nil {
				return nil, err
			}
			_, written := tree.files[c.Path]
			edits = append(edits, book.Edit{Path: c.Path, Data: data, Write: written})
		}
		done.Paths = append(done.Paths, c.Path)
	}
	text, err := s.figures(l, rules)
	if err != nil {
		return nil, err
	}
	before, had, err := read(rules, figures)
	if err != nil {
		return nil, err
	}
	if !had || !bytes.Equal(before, text) {
		done.Paths = append(done.Paths, figures)
	}
	return append(edits, book.Edit{Path: figures, Data: text, Write: true}), nil
}

// figures is the new text of figures.yaml; one of a newer formula set is never
// written over, whether it lies in the folder or in the last commit, and even
// where it is malformed (R4).
func (s *Shop) figures(l *Loaded, rules book.Tree) ([]byte, error) {
	name := path.Join(l.Place.Folder, "figures.yaml")
	for _, tree := range []book.Tree{s.Book.Folder(), rules} {
		text, ok, err := read(tree, name)
		if err != nil {
			return nil, err
		}
		if newest := figure.NewestSet(text); ok && newest > figure.FormulaSet {
			return nil, &NewerError{fmt.Sprintf("the figures of %s were written with formula set %d, and this stackbook has %d", l.Engine.Number, newest, figure.FormulaSet)}
		}
	}
	return l.Figures.Encode(l.Stored), nil
}

// fill writes into sessions that are committed for the first time the serials
// of the parts they read, so that readings follow the part (R1). It gives the
// attachments that records name, and the files as they will be.
func (s *Shop) fill(place Place, changes []book.Change) (named map[string]bool, filled map[string][]byte, err error) {
	named, filled = map[string]bool{}, map[string][]byte{}
	files, err := gather(s.Book.Folder(), place.Folder)
	if err != nil {
		return nil, nil, err
	}
	e, _ := record.Load(place.Folder, files)
	if e == nil {
		return named, filled, nil
	}
	fresh := map[string]bool{}
	for _, c := range changes {
		fresh[c.Path] = c.What == book.Added
	}
	for _, session := range e.Sessions {
		attachments(session.Record, named)
		if !fresh[session.Path] || session.Build != e.Build {
			continue
		}
		text, err := withSerials(e, session)
		if err != nil {
			return nil, nil, err
		}
		if text != nil {
			filled[session.Path] = text
		}
	}
	for _, c := range e.Changes {
		attachments(c.Record, named)
	}
	attachments(e.Spec, named)
	return named, filled, nil
}

// attachments notes the files a record's photos name.
func attachments(r *record.Record, named map[string]bool) {
	n := r.Node("photos")
	if n == nil {
		return
	}
	for _, item := range n.Items() {
		if file := item.Get("file"); file != nil {
			named[path.Clean(file.Text())] = true
		}
	}
}

// withSerials is a session's text with the serials of the parts it read; nil
// when there is nothing to add. A part replaced since, by the records, is left
// out: the spec no longer tells what was read.
func withSerials(e *record.Engine, s *record.Session) ([]byte, error) {
	doc, added := s.Doc, []string{}
	for _, part := range partsRead(e, s) {
		next, err := addSerial(doc, part)
		if err != nil {
			return nil, problem.List{{File: s.Path, Rule: "edit", Message: "the serial of a part it read cannot be added: " + err.Error(), Mend: "add under parts: " + part.Position + ": " + source.Quote(part.Serial)}}
		}
		doc, added = next, append(added, part.Position)
	}
	if len(added) == 0 {
		return nil, nil
	}
	return doc.Text(), nil
}

// addSerial adds one line to a session's parts, which it begins if need be.
func addSerial(doc *source.Doc, part record.Part) (*source.Doc, error) {
	serial := source.Quote(part.Serial)
	if doc.Root().Get("parts") == nil {
		return doc.Insert(nil, "parts", "{"+part.Position+": "+serial+"}")
	}
	return doc.Insert([]string{"parts"}, part.Position, serial)
}

// partsRead lists the parts a session read that bear a serial it does not name
// yet.
func partsRead(e *record.Engine, s *record.Session) []record.Part {
	var parts []record.Part
	seen := map[string]bool{}
	for i := range s.Readings {
		position := s.Readings[i].Point.PartOf(s.Readings[i].Position)
		part, ok := e.PartAt(position)
		if !ok || part.Serial == "" || seen[position] || s.Serial(position) != "" || e.ReplacedSince(position, s.Date) {
			continue
		}
		seen[position] = true
		parts = append(parts, part)
	}
	return parts
}

// bookFiles are the files a commit of the book itself takes.
var bookFiles = []string{book.Marker, "limits", "parts", "schemas", ".gitattributes", ".gitignore"}

// pending lists edits of the book's own files, which the engine is not judged
// by until they are committed (R3).
func (s *Shop) pending() ([]string, error) {
	var paths []string
	for _, p := range bookFiles[:2] {
		changes, err := s.Book.Changes(p)
		if err != nil {
			return nil, err
		}
		for _, c := range changes {
			paths = append(paths, c.Path)
		}
	}
	return paths, nil
}

// CommitBook commits the book's own files: book.yaml, the limit sets, parts
// and schemas. Records with problems stop it.
func (s *Shop) CommitBook(opts CommitOptions) (*Committed, error) {
	if strings.TrimSpace(opts.Message) == "" {
		return nil, usage(`say it with: -m "what was done and why"`, "a commit needs a message")
	}
	if err := s.signatures(&opts); err != nil {
		return nil, err
	}
	head, _, err := s.Book.Head()
	if err != nil {
		return nil, err
	}
	if _, _, err := readBook(s.Book.Folder()); err != nil {
		return nil, err // of a newer dictionary: not ours to judge (R19)
	}
	edits, problems, err := s.bookEdits()
	if err != nil {
		return nil, err
	}
	if len(problems) > 0 {
		return nil, problems
	}
	done := &Committed{}
	for _, e := range edits {
		done.Paths = append(done.Paths, e.Path)
	}
	if len(edits) == 0 {
		return done, book.ErrNothing
	}
	if err := s.private(edits, opts.Message); err != nil {
		return nil, err
	}
	done.Commit, err = s.Book.Commit(edits, book.CommitOptions{Message: strings.TrimSpace(opts.Message) + "\n", Author: opts.Author, Committer: opts.Committer, Expect: head.Hash})
	return done, err
}

func (s *Shop) bookEdits() ([]book.Edit, problem.List, error) {
	var edits []book.Edit
	var problems problem.List
	folder := s.Book.Folder()
	for _, p := range bookFiles {
		changes, err := s.Book.Changes(p)
		if err != nil {
			return nil, nil, err
		}
		for _, c := range changes {
			if c.What == book.Deleted {
				edits = append(edits, book.Edit{Path: c.Path, Delete: true})
				continue
			}
			data, err := folder.Read(c.Path)
			if err != nil {
				return nil, nil, err
			}
			problems = append(problems, checkBookFile(c.Path, data)...)
			edits = append(edits, book.Edit{Path: c.Path, Data: data})
		}
	}
	problems.Sort()
	return edits, problems, nil
}

// checkBookFile checks a record that belongs to the book and not to an engine.
func checkBookFile(name string, data []byte) problem.List {
	f := record.File{Path: name, Data: data}
	if !strings.HasSuffix(name, ".yaml") {
		return nil
	}
	switch path.Dir(name) {
	case ".":
		_, problems := record.Read(f, "book", 0)
		return problems
	case "limits":
		set, problems := record.ReadLimits(f)
		if set != nil {
			problems = append(problems, unknownLimits(set)...)
		}
		return problems
	case "parts":
		_, problems := record.Read(f, "part", 0)
		return problems
	}
	return nil
}
