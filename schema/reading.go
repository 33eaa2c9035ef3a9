package schema

import (
	"fmt"
	"strings"
	"sync"

	"stackbook/schema/problem"
	"stackbook/schema/quantity"
	"stackbook/schema/source"
)

// Reading is one line of a measuring session: what was read at one place of
// one point. Exactly one of Values, Between and Text is given.
type Reading struct {
	Point      *Point
	Key        string // position and place as written
	Position   string
	Place      string
	Values     []quantity.Quantity // one reading, or repeats at this one place
	Between    []quantity.Quantity // the two ends of an interval: the first enters, the second does not
	Text       string              // the words of a point that has no number
	Instrument string
	Method     string
	By         string // who read or tested it, where not the session's
	Note       string
	Node       *source.Node // where the value stands

	Temperature      *quantity.Quantity // of the part; nil: not written
	TemperatureError *quantity.Quantity // how far that may be off, expanded with k = 2; nil: not written
}

// groupKeys are the keys of a point's readings that are no positions.
var groupKeys = []string{"unit", "instrument", "temperature", "temperature_error", "method", "by", "note"}

// readingKeys are the keys of a reading written out as a mapping (R20).
var readingKeys = []string{"value", "between", "text", "unit", "instrument", "temperature", "temperature_error", "method", "by", "note"}

// The temperature beside a reading, and how far it may be off.
var (
	partTemperature = sync.OnceValue(func() *Field {
		f := heat("temperature", "temperature of the part")
		return &f
	})
	partTemperatureError = sync.OnceValue(func() *Field {
		f := amount("temperature_error", quantity.TemperatureDifference, "K", "how far the temperature may be off, k = 2").within("0 K", "50 K")
		return &f
	})
)

func isOneOf(word string, list []string) bool {
	for _, w := range list {
		if w == word {
			return true
		}
	}
	return false
}

// ReadPoint reads all readings of one point in a session. group is the mapping
// below the point's id; instruments is the session's list of instruments, nil
// where there is none. An empty reading was not taken and gives nothing.
func ReadPoint(file string, point *Point, group, instruments *source.Node, rotors int) ([]Reading, problem.List) {
	r := &pointReader{file: file, point: point, instruments: instruments, rotors: rotors}
	if group.Kind() != source.Map {
		r.add(group, "wrong-shape", point.ID+" holds one line a place", "write them below it: "+point.exampleKey()+": "+point.exampleValue())
		return nil, r.list
	}
	r.defaults(group)
	entries := group.Entries()
	for i := 0; i < len(entries); i++ {
		e := entries[i]
		if head, tail, ok := commaInMap(entries, i); ok {
			r.list = append(r.list, decimalComma(file, e.Value, point.ID, e.Key+": "+head+"."+tail))
			i++
			continue
		}
		if !isOneOf(e.Key, groupKeys) {
			r.line(e)
		}
	}
	return r.readings, r.list
}

// pointReader gathers the readings and problems of one point.
type pointReader struct {
	file        string
	point       *Point
	instruments *source.Node
	rotors      int
	unit        *quantity.Unit // nil: none given
	common      Reading        // what holds for every line
	readings    []Reading
	list        problem.List
}

func (r *pointReader) add(n *source.Node, rule, message, mend string) {
	r.list = append(r.list, problem.Problem{File: r.file, Line: n.Line(), Column: n.Column(), Rule: rule, Message: message, Mend: mend})
}

func (r *pointReader) defaults(group *source.Node) {
	r.unit = r.unitOf(group)
	r.common = r.particulars(Reading{Point: r.point}, group)
}

// particulars takes instrument, temperature, method and note from a mapping.
func (r *pointReader) particulars(into Reading, n *source.Node) Reading {
	if v := r.word(n, "instrument", "G1"); v != "" {
		into.Instrument = v
		if r.instruments == nil || r.instruments.Get(v) == nil {
			r.add(n.Get("instrument"), "instrument", fmt.Sprintf("there is no instrument %s in this session", quoted(v)), r.instrumentMend(v))
		}
	}
	if q := r.beside(n, partTemperature(), "21.5 degC"); q != nil {
		into.Temperature = q
	}
	if q := r.beside(n, partTemperatureError(), "1 K"); q != nil {
		into.TemperatureError = q
	}
	if v := r.word(n, "method", "a few words"); v != "" {
		into.Method = v
	}
	if v := r.word(n, "by", "KM"); v != "" {
		into.By = v
	}
	if v := r.word(n, "note", "a few words"); v != "" {
		into.Note = v
	}
	return into
}

