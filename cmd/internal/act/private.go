package act

import (
	"fmt"
	"slices"
	"strings"

	"stackbook/record/book"
	"stackbook/schema/problem"
	"stackbook/schema/source"
)

// PrivateFile holds customers' names and addresses; git ignores it, and it
// never enters history (R15). Several names, numbers or addresses of one
// customer are a list:
//
//	format: customers/1
//	customers:
//	  C-03: {name: ..., telephone: [..., ...], email: ..., address: ...}
const PrivateFile = "private/customers.yaml"

// privateKeys are the fields whose text may not stand in a commit; otherKeys
// may be there too.
var (
	privateKeys = []string{"name", "telephone", "email"}
	otherKeys   = []string{"address", "note"}
	rootKeys    = []string{"format", "customers"}
)

// private refuses a commit in which a name, telephone number or e-mail address
// of private/customers.yaml occurs, in content, paths or message, and one of a
// book where git tracks private/ (R15).
func (s *Shop) private(edits []book.Edit, message string) error {
	tracked, err := s.tracksPrivate()
	if err != nil {
		return err
	}
	if tracked {
		return problem.List{privateTracked}
	}
	return s.customersNamed(edits, message)
}

// privateTracked is the finding of private/ among what git keeps.
var privateTracked = problem.Problem{File: "private", Rule: "R15", Message: "git tracks private/, which is never to enter history", Mend: "take it out: git rm -r --cached private, and put private/ into .gitignore"}

// customersNamed finds the places where a customer is named in new content,
// paths or message.
func (s *Shop) customersNamed(edits []book.Edit, message string) error {
	data, ok, err := read(s.Book.Folder(), PrivateFile)
	if err != nil || !ok {
		return err
	}
	doc, err := source.Parse(PrivateFile, data)
	if err != nil {
		return err
	}
	if problems := privateProblems(doc.Root()); len(problems) > 0 {
		return problems
	}
	found := mentions(secrets(doc.Root()), edits, message)
	found.Sort()
	return found.Err()
}

// tracksPrivate tells whether private/ is in the last commit, or staged for the
// next.
func (s *Shop) tracksPrivate() (bool, error) {
	head, ok, err := s.Book.Head()
	if err != nil {
		return false, err
	}
	if ok {
		if entries, err := list(s.Book.At(head), "private"); err != nil || len(entries) > 0 {
			return len(entries) > 0, err
		}
	}
	changes, err := s.Book.Changes("private")
	return slices.ContainsFunc(changes, func(c book.Change) bool { return c.Tracked }), err
}

// privateProblems refuses what it would pass over: a telephone number under
// another key would not be looked for, nor a customer written as one text.
func privateProblems(root *source.Node) problem.List {
	problems := unknownKeys(root, rootKeys, "")
	n := root.Get("customers")
	if n == nil {
		return problems
	}
	for _, customer := range n.Entries() {
		if customer.Value.Kind() != source.Map && !customer.Value.IsNull() {
			problems = append(problems, problem.Problem{File: PrivateFile, Line: customer.KeyLine, Column: customer.KeyColumn, Rule: "wrong-shape",
				Message: "customer " + customer.Key + " is not written key by key", Mend: "write: " + customer.Key + ": {name: ..., telephone: ..., email: ...}"})
			continue
		}
		problems = append(problems, unknownKeys(customer.Value, append(slices.Clone(privateKeys), otherKeys...), " of customer "+customer.Key)...)
	}
	return problems
}

func unknownKeys(n *source.Node, known []string, of string) problem.List {
	var problems problem.List
	for _, e := range n.Entries() {
		if !slices.Contains(known, e.Key) {
			problems = append(problems, problem.Problem{File: PrivateFile, Line: e.KeyLine, Column: e.KeyColumn, Rule: "unknown-key",
				Message: fmt.Sprintf("unknown key %q%s", e.Key, of), Mend: "use one of: " + strings.Join(known, ", ")})
		}
	}
	return problems
}

// secret is one text that must not be told.
type secret struct{ customer, key, text string }

// secrets lists what must not be told, each text of a list by itself.
func secrets(root *source.Node) []secret {
	n := root.Get("customers")
	if n == nil {
		return nil
	}
	var all []secret
	for _, e := range n.Entries() {
		for _, key := range privateKeys {
			v := e.Value.Get(key)
			if v == nil {
				continue
			}
			for _, item := range append(v.Items(), v) {
				if item.Kind() == source.Scalar && !item.IsNull() {
					all = append(all, secret{e.Key, key, item.Text()})
				}
			}
		}
	}
	return all
}

// mentions finds the first place in each file, path and the message where a
// customer is named. The customer's code is told, never the name.
func mentions(all []secret, edits []book.Edit, message string) problem.List {
	w := newWatch(all)
	var found problem.List
	look := func(file string, t *text, hasLines bool, stands string) {
		for _, m := range w.mentions(t) {
			line := m.line
			if !hasLines {
				line = 0
			}
			found = append(found, problem.Problem{File: file, Line: line, Rule: "R15",
				Message: fmt.Sprintf("the %s of customer %s stands %s, and private/ is to stay out of history", m.key, m.customer, stands),
				Mend:    "write the code " + m.customer + " instead"})
		}
	}
	look("the message", newText(message), false, "here")
	for _, e := range edits {
		if !e.Delete { // what is taken out is told no longer
			look(e.Path, newText(e.Path), false, "in this path")
			look(e.Path, textOf(e), true, "here")
		}
	}
	return found
}
