package act

import (
	"errors"
	"path"
	"slices"
	"strings"

	"stackbook/diff/merge"
	"stackbook/record/book"
	"stackbook/schema/problem"
)

// betweenFiles finds what lies between the files of the two sides, such as a
// build delivered on one and altered on the other. It looks at the engines that
// either side touched, whole, and at the book's own files.
func (s *Shop) betweenFiles(r book.Relation, theirs []string) (merge.FilesResult, error) {
	ours, err := s.Book.Differing(r.Base, r.Ours)
	if err != nil {
		return merge.FilesResult{}, err
	}
	touched := map[string]bool{book.Marker: true}
	for _, file := range append(ours, theirs...) {
		if steps := strings.SplitN(file, "/", 4); len(steps) == 4 && steps[0] == "engines" {
			file = path.Join(steps[:3]...)
		}
		touched[file] = true
	}
	var sides [3]map[string][]byte
	for i, rev := range []string{r.Base, r.Ours, r.Theirs} {
		c, err := s.Book.Resolve(rev)
		if err != nil {
			return merge.FilesResult{}, err
		}
		if sides[i], err = allBelow(s.Book.At(c), touched); err != nil {
			return merge.FilesResult{}, err
		}
	}
	return merge.Files(sides[0], sides[1], sides[2]), nil
}

// allBelow reads files, and all files of folders, where they are there.
func allBelow(tree book.Tree, names map[string]bool) (map[string][]byte, error) {
	files := map[string][]byte{}
	for _, name := range sortedNames(names) {
		inside, err := filesBelow(tree, name)
		if err != nil {
			return nil, err
		}
		if len(inside) == 0 {
			inside[name] = ""
		}
		for file := range inside {
			data, there, err := read(tree, file)
			if err != nil && unfit(err) == nil {
				return nil, err
			}
			if there {
				files[file] = data
			}
		}
	}
	return files, nil
}

// follow brings what git left in the folder an engine was moved from to where the
// engine is now: git merges files by their paths, and a session that the other
// side added there belongs to the engine (merge.Moved).
func (s *Shop) follow(between merge.FilesResult) error {
	var edits []book.Edit
	var touched []string
	for _, o := range between.Outcomes {
		if o.Name != merge.Moved {
			continue
		}
		staged, err := s.Book.Staged()
		if err != nil {
			return err
		}
		from, to := o.Paths[0], o.Paths[1]
		for _, file := range staged.All(from) {
			now := to + strings.TrimPrefix(file, from)
			i := slices.IndexFunc(between.Files, func(f merge.File) bool { return f.Path == now })
			if i < 0 || len(between.Files[i].Conflicts) > 0 {
				continue // git's own merge has it, or a person must look at it
			}
			if f := between.Files[i]; !f.Gone {
				edits = append(edits, book.Edit{Path: now, Data: f.Text, Write: true})
				touched = append(touched, now)
			}
			edits = append(edits, book.Edit{Path: file, Delete: true, Write: true})
			touched = append(touched, file)
		}
	}
	if err := s.Book.Put(edits); err != nil {
		return err
	}
	return s.Book.Add(touched)
}

// takesNothing tells whether a merge under way is as if they had written nothing:
// what is staged is the last commit, and something of theirs is in no conflict with
// it. Git leaves such a merge behind where it could not write its index, and one
// that goes on from there leaves out all their work.
func (s *Shop) takesNothing(staged *book.Staged, changed []string, between merge.FilesResult) bool {
	if len(changed)+len(staged.Unmerged()) > 0 {
		return false
	}
	return slices.ContainsFunc(between.Files, func(f merge.File) bool {
		asked := slices.ContainsFunc(between.Outcomes, func(o merge.Outcome) bool { return o.Conflict && within(f.Path, o.Paths) })
		return len(f.Conflicts) == 0 && !asked && path.Base(f.Path) != "figures.yaml"
	})
}

// mergeStaged refuses the commit of a merge under way that takesNothing, or that
// holds half an engine.
func (s *Shop) mergeStaged(staged *book.Staged, changed []string) error {
	if !s.Book.Merging() {
		return nil
	}
	sides, err := s.sidesOfMerge()
	if err != nil {
		return err
	}
	theirs, err := s.Book.Differing(sides.base, sides.theirs)
	if err != nil {
		return err
	}
	between, err := s.betweenFiles(book.Relation{Base: sides.base, Ours: sides.ours, Theirs: sides.theirs}, theirs)
	if err != nil {
		return err
	}
	if s.takesNothing(staged, changed, between) {
		return errors.New("this merge takes in nothing of their work, as git leaves it when it could not write what it merged; type: git merge --abort, and merge again")
	}
	var problems problem.List
	for _, o := range between.Outcomes {
		if o.Name != merge.DeletedEdited || merge.IsRecord(o.Paths[0]) {
			continue
		}
		half, err := s.isHalf(staged, o.Paths[0], sides)
		if err != nil {
			return err
		}
		if half {
			problems = append(problems, problem.Problem{File: o.Paths[0], Rule: "merge", Message: o.Message + ", and part of it is staged", Mend: o.Mend})
		}
	}
	return problems.Err()
}

// isHalf tells whether an engine that one side deleted is staged, and not all of it
// that the other side has.
func (s *Shop) isHalf(staged *book.Staged, folder string, sides mergeSides) (bool, error) {
	now := staged.All(folder)
	if len(now) == 0 {
		return false, nil
	}
	for _, rev := range []string{sides.ours, sides.theirs} {
		c, err := s.Book.Resolve(rev)
		if err != nil {
			return false, err
		}
		kept, err := filesBelow(s.Book.At(c), folder)
		if err != nil {
			return false, err
		}
		for file := range kept {
			if !slices.Contains(now, file) {
				return true, nil
			}
		}
	}
	return false, nil
}

// take notes an outcome that a person must settle. One about an engine's folder,
// moved two ways or deleted, stands for the files in it.
func (u *Unsettled) take(o merge.Outcome) {
	u.Outcomes = append(u.Outcomes, o)
	if o.Name != merge.MovedTwoWays && o.Name != merge.DeletedEdited {
		return
	}
	inside := func(file string) bool { return within(file, o.Paths) && !slices.Contains(o.Paths, file) }
	u.Files = slices.DeleteFunc(u.Files, inside)
	u.Values = slices.DeleteFunc(u.Values, func(c Clash) bool { return inside(c.File) })
}

// within tells whether a file is one of these, or in a folder that is.
func within(file string, names []string) bool {
	return slices.ContainsFunc(names, func(name string) bool { return file == name || strings.HasPrefix(file, name+"/") })
}

// stillOpen leaves of outcomes those that are only to be told, and those about
// files that are unmerged yet.
func stillOpen(outcomes []merge.Outcome, unmerged []string) []merge.Outcome {
	return slices.DeleteFunc(outcomes, func(o merge.Outcome) bool {
		return o.Conflict && !slices.ContainsFunc(unmerged, func(file string) bool { return within(file, o.Paths) })
	})
}
