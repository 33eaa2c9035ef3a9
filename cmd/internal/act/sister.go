package act

import (
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"

	"stackbook/record"
	"stackbook/record/book"
	"stackbook/schema"
	"stackbook/schema/problem"
	"stackbook/schema/source"
)

// Sister is a new engine like another: what comes along of the other's spec,
// what stays with it, and the new spec. Nothing is written until Put.
type Sister struct {
	Number   string
	Title    string
	Like     string // the state it is made like
	File     string // its spec
	Carried  []Share
	Stays    []Share
	Records  []Share      // those of the other engine, which stay too
	Problems problem.List // of the new spec: whatever was wrong with the old one
	Remarks  []string     // on the state it is made like
	text     []byte
}

// Share is what comes along, or stays, of one section of a spec or one kind of
// record.
type Share struct {
	What  string   // a section, a key at the top, or a kind of record
	Count int      // values, sessions or changes
	Which []string // the keys, each with how often where a section has several: "lot 11"
	Why   string   // of what stays: why
}

// Sister makes up the spec of a new engine like one in any state. What belongs
// to the other engine alone stays with it (schema.OwnToOne), as do its sessions
// and changes; everything else comes along as it is written, with comments,
// order and spacing. The number of rotors is the other's.
func (s *Shop) Sister(o EnrolOptions, like string) (*Sister, error) {
	file, remark, err := s.newFolder(&o)
	if err != nil {
		return nil, err
	}
	l, err := s.State(like)
	if err != nil {
		return nil, err
	}
	if l.Engine == nil {
		return nil, l.Problems
	}
	if o.Rotors != 0 && o.Rotors != l.Engine.Rotors {
		return nil, usage("leave --rotors out, or enrol without --like", "%s has %d rotors, and --rotors says %d", like, l.Engine.Rotors, o.Rotors)
	}
	if strings.TrimSpace(o.Title) == "" {
		o.Title = "like " + like + ": " + l.Engine.Title
	}
	p := parting{own: map[string]string{}}
	p.group(l.Engine.Spec.Doc.Root(), schema.Spec(), nil, "")
	x := &Sister{Number: o.Number, Title: o.Title, Like: like, File: file, Remarks: l.Remarks, Carried: shares(p.carried, nil), Stays: shares(p.stays, p.own)}
	if remark != "" {
		x.Remarks = append(x.Remarks, remark)
	}
	x.Records = recordsOf(l.Engine)
	if x.text, err = sisterText(l.Engine.Spec.Doc, o, file, p.leave); err != nil {
		return nil, err
	}
	_, x.Problems = record.Read(record.File{Path: file, Data: x.text}, "spec", l.Engine.Rotors)
	return x, nil
}

// PutSister writes the spec of a sister engine into the folder. Nothing is
// committed yet.
func (s *Shop) PutSister(x *Sister) error {
	return s.Book.Put([]book.Edit{{Path: x.File, Data: x.text, Write: true}})
}

// parting goes through a spec and tells what comes along from what stays.
type parting struct {
	carried, stays []counted
	leave          [][]string        // the paths of what stays, to be taken out
	own            map[string]string // why a section's keys stay
}

// counted is one key of a section and how often it has a value.
type counted struct {
	section, key string
	count        int
}

// group goes through a mapping with known keys. pattern is its path with "*"
// for positions; an unknown key comes along.
func (p *parting) group(n *source.Node, f *schema.Field, path []string, pattern string) {
	for _, e := range n.Entries() {
		at := strings.TrimPrefix(pattern+"."+e.Key, ".")
		p.value(e.Value, f.Find(e.Key), append(slices.Clone(path), e.Key), at)
	}
}

func (p *parting) value(n *source.Node, f *schema.Field, path []string, pattern string) {
	if n.IsNull() || pattern == "format" {
		return
	}
	why, own := schema.OwnToOne(pattern)
	section, key, _ := strings.Cut(pattern, ".")
	key = strings.ReplaceAll(key, "*.", "")
	switch {
	case own && n.Kind() == source.List && key == "":
		p.stay(path, section, "files", len(n.Items()), why)
	case own:
		p.stay(path, section, orValue(key, n), 1, why)
	case f != nil && f.Type == schema.Group && n.Kind() == source.Map:
		p.group(n, f, path, pattern)
	case f != nil && f.Type == schema.Keyed && n.Kind() == source.Map:
		for _, e := range n.Entries() {
			p.value(e.Value, f.Of, append(slices.Clone(path), e.Key), pattern+".*")
		}
	case key == "" && n.Kind() == source.Map:
		for _, e := range n.Entries() {
			p.carried = tally(p.carried, section, e.Key, 1)
		}
	default:
		p.carried = tally(p.carried, section, orValue(key, n), 1)
	}
}

