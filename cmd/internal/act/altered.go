package act

import (
	"path"
	"strings"

	"stackbook/record/book"
)

// Alteration is a delivered file that is no longer as it was delivered, in the
// last commit or in the folder.
type Alteration struct {
	File    string
	What    string        // "was altered" or "is gone"
	Commits []book.Commit // that altered it, newest first
	Pending bool          // the folder holds an edit of it that is not committed
}

// alterations finds the delivered files that differ now, in the folder or in
// the last commit, and the commits that altered them. The spec of a build that
// was opened since is that build's, and is passed over.
func (s *Shop) alterations(d *delivery, since book.Commit) ([]Alteration, error) {
	changes, err := s.Book.Changes(d.now.Folder)
	if err != nil {
		return nil, err
	}
	pending := map[string]bool{}
	for _, c := range changes {
		pending[c.Path] = true
	}
	head, _, err := s.Book.Head()
	if err != nil {
		return nil, err
	}
	committed, err := filesBelow(s.Book.At(head), d.now.Folder)
	if err != nil {
		return nil, err
	}
	var list []Alteration
	for _, file := range sortedNames(d.files) {
		inFolder := strings.TrimPrefix(file, d.then.Folder+"/")
		if inFolder == "figures.yaml" || inFolder == "spec.yaml" && d.opened {
			continue
		}
		now := path.Join(d.now.Folder, inFolder)
		a := Alteration{File: now, Pending: pending[now]}
		if a.What, err = s.differs(d.folder, now, d.files[file]); err != nil {
			return nil, err
		}
		if committed[now] != d.files[file] {
			a.What = orWord(a.What, isAltered)
			if a.Commits, err = s.altering(now, d.files[file], since); err != nil {
				return nil, err
			}
		}
		if a.What != "" {
			list = append(list, a)
		}
	}
	return list, nil
}

// altering lists the commits since the delivery that made a file other than it
// was delivered, newest first.
func (s *Shop) altering(file, delivered string, since book.Commit) ([]book.Commit, error) {
	log, err := s.Book.Log(file)
	if err != nil {
		return nil, err
	}
	var commits []book.Commit
	for _, c := range log {
		hash, err := hashAt(s.Book.At(c), file)
		if err != nil {
			return nil, err
		}
		if hash == delivered || c.Hash == since.Hash {
			break
		}
		commits = append(commits, c)
	}
	return commits, nil
}
