package figure

import (
	"strings"

	"stackbook/record"
	"stackbook/schema"
	"stackbook/schema/quantity"
)

// What figures read beside sizes and readings: words of the spec, what a
// session says of itself, and tests that count as a whole.

// word reads a word of the spec.
func (r *reader) word(path string) *entry {
	if text := r.engine.Spec.Text(path); text != "" {
		return &entry{words: []string{text}}
	}
	return &entry{}
}

// keys lists the keys under a field of the spec, as they are written.
func (r *reader) keys(path string) *entry {
	e := &entry{}
	if n := r.engine.Spec.Node(path); n != nil {
		e.words = n.Keys()
	}
	return e
}

// besideRun reads a quantity of the session of the dyno run that counts.
func (r *reader) besideRun(path string) *entry {
	e := &entry{}
	if _, session := r.engine.Run(); session != nil {
		r.addOfSession(e, session, path)
	}
	return e
}

// addOfSession takes in a quantity that a session says of itself, such as the
// pressure of the air; ok is false where it says none.
func (r *reader) addOfSession(e *entry, s *record.Session, path string) (ok bool) {
	q, ref, ok := s.Quantity(path)
	if !ok {
		return false
	}
	e.add(Input{Path: r.inFolder(s) + " " + path, Key: path, Name: path, Ref: ref, Text: q.String(), Unit: s.Field.At(path).Unit,
		SI: q.SI(), Exact: q.Canonical(), Origin: record.Measured}, placed{Num: read(q)})
	return true
}

// tests reads the cranking tests of one rotor that may count for the build, the
// latest last. The pulses of a test belong together: the latest test counts as a
// whole, as a run on the dyno does. The cells of its row are the places of its
// pulses, "speed" and "barometer"; the entry's words are the tests' sessions.
func (r *reader) tests(rotor string) *entry {
	e := &entry{}
	var session *record.Session
	for _, c := range r.engine.Usable(schema.FindPoint("cranking_pressure"), rotor) {
		if c.Session != session {
			session = c.Session
			e.words = append(e.words, r.inFolder(session))
			e.rows = append(e.rows, row{r.besideTest(e, session, rotor)})
		}
		if r.addReading(e, c) {
			e.rows[len(e.rows)-1].cells[c.Place] = len(e.values) - 1
		}
	}
	return e
}

// besideTest takes in the speed of a cranking test, the rotor's own before the
// engine's, and the pressure of the air.
func (r *reader) besideTest(e *entry, s *record.Session, rotor string) map[string]int {
	cells := map[string]int{}
	for _, position := range []string{"engine", rotor} {
		for i := range s.Readings {
			reading := &s.Readings[i]
			if reading.Point.ID == "cranking_speed" && reading.Position == position &&
				r.addReading(e, record.Counted{Reading: reading, Session: s, Origin: record.Measured, From: s.Build}) {
				cells["speed"] = len(e.values) - 1
			}
		}
	}
	if r.addOfSession(e, s, "ambient.pressure") {
		cells["barometer"] = len(e.values) - 1
	}
	return cells
}

// asFound reads a point in the latest session that tells how the engine was
// found when it was opened for this build. It says nothing of the engine as
// built, and no figure of the engine as built reads it (R1).
func (r *reader) asFound(id string) *entry {
	e := &entry{}
	for _, s := range r.engine.Sessions {
		if s.Build != r.engine.Build || s.Stage == nil || s.Stage.Name != "as-found" {
			continue
		}
		latest := &entry{}
		for i := range s.Readings {
			if s.Readings[i].Point.ID == id {
				r.addReading(latest, record.Counted{Reading: &s.Readings[i], Session: s, Origin: record.Measured, From: s.Build})
			}
		}
		if len(latest.values) > 0 {
			e = latest
		}
	}
	return e
}

// Word reads a word of the spec, "" where none is written.
func (l *Look) Word(path string) string {
	return strings.Join(l.words(what{specWord, path, ""}, "spec.yaml "+path), "")
}

// Keys lists the keys under a field of the spec, as they are written.
func (l *Look) Keys(path string) []string {
	return l.words(what{specKeys, path, ""}, "spec.yaml keys of "+path)
}

// Everywhere lists the positions at which a point has a reading that counts.
func (l *Look) Everywhere(id string) []string {
	return l.words(what{readAt, id, ""}, "positions of "+id)
}

// words reads words or names, and notes them for the digest.
func (l *Look) words(w what, path string) []string {
	e := l.ask(w)
	if !l.silent {
		if l.said == nil {
			l.said = map[string]string{}
		}
		l.said[path] = strings.Join(e.words, ", ")
	}
	return e.words
}

// BesideRun reads a quantity written beside the dyno run, in its session.
func (l *Look) BesideRun(path string) (Num, bool) {
	e := l.ask(what{runSize, path, ""})
	if len(e.values) == 0 {
		return Num{}, false
	}
	l.note(&e.inputs[0])
	return e.values[0].Num, true
}

// MustBesideRun is BesideRun for a quantity that must be there.
func (l *Look) MustBesideRun(path string) float64 {
	n, ok := l.BesideRun(path)
	if !ok {
		l.miss(path + " beside the dyno run")
	}
	return n.SI
}

// orElse is a quantity of the spec, or what stands for it where none is written.
func (l *Look) orElse(path string, otherwise float64) float64 {
	if n, ok := l.Maybe(path); ok {
		return n.SI
	}
	return otherwise
}

// counts tells whether a point has a reading that counts at a position.
func counts(e *record.Engine, id, position string) bool {
	return e.Counts(schema.FindPoint(id), position)
}

// whereRead makes a condition: the point was read at the position itself.
func whereRead(id string) func(e *record.Engine, at string) bool {
	return func(e *record.Engine, at string) bool { return counts(e, id, at) }
}

// anyOf makes a condition: the spec says something at one of these paths.
func anyOf(paths ...string) func(e *record.Engine) bool {
	return func(e *record.Engine) bool {
		for _, path := range paths {
			if e.Spec.Text(path) != "" {
				return true
			}
		}
		return false
	}
}

// neverJudged is the limit of an estimate: none, whatever a limit set says.
func neverJudged(*Look, string) (Limit, bool) { return Limit{}, false }

// inUnit prints a value in SI in a unit, for a sentence.
func inUnit(si float64, symbol string, decimals int) string {
	return quantity.Format(quantity.FromSI(si, quantity.MustLookup(symbol)), decimals) + " " + symbol
}
