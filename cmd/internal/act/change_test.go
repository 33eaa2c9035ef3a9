package act

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"stackbook/schema"
	"stackbook/schema/source"
)

func TestSlug(t *testing.T) {
	for _, row := range []struct{ what, want string }{
		{"pockets recut", "pockets-recut"},
		{"Rotor 2 replaced by R-2033, and the rest", "rotor-2-replaced-by-r-2033"},
		{"down 350 rpm, bad to start cold", "down-350-rpm-bad-to-start"},
		{"spacer of the", "spacer"},
		{"plate/1/rear: 0.06 mm", "plate-1-rear-0-06-mm"},
		{"övre tätning bytt, den andra är ny", "ovre-tatning-bytt-den-andra"},
		{"../../book.yaml", "book-yaml"},
		{"the customer's call", "the-customers-call"},
		{"Масло слито", "note"},
		{"", "note"},
		{"of the", "note"},
		{strings.Repeat("x", 40), "note"},
	} {
		require.Equal(t, row.want, slug("note", row.what), row.what)
	}
}

// Whatever a person types, the record gives it back, in each of the shapes a
// value can be written in.
func TestContentReadsBackAsTyped(t *testing.T) {
	long := strings.Repeat("a word ", 40) + "end"
	for _, text := range []string{
		"plain", "with, commas [and] {brackets}", "a: b", "a #b", "#1177", "- dash", "'quoted'", `"quoted"`, `back\slash`, "no", "00123", "12E4", "~", "null",
		"2026-03-02", "1:30", "two\nlines", "two\n\n  indented\nlines", " blank before", "tab\there", "é ü 密", "\x1b[31m", "...", "---", "&a", "*a", "!tag", "%x", "@x", "`x`",
		"ends with a colon:", "ends\n", "\nbegins", long, long + ": " + long, long + " #x " + long, long + "  two blanks " + long, strings.Repeat("x", 300), long + " - " + long, "crlf\r\nline",
	} {
		c := content{
			"what": text, "why": text, "concession.told": text, "concession.figures": []string{text, "x"}, "findings.facts": []string{text},
			"findings.causes": [][]pair{{{"cause", text}, {"certainty", "unknown"}}},
			"recorded":        []pair{{"coolant, highest", text}}, "note": "the end",
			"photos": [][]pair{{{"file", "photos/a.jpg"}, {"sha256", strings.Repeat("1", 64)}, {"caption", text}, {"at", "rotor/1"}}},
		}
		written := c.text(schema.Change().Fields)
		doc, err := source.Parse("x", []byte(written))
		require.NoError(t, err, written)
		root := doc.Root()
		for _, at := range [][]string{{"what"}, {"why"}, {"concession", "told"}, {"concession", "figures", "0"}, {"findings", "facts", "0"}, {"findings", "causes", "0", "cause"}, {"recorded", "coolant, highest"}, {"photos", "0", "caption"}} {
			require.Equal(t, text, root.At(at...).Text(), "%v in\n%s", at, written)
		}
		require.Equal(t, []string{"what", "why", "concession", "findings", "recorded", "photos", "note"}, root.Keys())
		require.Equal(t, "the end", root.Get("note").Text())
		require.Equal(t, strings.Repeat("1", 64), root.At("photos", "0", "sha256").Text())
	}
}

// Long plain texts are folded, everything short stays on its line.
func TestContentIsFoldedAsAPersonWould(t *testing.T) {
	c := content{"what": strings.Repeat("weed in the pick-up, ", 12) + "seen", "why": "short, with commas", "touches": []string{"rotor/1", "rotor/2"}}
	for line := range strings.Lines(c.text(schema.Change().Fields)) {
		require.LessOrEqual(t, len(line), width+1)
	}
	require.Contains(t, c.text(schema.Change().Fields), "\n  weed in")
	require.Contains(t, c.text(schema.Change().Fields), "why: short, with commas\ntouches: [rotor/1, rotor/2]\n")
}

func TestPairsOf(t *testing.T) {
	of := schema.Change().Find("removed").Of
	for _, row := range []struct {
		text string
		want []pair
		says string
	}{
		{"from=rotor/2 serial=R-1181 to=scrap", []pair{{"from", "rotor/2"}, {"serial", "R-1181"}, {"to", "scrap"}}, ""},
		{"to=out for plating  from=rotor/2 where=C-04, by post", []pair{{"from", "rotor/2"}, {"to", "out for plating"}, {"where", "C-04, by post"}}, ""},
		{"rotor/2 to=scrap", []pair{{"from", "rotor/2"}, {"to", "scrap"}}, ""},
		{"rotor/2", []pair{{"from", "rotor/2"}}, ""},
		{"from=rotor/2 note=", []pair{{"from", "rotor/2"}}, ""},
		{"rotor/2 from=rotor/1", nil, "from twice"},
		{"from=rotor/2 tto=scrap", nil, "did you mean to=?"},
		{"from=rotor/2 weight=3", nil, "use these: from, found_at"},
	} {
		got, err := pairsOf("removed", row.text, of)
		if row.says != "" {
			require.ErrorContains(t, err, row.says)
			continue
		}
		require.NoError(t, err)
		require.Equal(t, row.want, got, row.text)
	}
}

// Every option fills in a key of the dictionary, and says what it means.
func TestChangeOptionsAreInTheDictionary(t *testing.T) {
	for _, o := range ChangeOptions {
		require.NotNil(t, schema.Change().At(o.Path), o.Path)
		require.Regexp(t, "`[^`]+`", o.Help)
		require.Equal(t, o.Name, optionOf(o.Path))
	}
	for key, kinds := range suits {
		require.NotNil(t, schema.Change().At(key), key)
		for _, k := range kinds {
			require.NotNil(t, schema.FindChangeKind(k), k)
		}
	}
}
