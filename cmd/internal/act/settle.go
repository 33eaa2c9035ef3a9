package act

import (
	"bytes"
	"fmt"
	"slices"
	"strings"

	"stackbook/diff/merge"
	"stackbook/record/book"
)

// goOn ends a merge under way, as far as a person has settled it: records without
// marks are taken as they lie in the folder.
func (y *syncing) goOn() error {
	y.doing("going on with the merge")
	sides, err := y.shop.sidesOfMerge()
	if err != nil {
		return err
	}
	commits, err := y.shop.countCommits(sides.ours + ".." + sides.theirs)
	if err != nil {
		return err
	}
	if commits == 0 { // it was committed, and broken off before git had forgotten it
		return y.shop.Book.ForgetMerge()
	}
	theirs, err := y.received(commits, sides.base, sides.theirs)
	if err != nil {
		return err
	}
	between, err := y.shop.betweenFiles(book.Relation{Base: sides.base, Ours: sides.ours, Theirs: sides.theirs}, theirs)
	if err != nil {
		return err
	}
	if err := y.shop.follow(between); err != nil {
		return err
	}
	staged, err := y.shop.Book.Staged()
	if err != nil {
		return err
	}
	changed, err := staged.Changes()
	if err != nil {
		return err
	}
	if y.shop.takesNothing(staged, changed, between) {
		return fmt.Errorf("the merge under way takes in nothing of what came from there, as git leaves it when it was broken off; type: stackbook sync --back, and sync again (to leave their work out on purpose: git commit)")
	}
	settled, err := y.shop.settled(staged, changed)
	if err != nil {
		return err
	}
	if err := y.shop.Book.Add(settled); err != nil {
		return err
	}
	if staged, err = y.shop.Book.Staged(); err != nil {
		return err
	}
	y.asked = slices.DeleteFunc(slices.Clone(between.Outcomes), func(o merge.Outcome) bool { return !o.Conflict })
	return y.end(stillOpen(between.Outcomes, staged.Unmerged()))
}

// settled gives the files of a merge that a person has put right: the records
// that both sides wrote, once no mark stands in them, and what was mended since.
// A file that one side deleted, or that is no record, is for the person to add or
// take away.
func (s *Shop) settled(staged *book.Staged, changed []string) ([]string, error) {
	unmerged := staged.Unmerged()
	var files []string
	for _, file := range unique(append(changed, unmerged...)) {
		data, there, err := read(s.Book.Folder(), file)
		if err != nil {
			return nil, err
		}
		if !there || isMarked(data) {
			continue
		}
		if slices.Contains(unmerged, file) {
			_, ours, theirs, err := staged.Sides(file)
			if err != nil {
				return nil, err
			}
			if ours == nil || theirs == nil || !merge.IsRecord(file) {
				continue
			}
		}
		files = append(files, file)
	}
	return files, nil
}

// isMarked tells whether git's marks of a conflict stand in a text.
func isMarked(text []byte) bool {
	for line := range bytes.Lines(text) {
		for _, mark := range []string{"<<<<<<< ", ">>>>>>> "} {
			if bytes.HasPrefix(line, []byte(mark)) {
				return true
			}
		}
	}
	return false
}

// unsettled gives what git could not merge, with who wrote what. A figures.yaml
// is not among it: it is staged as one side has it, and computed anew (R7).
func (s *Shop) unsettled() (*Unsettled, error) {
	u := &Unsettled{}
	staged, err := s.Book.Staged()
	if err != nil {
		return nil, err
	}
	sides, err := s.sidesOfMerge()
	if err != nil {
		return nil, err
	}
	for _, file := range staged.Unmerged() {
		base, ours, theirs, err := staged.Sides(file)
		if err != nil {
			return nil, err
		}
		switch {
		case strings.HasSuffix(file, "/figures.yaml"):
			if err := s.takeFigures(file, ours, theirs); err != nil {
				return nil, err
			}
		case merge.IsRecord(file) && ours != nil && theirs != nil:
			values, err := sides.clashes(file, base, ours, theirs)
			if err != nil {
				return nil, err
			}
			u.Values = append(u.Values, values...)
		default:
			u.Files = append(u.Files, file)
		}
	}
	return u, nil
}

func (s *Shop) takeFigures(file string, ours, theirs []byte) error {
	if ours == nil {
		ours = theirs
	}
	if err := s.Book.Put([]book.Edit{{Path: file, Data: ours, Write: true}}); err != nil {
		return err
	}
	return s.Book.Add([]string{file})
}

// mergeSides are the two ends of a merge under way, and where they come from.
type mergeSides struct {
	book               *book.Book
	base, ours, theirs string
}

func (s *Shop) sidesOfMerge() (mergeSides, error) {
	m := mergeSides{book: s.Book}
	head, _, err := s.Book.Head()
	if err != nil {
		return m, err
	}
	m.ours = head.Hash
	if m.theirs, err = s.Book.MergedFrom(); err != nil || m.theirs == "" {
		return m, err
	}
	base, err := s.Book.Git("merge-base", m.ours, m.theirs)
	m.base = strings.TrimSpace(base)
	return m, err
}

// clashes finds the values of one record that a person must settle.
func (m mergeSides) clashes(file string, base, ours, theirs []byte) ([]Clash, error) {
	var clashes []Clash
	for _, c := range merge.Record(file, base, ours, theirs).Conflicts {
		clash := Clash{File: file, Conflict: c}
		var err error
		clash.OursBy, err = m.writer(m.ours, file, func(text []byte) bool { return says(merge.Record(file, base, text, theirs), c.Path, c.Ours, true) })
		if err != nil {
			return nil, err
		}
		clash.TheirsBy, err = m.writer(m.theirs, file, func(text []byte) bool { return says(merge.Record(file, base, ours, text), c.Path, c.Theirs, false) })
		if err != nil {
			return nil, err
		}
		clashes = append(clashes, clash)
	}
	return clashes, nil
}

// says tells whether a merge comes to this conflict, with this value on the side.
func says(r merge.Result, path, value string, ours bool) bool {
	return slices.ContainsFunc(r.Conflicts, func(c merge.Conflict) bool {
		return c.Path == path && (ours && c.Ours == value || !ours && c.Theirs == value)
	})
}

// writer gives the commit of one side from which on a file says what it says at
// its end.
func (m mergeSides) writer(end, file string, says func(text []byte) bool) (book.Commit, error) {
	commits, err := m.book.Between(m.base, end, file)
	if err != nil {
		return book.Commit{}, err
	}
	var since book.Commit
	for _, c := range slices.Backward(commits) {
		data, _, err := read(m.book.At(c), file)
		if err != nil {
			return since, err
		}
		if since.Hash != "" && !says(data) {
			return since, nil
		}
		since = c
	}
	return since, nil
}
