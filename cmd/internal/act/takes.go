package act

import (
	"bytes"
	"fmt"
	"path"
	"strings"

	"stackbook/record"
	"stackbook/record/book"
	"stackbook/record/figure"
	"stackbook/schema/problem"
)

// unseenByGit names records and attachments that are neither in the last commit nor
// about to be: git ignores them, and what is committed would rest on nothing.
func unseenByGit(l *Loaded, rules book.Tree, changes []book.Change) (problem.List, error) {
	if l.Engine == nil {
		return nil, nil
	}
	known := map[string]bool{}
	for _, c := range changes {
		known[c.Path] = true
	}
	var problems problem.List
	look := func(name string, p problem.Problem) error {
		if known[name] {
			return nil
		}
		_, ok, err := read(rules, name)
		if err == nil && !ok {
			p.Rule, p.Mend = "ignored", "see which line does, and take it out: git check-ignore -v "+name
			problems = append(problems, p)
		}
		return err
	}
	for _, r := range l.Engine.Records() {
		if err := look(r.Path, problem.Problem{File: r.Path, Message: "git ignores this record, so it would not be committed with the figures computed from it"}); err != nil {
			return nil, err
		}
	}
	if len(l.Problems) > 0 {
		return problems, nil // an attachment may not even be there
	}
	for _, a := range attachments(l.Engine) {
		if err := look(path.Join(l.Place.Folder, a.inFolder()), a.problem(a.file, "git ignores this attachment, so it would not be committed with the record that names it", "")); err != nil {
			return nil, err
		}
	}
	return problems, nil
}

// overlay is the folder with some files as the commit will leave them.
type overlay struct {
	book.Tree
	files map[string][]byte
}

func (o overlay) Read(name string) ([]byte, error) {
	if data, ok := o.files[name]; ok {
		return data, nil
	}
	return o.Tree.Read(name)
}

// edits gathers what goes into the commit (R10): the records, what a record
// names, what is tracked already, and the figures.
func (s *Shop) edits(l *Loaded, tree overlay, rules book.Tree, changes []book.Change, done *Committed) ([]book.Edit, error) {
	var edits []book.Edit
	named := map[string]bool{}
	for _, a := range attachments(l.Engine) {
		named[a.inFolder()] = true
	}
	figures := path.Join(l.Place.Folder, "figures.yaml")
	for _, c := range changes {
		inFolder := strings.TrimPrefix(c.Path, l.Place.Folder+"/")
		switch {
		case c.Path == figures:
			continue
		case c.What == book.Deleted:
			edits = append(edits, book.Edit{Path: c.Path, Delete: true})
		case record.KindOf(inFolder) == "" && !c.Tracked && !named[inFolder]:
			done.Left = append(done.Left, c.Path)
			continue
		default:
			data, err := tree.Read(c.Path)
			if problems := unfit(err); problems != nil {
				return nil, problems
			}
			if err != nil {
				return nil, err
			}
			_, written := tree.files[c.Path]
			edits = append(edits, book.Edit{Path: c.Path, Data: data, Write: written})
		}
		done.Paths = append(done.Paths, c.Path)
	}
	text, err := figuresText(l, s.Book.Folder(), rules)
	if err != nil {
		return nil, err
	}
	before, had, err := read(rules, figures)
	if err != nil {
		return nil, err
	}
	if !had || !bytes.Equal(before, text) {
		done.Paths = append(done.Paths, figures)
	}
	return append(edits, book.Edit{Path: figures, Data: text, Write: true}), nil
}

// figuresText is the new text of figures.yaml; one of a newer formula set is
// never written over, in whichever of these trees it lies, and even where it is
// malformed (R4).
func figuresText(l *Loaded, trees ...book.Tree) ([]byte, error) {
	name := path.Join(l.Place.Folder, "figures.yaml")
	for _, tree := range trees {
		text, ok, err := read(tree, name)
		if err != nil {
			return nil, err
		}
		if newest := figure.NewestSet(text); ok && newest > figure.FormulaSet {
			return nil, &NewerError{fmt.Sprintf("the figures of %s were written with formula set %d, and this stackbook has %d", l.Engine.Number, newest, figure.FormulaSet)}
		}
	}
	return l.Figures.Encode(l.Stored), nil
}
