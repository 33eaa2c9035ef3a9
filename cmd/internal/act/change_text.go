package act

import (
	"strings"

	"stackbook/schema"
	"stackbook/schema/source"
)

// content is what a record is to hold, by the dictionary's dotted path: a
// string, a list of strings, pairs for a mapping of the person's own keys, or
// a list of pairs for a list of mappings.
type content map[string]any

// A pair is a key with its value.
type pair struct{ key, value string }

// width is how long a line of a record may grow before it is folded.
const width = 100

// text writes the content as a record of these fields: keys in the dictionary's
// order, those with nothing to say left out.
func (c content) text(fields []schema.Field) string {
	var b strings.Builder
	c.fields(&b, fields, "", "")
	return b.String()
}

func (c content) fields(b *strings.Builder, fields []schema.Field, prefix, indent string) {
	for i := range fields {
		f := &fields[i]
		head := indent + f.Key + ":"
		switch v := c[prefix+f.Key].(type) {
		case string:
			b.WriteString(scalarLine(head, v, f.Type))
		case []string:
			b.WriteString(listLines(head, v))
		case []pair:
			b.WriteString(head + "\n" + pairLines(indent+"  ", v, f))
		case [][]pair:
			b.WriteString(head + "\n")
			for _, item := range v {
				b.WriteString(itemLines(indent+"  ", item, f.Of))
			}
		}
		if f.Type == schema.Group {
			var inner strings.Builder
			c.fields(&inner, f.Fields, prefix+f.Key+".", indent+"  ")
			if inner.Len() > 0 {
				b.WriteString(head + "\n" + inner.String())
			}
		}
	}
}

// scalarLine writes one value behind its key: on one line, a long one folded
// and a text of several lines as it is.
func scalarLine(head, value string, of schema.Type) string {
	indent := head[:len(head)-len(strings.TrimLeft(head, " "))] + "  "
	written := inBlock(value, of)
	line := head + " " + written + "\n"
	switch {
	case strings.Contains(value, "\n"):
		body := indent + strings.ReplaceAll(value, "\n", "\n"+indent)
		return unlessMisread(head+" |-\n"+body+"\n", value, line)
	case len(line) > width && written == value:
		return unlessMisread(folded(head, indent, value), value, line)
	}
	return line
}

// unlessMisread is a line as it would be nice, where it reads as the value, and
// else the safe one.
func unlessMisread(nice, value, safe string) string {
	doc, err := source.Parse("", []byte(strings.TrimLeft(nice, " ")))
	if err != nil || len(doc.Root().Entries()) != 1 || doc.Root().Entries()[0].Value.Text() != value {
		return safe
	}
	return nice
}

// folded breaks a long value at blanks.
func folded(head, indent, value string) string {
	var b strings.Builder
	line := head
	for _, word := range strings.Split(value, " ") {
		if len(line)+1+len(word) > width && line != head {
			b.WriteString(line + "\n")
			line = indent + word
			continue
		}
		line += " " + word
	}
	return b.String() + line + "\n"
}

// inBlock writes a value as it stands behind a key on a line of its own, where
// commas and brackets need no quotes. Days need none anywhere.
func inBlock(value string, of schema.Type) string {
	switch of {
	case schema.Day:
		return value
	case schema.Code:
		return source.Quote(value)
	}
	doc, err := source.Parse("", []byte("x: x\n"))
	if err != nil {
		return source.Quote(value)
	}
	if doc, err = doc.Set([]string{"x"}, value); err != nil {
		return source.Quote(value)
	}
	written, _ := doc.Raw("x")
	return written
}

// listLines writes a list: between brackets where it is short and plain, else
// a line an item.
func listLines(head string, items []string) string {
	const short = 80
	line, plain := head+" ["+strings.Join(items, ", ")+"]\n", true
	for _, item := range items {
		plain = plain && source.Quote(item) == item
	}
	if plain && len(line) <= short {
		return line
	}
	var b strings.Builder
	b.WriteString(head + "\n")
	indent := head[:len(head)-len(strings.TrimLeft(head, " "))] + "  - "
	for _, item := range items {
		b.WriteString(indent + inBlock(item, schema.Words) + "\n")
	}
	return b.String()
}

// pairLines writes a mapping, a line a key.
func pairLines(indent string, pairs []pair, f *schema.Field) string {
	var b strings.Builder
	for _, p := range pairs {
		b.WriteString(scalarLine(indent+inBlock(p.key, schema.Words)+":", p.value, typeOf(f, p.key)))
	}
	return b.String()
}

// itemLines writes one mapping of a list: between braces where that fits on a
// line, else a line a key.
func itemLines(indent string, item []pair, of *schema.Field) string {
	var parts []string
	for _, p := range item {
		value := p.value
		if typeOf(of, p.key) != schema.Day {
			value = source.Quote(value)
		}
		parts = append(parts, p.key+": "+value)
	}
	if line := indent + "- {" + strings.Join(parts, ", ") + "}\n"; len(line) <= width {
		return line
	}
	lines := pairLines(indent+"  ", item, of)
	return indent + "- " + lines[len(indent)+2:]
}

// typeOf is how a key of a mapping is written.
func typeOf(f *schema.Field, key string) schema.Type {
	if child := f.Find(key); child != nil {
		return child.Type
	}
	return schema.Words
}
