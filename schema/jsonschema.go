package schema

import (
	"encoding/json"
	"fmt"
	"sort"
	"strings"

	"stackbook/schema/quantity"
)

// The JSON Schemas (2020-12) let any YAML-aware editor complete and check a
// record while it is typed. They come from the dictionary the checker uses, so
// an editor and the checker say the same; what a schema cannot say (that an
// engine has no rotor 3, that two keys are the same) the checker says alone.

type node = map[string]any

// JSONSchema gives the schema of one kind of record ("spec"), indented, with a
// final newline, the same bytes every time.
func JSONSchema(kind string) []byte {
	field := Kind(kind)
	root := jsonOf(field)
	root["$schema"] = "https://json-schema.org/draft/2020-12/schema"
	root["title"] = field.Help
	root["properties"].(node)["format"] = node{"const": fmt.Sprintf("%s/%d", kind, FormatNumber)}
	out, err := json.MarshalIndent(root, "", "  ")
	if err != nil {
		panic("schema: " + err.Error()) // maps of strings always encode
	}
	return append(out, '\n')
}

// SchemaPath is where a kind's schema lies in the book.
func SchemaPath(kind string) string { return fmt.Sprintf("schemas/%s-%d.json", kind, FormatNumber) }

// EditorHint is the first line of a new record: it tells an editor where the
// schema lies, seen from the record's own folder.
func EditorHint(kind, path string) string {
	return "# yaml-language-server: $schema=" + strings.Repeat("../", strings.Count(path, "/")) + SchemaPath(kind)
}

func jsonOf(f *Field) node {
	n := jsonType(f)
	if f.Help != "" {
		n["description"] = f.Help
	}
	return n
}

func jsonType(f *Field) node {
	switch f.Type {
	case Group:
		return jsonGroup(f)
	case Keyed:
		return jsonKeyed(f)
	case Series:
		return node{"type": []string{"array", "null"}, "items": jsonOf(f.Of)}
	case Free:
		return node{}
	case Flag:
		return node{"enum": []any{"yes", "no", true, false, nil}}
	case Choice:
		return node{"enum": withNull(f)}
	case Whole:
		return node{"type": orNull(f, "integer"), "minimum": mustWhole(f.Low), "maximum": mustWhole(f.High)}
	case Amount:
		return jsonQuantity(quantity.Length, "mm", false)
	case Quantity:
		return jsonQuantity(f.Dim, f.Unit, f.Required)
	case Day:
		return node{"type": orNull(f, "string"), "pattern": `^\d{4}-\d{2}-\d{2}([ T]\d{2}:\d{2}(:\d{2})?)?$`}
	case Position:
		return node{"type": orNull(f, "string"), "pattern": positionRegexp(patternsOf(Positions))}
	}
	// Codes and words are text whatever they look like, so a number or a yes
	// that an editor takes for one is welcome too.
	n := node{"type": orNull(f, "string", "number", "boolean")}
	if f.Required {
		n["pattern"] = `\S`
	}
	return n
}

func orNull(f *Field, types ...string) []string {
	if f.Required {
		return types
	}
	return append(types, "null")
}

func withNull(f *Field) []any {
	var list []any
	for _, c := range f.Choices {
		list = append(list, c)
	}
	if !f.Required {
		list = append(list, nil)
	}
	return list
}

func jsonGroup(f *Field) node {
	properties, required := node{}, []string{}
	for i := range f.Fields {
		child := &f.Fields[i]
		properties[child.Key] = jsonOf(child)
		if child.Required {
			required = append(required, child.Key)
		}
	}
	n := node{"type": orNull(f, "object"), "properties": properties, "additionalProperties": false}
	if len(required) > 0 {
		sort.Strings(required)
		n["required"] = required
	}
	return n
}

func jsonKeyed(f *Field) node {
	n := node{"type": orNull(f, "object"), "additionalProperties": false}
	switch f.Keys {
	case PositionKey:
		n["patternProperties"] = node{positionRegexp(patternsOf(Positions)): jsonOf(f.Of)}
	case PointKey:
		properties := node{}
		for _, p := range Points() {
			properties[p.ID] = jsonPoint(&p)
		}
		n["properties"] = properties
	default:
		n["additionalProperties"] = jsonOf(f.Of)
	}
	return n
}

// numberText is how a number may be written, fractions included.
const numberText = `[+-]?(\d+ \d+/\d+|\d+/\d+|\d+\.?\d*|\.\d+)([eE][+-]?\d+)?`

func jsonQuantity(dim quantity.Dimension, unit string, required bool) node {
	if dim == quantity.Ratio && unit == "1" {
		return node{"type": []string{"number", "string", "null"}}
	}
	types := []string{"string", "null"}
	if required {
		types = types[:1]
	}
	return node{"type": types, "pattern": "^" + numberText + ` ?\S.*$`, "examples": []string{"12.5 " + unit}}
}

func jsonPoint(p *Point) node {
	value := []any{node{"type": []string{"number", "string", "null"}}}
	full := node{}
	for _, k := range readingKeys {
		full[k] = node{}
	}
	if len(p.Words) > 0 {
		value = []any{node{"enum": append(anys(p.Words), nil)}}
		full["text"] = value[0]
	}
	if !p.Text {
		value = append(value, node{"type": "array", "items": node{"type": []string{"number", "string"}}})
	}
	value = append(value, node{"type": "object", "properties": full, "additionalProperties": false})
	properties := node{}
	for _, k := range groupKeys {
		properties[k] = node{"type": []string{"string", "number", "null"}}
	}
	return node{
		"type":              []string{"object", "null"},
		"description":       p.describe(),
		"properties":        properties,
		"patternProperties": node{p.keyRegexp(): node{"anyOf": value}},

		"additionalProperties": false,
	}
}

func anys(words []string) []any {
	list := make([]any, len(words))
	for i, w := range words {
		list[i] = w
	}
	return list
}

// describe tells a person what the point is, how and with what it is measured,
// when, and what misleads or hurts.
func (p *Point) describe() string {
	unit := ""
	if p.Unit != "" {
		unit = " [" + p.Unit + "]"
	}
	text := fmt.Sprintf("%s%s. %s With: %s. At: %s.", p.Title, unit, p.How, p.With, strings.Join(p.Stages, ", "))
	return strings.TrimSpace(text + " " + p.Caution)
}

func (p *Point) keyRegexp() string {
	heads := positionRegexp(p.At)
	if len(p.Places) == 0 {
		return heads
	}
	tails := positionRegexp(p.Places)
	return "^(" + heads[1:len(heads)-1] + ")(/" + tails[1:len(tails)-1] + ")?$"
}

func patternsOf(kinds []PositionKind) []Pattern {
	list := make([]Pattern, len(kinds))
	for i, k := range kinds {
		list[i] = k.Pattern
	}
	return list
}

// positionRegexp matches any position of the patterns.
func positionRegexp(patterns []Pattern) string {
	var all []string
	for _, p := range patterns {
		var segments []string
		for _, want := range strings.Split(string(p), "/") {
			segments = append(segments, segmentRegexp(want))
		}
		all = append(all, strings.Join(segments, "/"))
	}
	return "^(" + strings.Join(all, "|") + ")$"
}

func segmentRegexp(want string) string {
	if head, _, ok := strings.Cut(want, "-*"); ok {
		return head + "-[1-9][0-9]?"
	}
	switch want {
	case "*r", "*p", "*n":
		return "[1-9][0-9]?"
	case "1-3":
		return "[1-3]"
	case "1-4":
		return "[1-4]"
	}
	if strings.Contains(want, "|") {
		return "(" + want + ")"
	}
	return want
}
