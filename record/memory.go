package record

import (
	"bytes"
	"slices"

	"stackbook/schema"
	"stackbook/schema/problem"
)

// Memory keeps what it has read, so that a record that stands alike in several
// states of an engine, as most do from one build to the next, is read and checked
// once. Records are read-only, and so the states can share them. It is for one
// goroutine, and for no longer than its states are wanted; nil keeps nothing.
type Memory struct{ kept map[string][]*remembered }

// remembered is one text at one path.
type remembered struct {
	data     []byte
	kind     string
	record   *Record // nil where it cannot be read
	wrong    problem.List
	checked  map[int]problem.List // by the number of rotors it was checked for
	readings map[int][]schema.Reading
	session  map[int]*Session
	tables   map[int]problem.List
	change   *Change
}

// NewMemory begins with nothing.
func NewMemory() *Memory { return &Memory{kept: map[string][]*remembered{}} }

// Load is the function Load with this memory.
func (m *Memory) Load(folder string, files []File) (*Engine, problem.List) {
	return loadWith(m, folder, files)
}

// ReadSpec is the function ReadSpec with this memory.
func (m *Memory) ReadSpec(folder string, f File) *Engine {
	one := m.parse(f, "spec")
	if one.record == nil {
		return nil
	}
	return newEngine(folder, one.record)
}

// ReadChange is the function ReadChange with this memory.
func (m *Memory) ReadChange(f File) *Change {
	one := m.parse(f, "change")
	if one.record == nil {
		return nil
	}
	return one.asChange()
}

// parse gives the text of a record as it was read before, else reads it.
func (m *Memory) parse(f File, kind string) *remembered {
	if m != nil {
		for _, one := range m.kept[f.Path] {
			if one.kind == kind && bytes.Equal(one.data, f.Data) {
				return one
			}
		}
	}
	one := &remembered{data: f.Data, kind: kind, checked: map[int]problem.List{}, readings: map[int][]schema.Reading{}, session: map[int]*Session{}, tables: map[int]problem.List{}}
	one.record, one.wrong = parse(f, kind)
	if m != nil {
		m.kept[f.Path] = append(m.kept[f.Path], one)
	}
	return one
}

// check is the record with what is wrong with it, as Read gives it.
func (one *remembered) check(rotors int) (*Record, problem.List) {
	if one.record == nil {
		return nil, slices.Clone(one.wrong)
	}
	list, known := one.checked[rotors]
	if !known {
		list, one.readings[rotors] = schema.CheckReadings(one.record.Doc, one.kind, rotors)
		one.checked[rotors] = list
	}
	return one.record, slices.Clone(list)
}

// asSession is a record of measurements with its readings, and what is wrong with
// its tables.
func (one *remembered) asSession(rotors int) (*Session, problem.List) {
	s, known := one.session[rotors]
	if !known {
		one.check(rotors)
		s = newSession(one.record, one.readings[rotors])
		delete(one.readings, rotors) // the session has them
		s.Tables, one.tables[rotors] = readTables(one.record)
		one.session[rotors] = s
	}
	return s, slices.Clone(one.tables[rotors])
}

func (one *remembered) asChange() *Change {
	if one.change == nil {
		one.change = newChange(one.record)
	}
	return one.change
}
