package merge

import (
	"bytes"
	"cmp"
	"fmt"
	"slices"
	"strings"

	"stackbook/schema/source"
)

// The marks git leaves at the beginning of a line (git-merge(1), "How conflicts
// are presented"), with what they are called here.
const (
	markOurs   = "<<<<<<< ours"
	markTheirs = "======="
	markEnd    = ">>>>>>> theirs"
)

// A hunk is some whole lines of the merged text that a conflict is about, and
// what would stand there on their side.
type hunk struct {
	from, to int // lines, from 0; to is behind the last
	theirs   []string
	clashes  []clash
	alt      *source.Doc // the merged text with their side of the clashes
}

// mark writes the conflicts into the merged text.
func (s *sides) mark(w *writer) Result {
	m := &marker{sides: s, w: w, lines: splitLines(w.doc.Text()), eol: lineEnd(w.doc.Text())}
	for _, c := range w.plan.clash {
		m.add(c)
	}
	slices.SortStableFunc(m.hunks, func(a, b *hunk) int { return cmp.Or(cmp.Compare(a.from, b.from), cmp.Compare(a.to, b.to)) })
	for i := 1; i < len(m.hunks); i++ {
		if m.hunks[i].from < m.hunks[i-1].to {
			ours, theirs := s.ours.doc.Text(), s.theirs.doc.Text()
			return whole(marked(ours, theirs), ours, theirs, "the two sides changed lines that cannot be told apart", "keep one side, and write the other's changes into it")
		}
	}
	return m.result()
}

// marked is a whole file as one conflict.
func marked(ours, theirs []byte) []byte {
	eol := lineEnd(ours)
	var b bytes.Buffer
	b.WriteString(markOurs + eol)
	writeLines(&b, splitLines(ours), eol)
	b.WriteString(markTheirs + eol)
	writeLines(&b, splitLines(theirs), eol)
	b.WriteString(markEnd + eol)
	return b.Bytes()
}

// oneEnd writes all line ends of a text as LF.
var oneEnd = strings.NewReplacer("\r\n", "\n", "\r", "\n")

// splitLines cuts a text into lines without their ends.
func splitLines(text []byte) []string {
	if len(text) == 0 {
		return nil
	}
	return strings.Split(strings.TrimSuffix(oneEnd.Replace(string(text)), "\n"), "\n")
}

// lineEnd is the line end a text uses first, LF where it has none.
func lineEnd(text []byte) string {
	i := bytes.IndexAny(text, "\r\n")
	switch {
	case i < 0 || text[i] == '\n':
		return "\n"
	case bytes.HasPrefix(text[i:], []byte("\r\n")):
		return "\r\n"
	}
	return "\r"
}

func writeLines(b *bytes.Buffer, lines []string, eol string) {
	for _, l := range lines {
		b.WriteString(l + eol)
	}
}

type marker struct {
	*sides
	w     *writer
	lines []string
	eol   string
	hunks []*hunk
}

// add finds the lines of a clash: those of its value where it stands on lines of
// its own, else of what holds it in braces; where ours is missing, the place
// behind its siblings.
func (m *marker) add(c clash) {
	theirs := m.inOurs(m.theirs.at(c.ids))
	holder := m.holder(c.ids)
	path, here := holder.path, false
	if len(holder.ids) == len(c.ids)-1 {
		path, here = pathOf(holder, c.ids[len(holder.ids)])
	}
	if !here {
		path = holder.path
	}
	own := ownLines(m.w.doc, path)
	first, last := extent(m.w.doc, own)
	switch {
	case here && len(own) < len(path), !here && inBraces(holder):
		m.within(c, own, hunk{from: first, to: last + 1})
	case here:
		m.put(c, hunk{from: first, to: last + 1, theirs: linesOf(theirs, m.lines[first])})
	default:
		m.put(c, hunk{from: last + 1, to: last + 1, theirs: linesOf(theirs, m.lines[firstBelow(holder)])})
	}
}

// holder is what holds a value in the merged text, or would, as far as it is
// there.
func (m *marker) holder(ids []string) *value {
	v := m.w.tree
	for _, id := range ids[:len(ids)-1] {
		k := v.kid(id)
		if k == nil {
			break
		}
		v = k
	}
	return v
}

