package record

import (
	"fmt"
	"path"
	"slices"
	"sort"
	"strings"

	"stackbook/schema"
	"stackbook/schema/source"
)

// Blank says for what an empty session is written.
type Blank struct {
	Build      int
	Stage      *schema.Stage
	Date       schema.Date
	By         string
	Hours      string                           // "" where not known
	HoursError string                           // ""
	Unit       func(point *schema.Point) string // the unit of a point's lines; nil: the dictionary's
	Points     []string                         // these alone, whatever the stage asks for; nil: those it asks for
}

// BlankSession is the text of a session in which nothing is read yet: every
// point the dictionary asks for at its stage, at every place of this engine,
// a line each, empty (R20). Whoever takes a reading writes it behind its line
// and alters nothing else. The serials of the parts now fitted stand in it, so
// that readings follow the part (R1).
//
// Places that no number of rotors tells, such as bolts, are those the spec and
// the earlier sessions name. The text checks without a problem.
func (e *Engine) BlankSession(b Blank) []byte {
	var w strings.Builder
	file := path.Join(e.Folder, "measurements", SessionName(b.Date, b.Stage.Name, b.By, 1))
	fmt.Fprintf(&w, "%s\nformat: measurements/1\nengine: %s\nbuild: %d\n", schema.EditorHint("measurements", file), e.Number, b.Build)
	fmt.Fprintf(&w, "stage: %s   # %s\ndate: %s\n", b.Stage.Name, b.Stage.Title, b.Date)
	line(&w, "hours", b.Hours)
	line(&w, "hours_error", b.HoursError)
	line(&w, "by", b.By)
	fmt.Fprintf(&w, "temperature:   # %s\nconditions:   # %s\n", schema.Measurements().Find("temperature").Help, schema.Measurements().Find("conditions").Help)
	w.WriteString("instruments:   # by a key of your own, such as M100: {kind: outside micrometer 75-100 mm, expanded_uncertainty: 0.004 mm}\n")

	named := e.named()
	var asked []askedPoint
	for i := range schema.Points() {
		if p := &schema.Points()[i]; b.asks(p) {
			if keys := e.askedKeys(p, named); len(keys) > 0 {
				asked = append(asked, askedPoint{p, keys})
			}
		}
	}
	e.blankParts(&w, asked)
	w.WriteString("readings:   # a line left empty was not taken\n")
	for _, a := range asked {
		a.write(&w, b.Unit)
	}
	return []byte(w.String())
}

// asks tells whether a session is to have lines for a point.
func (b Blank) asks(p *schema.Point) bool {
	if b.Points != nil {
		return slices.Contains(b.Points, p.ID)
	}
	return slices.Contains(p.Stages, b.Stage.Name)
}

// line is one key with its value, empty where there is none.
func line(w *strings.Builder, key, value string) {
	if value != "" {
		value = " " + source.Quote(value)
	}
	fmt.Fprintf(w, "%s:%s\n", key, value)
}

// askedPoint is a point with the keys it is to be read under.
type askedPoint struct {
	*schema.Point
	keys []string
}

func (a askedPoint) write(w *strings.Builder, unit func(*schema.Point) string) {
	comment(w, "  ", a.Title+", by "+a.With+". "+a.How)
	comment(w, "  ", a.Caution)
	fmt.Fprintf(w, "  %s:\n", a.ID)
	switch {
	case !a.Text && unit != nil:
		fmt.Fprintf(w, "    unit: %s\n    instrument:\n", unit(a.Point))
	case !a.Text:
		fmt.Fprintf(w, "    unit: %s\n    instrument:\n", a.Unit)
	}
	if a.Words != nil || strings.Contains(a.How, "method") {
		w.WriteString("    method:\n")
	}
	if a.Words != nil {
		fmt.Fprintf(w, "    by:\n    # each: %s\n", strings.Join(a.Words, ", "))
	}
	for _, key := range a.keys {
		fmt.Fprintf(w, "    %s:\n", key)
	}
}