// beside reads a quantity that stands beside the reading; nil where none does.
func (r *pointReader) beside(n *source.Node, f *Field, example string) *quantity.Quantity {
	v := r.word(n, f.Key, example)
	if v == "" {
		return nil
	}
	if err := f.check(v, r.rotors); err != nil {
		why := f.refusal(v, r.rotors, err)
		r.add(n.Get(f.Key), "quantity", f.Key+": "+why.What, why.Mend)
		return nil
	}
	q, err := quantity.Parse(v, f.Dim, f.Unit)
	if err != nil {
		return nil
	}
	return &q
}

// word is the text of one key of a mapping, "" where none is written.
func (r *pointReader) word(n *source.Node, key, example string) string {
	v := n.Get(key)
	if v == nil || v.Kind() == source.Scalar && IsEmpty(v) {
		return ""
	}
	if v.Kind() != source.Scalar {
		r.add(v, "wrong-shape", r.point.ID+": "+key+" is one value", "write: "+key+": "+example)
	}
	return v.Text()
}

func (r *pointReader) instrumentMend(written string) string {
	var known []string
	if r.instruments != nil {
		known = r.instruments.Keys()
	}
	if near := Nearest(written, known); near != "" {
		return "did you mean " + near + "?"
	}
	return "add it under instruments: " + written + ": {kind: ...}"
}

// unitOf reads the unit given in a mapping and sees that it suits the point.
func (r *pointReader) unitOf(group *source.Node) *quantity.Unit {
	n, written := group.Get("unit"), r.word(group, "unit", r.point.Unit)
	if written == "" {
		return nil
	}
	u, ok := quantity.Lookup(written)
	if !ok {
		mend := "this point is kept in " + r.point.Unit
		if near := quantity.Nearest(n.Text()); near != "" {
			mend = "did you mean " + near + "?"
		}
		r.add(n, "unit", "unknown unit "+quoted(n.Text()), mend)
		return nil
	}
	if r.point.Text {
		r.add(n, "unit", r.point.ID+" is written in words and has no unit", "take the line out")
		return nil
	}
	u, err := u.As(r.point.Dim)
	if err != nil {
		r.add(n, "unit", r.point.ID+": "+err.Error(), "this point is kept in "+r.point.Unit)
		return nil
	}
	return &u
}

// line reads one line of the group.
func (r *pointReader) line(e source.Entry) {
	reading := r.common
	reading.Key, reading.Node = e.Key, e.Value
	var ok bool
	reading.Position, reading.Place, ok = r.point.Split(e.Key, r.rotors)
	if !ok {
		message := fmt.Sprintf("%s is not taken at %s", r.point.ID, quoted(e.Key))
		if _, _, larger := r.point.Split(e.Key, 0); larger {
			message += ", in an engine of " + countRotors(r.rotors)
		}
		r.list = append(r.list, problem.Problem{File: r.file, Line: e.KeyLine, Column: e.KeyColumn, Rule: "place", Message: message, Mend: r.placeMend(e.Key)})
		return
	}
	switch e.Value.Kind() {
	case source.Scalar:
		r.scalar(reading, e.Value)
	case source.List:
		r.repeats(reading, e.Value, r.unit)
	default:
		r.full(reading, e.Value)
	}
}

func (r *pointReader) placeMend(key string) string {
	rotors := r.rotors
	if rotors == 0 {
		rotors = MostRotors
	}
	keys := r.point.Keys(rotors)
	if near := Nearest(key, keys); near != "" {
		return oneOf(key, near, keys)
	}
	return "write it like " + r.point.exampleKey()
}

func (r *pointReader) scalar(reading Reading, n *source.Node) {
	if IsEmpty(n) {
		return
	}
	if r.point.Text {
		r.words(reading, n)
		return
	}
	if q, ok := r.number(n, r.unit); ok {
		reading.Values = []quantity.Quantity{q}
		r.readings = append(r.readings, reading)
	}
}

func (r *pointReader) repeats(reading Reading, list *source.Node, unit *quantity.Unit) {
	if r.point.Text {
		r.add(list, "wrong-shape", r.point.ID+" is written in words", "write one text")
		return
	}
	if n, whole := CommaInList(list.Items(), unit == nil); n != nil {
		r.list = append(r.list, decimalComma(r.file, n, r.point.ID, whole))
		return
	}
	for _, item := range list.Items() {
		q, ok := r.number(item, unit)
		if !ok {
			return
		}
		reading.Values = append(reading.Values, q)
	}
	if commaPairs(list.Items(), reading.Values) {
		r.add(list, "decimal-comma", r.point.ID+": these look like numbers with decimal commas, which YAML takes apart", "write decimal points: [78.108, 78.112]")
		return
	}
	if len(reading.Values) > 0 {
		r.readings = append(r.readings, reading)
	}
}

