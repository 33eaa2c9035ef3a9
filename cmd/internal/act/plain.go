package act

import (
	"slices"
	"strings"

	"stackbook/diff"
	"stackbook/record"
	"stackbook/schema"
	"stackbook/schema/source"
)

// Plain gives a record as git is to show it, one line a value; ok is false where
// it cannot be read, or is no record this program knows. Its kind is what its
// format line says: git hands over its text alone. Where both sides of a merge stand
// in it, the values that differ stand between git's marks.
func Plain(data []byte) (lines []string, ok bool) {
	ours, theirs, marked := source.MergeSides(string(data))
	if !marked {
		return plainLines(data)
	}
	here, okHere := plainLines([]byte(ours))
	there, okThere := plainLines([]byte(theirs))
	return weave(here, there), okHere && okThere
}

// weave brings the lines of two sides together, with marks around those that differ.
func weave(ours, theirs []string) (lines []string) {
	where := map[string]int{}
	for i, line := range theirs {
		where[line] = i
	}
	i, j := 0, 0
	tell := func(endOurs, endTheirs int) {
		if i < endOurs || j < endTheirs {
			lines = slices.Concat(lines, []string{"<<<<<<< ours"}, ours[i:endOurs], []string{"======="}, theirs[j:endTheirs], []string{">>>>>>> theirs"})
		}
		i, j = endOurs, endTheirs
	}
	for n, line := range ours {
		if at, both := where[line]; both && at >= j {
			tell(n, at)
			lines = append(lines, line)
			i, j = n+1, at+1
		}
	}
	tell(len(ours), len(theirs))
	return lines
}

func plainLines(data []byte) (lines []string, ok bool) {
	doc, err := source.Parse("", data)
	if err != nil {
		return nil, false
	}
	format := doc.Root().Get("format")
	if format == nil {
		return nil, false
	}
	kind, _, _ := strings.Cut(format.Text(), "/")
	if schema.Kind(kind) == nil {
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
