// Package act is what the commands do, as functions with typed results and no
// streams: the command line and the demo share them. Time, author and
// environment come in as values.
package act

import (
	"errors"
	"fmt"
	"io/fs"
	"path"
	"slices"
	"sort"
	"strings"
	"time"
	"unicode/utf8"

	"stackbook/record"
	"stackbook/record/book"
	"stackbook/schema"
	"stackbook/schema/problem"
)

// UsageError is a mistake in what was typed.
type UsageError struct{ Message, Mend string }

func (e *UsageError) Error() string {
	if e.Mend == "" {
		return e.Message
	}
	return e.Message + "; " + e.Mend
}

func usage(mend, format string, args ...any) error {
	return &UsageError{Message: fmt.Sprintf(format, args...), Mend: mend}
}

// Shop is an open book with the clock of the caller.
type Shop struct {
	Book *book.Book
	Now  func() time.Time

	// Where many states are read, what several of them have in common is kept;
	// nil keeps nothing.
	kept   *keptRules
	memory *record.Memory
	place  Place // of the engine that is read: where it is looked for first
}

// Open finds the book that holds a folder.
func Open(dir string, now func() time.Time, opts ...book.Option) (*Shop, error) {
	b, err := book.Find(dir, opts...)
	if err != nil {
		return nil, err
	}
	return &Shop{Book: b, Now: now}, nil
}

// Place is where an engine lies in a tree.
type Place struct {
	Number string
	Folder string // engines/2024/SK-07
}

// Engines lists the engines of a tree by number, and what is wrong with their
// folders: each is exactly engines/GROUP/NUMBER/, and a number is present once,
// whatever its capitals (R11).
func Engines(tree book.Tree) ([]Place, problem.List, error) {
	groups, err := list(tree, "engines")
	if problems := unfit(err); problems != nil {
		return nil, problems, nil
	}
	if err != nil {
		return nil, nil, err
	}
	var places []Place
	var problems problem.List
	for _, g := range groups {
		if g.Name == "spec.yaml" {
			problems = append(problems, misplaced("engines", "NUMBER"))
		}
		if !g.Dir {
			problems = append(problems, odd(g, path.Join("engines", g.Name))...)
			continue
		}
		numbers, err := list(tree, path.Join("engines", g.Name))
		if err != nil {
			return nil, nil, err
		}
		for _, n := range numbers {
			if n.Name == "spec.yaml" {
				problems = append(problems, misplaced(path.Join("engines", g.Name), g.Name))
			}
			if !n.Dir {
				problems = append(problems, odd(n, path.Join("engines", g.Name, n.Name))...)
				continue
			}
			places = append(places, Place{n.Name, path.Join("engines", g.Name, n.Name)})
		}
	}
	sort.SliceStable(places, func(i, j int) bool { return places[i].Number < places[j].Number })
	return places, append(problems, twice(places)...), nil
}

// misplaced is an engine whose folder is not engines/GROUP/NUMBER.
func misplaced(folder, number string) problem.Problem {
	return problem.Problem{File: path.Join(folder, "spec.yaml"), Rule: "R11",
		Message: "this engine is not seen: an engine's folder is engines/GROUP/NUMBER, neither deeper nor shallower", Mend: "move its folder to engines/YEAR/" + number}
}

// twice names the folders that claim one number.
func twice(places []Place) problem.List {
	var problems problem.List
	first := map[string]string{}
	for _, p := range places {
		key := strings.ToUpper(p.Number)
		if before, ok := first[key]; ok {
			problems = append(problems, problem.Problem{File: p.Folder, Rule: "R11",
				Message: fmt.Sprintf("engine %s is here and in %s", p.Number, before), Mend: "a number belongs to one engine: give one of them another"})
		}
		first[key] = p.Folder
	}
	return problems
}

// list lists a folder; one that is not there is empty.
func list(tree book.Tree, dir string) ([]book.Entry, error) {
	entries, err := tree.List(dir)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	return entries, err
}

// FindEngine finds an engine's folder by its number.
func FindEngine(tree book.Tree, number string) (Place, error) {
	if place, ok := findQuickly(tree, number); ok {
		return place, nil
	}
	places, problems, err := Engines(tree)
	if err != nil {
		return Place{}, err
	}
	if err := schema.CheckNumber(number); err != nil {
		return Place{}, usage(numberMend(number, places), "%s", err.Error())
	}
	var known []string
	var found []Place
	for _, p := range places {
		known = append(known, p.Number)
		if p.Number == number {
			found = append(found, p)
		}
	}
	switch {
	case len(found) == 1:
		return found[0], nil
	case len(found) > 1 || len(places) == 0 && len(problems) > 0:
		return Place{}, problems
	}
	if err := refuseAway(tree, number); err != nil {
		return Place{}, err
	}
	return Place{}, usage(engineMend(number, known), "there is no engine %s in this book", number)
}

// findQuickly finds an engine that is in one group alone, without reading the
// others: there may be thousands in each. Whatever else is to be said of a
// number needs a look at all.
func findQuickly(tree book.Tree, number string) (place Place, ok bool) {
	quick, can := tree.(interface{ IsFolder(path string) bool })
	groups, err := list(tree, "engines")
	if !can || err != nil || schema.CheckNumber(number) != nil {
		return Place{}, false
	}
	var found []string
	for _, g := range groups {
		if g.Dir && quick.IsFolder(path.Join("engines", g.Name, number)) {
			found = append(found, path.Join("engines", g.Name))
		}
	}
	if len(found) != 1 {
		return Place{}, false
	}
	entries, err := list(tree, found[0])
	ok = err == nil && slices.ContainsFunc(entries, func(e book.Entry) bool { return e.Name == number && e.Dir })
	return Place{number, path.Join(found[0], number)}, ok
}

