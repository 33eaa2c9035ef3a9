package act

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"stackbook/record/book"
	"stackbook/record/figure"
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
	s.Book.Prepare()
	if err := errors.Join(s.Book.CheckFolder(), s.signatures(&opts)); err != nil {
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
	filled, err := fill(folder, place, func(file string) bool {
		return slices.ContainsFunc(changes, func(c book.Change) bool { return c.Path == file && c.What == book.Added })
	})
	if err != nil {
		return nil, err
	}
	if changes, err = opts.add(place, changes, filled); err != nil {
		return nil, err
	}
	overlay := overlay{folder, filled}
	l, err := s.judge(overlay, rules, place)
	if err != nil {
		return nil, err
	}
	unseen, err := unseenByGit(l, rules, changes)
	if err != nil {
		return nil, err
	}
	if l.Problems = append(l.Problems, unseen...); len(l.Problems) > 0 {
		return nil, l.Problems
	}
	done := &Committed{Number: number, Build: l.Engine.Build, Loaded: l}
	edits, err := s.edits(l, overlay, rules, changes, done)
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

// judge loads an engine as a commit will hold it and finds all that stands
// against it, its attachments (R25) and its delivered builds (R18) among it.
func (s *Shop) judge(tree overlay, rules book.Tree, place Place) (*Loaded, error) {
	l, err := s.load(tree, rules, place, place.Number)
	if err != nil {
		return nil, err
	}
	l.checkAttachments(tree)
	closed, err := s.checkClosed(tree.Tree, l)
	if err != nil {
		return nil, err
	}
	l.Problems = append(l.Problems, closed...)
	l.Problems.Sort()
	return l, nil
}

// trailers adds engine, build and formula set to a message.
func trailers(message string, l *Loaded) string {
	return fmt.Sprintf("%s\n\nEngine: %s\nBuild: %d\nFormulas: %d\n", strings.TrimSpace(message), l.Engine.Number, l.Engine.Build, figure.FormulaSet)
}

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
