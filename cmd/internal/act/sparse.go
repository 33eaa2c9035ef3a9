package act

import (
	"fmt"
	"path"
	"strings"

	"stackbook/record"
	"stackbook/record/book"
	"stackbook/schema/problem"
)

// addSparse is what to type for a folder that a sparse checkout leaves out.
func addSparse(folder string) string { return "git sparse-checkout add " + folder }

// Away lists the engines of the book that a sparse checkout keeps out of the
// folder altogether.
func (s *Shop) Away() ([]Place, error) { return away(s.Book.Folder()) }

func away(tree book.Tree) ([]Place, error) {
	files, err := tree.Skipped("engines")
	if err != nil {
		return nil, err
	}
	var places []Place
	var last Place // the files come by their names
	for _, file := range files {
		segments := strings.SplitN(file, "/", 4)
		if len(segments) < 4 {
			continue
		}
		p := Place{segments[2], path.Join(segments[:3]...)}
		if p == last {
			continue
		}
		last = p
		here, err := list(tree, p.Folder)
		if err != nil {
			return nil, err
		}
		if len(here) == 0 {
			places = append(places, p)
		}
	}
	return places, nil
}

// gatherWhole is gather of an engine that may be kept out of the folder: it is then
// as it was last committed.
func gatherWhole(tree book.Tree, folder string) ([]record.File, error) {
	files, _, err := gather(tree, folder)
	if err != nil || len(files) > 0 {
		return files, err
	}
	skipped, err := tree.Skipped(folder)
	if err != nil || len(skipped) == 0 {
		return nil, err
	}
	committed, ok, err := book.Behind(tree)
	if err != nil || !ok {
		return nil, err
	}
	files, _, err = gather(committed, folder)
	return files, err
}

// refuseAway says, of an engine that is not in the folder, that it is in the
// book all the same, where it is.
func refuseAway(tree book.Tree, number string) error {
	places, err := away(tree)
	if err != nil {
		return err
	}
	for _, p := range places {
		if p.Number == number {
			return fmt.Errorf("engine %s is in this book, but %s is not checked out here; type: %s", number, p.Folder, addSparse(p.Folder))
		}
	}
	return nil
}

// skippedRecords names the records of an engine that a sparse checkout keeps
// out of the folder: figures without them would rest on half the truth.
func skippedRecords(tree book.Tree, folder string) (problem.List, error) {
	files, err := tree.Skipped(folder)
	if err != nil {
		return nil, err
	}
	var problems problem.List
	for _, file := range files {
		if record.KindOf(strings.TrimPrefix(file, folder+"/")) != "" {
			problems = append(problems, problem.Problem{File: file, Rule: "sparse", Message: "this record is not checked out here", Mend: addSparse(folder)})
		}
	}
	return problems, nil
}