// numberMend names the engine meant when only the capitals are wrong.
func numberMend(number string, places []Place) string {
	for _, p := range places {
		if strings.EqualFold(p.Number, number) {
			return "did you mean " + p.Number + "?"
		}
	}
	return ""
}

func engineMend(number string, known []string) string {
	if near := schema.Nearest(number, known); near != "" {
		return "did you mean " + near + "?"
	}
	if len(known) == 0 {
		return "enrol one with: stackbook enrol " + number
	}
	return "the book holds " + Some(known, 8)
}

// Some names the first few words of a list, and how many more there are.
func Some(words []string, most int) string {
	if len(words) <= most {
		return strings.Join(words, ", ")
	}
	return fmt.Sprintf("%s and %d more", strings.Join(words[:most], ", "), len(words)-most)
}

// EngineAt is the number of the engine whose folder holds dir, "" where none
// does.
func (s *Shop) EngineAt(dir string) string {
	rel, err := s.Book.Rel(dir)
	if err != nil {
		return ""
	}
	segments := strings.Split(rel, "/")
	if len(segments) < 3 || segments[0] != "engines" {
		return ""
	}
	return segments[2]
}

// strays names what lies among the records and is read by nobody: a record
// under another ending or a folder deeper would be missed without a word, and
// so would an engine that lies within another folder.
func strays(tree book.Tree, folder string) (problem.List, error) {
	problems, err := tooDeep(tree, folder, false)
	if err != nil {
		return nil, err
	}
	for _, dir := range []string{"measurements", "changes"} {
		entries, err := list(tree, path.Join(folder, dir))
		if unfit(err) != nil {
			continue // told where the records are gathered
		}
		if err != nil {
			return nil, err
		}
		for _, e := range entries {
			if name := path.Join(folder, dir, e.Name); e.Dir || path.Ext(e.Name) == ".yml" {
				problems = append(problems, problem.Problem{File: name, Rule: "stray", Message: "nothing here is read: records lie in " + dir + "/ itself and end in .yaml", Mend: "move or rename it"})
			}
		}
	}
	return problems, nil
}

// tooDeep names the engines that lie below an engine's folder (R11).
func tooDeep(tree book.Tree, folder string, below bool) (problem.List, error) {
	entries, err := list(tree, folder)
	if unfit(err) != nil {
		return nil, nil // told where the records are gathered
	}
	if err != nil {
		return nil, err
	}
	var problems problem.List
	for _, e := range entries {
		if below && e.Name == "spec.yaml" {
			problems = append(problems, misplaced(folder, path.Base(folder)))
		}
		if e.Dir {
			deeper, err := tooDeep(tree, path.Join(folder, e.Name), true)
			if err != nil {
				return nil, err
			}
			problems = append(problems, deeper...)
		}
	}
	return problems, nil
}

// gather reads the records of an engine's folder. What lies in a record's place
// and is none is a finding; the others are read all the same.
func gather(tree book.Tree, folder string) ([]record.File, problem.List, error) {
	var files []record.File
	var problems problem.List
	top, err := list(tree, folder)
	if err != nil {
		return nil, nil, err
	}
	for _, e := range top {
		name := path.Join(folder, e.Name)
		switch {
		case e.Name == "spec.yaml":
			err = gatherFile(tree, name, &files, &problems)
		case e.Name != "measurements" && e.Name != "changes":
		case e.Dir:
			err = gatherFolder(tree, name, &files, &problems)
		default:
			problems = append(problems, notFolder(name))
		}
		if err != nil {
			return nil, nil, err
		}
	}
	return files, problems, nil
}

// readEngine reads the records of an engine, unjudged; nil where its spec cannot
// be read.
func readEngine(tree book.Tree, place Place) (*record.Engine, error) {
	files, _, err := gather(tree, place.Folder)
	if err != nil {
		return nil, err
	}
	e, _ := record.Load(place.Folder, files)
	return e, nil
}

func gatherFolder(tree book.Tree, dir string, files *[]record.File, problems *problem.List) error {
	entries, err := list(tree, dir)
	if err != nil {
		return err
	}
	for _, e := range entries {
		if path.Ext(e.Name) != ".yaml" || e.Dir {
			continue
		}
		if err := gatherFile(tree, path.Join(dir, e.Name), files, problems); err != nil {
			return err
		}
	}
	return nil
}

func gatherFile(tree book.Tree, name string, files *[]record.File, problems *problem.List) error {
	if !utf8.ValidString(name) {
		*problems = append(*problems, badName(name))
		return nil
	}
	data, err := tree.Read(name)
	switch found := unfit(err); {
	case found != nil:
		*problems = append(*problems, found...)
	case err != nil:
		return err
	default:
		*files = append(*files, record.File{Path: name, Data: data})
	}
	return nil
}

// read gives a file of a tree; ok is false where there is none.
func read(tree book.Tree, name string) (data []byte, ok bool, err error) {
	data, err = tree.Read(name)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, false, nil
	}
	return data, err == nil, err
}