// comment writes text as comment lines of at most some 100 characters.
func comment(w *strings.Builder, indent, text string) {
	const width = 100
	at := 0
	for _, word := range strings.Fields(text) {
		if at == 0 || at+1+len(word) > width {
			if at > 0 {
				w.WriteString("\n")
			}
			w.WriteString(indent + "#")
			at = len(indent) + 1
		}
		w.WriteString(" " + word)
		at += 1 + len(word)
	}
	if at > 0 {
		w.WriteString("\n")
	}
}

// blankParts names the serials of the parts that are to be read.
func (e *Engine) blankParts(w *strings.Builder, asked []askedPoint) {
	read := map[string]bool{}
	for _, a := range asked {
		for _, key := range a.keys {
			if position, _, ok := a.Split(key, e.Rotors); ok {
				read[a.PartOf(position)] = true
			}
		}
	}
	head := "parts:\n"
	for _, p := range e.parts {
		if read[p.Position] && p.Serial != "" {
			fmt.Fprintf(w, "%s  %s: %s\n", head, p.Position, source.Quote(p.Serial))
			head = ""
		}
	}
}

// named gathers what the engine's own records name: every position, and by
// point and position the places there. Lines left empty name theirs too.
type named struct {
	positions map[string]bool
	places    map[string][]string // by point and position, in the order first written
}

func (e *Engine) named() named {
	n := named{map[string]bool{}, map[string][]string{}}
	for _, p := range e.parts {
		n.positions[p.Position] = true
	}
	for i := 1; i <= min(e.Spec.Number("fasteners.bolts"), 99); i++ {
		n.positions[fmt.Sprintf("bolt/%d", i)] = true
	}
	for _, s := range e.Sessions {
		readings := s.Node("readings")
		if readings == nil {
			continue
		}
		for _, group := range readings.Entries() {
			if p := schema.FindPoint(group.Key); p != nil {
				n.take(p, group.Value, e.Rotors)
			}
		}
	}
	return n
}

func (n named) take(p *schema.Point, group *source.Node, rotors int) {
	for _, key := range group.Keys() {
		position, place, ok := p.Split(key, rotors)
		if !ok {
			continue
		}
		n.positions[position] = true
		at := p.ID + " " + position
		if place != "" && !slices.Contains(n.places[at], place) {
			n.places[at] = append(n.places[at], place)
		}
	}
}

// askedKeys lists the keys under which a point is to be read in this engine.
func (e *Engine) askedKeys(p *schema.Point, n named) []string {
	var keys []string
	for _, position := range e.askedPositions(p, n) {
		places := e.askedPlaces(p, position, n)
		if len(places) == 0 {
			keys = append(keys, position)
		}
		for _, place := range places {
			keys = append(keys, position+"/"+place)
		}
	}
	return keys
}

// askedPositions lists the positions a point is asked at. Of centre ones, and of
// those whose number is free, only such as the engine is known to have.
func (e *Engine) askedPositions(p *schema.Point, n named) []string {
	var list []string
	for _, position := range p.Asked(e.Rotors) {
		if !strings.Contains(position, "/centre") || e.Rotors > 2 || n.positions[position] {
			list = append(list, position)
		}
	}
	for _, kind := range p.At {
		if !strings.Contains(string(kind), "*n") {
			continue
		}
		var free []string
		for position := range n.positions {
			if kind.Match(position, e.Rotors) {
				free = append(free, position)
			}
		}
		sort.Slice(free, func(i, j int) bool { return schema.Less(free[i], free[j]) })
		list = append(list, free...)
	}
	return list
}

// askedPlaces lists the places a point is asked at a position; where their
// number is free, those read there before.
func (e *Engine) askedPlaces(p *schema.Point, position string, n named) []string {
	var places []string
	for _, kind := range p.Places {
		places = append(places, kind.Expand(0)...)
	}
	if len(places) > 0 {
		return places
	}
	places = n.places[p.ID+" "+position]
	sort.SliceStable(places, func(i, j int) bool { return schema.Less(places[i], places[j]) })
	return places
}
