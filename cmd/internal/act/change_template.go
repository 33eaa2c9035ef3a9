package act

import (
	"fmt"
	"slices"
	"strings"

	"stackbook/schema"
)

// suits are the kinds of change that a template offers a key to; a key that is
// not listed is offered to all. Common practice, no source.
var suits = map[string][]string{
	"concession":                {"concession"},
	"findings":                  {"inspection", "test", "event", "work-by-others", "teardown", "found-different", "claim"},
	"counts":                    {"test", "event", "storage", "teardown", "claim"},
	"removed":                   {"replacement", "repair", "machining", "work-by-others", "teardown", "claim"},
	"receipt":                   {"map", "event", "delivery", "claim", "note"},
	"kept":                      {"replacement", "repair", "event", "teardown", "found-different", "claim"},
	"raw_files":                 {"test", "map", "event", "teardown", "claim"},
	"touches":                   {"machining", "replacement", "adjustment", "inspection", "map", "concession", "repair", "work-by-others", "found-different"},
	"photos":                    {}, // put in by --photo
	"concession.closed":         {}, // put in by --close
	"concession.closed_because": {},
	"shop":                      {}, // free in form: nothing to explain
}

// Template is a change to be filled in: every key that suits its kind with what
// it means above it, and what was typed as options in its place. Pictures are
// looked at too, so that nobody fills it in for one that cannot be taken.
func (d *Desk) Template(values map[string][]string, photos []string) (string, error) {
	c, err := d.typed(values)
	if err != nil {
		return "", err
	}
	if _, err := d.pictures("", photos); err != nil {
		return "", err
	}
	kind := schema.FindChangeKind(c["kind"].(string))
	var b strings.Builder
	fmt.Fprintf(&b, "%s $schema=%s/%s\n", hintMark, d.shop.Book.Root(), schema.SchemaPath("change"))
	fmt.Fprintf(&b, "%s %s, build %d. %s: %s.\n", helpMark, d.Place.Number, d.Engine.Build, kind.Name, kind.Title)
	fmt.Fprintf(&b, "%s Fill in what is known, save and close. Lines that begin with %s and keys left\n", helpMark, helpMark)
	fmt.Fprintf(&b, "%s empty do not go into the record. An empty file, or this one unchanged, writes nothing.\n", helpMark)
	c.template(&b, schema.Change().Fields, kind.Name, "", "")
	return b.String(), nil
}

// template writes fields with their help, those that are not filled in empty.
func (c content) template(b *strings.Builder, fields []schema.Field, kind, prefix, indent string) {
	for i := range fields {
		f := &fields[i]
		at := prefix + f.Key
		only, some := suits[at]
		if some && !slices.Contains(only, kind) && c[at] == nil {
			continue
		}
		switch {
		case f.Required && c[at] != nil:
		case f.Required:
			fmt.Fprintf(b, "%s%s %s: must be filled in\n", indent, helpMark, f.Help)
		default:
			fmt.Fprintf(b, "%s%s %s%s\n", indent, helpMark, f.Help, form(f))
		}
		switch {
		case f.Type == schema.Group:
			fmt.Fprintf(b, "%s%s:\n", indent, f.Key)
			c.template(b, f.Fields, kind, at+".", indent+"  ")
		case c[at] != nil:
			c.fields(b, fields[i:i+1], prefix, indent)
		default:
			fmt.Fprintf(b, "%s%s:\n", indent, f.Key)
		}
	}
}

// form shows how a value is written, where that needs showing.
func form(f *schema.Field) string {
	switch {
	case f.Type == schema.Quantity:
		return ", such as 12.5 " + f.Unit
	case f.Type == schema.Keyed:
		return "; below it, a line each, as  coolant, highest: 118 degC"
	case f.Type != schema.Series:
		return ""
	case f.Of.Type == schema.Position:
		return ", such as [rotor/2, housing/1]"
	case f.Of.Type != schema.Group:
		return "; below it, a line each, as  - step_wear at plate/1/rear"
	}
	var keys []string
	for i := range f.Of.Fields {
		k := &f.Of.Fields[i]
		keys = append(keys, k.Key+": "+strings.Join(k.Choices, "|"))
	}
	return "; below it, a line each, as  - {" + strings.Join(keys, ", ") + "}"
}
