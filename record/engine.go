package record

import (
	"fmt"
	"path"
	"sort"
	"strings"

	"stackbook/schema"
	"stackbook/schema/problem"
)

// Session is one measuring session.
type Session struct {
	*Record
	Build    int
	Stage    *schema.Stage // nil when its stage is not known
	Order    int           // place of the stage in working order
	Date     schema.Date
	By       string
	Readings []schema.Reading
	Tables   []*Table
}

// Serial is the serial of the part the session read at a position, "" where it
// says none.
func (s *Session) Serial(position string) string { return s.TextAt("parts", position) }

// PositionsOf lists the positions at which the session read a part of that
// serial, in the order written.
func (s *Session) PositionsOf(serial string) []string {
	n := s.Node("parts")
	if n == nil || serial == "" {
		return nil
	}
	var list []string
	for _, entry := range n.Entries() {
		if s.Serial(entry.Key) == serial {
			list = append(list, entry.Key)
		}
	}
	return list
}

// Change is one change.
type Change struct {
	*Record
	Build   int
	Kind    *schema.ChangeKind // nil when its kind is not known
	Date    schema.Date
	What    string
	Why     string
	By      string
	Touches []string
}

// Engine is all records of one engine in one state.
type Engine struct {
	Number   string
	ID       string
	Folder   string // engines/2024/SK-07
	Title    string
	Customer string
	Build    int
	Rotors   int
	Spec     *Record
	Sessions []*Session // by date, then stage, then file
	Changes  []*Change  // by date, then file
	parts    []Part
	fitted   map[string]Part
	byPoint  map[string][]taken // all readings of a point
	at       map[spot][]taken   // by point and position
	bySerial map[string][]taken // by point, serial of the part read and place on the part
	hours    []counted          // the records that give the engine's hours, by date
}

// spot is where a reading was taken.
type spot struct {
	point    *schema.Point
	position string
}

// taken is one reading with its session.
type taken struct {
	reading *schema.Reading
	session *Session
}

// Load reads an engine's folder: files are those below folder, in any order;
// others are passed over. Problems are sorted, those of every file in one run.
// The engine is nil when the spec cannot be read; otherwise it holds all that
// could be.
func Load(folder string, files []File) (*Engine, problem.List) { return loadWith(nil, folder, files) }

func loadWith(m *Memory, folder string, files []File) (*Engine, problem.List) {
	var problems problem.List
	spec, found := readSpec(m, folder, files, &problems)
	if !found {
		problems = append(problems, problem.Problem{File: folder, Rule: "no-spec", Message: "there is no spec.yaml in " + folder, Mend: "enrol the engine, or put its spec.yaml back"})
	}
	e := newEngine(folder, spec)
	problems = append(problems, e.checkSpec()...)
	for _, f := range files {
		problems = append(problems, e.take(m, f)...)
	}
	e.sort()
	problems = append(problems, e.checkNames(files)...)
	e.hours = e.countHours()
	problems = append(problems, e.checkBuilds()...)
	problems = append(problems, e.checkRuns()...)
	problems = append(problems, e.checkHours()...)
	problems.Sort()
	if spec == nil {
		return nil, problems
	}
	return e, problems
}

func readSpec(m *Memory, folder string, files []File, problems *problem.List) (*Record, bool) {
	for _, f := range files {
		if f.Path == path.Join(folder, "spec.yaml") {
			one := m.parse(f, "spec")
			rotors := 0
			if one.record != nil {
				rotors = rotorsOf(one.record)
			}
			spec, list := one.check(rotors)
			*problems = append(*problems, list...)
			if unknownFormat(list) {
				spec = nil
			}
			return spec, true
		}
	}
	return nil, false
}

// unknownFormat tells whether a record was not even looked at, for its format.
func unknownFormat(list problem.List) bool {
	for _, p := range list {
		if p.Rule == "format" || p.Rule == "newer-format" {
			return true
		}
	}
	return false
}

