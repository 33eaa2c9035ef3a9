package act

import (
	"fmt"
	"path"
	"slices"

	"stackbook/diff"
	"stackbook/record"
	"stackbook/record/book"
	"stackbook/record/figure"
	"stackbook/record/travel"
	"stackbook/schema"
	"stackbook/schema/problem"
)

// Loaded is one engine in one state: its records, its figures, and all that is
// wrong with them.
type Loaded struct {
	diff.State
	Place    Place
	Commit   string // "" for the working folder
	Problems problem.List
	Stored   *figure.Stored // figures.yaml, nil where there is none of use
	Told     []figure.Told  // of a delivered build: what was told otherwise then
	Display  Display
	Guards   []travel.Guard // the parts that must not burst, with their crack tests
	Remarks  []string       // to be said on standard error

	unreadable bool // there is a figures.yaml, and it is of no use
}

// NewerError says that the book was written by a newer stackbook.
type NewerError struct{ What string }

func (e *NewerError) Error() string { return e.What + "; use a newer stackbook" }

// load reads the engine in a folder of a tree. rules is the tree book.yaml and
// the limit sets are taken from: the same one for every state (R3), the last
// commit's for a commit.
func load(tree, rules book.Tree, place Place, name string) (*Loaded, error) {
	l := &Loaded{Place: place}
	l.Name = name
	bookRecord, problems, err := readBook(rules)
	if err != nil {
		return nil, err
	}
	l.Problems = problems
	l.Display = displayOf(bookRecord)
	files, unread, err := gather(tree, place.Folder)
	if err != nil {
		return nil, err
	}
	stray, err := strays(tree, place.Folder)
	if err != nil {
		return nil, err
	}
	skipped, err := skippedRecords(tree, place.Folder)
	if err != nil {
		return nil, err
	}
	engine, problems := record.Load(place.Folder, files)
	if unread = append(unread, skipped...); len(unread) > 0 {
		problems = slices.DeleteFunc(problems, func(p problem.Problem) bool { return p.Rule == "no-spec" }) // told better
	}
	l.Problems = slices.Concat(l.Problems, stray, unread, problems)
	limits, problems, err := limitsFor(rules, bookRecord, engine)
	if err != nil {
		return nil, err
	}
	l.Problems = append(l.Problems, problems...)
	if engine == nil {
		l.Problems.Sort()
		return l, nil
	}
	l.Engine = engine
	l.Figures = figure.Compute(engine, limits)
	l.Problems = append(l.Problems, l.Figures.Problems...)
	if l.Guards, err = guards(rules, bookRecord, engine); err != nil {
		return nil, err
	}
	data, ok, err := read(tree, path.Join(place.Folder, "figures.yaml"))
	if ok {
		l.Stored, ok = figure.Decode(data)
		l.unreadable = !ok
	}
	l.Problems = append(l.Problems, unfit(err)...)
	l.Problems.Sort()
	return l, nil
}

// readBook reads book.yaml and sees that this stackbook knows its dictionary.
func readBook(tree book.Tree) (*record.Record, problem.List, error) {
	data, ok, err := read(tree, book.Marker)
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
func limitsFor(rules book.Tree, bookRecord *record.Record, e *record.Engine) (*record.LimitSet, problem.List, error) {
	from, name := limitSet(bookRecord, e)
	if name == "" {
		return nil, nil, nil
	}
	return readLimits(rules, from, name)
}

// readLimits reads the limit set that a record names.
func readLimits(rules book.Tree, from *record.Record, name string) (*record.LimitSet, problem.List, error) {
	if !isFileName(name) {
		ref := from.Ref(from.Node("limits"))
		return nil, problem.List{{File: ref.File, Line: ref.Line, Column: ref.Column, Rule: "no-limits",
			Message: fmt.Sprintf("%.60q is no name of a limit set", name), Mend: limitMend(rules, "")}}, nil
	}
	file := limitFile(name)
	data, ok, err := read(rules, file)
	if problems := unfit(err); problems != nil {
		return nil, problems, nil
	}
	if err != nil {
		return nil, nil, err
	}
	if !ok {
		ref := from.Ref(from.Node("limits"))
		p := problem.Problem{File: ref.File, Line: ref.Line, Column: ref.Column, Rule: "no-limits",
			Message: fmt.Sprintf("there is no limit set %s: %s is missing", name, file), Mend: limitMend(rules, name)}
		if skipped, err := rules.Skipped(file); err != nil || len(skipped) > 0 {
			p.Message, p.Mend = fmt.Sprintf("the limit set %s is not checked out here: %s", name, file), addSparse("limits")
			return nil, problem.List{p}, err
		}
		return nil, problem.List{p}, nil
	}
	set, problems := record.ReadLimits(record.File{Path: file, Data: data})
	if set != nil {
		problems = append(problems, unknownLimits(set)...)
	}
	return set, problems, nil
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

// Stale tells why the stored figures cannot be trusted, "" when they can. It
// is a note and never a problem (R4).
func (l *Loaded) Stale() string {
	switch {
	case l.Figures == nil:
		return ""
	case l.Stored.Fresh(l.Figures):
		return l.altered()
	case l.Stored == nil && l.unreadable:
		return "figures.yaml cannot be read"
	case l.Stored == nil:
		return "figures.yaml is not written yet"
	case l.Stored.Formulas > figure.FormulaSet:
		return fmt.Sprintf("figures.yaml was written with formula set %d, and this stackbook has %d", l.Stored.Formulas, figure.FormulaSet)
	case l.Stored.Formulas != figure.FormulaSet:
		return fmt.Sprintf("figures.yaml was written with formula set %d, today's is %d", l.Stored.Formulas, figure.FormulaSet)
	}
	return "figures.yaml was written from other values than the records now hold"
}

// altered names a figure of figures.yaml that says something else than the
// records give, though the file names these very records as its inputs.
func (l *Loaded) altered() string {
	lines := l.Stored.Altered(l.Figures)
	if len(lines) == 0 {
		return ""
	}
	was := lines[0]
	is := l.Figures.Find(was.ID, was.At).Line()
	text := fmt.Sprintf("figures.yaml was altered by hand: %s at %s is %s there, and by the records %s", was.ID, was.At, inWords(was), inWords(is))
	if more := len(lines) - 1; more > 0 {
		text += fmt.Sprintf(" (and %d more)", more)
	}
	return text
}

// inWords is a line of figures.yaml as a person reads it.
func inWords(l figure.StoredLine) string {
	text := l.Value
	if l.Unit != "1" {
		text += " " + l.Unit
	}
	if l.Uncertainty != "" {
		text += " ± " + l.Uncertainty
	}
	if l.Verdict != "" {
		text += ", " + l.Verdict
	}
	return text
}

// StaleMend tells what would make the stored figures right.
func (l *Loaded) StaleMend() string {
	if l.Stored != nil && l.Stored.Formulas > figure.FormulaSet {
		return "use a newer stackbook"
	}
	return "the next commit of " + l.Engine.Number + " mends it"
}