// stay notes what belongs to the other engine alone.
func (p *parting) stay(path []string, section, key string, count int, why string) {
	p.own[section] = why
	p.stays = tally(p.stays, section, key, count)
	p.leave = append(p.leave, path)
}

// orValue is the key within a section; a key at the top is shown by its value.
func orValue(key string, n *source.Node) string {
	if key == "" {
		key = n.Text()
	}
	return key
}

func tally(list []counted, section, key string, n int) []counted {
	for i := range list {
		if list[i].section == section && list[i].key == key {
			list[i].count += n
			return list
		}
	}
	return append(list, counted{section, key, n})
}

// shares gathers keys by their section, in the order of the spec; why tells of
// each section why it stays.
func shares(list []counted, why map[string]string) []Share {
	var all []Share
	for _, c := range list {
		i := slices.IndexFunc(all, func(s Share) bool { return s.What == c.section })
		if i < 0 {
			i = len(all)
			all = append(all, Share{What: c.section, Why: why[c.section]})
		}
		which := c.key
		if c.count > 1 {
			which = strings.TrimSpace(which + " " + strconv.Itoa(c.count))
		}
		all[i].Count += c.count
		all[i].Which = append(all[i].Which, which)
	}
	return all
}

// recordsOf are the records of an engine, which stay with it.
func recordsOf(e *record.Engine) []Share {
	var all []Share
	if n := len(e.Sessions); n > 0 {
		readings := 0
		for _, s := range e.Sessions {
			readings += len(s.Readings)
		}
		all = append(all, Share{"measurements", n, []string{strconv.Itoa(readings) + " readings"}, "read on its own parts"})
	}
	var kinds []counted
	for _, c := range e.Changes {
		kinds = tally(kinds, "changes", c.Text("kind"), 1)
	}
	return append(all, shares(kinds, map[string]string{"changes": "happened to it alone"})...)
}

// sisterText is the old spec's text with what names the new engine in its place
// and what stays with the old one taken out.
func sisterText(doc *source.Doc, o EnrolOptions, file string, leave [][]string) ([]byte, error) {
	named := map[string]string{"engine": o.Number, "id": o.ID, "title": o.Title, "build": "1"}
	for _, path := range leave {
		if _, set := named[path[0]]; set {
			continue
		}
		next, err := takeOut(doc, path)
		if err != nil {
			return nil, notTaken(err)
		}
		doc = next
	}
	for _, key := range []string{"engine", "id", "title", "build"} {
		next, err := write(doc, key, named[key])
		if err != nil {
			return nil, notTaken(err)
		}
		doc = next
	}
	return withHint(doc.Text(), schema.EditorHint("spec", file)), nil
}

// takeOut empties a key, ready for the sister's own value. Where a comment
// speaks of the old value, and between braces, where an empty key reads badly,
// the key goes.
func takeOut(doc *source.Doc, path []string) (*source.Doc, error) {
	if n := doc.Root().At(path...); n.Kind() == source.Scalar && n.Comment() == "" {
		if next, err := doc.SetRaw(path, ""); err == nil {
			return next, nil
		}
	}
	return doc.Remove(path)
}

// write gives a key at the top a value, in its place or, where there is none,
// at the end.
func write(doc *source.Doc, key, value string) (*source.Doc, error) {
	if doc.Root().Get(key) == nil {
		return doc.Insert(nil, key, source.Quote(value))
	}
	return doc.Set([]string{key}, value)
}

// notTaken says that an old spec cannot be taken over because of how it is
// written at one place.
func notTaken(err error) error {
	if p, ok := err.(problem.Problem); ok {
		p.Message = "this spec cannot be taken over as it is written: " + p.Message
		return problem.List{p}
	}
	return err
}

var hintLine = sync.OnceValue(func() *regexp.Regexp {
	return regexp.MustCompile(`(?m)^#[ \t]*yaml-language-server:[^\r\n]*`)
})

// withHint puts the editor's hint where the old one stood, or first.
func withHint(text []byte, hint string) []byte {
	if at := hintLine().FindIndex(text); at != nil {
		return slices.Concat(text[:at[0]], []byte(hint), text[at[1]:])
	}
	mark, rest, marked := strings.Cut(string(text), "\ufeff")
	if !marked || mark != "" {
		rest = string(text)
	}
	end := "\n"
	if first, _, ok := strings.Cut(rest, "\n"); ok && strings.HasSuffix(first, "\r") {
		end = "\r\n"
	}
	if marked && mark == "" {
		return []byte("\ufeff" + hint + end + rest)
	}
	return []byte(hint + end + rest)
}
