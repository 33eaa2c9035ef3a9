// Package schema says what may be written in a book: the dictionary of
// fields, positions, points, stages and kinds of change, the checking of a
// record against it, and the JSON Schemas made from it.
//
// The dictionary is the one place where a key is declared. The checker, the
// JSON Schemas, new specs and the comparing of states all read it, so none of
// them can know a key the others don't.
//
// Format numbers (spec/1, measurements/1, ...) rise when a key changes its
// meaning; the dictionary number rises when keys are only added. A record of
// today stays readable by every later version.
package schema

import (
	"strings"

	"stackbook/schema/quantity"
)

// Dictionary is the number of this dictionary, kept in book.yaml. It rises
// with every key, point or word added, so that an older program meeting a
// newer book says so once instead of calling every new key unknown (R19).
const Dictionary = 3

// Type says how a field's value is written and read.
type Type int

// The types of a field.
const (
	Words    Type = iota // free text
	Code                 // a serial, lot, part or customer code: text whatever it looks like (R13)
	Name                 // like Code, but one of a pattern checked elsewhere (engine number, limit set)
	Day                  // 2024-03-02, or 2024-03-02 14:30
	Whole                // a whole number, zero or more
	Quantity             // a number with its unit
	Amount               // a size of any dimension with its unit, or a percentage; zero or more
	Flag                 // yes or no
	Choice               // one of the listed words
	Position             // the name of a position: rotor/2/apex/3
	Group                // a mapping with known keys
	Keyed                // a mapping whose keys are positions, points or the person's own names
	Series               // a list
	Free                 // anything: carried through, never judged
)

// KeyKind says what the keys of a Keyed field are.
type KeyKind int

// The kinds of key.
const (
	OwnKey      KeyKind = iota // a name the person chooses
	PositionKey                // a position
	PointKey                   // a point of the dictionary
	LimitKey                   // a figure or a point
)

// Field declares one key of a record.
type Field struct {
	Key      string
	Help     string // one sentence for the person who fills it in
	Type     Type
	Dim      quantity.Dimension // of a Quantity
	Unit     string             // the dictionary's unit: shown in help, used in JSON
	Low      string             // least sensible value, a quantity or a whole number; empty: none
	High     string             // greatest sensible value
	Choices  []string           // of a Choice
	Required bool
	Fields   []Field // of a Group
	Of       *Field  // of a Series or Keyed
	Keys     KeyKind // of a Keyed
	Identity string  // of a Series of Groups: the key that names an entry
	Rising   bool    // of a Series of Quantities: each is greater than the one before
}

// Find returns the declaration of a key of a Group, or nil.
func (f *Field) Find(key string) *Field {
	for i := range f.Fields {
		if f.Fields[i].Key == key {
			return &f.Fields[i]
		}
	}
	return nil
}

// At returns the declaration at a dotted path such as
// "geometry.eccentricity"; a Keyed or Series field is entered by any key.
func (f *Field) At(path string) *Field {
	for key := range strings.SplitSeq(path, ".") {
		switch {
		case f == nil:
			return nil
		case f.Type == Group:
			f = f.Find(key)
		default:
			f = f.Of
		}
	}
	return f
}

// Label is the key as a person reads it: "tip radius" for "tip_radius".
func (f *Field) Label() string { return strings.ReplaceAll(f.Key, "_", " ") }

// The constructors below keep the tables of the dictionary readable.

func words(key, help string) Field { return Field{Key: key, Help: help, Type: Words} }
func code(key, help string) Field  { return Field{Key: key, Help: help, Type: Code} }
func name(key, help string) Field  { return Field{Key: key, Help: help, Type: Name} }
func day(key, help string) Field   { return Field{Key: key, Help: help, Type: Day} }
func flag(key, help string) Field  { return Field{Key: key, Help: help, Type: Flag} }
func at(key, help string) Field    { return Field{Key: key, Help: help, Type: Position} }
func free(key, help string) Field  { return Field{Key: key, Help: help, Type: Free} }

// whole is a count, by default one that an engine can have.
func whole(key, help string) Field {
	return Field{Key: key, Help: help, Type: Whole}.within("0", "1000")
}

// amount is a quantity, by default within the span of its dimension.
func amount(key string, dim quantity.Dimension, unit, help string) Field {
	return Field{Key: key, Help: help, Type: Quantity, Dim: dim, Unit: unit}.within(spans[dim].low, spans[dim].high)
}

// place is a place along the shaft, before or behind another.
func place(key, help string) Field {
	return amount(key, quantity.Length, "mm", help).within("-10 m", "10 m")
}

// heat is a temperature of coolant, oil or what they flow through.
func heat(key, help string) Field {
	return amount(key, quantity.Temperature, "degC", help).within("-60 degC", "600 degC")
}

// gap is a clearance somebody wants.
func gap(key, help string) Field {
	return amount(key, quantity.Length, "mm", help).within("0 mm", "5 mm")
}

// size is a length that must be greater than zero.
func size(key, help string) Field {
	return amount(key, quantity.Length, "mm", help).within("0.01 mm", "10 m")
}

func anyAmount(key, help string) Field {
	return Field{Key: key, Help: help, Type: Amount, Unit: "mm"}
}

func choice(key, help string, choices ...string) Field {
	return Field{Key: key, Help: help, Type: Choice, Choices: choices}
}

func group(key, help string, fields ...Field) Field {
	return Field{Key: key, Help: help, Type: Group, Fields: fields}
}

func keyed(key, help string, keys KeyKind, of Field) Field {
	return Field{Key: key, Help: help, Type: Keyed, Keys: keys, Of: &of}
}

func series(key, help string, of Field) Field {
	return Field{Key: key, Help: help, Type: Series, Of: &of}
}

func (f Field) within(low, high string) Field { f.Low, f.High = low, high; return f }
func (f Field) must() Field                   { f.Required = true; return f }
func (f Field) rising() Field                 { f.Rising = true; return f }
func (f Field) known(by string) Field         { f.Identity = by; return f }