// rotorsOf is the number of rotors a spec names, 0 where it names none that
// could be.
func rotorsOf(spec *Record) int {
	n := spec.Number("geometry.rotors")
	if n < 1 || n > schema.MostRotors {
		return 0
	}
	return n
}

// newEngine is the engine of a spec, still without its other records. Its number
// is the folder's, which every record is compared with. Where the spec cannot be
// read (nil) the number is all that is known of it.
func newEngine(folder string, spec *Record) *Engine {
	e := &Engine{Number: path.Base(folder), Folder: folder, byPoint: map[string][]taken{}, at: map[spot][]taken{}, bySerial: map[string][]taken{}}
	if spec == nil {
		return e
	}
	e.Spec, e.ID, e.Title, e.Customer = spec, spec.Text("id"), spec.Text("title"), spec.Text("customer")
	e.Build, e.Rotors = spec.Number("build"), rotorsOf(spec)
	e.readParts()
	return e
}

// take adds one file of the folder to the engine.
func (e *Engine) take(m *Memory, f File) problem.List {
	inFolder, below := strings.CutPrefix(f.Path, e.Folder+"/")
	if !below {
		return nil
	}
	switch KindOf(inFolder) {
	case "measurements":
		return e.takeSession(m.parse(f, "measurements"))
	case "change":
		return e.takeChange(m.parse(f, "change"))
	}
	return nil
}

func (e *Engine) takeSession(one *remembered) problem.List {
	r, problems := one.check(e.Rotors)
	if r == nil {
		return problems
	}
	problems = append(problems, e.sameEngine(r)...)
	s, list := one.asSession(e.Rotors)
	e.Sessions = append(e.Sessions, s)
	return append(problems, list...)
}

func newSession(r *Record, readings []schema.Reading) *Session {
	s := &Session{Record: r, Readings: readings, Build: r.Number("build"), By: r.Text("by")}
	s.Date, _ = r.Date("date")
	s.Stage, s.Order = schema.FindStage(r.Text("stage"))
	return s
}

func (e *Engine) takeChange(one *remembered) problem.List {
	r, problems := one.check(e.Rotors)
	if r == nil {
		return problems
	}
	e.Changes = append(e.Changes, one.asChange())
	return append(problems, e.sameEngine(r)...)
}

func newChange(r *Record) *Change {
	c := &Change{Record: r, Build: r.Number("build"), What: r.Text("what"), Why: r.Text("why"), By: r.Text("by"), Touches: r.Texts("touches")}
	c.Date, _ = r.Date("date")
	c.Kind = schema.FindChangeKind(r.Text("kind"))
	return c
}

// ReadSpec reads a spec by itself, as it is and unjudged, such as an old version
// of it: the engine has its parts and none of its other records. It is nil when
// the text cannot be read.
func ReadSpec(folder string, f File) *Engine { return (*Memory)(nil).ReadSpec(folder, f) }

// ReadChange reads a change by itself, as it is and unjudged; nil when the text
// cannot be read.
func ReadChange(f File) *Change { return (*Memory)(nil).ReadChange(f) }

// sameEngine sees that a record lies in the folder of the engine it names.
func (e *Engine) sameEngine(r *Record) problem.List {
	n := r.Node("engine")
	if text := written(n); text == "" || text == e.Number {
		return nil
	}
	p := problem.Problem{File: r.Path, Line: n.Line(), Column: n.Column(), Rule: "engine",
		Message: fmt.Sprintf("this record names engine %s but lies in the folder of %s", n.Text(), e.Number),
		Mend:    "move the file, or write: engine: " + e.Number}
	if err := schema.CheckNumber(n.Text()); err != nil {
		p.Message, p.Mend = err.Error(), "write: engine: "+e.Number
	}
	return problem.List{p}
}

