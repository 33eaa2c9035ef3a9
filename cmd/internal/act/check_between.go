package act

import (
	"fmt"
	"slices"

	"stackbook/record"
	"stackbook/record/travel"
	"stackbook/schema/problem"
)

// alone checks the parts of an engine by its own records and their files.
func (c *checking) alone(i int, e *record.Engine) {
	var files []*record.PartFile
	for _, p := range e.Parts() {
		for _, bears := range []string{p.Serial, p.Lot} {
			files = append(files, c.files[bears]...)
		}
	}
	c.ids[i] = identity{e.Number, e.ID, e.Spec.Ref(e.Spec.Doc.Root())}
	if n := e.Spec.Node("id"); n != nil {
		c.ids[i].ref = e.Spec.Ref(n)
	}
	c.ties.Add(i, e)
	shop := travel.New([]*record.Engine{e}, files, bookInterval(c.rules.book))
	c.list[i].Guards, c.travelled[i] = toldGuards(shop.Guards(e)), shop.Check(e)
}

// between checks the part files and what travels from engine to engine, and
// completes each engine's crack tests with those made in others. An engine with a
// part that another tells of as well is read once more, and held against the
// outlines of all such.
func (c *checking) between(files []*record.PartFile, steps Steps) (problem.List, error) {
	tied := c.ties.Engines()
	outlines := make([]*record.Engine, len(tied))
	err := onAllCores(len(tied), steps.of("finding parts that travelled"), func(n int) error {
		e, err := readEngine(c.tree, c.places[tied[n]])
		if e != nil {
			outlines[n] = e.Outline()
		}
		return err
	})
	if err != nil {
		return nil, err
	}
	parts := travel.New(slices.DeleteFunc(slices.Clone(outlines), func(e *record.Engine) bool { return e == nil }), files, bookInterval(c.rules.book))
	err = onAllCores(len(tied), steps.of("checking parts that travelled"), func(n int) error {
		i := tied[n]
		if outlines[n] == nil || !parts.Elsewhere(outlines[n]) {
			return nil
		}
		e, err := readEngine(c.tree, c.places[i])
		if e != nil {
			c.list[i].Guards, c.travelled[i] = toldGuards(parts.Guards(e)), parts.Check(e)
		}
		return err
	})
	return slices.Concat(parts.CheckFiles(), slices.Concat(c.travelled...)), err
}

// identity tells one engine from the others; empty where it cannot be read.
type identity struct {
	number, id string
	ref        record.Ref // of the id
}

// sameID names engines that share an id: the folder of one was copied to make
// the other (R11).
func sameID(engines []identity) problem.List {
	var problems problem.List
	first := map[string]string{}
	for _, e := range engines {
		if e.id == "" {
			continue
		}
		if before := first[e.id]; before != "" {
			problems = append(problems, problem.Problem{File: e.ref.File, Line: e.ref.Line, Column: e.ref.Column, Rule: "R11",
				Message: fmt.Sprintf("engine %s has the id of engine %s", e.number, before), Mend: "give it one of its own: stackbook enrol writes a new one"})
			continue
		}
		first[e.id] = e.number
	}
	return problems
}
