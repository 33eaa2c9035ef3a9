package act

import (
	"fmt"
	"path"
	"slices"
	"sync"

	"stackbook/record"
	"stackbook/record/book"
	"stackbook/record/figure"
	"stackbook/record/travel"
	"stackbook/schema"
	"stackbook/schema/problem"
)

// rules are what the engines of a state are judged by: book.yaml and the limit
// sets of one tree, each read once however many engines ask. They may be asked
// from several goroutines.
type rules struct {
	tree     book.Tree
	book     *record.Record // nil where it cannot be read
	problems problem.List   // of book.yaml
	sum      string         // what names the bytes of book.yaml
	sets     *ruleSets

	memory  *record.Memory // of the engines judged; nil keeps nothing
	lightly bool           // figures.yaml is read only where it tells what today's formulas do not
}

// ruleSets are the limit sets of one tree by name.
type ruleSets struct {
	mu     sync.Mutex
	byName map[string]*ruleSet
}

// keptRules are rules of many trees, by what their book.yaml and limits/ are to
// git.
type keptRules struct {
	mu sync.Mutex
	by map[string]*rules
}

// rulesOf reads the rules of a tree, or gives those of another tree that has the
// same.
func (s *Shop) rulesOf(tree book.Tree) (*rules, error) {
	if s.kept == nil {
		return readRules(tree)
	}
	r, err := s.kept.of(tree)
	if err != nil {
		return nil, err
	}
	own := *r
	own.tree, own.memory, own.lightly = tree, s.memory, true
	return &own, nil
}

func (k *keptRules) of(tree book.Tree) (*rules, error) {
	top, err := list(tree, ".")
	if err != nil {
		return nil, err
	}
	key := ""
	for _, e := range top {
		if e.Name == book.Marker || e.Name == "limits" {
			key += e.Name + " " + e.Hash + " "
			if e.Hash == "" {
				return readRules(tree) // the folder, which may alter
			}
		}
	}
	k.mu.Lock()
	defer k.mu.Unlock()
	if k.by[key] != nil {
		return k.by[key], nil
	}
	r, err := readRules(tree)
	if err == nil {
		if k.by == nil {
			k.by = map[string]*rules{}
		}
		k.by[key] = r
	}
	return r, err
}

// ruleSet is a limit set as it was read, and what is wrong with it.
type ruleSet struct {
	read  sync.Once
	there bool
	data  []byte
	sum   string       // what names the bytes
	unfit problem.List // no file of a book lies there
	err   error

	judge    sync.Once
	set      *record.LimitSet
	problems problem.List
}

func readRules(tree book.Tree) (*rules, error) {
	data, there, err := read(tree, book.Marker)
	r, problems, err := bookOf(data, there, err)
	if err != nil {
		return nil, err
	}
	sum := "none"
	if data != nil {
		sum = book.SumOf(data)
	}
	return &rules{tree: tree, book: r, problems: slices.Clip(problems), sum: sum, sets: &ruleSets{byName: map[string]*ruleSet{}}}, nil
}

// readBook reads book.yaml and sees that this stackbook knows its dictionary.
func readBook(tree book.Tree) (*record.Record, problem.List, error) {
	return bookOf(read(tree, book.Marker))
}

// bookOf is book.yaml as it was read.
func bookOf(data []byte, ok bool, err error) (*record.Record, problem.List, error) {
	if problems := unfit(err); problems != nil {
		return nil, problems, nil
	}
	if err != nil {
		return nil, nil, err
	}
	if !ok {
		return nil, problem.List{{File: book.Marker, Rule: "no-book", Message: "there is no book.yaml in this state", Mend: "name a later state"}}, nil
	}
	r, problems := record.Read(record.File{Path: book.Marker, Data: data}, "book", 0)
	if r == nil {
		return nil, problems, nil
	}
	if n := r.Number("dictionary"); n > schema.Dictionary {
		return nil, nil, &NewerError{fmt.Sprintf("this book uses dictionary %d, and this stackbook knows up to %d", n, schema.Dictionary)}
	}
	return r, problems, nil
}

// limitsFor reads the limit set an engine is judged by: its own, else the
// book's default, else none. The engine is nil where its spec cannot be read.
func (r *rules) limitsFor(e *record.Engine) (*record.LimitSet, problem.List, error) {
	from, name := limitSet(r.book, e)
	if name == "" {
		return nil, nil, nil
	}
	return r.limits(from, name)
}

