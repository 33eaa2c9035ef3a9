package book

import (
	"bytes"
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"

	"stackbook/record/book/objects"
)

// packedRefs gives the refs whose names begin with prefix of the file that holds
// many: each delivered build has one. The file is opened each time, since another
// git may replace it at any moment, but of one that says it is sorted only the
// lines that are asked for are read, and those around them.
func (b *Book) packedRefs(prefix string) (map[string]objects.ID, error) {
	text, sorted, err := packedPart(filepath.Join(b.repo.common, "packed-refs"), prefix)
	if err != nil {
		return nil, err
	}
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

// fewRefs is how much of packed-refs is read at once, in bytes; it holds several
// lines.
const fewRefs = 8 << 10

// packedPart reads a file of packed refs: all of it or, where it says that it is
// sorted, a part in which every line lies whose ref begins with prefix.
func packedPart(file, prefix string) (text []byte, sorted bool, err error) {
	info, err := os.Stat(file)
	if err != nil || !info.Mode().IsRegular() || info.Size() <= 2*fewRefs {
		text, err := readIfThere(file)
		return text, isSorted(text), err
	}
	f, err := os.Open(file)
	if err != nil {
		return nil, false, err
	}
	defer f.Close()
	head := make([]byte, fewRefs)
	n, err := f.ReadAt(head, 0)
	if !isSorted(head[:n]) {
		text, err = io.ReadAll(f)
		return text, false, err
	}
	at := partBegin(f, info.Size(), prefix)
	for part := make([]byte, fewRefs); err == nil; at += int64(n) {
		n, err = f.ReadAt(part, at)
		text = append(text, part[:n]...)
		if name := lastName(text); name > prefix && !strings.HasPrefix(name, prefix) {
			return text, true, nil
		}
	}
	if errors.Is(err, io.EOF) {
		err = nil
	}
	return text, true, err
}

// isSorted tells whether a file of packed refs says that it is.
func isSorted(text []byte) bool {
	first, _, _ := bytes.Cut(text, []byte("\n"))
	return bytes.HasPrefix(first, []byte("# pack-refs with:")) && bytes.Contains(append(first[:len(first):len(first)], ' '), []byte(" sorted "))
}

// partBegin gives the beginning of a line at or before that of the first ref not
// below name, a few lines before it at the most.
func partBegin(f io.ReaderAt, size int64, name string) int64 {
	low, high := int64(0), size
	some := make([]byte, fewRefs)
	for high-low > fewRefs {
		middle := low + (high-low)/2
		n, _ := f.ReadAt(some[:min(fewRefs/8, high-middle)], middle)
		begin, is := lineIn(some[:n])
		switch {
		case is == "":
			high = middle // lines longer than any ref's are read one after the other
		case is < name:
			low = middle + int64(begin)
		default:
			high = middle
		}
	}
	return low
}

// lineIn gives the first line that begins in a piece of the file, is whole and
// names a ref, and where.
func lineIn(piece []byte) (begin int, name string) {
	for {
		i := bytes.IndexByte(piece[begin:], '\n')
		if i < 0 {
			return 0, ""
		}
		begin += i + 1
		line, _, whole := bytes.Cut(piece[begin:], []byte("\n"))
		if _, is, ok := bytes.Cut(line, []byte(" ")); ok && whole && line[0] != '#' && line[0] != '^' {
			return begin, string(is)
		}
	}
}

// lastName gives the ref of the last whole line that names one.
func lastName(text []byte) string {
	for end := bytes.LastIndexByte(text, '\n'); end > 0; {
		begin := lineStart(text, end)
		if _, name, ok := bytes.Cut(text[begin:end], []byte(" ")); ok && text[begin] != '#' && text[begin] != '^' {
			return string(name)
		}
		end = begin - 1
	}
	return ""
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
