package source

import (
	"errors"
	"strings"
)

// A layout is a value to be put in as it will be written: on the line of its
// key or dash, on the lines below, or both for a block text.
type layout struct {
	line     string   // behind the key or dash
	below    []string // without their indentation
	value    *Node    // what it reads as
	comments []string // those within it
}

// newLayout reads YAML as a person would write it behind a key: on one line,
// or a mapping, a list or a block text on several, indented in any way.
func newLayout(raw string) (layout, error) {
	lines := splitLines(strings.TrimRight(raw, " \t\r\n"))
	if len(lines) == 1 {
		l := layout{line: strings.Trim(lines[0], " ")}
		if err := l.read(); err == nil {
			return l, nil
		}
	}
	l := layout{below: dedent(lines)}
	if strings.HasPrefix(lines[0], "|") || strings.HasPrefix(lines[0], ">") {
		l = layout{line: lines[0], below: dedent(lines[1:])}
	}
	return l, l.read()
}

// readLine reads a value on one line, without a comment.
func readLine(raw string) (*Node, error) {
	l := layout{line: raw}
	if strings.ContainsAny(raw, "\r\n") {
		return nil, errors.New("it has several lines")
	}
	if err := l.read(); err != nil {
		return nil, err
	}
	if len(l.comments) > 0 {
		return nil, errors.New("it has a comment in it")
	}
	return l.value, nil
}

// read fills in what the layout reads as.
func (l *layout) read() error {
	probe, err := Parse("", []byte(l.behind("x:", "", "  ", "\n")+"\n"))
	if err != nil || len(probe.root.entries) != 1 {
		return errors.New("it does not read as one YAML value")
	}
	l.value, l.comments = probe.root.entries[0].Value, probe.commentTexts()
	return nil
}

// behind writes the layout behind a key, with its colon, or behind a dash;
// indent is that of the lines around, step what lines below have more.
func (l layout) behind(head, indent, step, eol string) string {
	var b strings.Builder
	b.WriteString(indent)
	b.WriteString(head)
	if l.line != "" {
		b.WriteString(" " + l.line)
	}
	for i, text := range l.below {
		switch {
		case i == 0 && head == "-" && l.line == "":
			b.WriteString(" " + text)
		case text == "":
			b.WriteString(eol)
		default:
			b.WriteString(eol + indent + step + text)
		}
	}
	return b.String()
}

// dedent takes the common indentation from lines.
func dedent(lines []string) []string {
	common := -1
	for _, text := range lines {
		lead := len(text) - len(strings.TrimLeft(text, " "))
		if lead < len(text) && (common < 0 || lead < common) {
			common = lead
		}
	}
	out := make([]string, len(lines))
	for i, text := range lines {
		if strings.TrimLeft(text, " ") != "" {
			out[i] = text[common:]
		}
	}
	return out
}

// Raw is the value at a path as it is written, in a form that Insert, Append
// and, if it is one line, SetRaw of another document take. ok is false where
// there is no such value, or it is not written there but stands for an alias.
func (d *Doc) Raw(path ...string) (raw string, ok bool) {
	s, err := d.spot(path)
	if err != nil {
		return "", false
	}
	lines := splitLines(d.text[s.node.start:s.node.end])
	if s.node.style == block {
		margin := strings.Repeat(" ", s.node.column-1)
		for i := range lines[1:] {
			lines[i+1] = strings.TrimPrefix(lines[i+1], margin)
		}
	}
	return strings.Join(lines, "\n"), true
}
