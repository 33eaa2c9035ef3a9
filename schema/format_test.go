package schema

import (
	commandline "flag"
	"fmt"
	"os"
	"regexp"
	"sort"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"stackbook/schema/quantity"
)

var update = commandline.Bool("update", false, "write the tables of FORMAT.md anew")

const formatDocument = "FORMAT.md"

// generated finds a table of the document between its marks.
var generated = regexp.MustCompile(`(?s)<!-- generated: ([a-z ]+) -->\n(.*?)<!-- end -->\n`)

// The tables of the format document come from the dictionary, and the prose
// around them from a person:
//
//	go test ./schema -run TestFormatDocument -args -update
func TestFormatDocument(t *testing.T) {
	kept, err := os.ReadFile(formatDocument)
	require.NoError(t, err)
	tables := formatTables()
	if *update {
		kept = generated.ReplaceAllFunc(kept, func(block []byte) []byte {
			name := string(generated.FindSubmatch(block)[1])
			return []byte("<!-- generated: " + name + " -->\n" + tables[name] + "<!-- end -->\n")
		})
		require.NoError(t, os.WriteFile(formatDocument, kept, 0o666))
	}
	for _, block := range generated.FindAllStringSubmatch(string(kept), -1) {
		want, known := tables[block[1]]
		require.True(t, known, "the dictionary has no table %q", block[1])
		require.Empty(t, parted(block[2], want), "the document and the dictionary part at %q: go test ./schema -run TestFormatDocument -args -update", block[1])
		delete(tables, block[1])
	}
	require.Empty(t, tables, "these tables are not in the document")
}

// parted gives the first line in which two tables differ, "" when none does.
func parted(have, want string) string {
	a, b := strings.Split(have, "\n"), strings.Split(want, "\n")
	for i := range max(len(a), len(b)) {
		switch {
		case i >= len(a):
			return "not in the document: " + b[i]
		case i >= len(b):
			return "not in the dictionary: " + a[i]
		case a[i] != b[i]:
			return "the document has " + a[i] + ", the dictionary " + b[i]
		}
	}
	return ""
}

// A difference is named, on whichever side a line is missing.
func TestParted(t *testing.T) {
	require.Empty(t, parted("a\nb\n", "a\nb\n"))
	require.Equal(t, "the document has b, the dictionary c", parted("a\nb", "a\nc"))
	require.Equal(t, "not in the document: b", parted("a", "a\nb"))
	require.Equal(t, "not in the dictionary: b", parted("a\nb", "a"))
}

// The Changes section has an entry for every dictionary there was.
func TestFormatDocumentTellsEveryDictionary(t *testing.T) {
	kept, err := os.ReadFile(formatDocument)
	require.NoError(t, err)
	_, changes, _ := strings.Cut(string(kept), "\n## Changes\n")
	for n := 1; n <= Dictionary; n++ {
		require.Contains(t, changes, fmt.Sprintf("\n**Dictionary %d**", n))
	}
}

// formatTables are all tables of the document by their names.
func formatTables() map[string]string {
	tables := map[string]string{
		"versions": versionTable(), "positions": positionTable(), "stages": stageTable(), "kinds of change": changeKindTable(),
		"points": pointTable(), "units": unitTable(), "reading keys": "`" + strings.Join(readingKeys, "`, `") + "`\n",
		"group keys": "`" + strings.Join(groupKeys, "`, `") + "`\n",
	}
	for _, kind := range Kinds() {
		tables["keys "+kind] = table("key", "value", "what it is") + keyRows("", Kind(kind))
	}
	return tables
}

func table(titles ...string) string {
	return row(titles...) + "|" + strings.Repeat(" --- |", len(titles)) + "\n"
}

func row(cells ...string) string {
	for i, c := range cells {
		cells[i] = strings.ReplaceAll(c, "|", `\|`)
	}
	return "| " + strings.Join(cells, " | ") + " |\n"
}

func versionTable() string {
	kinds := make([]string, 0, len(Kinds()))
	for _, kind := range Kinds() {
		kinds = append(kinds, fmt.Sprintf("`%s/%d`", kind, FormatNumber))
	}
	sort.Strings(kinds)
	return fmt.Sprintf("Dictionary %d. Formats: %s, `figures/1`, `customers/1`.\n", Dictionary, strings.Join(kinds, ", "))
}

func positionTable() string {
	out := table("position", "what it is")
	for _, p := range Positions {
		out += row("`"+string(p.Pattern)+"`", p.Title)
	}
	return out
}

func stageTable() string {
	out := table("stage", "what it is", "its readings")
	for _, s := range Stages {
		use := "are kept for comparison"
		if s.AsBuilt {
			use = "count for the build"
		}
		out += row("`"+s.Name+"`", s.Title, use)
	}
	return out
}

func changeKindTable() string {
	out := table("kind", "what it is", "readings before it, of what it touches")
	for _, k := range ChangeKinds {
		use := "still count"
		if k.Voids {
			use = "count no longer"
		}
		out += row("`"+k.Name+"`", k.Title, use)
	}
	return out
}

