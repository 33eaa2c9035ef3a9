package act

import (
	"fmt"

	"stackbook/record/book"
	"stackbook/record/figure"
	"stackbook/schema/problem"
)

// Checked is what a check finds of one engine.
type Checked struct {
	Number   string
	Problems problem.List
	Verdicts map[figure.Verdict]int
	Stale    string // why its figures.yaml cannot be trusted
	Loaded   *Loaded
}

// Check checks the named engines as they are in the folder, or all of them.
// step is called after each, for progress. What is wrong with the book itself
// comes as a Checked without a number.
func (s *Shop) Check(numbers []string, step func(done, of int)) ([]*Checked, error) {
	tree := s.Book.Folder()
	places, whole, err := s.toCheck(tree, numbers)
	if err != nil {
		return nil, err
	}
	var list []*Checked
	for i, p := range places {
		c, err := checkOne(tree, p)
		if err != nil {
			return nil, err
		}
		closed, err := s.checkClosed(c.Loaded)
		if err != nil {
			return nil, err
		}
		c.Problems = append(c.Problems, closed...)
		c.Problems.Sort()
		list = append(list, c)
		step(i+1, len(places))
	}
	if len(numbers) == 0 {
		whole = append(whole, sameID(list)...)
	}
	if len(whole) > 0 {
		list = append(list, &Checked{Problems: whole})
	}
	return list, nil
}

// toCheck finds the engines meant. Only a check of the whole book reports what
// is wrong between engines.
func (s *Shop) toCheck(tree book.Tree, numbers []string) ([]Place, problem.List, error) {
	if len(numbers) == 0 {
		places, problems, err := Engines(tree)
		if err != nil {
			return nil, nil, err
		}
		if len(places) == 0 {
			_, list, err := readBook(tree)
			return nil, append(problems, list...), err
		}
		return places, problems, nil
	}
	var places []Place
	for _, n := range numbers {
		p, err := FindEngine(tree, n)
		if err != nil {
			return nil, nil, err
		}
		places = append(places, p)
	}
	return places, nil, nil
}

// sameID names engines that share an id: the folder of one was copied to make
// the other (R11).
func sameID(checked []*Checked) problem.List {
	var problems problem.List
	first := map[string]*Checked{}
	for _, c := range checked {
		e := c.Loaded.Engine
		if e == nil || e.ID == "" {
			continue
		}
		if before := first[e.ID]; before != nil {
			ref := e.Spec.Ref(e.Spec.Node("id"))
			problems = append(problems, problem.Problem{File: ref.File, Line: ref.Line, Column: ref.Column, Rule: "R11",
				Message: fmt.Sprintf("engine %s has the id of engine %s", e.Number, before.Number), Mend: "give it one of its own: stackbook enrol writes a new one"})
			continue
		}
		first[e.ID] = c
	}
	return problems
}

func checkOne(tree book.Tree, p Place) (*Checked, error) {
	l, err := load(tree, tree, p, p.Number)
	if err != nil {
		return nil, err
	}
	c := &Checked{Number: p.Number, Problems: l.Problems, Loaded: l}
	if l.Figures != nil {
		c.Verdicts = l.Figures.Count()
		c.Stale = l.Stale()
	}
	return c, nil
}
