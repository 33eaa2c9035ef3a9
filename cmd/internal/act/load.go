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

	files []record.File // that the engine was read from; kept where states are held against each other
}

// NewerError says that the book was written by a newer stackbook.
type NewerError struct{ What string }

func (e *NewerError) Error() string { return e.What + "; use a newer stackbook" }

// load reads the engine in a folder of a tree. judge is the tree book.yaml and
// the limit sets are taken from: the same one for every state (R3), the last
// commit's for a commit.
func (s *Shop) load(tree, judge book.Tree, place Place, name string) (*Loaded, error) {
	r, err := s.rulesOf(judge)
	if err != nil {
		return nil, err
	}
	return r.load(tree, place, name)
}

// load reads the engine in a folder of a tree, and judges it by the rules.
func (r *rules) load(tree book.Tree, place Place, name string) (*Loaded, error) {
	l := &Loaded{Place: place, Problems: r.problems, Display: displayOf(r.book)}
	l.Name = name
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
	if r.memory != nil {
		l.files = files
	}
	engine, problems := r.memory.Load(place.Folder, files)
	if unread = append(unread, skipped...); len(unread) > 0 {
		problems = slices.DeleteFunc(problems, func(p problem.Problem) bool { return p.Rule == "no-spec" }) // told better
	}
	l.Problems = slices.Concat(l.Problems, stray, unread, problems)
	limits, problems, err := r.limitsFor(engine)
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
	if l.Guards, err = r.guards(engine); err != nil {
		return nil, err
	}
	data, ok, err := read(tree, path.Join(place.Folder, "figures.yaml"))
	if ok && !(r.lightly && figure.OfToday(data)) {
		l.Stored, ok = figure.Decode(data)
		l.unreadable = !ok
	}
	l.Problems = append(l.Problems, unfit(err)...)
	l.Problems.Sort()
	return l, nil
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
