package act

import (
	"strings"

	"stackbook/diff"
	"stackbook/record"
	"stackbook/schema"
	"stackbook/schema/source"
)

// Plain gives a record as git is to show it, one line a value; ok is false where
// it cannot be read, or is no record this program knows. Its kind is what its
// format line says: git hands over its text alone.
func Plain(data []byte) (lines []string, ok bool) {
	doc, err := source.Parse("", data)
	if err != nil {
		return nil, false
	}
	format := doc.Root().Get("format")
	if format == nil {
		return nil, false
	}
	kind, _, _ := strings.Cut(format.Text(), "/")
	if schema.Kinds[kind] == nil {
		return nil, false
	}
	r, problems := record.Read(record.File{Data: data}, kind, 0)
	for _, p := range problems {
		if p.Rule == "newer-format" {
			return nil, false
		}
	}
	return diff.Plain(r), r != nil
}
