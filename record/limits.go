package record

import (
	"fmt"
	"slices"
	"sync"

	"stackbook/schema"
	"stackbook/schema/problem"
	"stackbook/schema/quantity"
	"stackbook/schema/source"
)

// LimitSet is one limit set of the shop's.
type LimitSet struct {
	*Record
	Name  string
	found sync.Map // what was found, by what was asked: one set judges many engines
}

// asked is a question to a limit set; found is its answer.
type asked struct {
	id, unit  string
	dimension quantity.Dimension
}

type found struct {
	limit    Limit
	ok       bool
	problems problem.List
}

// Limit is one line of a limit set.
type Limit struct {
	ID            string
	New, Reuse    Band
	For           string // what it belongs to
	ReferenceOnly bool   // shown, never judged by
	Source        string
	Ref           Ref
}

// Band is what a value should lie in, both ends included; an end that is nil
// is open.
type Band struct{ Low, High *quantity.Quantity }

// upsideDown tells whether nothing could lie in the band.
func (b Band) upsideDown() bool {
	if b.Low == nil || b.High == nil {
		return false
	}
	order, err := b.Low.Cmp(*b.High)
	return err == nil && order > 0
}

// Empty tells whether the band says nothing.
func (b Band) Empty() bool { return b.Low == nil && b.High == nil }

// ReadLimits reads a limit set.
func ReadLimits(f File) (*LimitSet, problem.List) {
	r, problems := Read(f, "limits", 0)
	if r == nil {
		return nil, problems
	}
	return &LimitSet{Record: r, Name: r.Text("name")}, problems
}

// Find returns the limit of a figure or point, whose values have dimension dim
// and are kept in unit. ok is false when the set says nothing of it; a bound
// that cannot be read as such a value is a problem.
func (s *LimitSet) Find(id string, dim quantity.Dimension, unit string) (limit Limit, ok bool, problems problem.List) {
	if s == nil {
		return Limit{}, false, nil
	}
	question := asked{id, unit, dim}
	if answer, ok := s.found.Load(question); ok {
		a := answer.(found)
		return a.limit, a.ok, slices.Clone(a.problems)
	}
	limit, ok, problems = s.find(id, dim, unit)
	s.found.Store(question, found{limit, ok, slices.Clone(problems)})
	return limit, ok, problems
}

func (s *LimitSet) find(id string, dim quantity.Dimension, unit string) (limit Limit, ok bool, problems problem.List) {
	n := s.Doc.Root().At("limits", id)
	if n == nil || n.Kind() != source.Map {
		return Limit{}, false, nil
	}
	text := func(key string) string { return written(n.Get(key)) }
	limit = Limit{ID: id, For: text("for"), ReferenceOnly: text("reference_only") == "yes", Source: text("source"), Ref: s.Ref(n)}
	bound := func(band, side string) *quantity.Quantity {
		v := n.At(band, side)
		if written(v) == "" {
			return nil
		}
		q, why := schema.ReadLimit(v.Text(), dim, unit)
		if why != nil && schema.FindPoint(id) != nil {
			return nil // the check of the set has said so already
		}
		if why != nil {
			problems = append(problems, problem.Problem{File: s.Path, Line: v.Line(), Column: v.Column(), Rule: "quantity",
				Message: "limits." + id + "." + band + "." + side + ": " + why.What, Mend: why.Mend})
			return nil
		}
		return &q
	}
	limit.New = Band{bound("new", "min"), bound("new", "max")}
	limit.Reuse = Band{bound("reuse", "min"), bound("reuse", "max")}
	for band, b := range map[string]Band{"new": limit.New, "reuse": limit.Reuse} {
		if !b.upsideDown() {
			continue
		}
		v := n.At(band, "min")
		problems = append(problems, problem.Problem{File: s.Path, Line: v.Line(), Column: v.Column(), Rule: "band",
			Message: fmt.Sprintf("limits.%s.%s: the least value %s is more than the greatest, %s", id, band, b.Low, b.High), Mend: "write the smaller one as min"})
	}
	return limit, true, problems
}
