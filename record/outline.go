package record

import "stackbook/schema"

// Outline is what the other engines of a book have to know of this one: the parts
// fitted and taken out, when and at which hours, and its crack tests, each
// knowing its line. All else is let go, its readings above all, so that many
// engines can be kept at once. Title, customer, hours of the engine and what each
// change touched are there as well; the spec holds no more than the id.
func (e *Engine) Outline() *Engine {
	o := &Engine{Number: e.Number, ID: e.ID, Folder: e.Folder, Title: e.Title, Customer: e.Customer, Build: e.Build, Rotors: e.Rotors,
		Spec: e.Spec.only("id"), parts: e.parts, fitted: e.fitted, hours: e.hours}
	for _, c := range e.Changes {
		var keys []string
		if c.Node("removed") != nil {
			keys = []string{"removed", "hours", "hours_error", "hours_source"}
		}
		o.Changes = append(o.Changes, &Change{Record: c.only(keys...), Build: c.Build, Kind: c.Kind, Date: c.Date, Touches: c.Touches})
	}
	for _, s := range e.Sessions {
		if tests := s.crackTests(); len(tests) > 0 {
			o.Sessions = append(o.Sessions, &Session{Record: s.only("parts", "hours", "hours_error", "hours_source"), Build: s.Build, Stage: s.Stage, Order: s.Order,
				Date: s.Date, By: s.By, Readings: tests})
		}
	}
	return o
}

func (s *Session) crackTests() []schema.Reading {
	var tests []schema.Reading
	for _, r := range s.Readings {
		if r.Point.ID == "crack_test" {
			tests = append(tests, r)
		}
	}
	return tests
}

func (r *Record) only(keys ...string) *Record {
	return &Record{Path: r.Path, Kind: r.Kind, Doc: r.Doc.Only(keys...), Field: r.Field}
}