// inOurs is a reading of theirs as it would be written in the merged text, whose
// point may give other things to all readings; any other value is as it is.
func (m *marker) inOurs(theirs *value) *value {
	if theirs == nil || theirs.shape != reading {
		return theirs
	}
	alt := &writer{kind: m.kind, doc: m.w.doc, tree: m.w.tree}
	if alt.line(theirs) != nil {
		return theirs
	}
	return alt.tree.at(theirs.ids)
}

func (m *marker) put(c clash, h hunk) {
	h.clashes = append(h.clashes, c)
	m.hunks = append(m.hunks, &h)
}

// within notes a clash in a mapping or list in braces: their side is the lines
// that hold it, with their value written in.
func (m *marker) within(c clash, path []string, h hunk) {
	i := slices.IndexFunc(m.hunks, func(other *hunk) bool { return other.alt != nil && other.from == h.from && other.to == h.to })
	if i < 0 {
		h.alt = m.w.doc
		m.hunks = append(m.hunks, &h)
		i = len(m.hunks) - 1
	}
	old := m.hunks[i]
	old.clashes = append(old.clashes, c)
	alt := &writer{kind: m.kind, doc: old.alt, tree: read(old.alt, m.kind)}
	theirs := m.theirs.at(c.ids)
	var err error
	switch {
	case theirs == nil:
		err = alt.remove(alt.tree.at(c.ids))
	case theirs.shape == reading:
		err = alt.line(theirs)
	default:
		err = alt.put(theirs)
	}
	if err != nil { // all that holds it, as it stands there
		old.theirs = linesOf(m.theirs.at(c.ids[:len(path)]), m.lines[h.from])
		return
	}
	first, last := extent(alt.doc, path)
	old.alt, old.theirs = alt.doc, splitLines(alt.doc.Text())[first:last+1]
}

// result puts the marks around the lines.
func (m *marker) result() Result {
	var b bytes.Buffer
	var r Result
	at, number := 0, 1
	write := func(lines ...string) {
		writeLines(&b, lines, m.eol)
		number += len(lines)
	}
	for _, h := range m.hunks {
		write(m.lines[at:h.from]...)
		for _, c := range h.clashes {
			r.Conflicts = append(r.Conflicts, m.conflict(c, number))
		}
		write(markOurs)
		write(m.lines[h.from:h.to]...)
		write(markTheirs)
		write(h.theirs...)
		write(markEnd)
		at = h.to
	}
	write(m.lines[at:]...)
	r.Text = b.Bytes()
	return r
}

// conflict tells a clash to a person.
func (m *marker) conflict(c clash, line int) Conflict {
	base, ours, theirs := m.base.at(c.ids), m.ours.at(c.ids), m.theirs.at(c.ids)
	f := Conflict{Path: strings.Join(c.ids, "."), Base: raw(base), Ours: raw(ours), Theirs: raw(theirs), Message: c.message, Mend: c.mend, Line: line}
	if len(c.ids) == 3 && c.ids[0] == "readings" {
		f.Path = c.ids[1] + " " + c.ids[2]
	}
	if f.Message != "" {
		return f
	}
	f.Mend = "keep one side, and delete the other and the lines with the marks"
	switch {
	case ours == nil:
		f.Message = fmt.Sprintf("taken out here, and changed there to %s", brief(f.Theirs))
	case theirs == nil:
		f.Message = fmt.Sprintf("changed here to %s, and taken out there", brief(f.Ours))
	case base == nil:
		f.Message = fmt.Sprintf("both sides wrote it: %s here, %s there", brief(f.Ours), brief(f.Theirs))
	default:
		f.Message = fmt.Sprintf("both sides changed it: %s here, %s there, %s before", brief(f.Ours), brief(f.Theirs), brief(f.Base))
	}
	return f
}

// raw is a value as it is written.
func raw(v *value) string {
	if v == nil {
		return ""
	}
	if text, ok := v.doc.Raw(v.path...); ok {
		return text
	}
	return v.node.Text()
}

// brief is a text as it stands in a sentence.
func brief(text string) string {
	first, _, more := strings.Cut(text, "\n")
	if runes := []rune(first); len(runes) > 60 {
		first, more = string(runes[:60]), true
	}
	if more {
		return first + " …"
	}
	return first
}
