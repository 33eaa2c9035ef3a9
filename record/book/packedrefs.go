package book

import (
	"bytes"
	"path/filepath"
	"strings"

	"stackbook/record/book/objects"
)

// packedRefs gives the refs whose names begin with prefix of the file that holds
// many: each delivered build has one. The file is read each time, since another
// git may replace it at any moment, but of one that says it is sorted only the
// lines that are asked for are looked at.
func (b *Book) packedRefs(prefix string) (map[string]objects.ID, error) {
	text, err := readIfThere(filepath.Join(b.repo.common, "packed-refs"))
	if err != nil {
		return nil, err
	}
	first, _, _ := bytes.Cut(text, []byte("\n"))
	sorted := bytes.HasPrefix(first, []byte("# pack-refs with:")) && bytes.Contains(append(first[:len(first):len(first)], ' '), []byte(" sorted "))
	if sorted {
		text = text[firstLine(text, prefix):]
	}
	refs := map[string]objects.ID{}
	for len(text) > 0 {
		var line []byte
		line, text, _ = bytes.Cut(text, []byte("\n"))
		// A line "^ID" tells what the tag above it points to, and "#" what the
		// file holds.
		id, name, ok := strings.Cut(string(line), " ")
		switch {
		case !ok || !b.repo.format.Valid(objects.ID(id)):
		case strings.HasPrefix(name, prefix):
			refs[name] = objects.ID(id)
		case sorted && name > prefix:
			return refs, nil
		}
	}
	return refs, nil
}

// firstLine gives where the first line begins that names a ref not below name,
// in a file whose refs are sorted. Lines that name none go with the one above.
func firstLine(text []byte, name string) int {
	low, high := 0, len(text) // the line looked for begins here, or between
	for low < high {
		at := lineStart(text, low+(high-low)/2)
		for at > low && (text[at] == '^' || text[at] == '#') {
			at = lineStart(text, at-1)
		}
		line, _, _ := bytes.Cut(text[at:], []byte("\n"))
		end := min(at+len(line)+1, len(text))
		if _, is, ok := bytes.Cut(line, []byte(" ")); ok && line[0] != '#' && line[0] != '^' && string(is) >= name {
			high = at
			continue
		}
		for end < high && (text[end] == '^' || text[end] == '#') {
			line, _, _ = bytes.Cut(text[end:], []byte("\n"))
			end = min(end+len(line)+1, len(text))
		}
		low = end
	}
	return low
}

// lineStart gives where the line that holds the byte at begins.
func lineStart(text []byte, at int) int { return bytes.LastIndexByte(text[:at], '\n') + 1 }
