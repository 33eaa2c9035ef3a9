package act

import (
	"fmt"

	"stackbook/schema/problem"
	"stackbook/schema/source"
)

// CustomerName is the name of a customer from private/customers.yaml, which is
// in the folder of the shop alone.
func (s *Shop) CustomerName(code string) (string, error) {
	doc, err := s.privateFile()
	if err != nil {
		return "", err
	}
	if doc == nil {
		return "", usage("leave --with-names out, or put the file back", "there is no %s here", PrivateFile)
	}
	n := doc.Root().At("customers", code, "name")
	if n == nil || code == "" {
		return "", usage("leave --with-names out, or write it there", "%s tells no name of customer %s", PrivateFile, orWord(code, "(none)"))
	}
	if items := n.Items(); len(items) > 0 {
		n = items[0]
	}
	return n.Text(), nil
}

// MayTell refuses what is about to be handed out when a customer's name,
// telephone number or e-mail address stands in it (R15). Where there is a way to
// hand it out all the same, the person is told of it behind the mend.
func (s *Shop) MayTell(what, content, allTheSame string) error {
	w, err := s.Watch()
	if err != nil {
		return err
	}
	return w.MayTell(what, content, allTheSame)
}

// Watch sees that no customer is told of in what is handed out: a page after the
// other, by several goroutines at once. It is nil where nobody is known.
type Watch struct{ all *watch }

// Watch reads private/customers.yaml once.
func (s *Shop) Watch() (*Watch, error) {
	doc, err := s.privateFile()
	if err != nil || doc == nil {
		return nil, err
	}
	return &Watch{newWatch(secrets(doc.Root()))}, nil
}

// MayTell is Shop.MayTell for one of many pages.
func (w *Watch) MayTell(what, content, allTheSame string) error {
	if w == nil {
		return nil
	}
	var found problem.List
	for _, m := range w.all.mentions(newText(content)) {
		found = append(found, problem.Problem{File: what, Rule: "R15", Message: fmt.Sprintf("the %s of customer %s would be handed out", m.key, m.customer),
			Mend: "write the code " + m.customer + " into the record instead" + allTheSame})
	}
	return found.Err()
}

// privateFile reads private/customers.yaml; nil where there is none.
func (s *Shop) privateFile() (*source.Doc, error) {
	data, ok, err := read(s.Book.Folder(), PrivateFile)
	if err != nil || !ok {
		return nil, err
	}
	return source.Parse(PrivateFile, data)
}
