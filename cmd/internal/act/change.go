package act

import (
	"fmt"
	"path"
	"slices"
	"strings"

	"stackbook/record"
	"stackbook/record/book"
	"stackbook/schema"
	"stackbook/schema/problem"
	"stackbook/schema/source"
)

// Desk is where changes of one engine are written.
type Desk struct {
	Place  Place
	Engine *record.Engine
	Dir    string // paths of pictures and records are typed as seen from here
	shop   *Shop
	files  []record.File
	before problem.List // what is wrong with the records already
}

// Draft is a change that is checked and not yet written.
type Draft struct {
	Kind, What string
	Build      int
	Remarks    []string // to be said on standard error
	Photos     []string // where its pictures will lie, in the book
	File       string   // where it will lie, in the book
	Text       []byte
	Closes     bool // a concession that is there already
	edits      []book.Edit
}

// Desk opens the records of an engine for writing by someone in a folder. An
// engine whose spec cannot be read is a problem.List.
func (s *Shop) Desk(number, dir string) (*Desk, error) {
	tree := s.Book.Folder()
	if _, _, err := readBook(tree); err != nil {
		return nil, err // of a newer dictionary: not ours to write in (R19)
	}
	place, err := FindEngine(tree, number)
	if err != nil {
		return nil, err
	}
	d := &Desk{Place: place, Dir: dir, shop: s}
	if d.files, _, err = gather(tree, place.Folder); err != nil {
		return nil, err
	}
	if d.Engine, d.before = record.Load(place.Folder, d.files); d.Engine == nil {
		return nil, d.before
	}
	return d, nil
}

// FromOptions makes a change of what was typed as options, each value by the
// dictionary's path. What is wrong with a value is a problem of its option.
func (d *Desk) FromOptions(values map[string][]string, photos []string) (*Draft, error) {
	c, err := d.typed(values)
	if err != nil {
		return nil, err
	}
	switch {
	case c["what"] == nil:
		return nil, usage(`write: --what "pockets recut"; a whole record is taken with: stackbook change `+d.Place.Number+" -", "what was done or happened is not said")
	case c["by"] == nil:
		return nil, usage("write: --by KM", "who did it is not said")
	}
	stem, err := d.stem(c["date"].(string), c["kind"].(string), c["what"].(string))
	if err != nil {
		return nil, err
	}
	taken, err := d.pictures(stem, photos)
	if err != nil {
		return nil, err
	}
	if len(taken.entries) > 0 {
		c["photos"] = taken.entries
	}
	file := d.file(stem)
	text := []byte(schema.EditorHint("change", file) + "\n" + c.text(schema.Change().Fields))
	draft, list, err := d.check(file, text)
	if err != nil {
		return nil, err
	}
	draft.take(taken)
	return draft, byOption(text, list).Err()
}

// file is where a change lies in the book.
func (d *Desk) file(stem string) string { return path.Join(d.Place.Folder, "changes", stem+".yaml") }

// take adds pictures to a draft.
func (d *Draft) take(p *pictures) {
	d.edits = append(d.edits, p.edits...)
	d.Remarks = append(d.Remarks, p.remarks...)
	for _, e := range p.edits {
		d.Photos = append(d.Photos, e.Path)
	}
}

// check reads a change together with the engine's other records, as the next
// check of them would, and gives what is newly wrong. A delivered build takes
// no more than events, claims and notes (R18).
func (d *Desk) check(file string, text []byte) (*Draft, problem.List, error) {
	files := slices.DeleteFunc(slices.Clone(d.files), func(f record.File) bool { return f.Path == file })
	engine, after := record.Load(d.Place.Folder, append(files, record.File{Path: file, Data: text}))
	list := slices.DeleteFunc(after, func(p problem.Problem) bool { return slices.Contains(d.before, p) })
	draft := &Draft{File: file, Text: text}
	for _, c := range engine.Changes {
		if c.Path != file || c.Kind == nil {
			continue
		}
		draft.Kind, draft.What, draft.Build = c.Kind.Name, c.What, c.Build
		draft.Remarks = append(unsaid(c), stillFitted(engine, c)...)
		if err := d.open(c.Build, c.Kind.Name); err != nil {
			return nil, nil, err
		}
	}
	return draft, list, nil
}

// unsaid tells what a concession leaves out of what is asked of it years later:
// it is valid without, and nobody remembers.
func unsaid(c *record.Change) []string {
	var keys []string
	for _, key := range []string{"why", "concession.accepted_by", "concession.told", "concession.look_again"} {
		if c.Kind.Name == "concession" && c.Text(key) == "" {
			keys = append(keys, optionOf(key))
		}
	}
	if len(keys) == 0 {
		return nil
	}
	return []string{"a concession is asked about years later, and this one does not say: " + strings.Join(keys, ", ")}
}

// stillFitted tells which parts the spec says are fitted where the change has
// them taken out.
func stillFitted(e *record.Engine, c *record.Change) []string {
	if c.Build != e.Build {
		return nil
	}
	var list []string
	for _, r := range c.Removed() {
		p, ok := e.PartAt(r.From)
		name := r.Serial
		if name == "" {
			name = r.Lot
		}
		if !ok || r.To == "" || name == "" || name != p.Serial && name != p.Lot {
			continue
		}
		list = append(list, fmt.Sprintf("%s still has %s at %s, which this takes out: write there what is fitted now, or take it out", p.Ref, name, r.From))
	}
	return list
}

// open sees that a build still takes a change of a kind.
func (d *Desk) open(build int, kind string) error {
	if d.Engine.Delivered(build) == nil || slices.Contains([]string{"event", "claim", "note"}, kind) {
		return nil
	}
	return usage("open the next build first: stackbook reopen "+d.Place.Number,
		"build %d of %s is delivered, and takes events, claims and notes only: no %s", build, d.Place.Number, kind)
}

// Write puts a draft and its pictures into the folder, all or nothing, without
// a commit.
func (d *Desk) Write(draft *Draft) error {
	return d.shop.Book.Put(append(slices.Clone(draft.edits), book.Edit{Path: draft.File, Data: draft.Text, Write: true}))
}

// Message is what a commit of the draft says when nothing else is said: on one
// line, and no more of it than a log shows.
func (d *Desk) Message(draft *Draft) string {
	const most = 100 // letters
	first, _, _ := strings.Cut(draft.What, "\n")
	if letters := []rune(first); len(letters) > most {
		first = strings.TrimSpace(string(letters[:most])) + "…"
	}
	kind := draft.Kind
	if draft.Closes {
		kind += " closed"
	}
	return fmt.Sprintf("%s: %s: %s", d.Place.Number, kind, first)
}

// byOption names the option that each problem of a text made from options came
// from.
func byOption(text []byte, list problem.List) problem.List {
	doc, err := source.Parse("", text)
	if err != nil {
		return list
	}
	named := slices.Clone(list)
	for i, p := range named {
		if option := optionOf(keyOn(doc.Root(), p.Line)); option != "" {
			named[i].File, named[i].Line, named[i].Column = "--"+option, 0, 0
		}
	}
	return named
}

// keyOn is the dotted path of the key, one or two deep, that a line belongs to.
func keyOn(n *source.Node, line int) string {
	var last source.Entry
	for _, e := range n.Entries() {
		if e.KeyLine <= line {
			last = e
		}
	}
	if f := schema.Change().Find(last.Key); f == nil || f.Type != schema.Group || last.KeyLine == line {
		return last.Key
	}
	return last.Key + "." + keyOn(last.Value, line)
}