// keyRows lists the keys of a group and, below each, those within it. "*" is a
// key that is a position, a point, a figure or the person's own; "[]" an entry
// of a list.
func keyRows(path string, f *Field) string {
	out := ""
	for i := range f.Fields {
		child := &f.Fields[i]
		at := join(path, child.Key)
		help := child.Help
		if child.Required {
			help += " (required)"
		}
		out += row("`"+at+"`", valueWords(child), help) + innerRows(at, child)
	}
	return out
}

func innerRows(at string, f *Field) string {
	switch {
	case f.Type == Group:
		return keyRows(at, f)
	case f.Type == Keyed && f.Of.Type == Group:
		return keyRows(at+".*", f.Of)
	case f.Type == Series && f.Of.Type == Group:
		return keyRows(at+"[]", f.Of)
	}
	return ""
}

// valueWords says how the value of a field is written.
func valueWords(f *Field) string {
	switch f.Type {
	case Name:
		return "name"
	case Code:
		return "code"
	case Day:
		return "day"
	case Whole:
		return "whole number" + rangeWords(f)
	case Quantity:
		return "quantity in " + unitWords(f.Dim, f.Unit) + rangeWords(f)
	case Flag:
		return "`yes` or `no`"
	case Choice:
		return "`" + strings.Join(f.Choices, "`, `") + "`"
	case Position:
		return "a position"
	case Group:
		return "keys"
	case Keyed:
		return "by " + map[KeyKind]string{OwnKey: "keys of your own", PositionKey: "position", PointKey: "point", LimitKey: "figure or point"}[f.Keys] + ": " + valueWords(f.Of)
	case Series:
		if f.Identity != "" {
			return "list of " + valueWords(f.Of) + ", each named by its `" + f.Identity + "`"
		}
		return "list of " + valueWords(f.Of)
	case Free:
		return "anything"
	}
	return "words"
}

// unitWords is the dictionary's unit with what it counts from, where the
// symbol leaves that open.
func unitWords(dim quantity.Dimension, unit string) string {
	switch {
	case dim == quantity.PressureGauge:
		return "`" + unit + "`, gauge"
	case dim == quantity.PressureAbsolute:
		return "`" + unit + "`, absolute"
	case unit == "1":
		return "no unit"
	}
	return "`" + unit + "`"
}

func rangeWords(f *Field) string {
	switch {
	case f.Low != "" && f.High != "":
		return ", " + f.Low + " to " + f.High
	case f.Low != "":
		return ", " + f.Low + " or more"
	}
	return ""
}

func pointTable() string {
	out := table("point", "what it is", "value", "taken at", "places there", "of the part at", "worst place", "nominal value", "stages")
	for i := range Points() {
		p := &Points()[i]
		out += row("`"+p.ID+"`", p.Title, pointValue(p), patterns(p.At), patterns(p.Places), partWords(p),
			map[Judge]string{NotJudged: "", Largest: "largest", Smallest: "smallest"}[p.Judge], nominalWords(p), strings.Join(p.Stages, ", "))
	}
	return out
}

func pointValue(p *Point) string {
	switch {
	case len(p.Words) > 0:
		return "`" + strings.Join(p.Words, "`, `") + "`"
	case p.Text:
		return "words"
	}
	text := unitWords(p.Dim, p.Unit) + rangeWords(&Field{Low: p.Low, High: p.High})
	if p.Sequence {
		text += "; the places are an order and name nothing"
	}
	return text
}

func patterns(list []Pattern) string {
	words := make([]string, len(list))
	for i, p := range list {
		words[i] = "`" + string(p) + "`"
	}
	return strings.Join(words, ", ")
}

// partWords names the position of the part a point is read on: the first
// segments of where it is taken; none for the assembly.
func partWords(p *Point) string {
	if p.Part == 0 {
		return "the assembly"
	}
	var heads []Pattern
	seen := map[string]bool{}
	for _, kind := range p.At {
		head := p.PartOf(string(kind))
		if head == "" {
			head = "the assembly"
		}
		if !seen[head] {
			heads = append(heads, Pattern(head))
		}
		seen[head] = true
	}
	return strings.ReplaceAll(patterns(heads), "`the assembly`", "the assembly")
}

func nominalWords(p *Point) string {
	if p.Nominal == "" {
		return ""
	}
	return "`" + strings.ReplaceAll(p.Nominal, "{part}", "*") + "`"
}

func unitTable() string {
	out := table("unit", "of", "is exactly", "by", "also read")
	for _, u := range quantity.Units() {
		spellings := u.Spellings()
		also := ""
		if len(spellings) > 0 {
			also = "`" + strings.Join(spellings, "`, `") + "`"
		}
		out += row("`"+u.Symbol()+"`", strings.TrimPrefix(strings.TrimPrefix(u.Dimension().String(), "a "), "an "), u.Factor(), u.Source(), also)
	}
	return out
}
