package act

import (
	"errors"
	"fmt"

	"stackbook/diff"
	"stackbook/diff/history"
	"stackbook/record"
	"stackbook/record/book"
	"stackbook/schema"
	"stackbook/schema/problem"
)

// History tells the life of an engine as known in the named state.
func (s *Shop) History(name string) (*history.Life, *Loaded, error) {
	states, last, err := s.builds(name)
	if err != nil {
		return nil, nil, err
	}
	return history.Of(states), last, nil
}

// PositionLife follows one position of an engine through the builds, as known in
// the named state.
func (s *Shop) PositionLife(name, position string) (*history.Position, *Loaded, error) {
	states, last, err := s.builds(name)
	if err != nil {
		return nil, nil, err
	}
	if err := schema.CheckPosition(position, last.Engine.Rotors); err != nil {
		return nil, nil, usage(schema.PositionMend(position, last.Engine.Rotors), "%s", err.Error())
	}
	return history.At(states, position), last, nil
}

// builds loads the state named and, before it, each build of the engine as it
// was delivered.
func (s *Shop) builds(name string) ([]history.State, *Loaded, error) {
	last, err := s.State(name)
	if err != nil {
		return nil, nil, err
	}
	if last.Engine == nil || !plausible(last.Engine) {
		return nil, nil, last.Problems // without a build there is no life to tell
	}
	earlier, err := s.earlier(last)
	if err != nil {
		return nil, nil, err
	}
	var states []history.State
	for _, b := range earlier {
		states = append(states, stateOf(b.Loaded, b.Build))
	}
	return append(states, stateOf(last, last.Engine.Build)), last, nil
}

// plausible tells whether an engine's build is a number there could be.
func plausible(e *record.Engine) bool { return e.Build >= 1 && e.Build <= 99 }

// deliveredBuild is one build as it was delivered.
type deliveredBuild struct {
	Build int
	*Loaded
}

// earlier loads each build of an engine before its last as it was delivered; what
// is to be said of them is said with the last.
func (s *Shop) earlier(last *Loaded) ([]deliveredBuild, error) {
	var list []deliveredBuild
	for n := 1; n < last.Engine.Build; n++ {
		l, err := s.build(Name{Engine: last.Engine.Number, Build: n}, BuildName(last.Engine.Number, n))
		var unknown *UsageError
		var cut *book.CutOffError
		switch {
		case errors.As(err, &unknown):
			continue // a build that was never delivered has no state of its own
		case errors.As(err, &cut):
			last.Remarks = append(last.Remarks, cut.Error())
			continue
		}
		if err != nil {
			return nil, err
		}
		last.Remarks = append(last.Remarks, l.Remarks...)
		last.Problems = append(last.Problems, l.Problems...)
		if other := anotherEngine(l, last, n); other != nil {
			last.Problems = append(last.Problems, other...)
		} else if l.Engine != nil {
			list = append(list, deliveredBuild{n, l})
		}
	}
	return list, nil
}

// anotherEngine tells that a build was delivered of another engine of the same
// number: an engine is who its id says, and that build is no part of this life
// (R11).
func anotherEngine(l, last *Loaded, build int) problem.List {
	if l.Engine == nil || l.Engine.ID == last.Engine.ID || l.Engine.ID == "" || last.Engine.ID == "" {
		return nil
	}
	ref := last.Engine.Spec.Ref(last.Engine.Spec.Node("id"))
	return problem.List{{File: ref.File, Line: ref.Line, Column: ref.Column, Rule: "R11",
		Message: fmt.Sprintf("build %d of %s was delivered with id %s, and this is %s: another engine", build, last.Engine.Number, l.Engine.ID, last.Engine.ID),
		Mend:    "a number is permanent: give this engine one of its own, or its own id back"}}
}

func stateOf(l *Loaded, build int) history.State {
	return history.State{State: l.State, Build: build, Commit: l.Commit}
}

// BuildName is how a person names a delivered build: SK-07/2.
func BuildName(number string, build int) string { return Name{Engine: number, Build: build}.String() }

// Diff compares two states.
func (s *Shop) Diff(from, to string) (*diff.Result, *Loaded, *Loaded, error) {
	a, err := s.State(from)
	if err != nil {
		return nil, nil, nil, err
	}
	b, err := s.State(to)
	if err != nil {
		return nil, nil, nil, err
	}
	for _, l := range []*Loaded{a, b} {
		if l.Engine == nil {
			return nil, nil, nil, l.Problems
		}
	}
	return diff.Compare(a.State, b.State), a, b, nil
}
