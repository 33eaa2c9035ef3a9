package act

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"unicode"

	"stackbook/record/book"
	"stackbook/schema/problem"
	"stackbook/schema/source"
)

// PrivateFile holds customers' names and addresses; git ignores it, and it
// never enters history (R15):
//
//	format: customers/1
//	customers:
//	  C-03: {name: ..., telephone: ..., email: ..., address: ...}
const PrivateFile = "private/customers.yaml"

// privateKeys are the fields whose text may not stand in a commit; otherKeys
// may be there too.
var (
	privateKeys = []string{"name", "telephone", "email"}
	otherKeys   = []string{"address", "note"}
)

// private refuses a commit in which a name, telephone number or e-mail address
// of private/customers.yaml occurs, in content, paths or message, and one of a
// book where git tracks private/.
func (s *Shop) private(edits []book.Edit, message string) error {
	if head, ok, err := s.Book.Head(); err == nil && ok {
		if entries, err := list(s.Book.At(head), "private"); err == nil && len(entries) > 0 {
			return problem.List{{File: "private", Rule: "R15", Message: "git tracks private/, which is never to enter history", Mend: "take it out: git rm -r --cached private, and put private/ into .gitignore"}}
		}
	}
	data, ok, err := read(s.Book.Folder(), PrivateFile)
	if err != nil || !ok {
		return err
	}
	doc, err := source.Parse(PrivateFile, data)
	if err != nil {
		return err
	}
	if problems := privateProblems(doc); len(problems) > 0 {
		return problems
	}
	for _, secret := range secrets(doc) {
		if where := occurs(secret.text, edits, message); where != "" {
			return problem.List{{File: where, Rule: "R15", Message: fmt.Sprintf("the %s of customer %s stands here, and private/ is to stay out of history", secret.key, secret.customer), Mend: "write the code " + secret.customer + " instead"}}
		}
	}
	return nil
}

// privateProblems refuses keys it would pass over: a telephone number under
// another key would not be looked for.
func privateProblems(doc *source.Doc) problem.List {
	known := append(append([]string(nil), privateKeys...), otherKeys...)
	var problems problem.List
	n := doc.Root().Get("customers")
	if n == nil {
		return nil
	}
	for _, customer := range n.Entries() {
		for _, e := range customer.Value.Entries() {
			if !slices.Contains(known, e.Key) {
				problems = append(problems, problem.Problem{File: PrivateFile, Line: e.KeyLine, Column: e.KeyColumn, Rule: "unknown-key",
					Message: fmt.Sprintf("unknown key %q of customer %s", e.Key, customer.Key), Mend: "use one of: " + strings.Join(known, ", ")})
			}
		}
	}
	return problems
}

type secret struct{ customer, key, text string }

// secrets lists what must not be told; a word of fewer than four letters would
// be found everywhere and is passed over.
func secrets(doc *source.Doc) []secret {
	n := doc.Root().Get("customers")
	if n == nil {
		return nil
	}
	var all []secret
	for _, e := range n.Entries() {
		for _, key := range privateKeys {
			if v := e.Value.Get(key); v != nil && len(v.Text()) >= 4 {
				all = append(all, secret{e.Key, key, v.Text()})
			}
		}
	}
	return all
}

// occurs tells where a text occurs, whatever its capitals; telephone numbers
// are found however they are spaced.
func occurs(text string, edits []book.Edit, message string) string {
	want := squeeze(text)
	if strings.Contains(squeeze(message), want) {
		return "the message"
	}
	for _, e := range edits {
		if strings.Contains(squeeze(e.Path), want) || bytes.Contains([]byte(squeeze(string(e.Data))), []byte(want)) {
			return e.Path
		}
	}
	return ""
}

// squeeze drops what a number or name may be spaced with, and folds capitals.
func squeeze(text string) string {
	return strings.ToLower(strings.Map(func(r rune) rune {
		if unicode.IsSpace(r) || strings.ContainsRune("-./()", r) {
			return -1
		}
		return r
	}, text))
}
