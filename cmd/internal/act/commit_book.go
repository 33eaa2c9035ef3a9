package act

import (
	"errors"
	"path"
	"strings"

	"stackbook/record"
	"stackbook/record/book"
	"stackbook/schema/problem"
)

// bookFiles are the files a commit of the book itself takes.
var bookFiles = []string{book.Marker, "limits", partsDir, "schemas", ".gitattributes", ".gitignore"}

// CommitBook commits the book's own files: book.yaml, the limit sets, parts
// and schemas. Records with problems stop it.
func (s *Shop) CommitBook(opts CommitOptions) (*Committed, error) {
	if strings.TrimSpace(opts.Message) == "" {
		return nil, usage(`say it with: -m "what was done and why"`, "a commit needs a message")
	}
	if err := errors.Join(s.Book.CheckFolder(), s.signatures(&opts)); err != nil {
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
			if found := unfit(err); found != nil {
				problems = append(problems, found...)
				continue
			}
			if err != nil {
				return nil, nil, err
			}
			problems = append(problems, checkBookFile(c.Path, data)...)
			edits = append(edits, book.Edit{Path: c.Path, Data: data})
		}
	}
	files, _, err := partFiles(folder)
	if err != nil {
		return nil, nil, err
	}
	problems = append(problems, record.SamePart(files)...)
	problems.Sort()
	return edits, problems, nil
}

// checkBookFile checks a record that belongs to the book and not to an engine.
func checkBookFile(name string, data []byte) problem.List {
	f := record.File{Path: name, Data: data}
	if deeper := strings.HasPrefix(path.Dir(name), partsDir+"/"); deeper || path.Dir(name) == partsDir && path.Ext(name) == ".yml" {
		return problem.List{strayPart(name)}
	}
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
	case partsDir:
		_, problems := record.ReadPart(f)
		return problems
	}
	return nil
}