func (e *Engine) sort() {
	sort.SliceStable(e.Sessions, func(i, j int) bool {
		a, b := e.Sessions[i], e.Sessions[j]
		if !a.Date.Time.Equal(b.Date.Time) {
			return a.Date.Time.Before(b.Date.Time)
		}
		if a.Order != b.Order {
			return a.Order < b.Order
		}
		return strings.TrimSuffix(a.Path, ".yaml") < strings.TrimSuffix(b.Path, ".yaml")
	})
	sort.SliceStable(e.Changes, func(i, j int) bool {
		a, b := e.Changes[i], e.Changes[j]
		if !a.Date.Time.Equal(b.Date.Time) {
			return a.Date.Time.Before(b.Date.Time)
		}
		return a.Path < b.Path
	})
	for _, s := range e.Sessions {
		for i := range s.Readings {
			e.index(taken{&s.Readings[i], s})
		}
	}
}

// index makes a reading quick to find by where it was taken and on which part.
func (e *Engine) index(t taken) {
	point, position := t.reading.Point, t.reading.Position
	e.byPoint[point.ID] = append(e.byPoint[point.ID], t)
	here := spot{point, position}
	e.at[here] = append(e.at[here], t)
	part := point.PartOf(position)
	if serial := t.session.Serial(part); part != "" && serial != "" {
		key := onPart(point, serial, strings.TrimPrefix(position, part))
		e.bySerial[key] = append(e.bySerial[key], t)
	}
}

func onPart(point *schema.Point, serial, rest string) string {
	return point.ID + " " + serial + " " + rest
}

// Records lists every record of the engine.
func (e *Engine) Records() []*Record {
	records := []*Record{e.Spec}
	for _, s := range e.Sessions {
		records = append(records, s.Record)
	}
	for _, c := range e.Changes {
		records = append(records, c.Record)
	}
	return records
}

// Part is one entry of the spec's parts.
type Part struct {
	Position string
	Serial   string
	Lot      string
	Number   string // part number
	Supplier string
	Origin   string // "new", "used", or "" where not said
	Ref      Ref
}

// readParts takes in the spec's parts.
func (e *Engine) readParts() {
	e.fitted = map[string]Part{}
	n := e.Spec.Node("parts")
	if n == nil {
		return
	}
	for _, entry := range n.Entries() {
		text := func(key string) string { return written(entry.Value.Get(key)) }
		p := Part{Position: entry.Key, Serial: text("serial"), Lot: text("lot"), Number: text("part"), Supplier: text("supplier"), Origin: text("origin"), Ref: e.Spec.Ref(entry.Value)}
		e.parts = append(e.parts, p)
		e.fitted[p.Position] = p
	}
}

// Parts lists the spec's parts in the order written.
func (e *Engine) Parts() []Part { return e.parts }

// PartAt returns the part fitted at a position itself.
func (e *Engine) PartAt(position string) (Part, bool) {
	p, ok := e.fitted[position]
	return p, ok
}

// ReplacedSince tells whether the part at a position was, or may have been,
// replaced after a day: then what the spec says is fitted is not what was there.
func (e *Engine) ReplacedSince(position string, date schema.Date) bool {
	return e.touchedSince(position, date, true)
}

// touchedSince tells whether a change that voids touched a position, or may
// have, after a day; only replacements where replaced is set.
func (e *Engine) touchedSince(position string, date schema.Date, replaced bool) bool {
	for _, c := range e.Changes {
		if c.Kind == nil || !c.Kind.Voids || replaced && c.Kind.Name != "replacement" {
			continue
		}
		if order, known := c.Date.Compare(date); known && order <= 0 {
			continue
		}
		if c.Reaches(position) {
			return true
		}
	}
	return false
}

// Delivered returns the delivery change of a build, or nil.
func (e *Engine) Delivered(build int) *Change {
	for _, c := range e.Changes {
		if c.Build == build && c.Kind != nil && c.Kind.Name == "delivery" {
			return c
		}
	}
	return nil
}

// Hours is the text of the running hours a session or change gives.
func (r *Record) Hours() string {
	hours, off := r.Text("hours"), r.Text("hours_error")
	if hours != "" && off != "" {
		return strings.TrimSuffix(hours, " h") + " ± " + off
	}
	return hours
}
