package act

import (
	"bytes"
	"path"
	"strconv"

	"stackbook/record/book"
	"stackbook/schema"
	"stackbook/schema/problem"
)

// Refreshed is what a refresh of a book wrote.
type Refreshed struct {
	From, To int      // the dictionary in book.yaml, before and now
	Paths    []string // files written; none where all was of today
}

// Refresh writes today's JSON Schemas into the folder and raises the dictionary
// in book.yaml to today's, where they are older; all else in book.yaml stays
// byte for byte (R19). Nothing is committed: edits of the person's own may lie
// in the same files.
func (s *Shop) Refresh() (*Refreshed, error) {
	tree := s.Book.Folder()
	r, problems, err := readBook(tree)
	if err != nil {
		return nil, err
	}
	if r == nil {
		return nil, problems
	}
	done := &Refreshed{From: r.Number("dictionary"), To: schema.Dictionary}
	stale, err := staleSchemas(tree)
	if err != nil {
		return nil, err
	}
	var edits []book.Edit
	for _, kind := range stale {
		edits = append(edits, book.Edit{Path: schema.SchemaPath(kind), Data: schema.JSONSchema(kind), Write: true})
	}
	if done.From < schema.Dictionary {
		doc, err := write(r.Doc, "dictionary", strconv.Itoa(schema.Dictionary))
		if err != nil {
			return nil, problem.List{{File: book.Marker, Rule: "edit", Message: "the dictionary cannot be raised: " + err.Error(), Mend: "write: dictionary: " + strconv.Itoa(schema.Dictionary)}}
		}
		edits = append(edits, book.Edit{Path: book.Marker, Data: doc.Text(), Write: true})
	}
	for _, e := range edits {
		done.Paths = append(done.Paths, e.Path)
	}
	return done, s.Book.Put(edits)
}

// StaleSchemas lists the JSON Schemas of the book that are not today's; none
// where the book has no folder for them, which is the shop's own choice.
func (s *Shop) StaleSchemas() ([]string, error) {
	tree := s.Book.Folder()
	if entries, err := list(tree, path.Dir(schema.SchemaPath("spec"))); err != nil || len(entries) == 0 {
		return nil, err
	}
	kinds, err := staleSchemas(tree)
	for i, kind := range kinds {
		kinds[i] = schema.SchemaPath(kind)
	}
	return kinds, err
}

// staleSchemas lists the kinds of record whose schema in the folder is not
// today's. Line ends count for nothing: git may have converted them.
func staleSchemas(tree book.Tree) ([]string, error) {
	var stale []string
	for _, kind := range schema.Kinds() {
		have, _, err := read(tree, schema.SchemaPath(kind))
		if err != nil {
			return nil, err
		}
		if !bytes.Equal(bytes.ReplaceAll(have, []byte("\r\n"), []byte("\n")), schema.JSONSchema(kind)) {
			stale = append(stale, kind)
		}
	}
	return stale, nil
}