// limits gives the limit set that a record names.
func (r *rules) limits(from *record.Record, name string) (*record.LimitSet, problem.List, error) {
	ref := from.Ref(from.Node("limits"))
	if !isFileName(name) {
		return nil, problem.List{{File: ref.File, Line: ref.Line, Column: ref.Column, Rule: "no-limits",
			Message: fmt.Sprintf("%.60q is no name of a limit set", name), Mend: limitMend(r.tree, "")}}, nil
	}
	one := r.set(name)
	if one.there || one.err != nil {
		set, problems := one.judged(limitFile(name))
		return set, problems, one.err
	}
	file := limitFile(name)
	p := problem.Problem{File: ref.File, Line: ref.Line, Column: ref.Column, Rule: "no-limits",
		Message: fmt.Sprintf("there is no limit set %s: %s is missing", name, file), Mend: limitMend(r.tree, name)}
	if skipped, err := r.tree.Skipped(file); err != nil || len(skipped) > 0 {
		p.Message, p.Mend = fmt.Sprintf("the limit set %s is not checked out here: %s", name, file), addSparse("limits")
		return nil, problem.List{p}, err
	}
	return nil, problem.List{p}, nil
}

// set gives the limit set of a file, read the first time it is asked for.
func (r *rules) set(name string) *ruleSet {
	r.sets.mu.Lock()
	one := r.sets.byName[name]
	if one == nil {
		one = &ruleSet{}
		r.sets.byName[name] = one
	}
	r.sets.mu.Unlock()
	one.read.Do(func() { one.readFrom(r.tree, limitFile(name)) })
	return one
}

func (s *ruleSet) readFrom(tree book.Tree, file string) {
	s.data, s.there, s.err = read(tree, file)
	if s.unfit = unfit(s.err); s.unfit != nil {
		s.data, s.there, s.err = nil, true, nil
	}
	s.sum = book.SumOf(s.data)
}

// judged is the set made out, and what is wrong with it, the first time it is
// asked for: where nothing is judged anew only its bytes are looked at.
func (s *ruleSet) judged(file string) (*record.LimitSet, problem.List) {
	s.judge.Do(func() {
		if s.problems = s.unfit; s.unfit == nil && s.there {
			if s.set, s.problems = record.ReadLimits(record.File{Path: file, Data: s.data}); s.set != nil {
				s.problems = append(s.problems, unknownLimits(s.set)...)
			}
		}
		s.problems = slices.Clip(s.problems)
	})
	return s.set, s.problems
}

// sumFor names what a limit set of that name is to an engine judged by it; ok is
// false where that cannot be read.
func (r *rules) sumFor(name string) (sum string, ok bool) {
	if name == "" || !isFileName(name) {
		return "no set " + name, true
	}
	switch one := r.set(name); {
	case one.err != nil:
		return "", false
	case one.unfit != nil:
		return "no file " + name, true
	case !one.there:
		return "no such set " + name, true
	default:
		return name + " " + one.sum, true
	}
}

// limitSet names the limit set of an engine, and the record that does.
func limitSet(bookRecord *record.Record, e *record.Engine) (from *record.Record, name string) {
	if e != nil && e.Spec.Text("limits") != "" {
		return e.Spec, e.Spec.Text("limits")
	}
	return bookRecord, bookRecord.Text("limits")
}

func limitFile(name string) string { return path.Join("limits", name+".yaml") }

func limitMend(rules book.Tree, name string) string {
	entries, err := list(rules, "limits")
	if err != nil || len(entries) == 0 {
		return "write it, and commit it with: stackbook commit --book"
	}
	var known []string
	for _, e := range entries {
		known = append(known, e.Name[:len(e.Name)-len(path.Ext(e.Name))])
	}
	if near := schema.Nearest(name, known); near != "" {
		return "did you mean " + near + "?"
	}
	return "the book has " + Some(known, 8) + "; a new one is committed with: stackbook commit --book"
}

// unknownLimits reports lines of a limit set that judge nothing there is.
func unknownLimits(set *record.LimitSet) problem.List {
	n := set.Node("limits")
	if n == nil {
		return nil
	}
	var known []string
	for _, f := range figure.All() {
		known = append(known, f.ID)
	}
	var problems problem.List
	for _, e := range n.Entries() {
		if f := figure.ByID(e.Key); f != nil {
			_, _, list := set.Find(e.Key, f.Dimension(), f.Unit)
			problems = append(problems, list...)
			continue
		}
		mend := "figures and points are listed by: stackbook figures"
		if near := schema.Nearest(e.Key, known); near != "" {
			mend = "did you mean " + near + "?"
		}
		problems = append(problems, problem.Problem{File: set.Path, Line: e.KeyLine, Column: e.KeyColumn, Rule: "unknown-figure",
			Message: fmt.Sprintf("there is no figure or judged point %q", e.Key), Mend: mend})
	}
	return problems
}

// guards are the crack tests of an engine by its own records and the files of
// its parts; those made in other engines only a look at all of them tells.
func (r *rules) guards(e *record.Engine) ([]travel.Guard, error) {
	files, err := partFilesOf(r.tree, e)
	if err != nil {
		return nil, err
	}
	return travel.New([]*record.Engine{e}, files, bookInterval(r.book)).Guards(e), nil
}
