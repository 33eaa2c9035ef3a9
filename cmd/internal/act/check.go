package act

import (
	"fmt"
	"path"
	"slices"

	"stackbook/record"
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
	Unsealed int    // the build, where it is delivered and no tag seals it; else 0
	Loaded   *Loaded
}

// Check checks the named engines as they are in the folder, or all of them.
// step is called after each, for progress. What is wrong with the book itself
// comes as a Checked without a number.
func (s *Shop) Check(numbers []string, step func(done, of int)) ([]*Checked, error) {
	tree, err := s.folder()
	if err != nil {
		return nil, err
	}
	places, whole, err := s.toCheck(tree, numbers)
	if err != nil {
		return nil, err
	}
	tags, err := s.Book.Tags()
	if err != nil {
		whole = append(whole, problem.Problem{Rule: "R2", Message: "the tags that seal builds cannot be read: " + err.Error(), Mend: "git tag -l 'build/*' lists them"})
	}
	var list []*Checked
	for i, p := range places {
		c, err := checkOne(tree, p)
		if err != nil {
			return nil, err
		}
		odd, err := s.checkSeals(p, c.Loaded.Engine, tags)
		if err != nil {
			return nil, err
		}
		closed, err := s.checkClosed(tree, c.Loaded)
		if err != nil {
			return nil, err
		}
		c.Problems = slices.Concat(c.Problems, odd, closed)
		c.Problems.Sort()
		c.Unsealed = unsealed(c.Loaded.Engine, tags)
		list = append(list, c)
		step(i+1, len(places))
	}
	if len(numbers) == 0 {
		own, err := checkBook(tree)
		if err != nil {
			return nil, err
		}
		between, err := s.between(tree, list)
		if err != nil {
			return nil, err
		}
		whole = append(slices.Concat(whole, sameID(list), between), notYetTold(own, list)...)
	}
	if whole.Sort(); len(whole) > 0 {
		list = append(list, &Checked{Problems: whole})
	}
	return list, nil
}

// unsealed is the build of an engine if it is delivered and no tag seals it, as
// where a delivery was broken off or made with plain git; else 0 (R2).
func unsealed(e *record.Engine, tags []book.Tag) int {
	if e == nil || e.Delivered(e.Build) == nil || slices.ContainsFunc(tags, func(t book.Tag) bool { return t.Name == TagName(e.Number, e.Build) }) {
		return 0
	}
	return e.Build
}

// checkBook checks the book's own files: book.yaml, with the limit set it names,
// and every limit set and part, whether an engine uses it or not.
func checkBook(tree book.Tree) (problem.List, error) {
	r, problems, err := readBook(tree)
	if err != nil {
		return nil, err
	}
	if name := r.Text("limits"); name != "" {
		_, list, err := readLimits(tree, r, name)
		if err != nil {
			return nil, err
		}
		problems = append(problems, list...)
	}
	entries, err := list(tree, "limits")
	problems = append(problems, unfit(err)...)
	if err != nil && unfit(err) == nil {
		return nil, err
	}
	for _, e := range entries {
		name := path.Join("limits", e.Name)
		if e.Dir || path.Ext(name) != ".yaml" {
			continue
		}
		data, err := tree.Read(name)
		if found := unfit(err); found != nil {
			problems = append(problems, found...)
			continue
		}
		if err != nil {
			return nil, err
		}
		problems = append(problems, checkBookFile(name, data)...)
	}
	return problems, nil
}

// notYetTold leaves out what an engine's check told already.
func notYetTold(problems problem.List, checked []*Checked) problem.List {
	told := map[problem.Problem]bool{}
	for _, c := range checked {
		for _, p := range c.Problems {
			told[p] = true
		}
	}
	return slices.DeleteFunc(problems, func(p problem.Problem) bool { return told[p] })
}

// toCheck finds the engines meant. Only a check of the whole book reports what
// is wrong between engines.
func (s *Shop) toCheck(tree book.Tree, numbers []string) ([]Place, problem.List, error) {
	if len(numbers) == 0 {
		places, problems, err := Engines(tree)
		if err != nil {
			return nil, nil, err
		}
		return places, problems, nil
	}
	var places []Place
	for _, n := range numbers {
		p, err := FindEngine(tree, n)
		if err != nil {
			return nil, nil, err
		}
		if !slices.Contains(places, p) {
			places = append(places, p)
		}
	}
	return places, nil, nil
}

// between checks the part files and what travels from engine to engine, and
// completes each engine's crack tests with those made in others.
func (s *Shop) between(tree book.Tree, checked []*Checked) (problem.List, error) {
	var engines []*record.Engine
	for _, c := range checked {
		if c.Loaded.Engine != nil {
			engines = append(engines, c.Loaded.Engine)
		}
	}
	parts, problems, err := shopOf(tree, engines)
	if err != nil {
		return nil, err
	}
	for _, c := range checked {
		if c.Loaded.Engine != nil {
			c.Loaded.Guards = parts.Guards(c.Loaded.Engine)
		}
	}
	problems = append(problems, parts.Check()...)
	problems.Sort()
	return problems, nil
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
	l.checkAttachments(tree)
	c := &Checked{Number: p.Number, Problems: l.Problems, Loaded: l}
	if l.Figures != nil {
		c.Verdicts = l.Figures.Count()
		c.Stale = l.Stale()
	}
	return c, nil
}