// full reads a reading written out as a mapping.
func (r *pointReader) full(reading Reading, n *source.Node) {
	entries := n.Entries()
	for i, e := range entries {
		if head, tail, ok := commaInMap(entries, i); ok {
			r.list = append(r.list, decimalComma(r.file, e.Value, r.point.ID, e.Key+": "+head+"."+tail))
			return
		}
		if !isOneOf(e.Key, readingKeys) {
			mend := "a reading may have: " + strings.Join(readingKeys, ", ")
			if near := Nearest(e.Key, readingKeys); near != "" {
				mend = "did you mean " + near + "?"
			}
			r.list = append(r.list, problem.Problem{File: r.file, Line: e.KeyLine, Column: e.KeyColumn, Rule: "unknown-key",
				Message: "unknown key " + quoted(e.Key) + " in a reading", Mend: mend})
		}
	}
	unit := r.unit
	if n.Get("unit") != nil {
		unit = r.unitOf(n)
	}
	reading = r.particulars(reading, n)
	r.fullValue(reading, n, unit)
}

func (r *pointReader) fullValue(reading Reading, n *source.Node, unit *quantity.Unit) {
	key, value := r.oneValue(n)
	switch {
	case value == nil:
		// Not taken; the note may say why.
	case key == "text" && value.Kind() != source.Scalar:
		r.add(value, "wrong-shape", r.point.ID+": "+value.Kind().String()+" stands where words are due", "write: text: a few words")
	case key == "text":
		r.words(reading, value)
	case key == "between":
		r.interval(reading, value, unit)
	case value.Kind() == source.List:
		r.repeats(reading, value, unit)
	default:
		if q, ok := r.number(value, unit); ok {
			reading.Values = []quantity.Quantity{q}
			r.readings = append(r.readings, reading)
		}
	}
}

// words takes a reading in words; where the point knows only a few, it is one
// of them, and all else belongs beside it.
func (r *pointReader) words(reading Reading, n *source.Node) {
	if known := r.point.Words; len(known) > 0 && !isOneOf(n.Text(), known) {
		mend := "write one of: " + strings.Join(known, ", ") + "; the rest goes under method, by and note"
		if near := Nearest(n.Text(), known); near != "" {
			mend = "did you mean " + near + "? the rest goes under method, by and note"
		}
		r.add(n, "word", fmt.Sprintf("%s: %q is not one of the words for it", r.point.ID, n.Text()), mend)
		return
	}
	reading.Text = n.Text()
	r.readings = append(r.readings, reading)
}

// oneValue finds the one of value, between and text that is given. Two of them,
// or words where a number is due, are a problem and not a choice.
func (r *pointReader) oneValue(n *source.Node) (key string, value *source.Node) {
	for _, k := range []string{"value", "between", "text"} {
		v := n.Get(k)
		if v == nil || IsEmpty(v) {
			continue
		}
		switch {
		case value != nil:
			r.add(v, "two-values", "this reading has both "+key+" and "+k, "keep one of them")
			return "", nil
		case k == "text" && !r.point.Text:
			r.add(v, "wrong-shape", r.point.ID+" is a number, and text is for points in words", "write: value: "+r.point.exampleValue())
			return "", nil
		case k != "text" && r.point.Text:
			r.add(v, "wrong-shape", r.point.ID+" is written in words", "write: text: a few words")
			return "", nil
		}
		key, value = k, v
	}
	return key, value
}

func (r *pointReader) interval(reading Reading, n *source.Node, unit *quantity.Unit) {
	items := n.Items()
	if first, whole := CommaInList(items, unit == nil); first != nil {
		r.list = append(r.list, decimalComma(r.file, first, r.point.ID, whole))
		return
	}
	if n.Kind() != source.List || len(items) != 2 {
		r.add(n, "wrong-shape", "between holds two values", "write: between: [0.06, 0.07], the first enters and the second does not")
		return
	}
	low, ok1 := r.number(items[0], unit)
	high, ok2 := r.number(items[1], unit)
	if !ok1 || !ok2 {
		return
	}
	if c, err := low.Cmp(high); err == nil && c >= 0 {
		r.add(n, "quantity", "the second value of between is not greater than the first", "write the smaller one first")
		return
	}
	reading.Between = []quantity.Quantity{low, high}
	r.readings = append(r.readings, reading)
}
