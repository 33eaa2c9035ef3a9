package figure_test

import (
	"fmt"
	"regexp"
	"sort"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"stackbook/record/figure"
)

// storedFile is the figures.yaml of a build, and what it was written from.
func storedFile(t testing.TB, s *shelf) (string, *figure.Set) {
	t.Helper()
	set := s.compute(t)
	return string(set.Encode(nil)), set
}

// decoded reads a figures.yaml that must be of use.
func decoded(t testing.TB, text string) *figure.Stored {
	t.Helper()
	s, ok := figure.Decode([]byte(text))
	require.True(t, ok)
	return s
}

// lineOf is the line of a figure in a figures.yaml.
func lineOf(t testing.TB, text, id, at string) string {
	t.Helper()
	for _, l := range strings.Split(text, "\n") {
		if strings.HasPrefix(l, fmt.Sprintf("  - {id: %s, at: %s, ", id, at)) {
			return l
		}
	}
	require.Fail(t, "no line for "+id+" at "+at)
	return ""
}

// R4: what is written is read back, and is fresh for the same records.
func TestR4RoundTrip(t *testing.T) {
	for _, s := range []*shelf{build1(t), demoTo(t, "10"), build2(t)} {
		text, set := storedFile(t, s)
		stored := decoded(t, text)
		require.Equal(t, "SK-01", stored.Engine)
		require.Equal(t, set.Engine.Build, stored.Build)
		require.Equal(t, figure.FormulaSet, stored.Formulas)
		require.Equal(t, set.Digest(), stored.Inputs)
		require.Len(t, stored.Lines, len(set.Results))
		require.True(t, stored.Fresh(set))
		for _, l := range stored.Lines {
			r := result(t, set, l.ID, l.At)
			require.Equal(t, r.Line(), l)
			require.Equal(t, r.Text(), l.Value)
			require.Equal(t, r.Uncertainty == nil, l.Uncertainty == "")
		}
		require.Equal(t, text, string(set.Encode(stored)), "written again, not a byte changes")
	}
}

// R4: one line a figure, sorted bytewise, of one shape; no file, line, title or
// formula, so that the edit of a comment rewrites nothing.
func TestR4OneLineAFigure(t *testing.T) {
	text, set := storedFile(t, build2(t))
	head, body, found := strings.Cut(text, "figures:\n")
	require.True(t, found)
	require.Equal(t, "# written by stackbook, never by hand: stackbook commit writes it anew\nformat: figures/1\nengine: SK-01\nbuild: 2\n"+
		fmt.Sprintf("formulas: %d\ninputs: %s\n", figure.FormulaSet, set.Digest()), head)
	lines := strings.Split(strings.TrimSuffix(body, "\n"), "\n")
	require.Len(t, lines, len(set.Results))
	require.True(t, sort.StringsAreSorted(lines))
	shape := regexp.MustCompile(`^  - \{id: [a-zA-Z_.]+, at: [a-z0-9/-]+, value: -?[0-9.]+, unit: \S.*, uncertainty: (null|[0-9.]+), verdict: (null|conforms|undecided|fails|unmeasured)\}$`)
	for _, l := range lines {
		require.Regexp(t, shape, l)
	}
	require.Equal(t, "  - {id: rotor.side_clearance, at: rotor/2, value: 0.145, unit: mm, uncertainty: 0.00082, verdict: conforms}",
		lineOf(t, text, "rotor.side_clearance", "rotor/2"))
}

// R4: a line written over by hand is told although the digest was left; one
// within the last digit is not, and of a stale file nothing is said.
func TestR4AlteredByHand(t *testing.T) {
	text, set := storedFile(t, build2(t))
	line := lineOf(t, text, "rotor.side_clearance", "rotor/2")
	tests := []struct {
		what, old, new string
		altered        bool
	}{
		{"as written", "0.145", "0.145", false},
		{"the last digit", "0.145", "0.146", false},
		{"two last digits", "0.145", "0.147", true},
		{"more decimals", "0.145", "0.1450", true},
		{"no number", "0.145", "much", true},
		{"unit", "unit: mm", "unit: in", true},
		{"verdict", "verdict: conforms", "verdict: fails", true},
		{"no verdict", "verdict: conforms", "verdict: null", true},
		{"uncertainty", "uncertainty: 0.00082", "uncertainty: 0.002", true},
		{"uncertainty, its last digit", "uncertainty: 0.00082", "uncertainty: 0.00083", false},
	}
	for _, tt := range tests {
		stored := decoded(t, strings.Replace(text, line, strings.Replace(line, tt.old, tt.new, 1), 1))
		require.True(t, stored.Fresh(set), tt.what)
		altered := stored.Altered(set)
		if !tt.altered {
			require.Empty(t, altered, tt.what)
			continue
		}
		require.Len(t, altered, 1, tt.what)
		require.Equal(t, "rotor.side_clearance rotor/2", altered[0].ID+" "+altered[0].At)
	}
	stale := decoded(t, strings.Replace(strings.Replace(text, line, strings.Replace(line, "0.145", "0.199", 1), 1), "build: 2", "build: 1", 1))
	require.Empty(t, stale.Altered(set))
	var none *figure.Stored
	require.Empty(t, none.Altered(set))
}

// R4, R5: a stored value within one last digit of the new one keeps its text,
// so that another processor's rounding rewrites nothing; anything more does not.
func TestR4OneLastDigitKeepsItsText(t *testing.T) {
	text, set := storedFile(t, build1(t))
	const id, at, was = "power.bmep", "engine", "value: 10.15, unit: bar,"
	line := lineOf(t, text, id, at)
	require.Contains(t, line, was)
	for now, kept := range map[string]bool{
		"value: 10.14, unit: bar,":  true,
		"value: 10.16, unit: bar,":  true,
		"value: 10.13, unit: bar,":  false,
		"value: 10.17, unit: bar,":  false,
		"value: 10.150, unit: bar,": false, // another number of decimals
		"value: 10.1, unit: bar,":   false,
		"value: 10.16, unit: kPa,":  false,
		"value: nine, unit: bar,":   false,
		"value: NaN, unit: bar,":    false,
		"value: , unit: bar,":       false,
	} {
		before := decoded(t, strings.Replace(text, line, strings.Replace(line, was, now, 1), 1))
		got := lineOf(t, string(set.Encode(before)), id, at)
		require.Equal(t, kept, strings.Contains(got, now), now)
		require.Equal(t, !kept, strings.Contains(got, was), now)
	}
}

// R4, R6: a stored text is not kept beside another verdict, nor where it lies
// on the other side of the limit than the value does.
func TestR6StoredTextAgreesWithTheVerdict(t *testing.T) {
	text, _ := storedFile(t, build1(t))
	const id, at = "rotor.side_clearance", "rotor/2"
	line := lineOf(t, text, id, at)
	require.Contains(t, line, "value: 0.138, unit: mm, uncertainty: 0.00082, verdict: conforms")
	later := func(limit, stored string) string {
		s := build1(t).replaceLimit(t, "new: {min: 0.10 mm, max: 0.16 mm}", "new: {min: "+limit+", max: 0.16 mm}")
		before := decoded(t, strings.Replace(text, line, strings.Replace(line, "value: 0.138, unit: mm, uncertainty: 0.00082, verdict: conforms", stored, 1), 1))
		return lineOf(t, string(s.compute(t).Encode(before)), id, at)
	}
	require.Contains(t, later("0.10 mm", "value: 0.137, unit: mm, uncertainty: 0.00082, verdict: conforms"), "value: 0.137,", "both inside")
	require.Contains(t, later("0.10 mm", "value: 0.137, unit: mm, uncertainty: 0.00082, verdict: fails"), "value: 0.138,", "another verdict")
	require.Contains(t, later("0.1375 mm", "value: 0.137, unit: mm, uncertainty: 0.00082, verdict: conforms"), "value: 0.138,", "0.137 would now lie outside")
}

// R4: a file that is cut short, in its head anywhere, behind it at the end of a
// line or within one, is of no use, or says it is not fresh.
func TestR4CutShort(t *testing.T) {
	t.Parallel()
	text, set := storedFile(t, build1(t))
	head := strings.Index(text, "figures:\n") + 200
	for n := range len(text) - 1 {
		if n > head && text[n] != '\n' && n%397 != 0 {
			continue
		}
		if stored, ok := figure.Decode([]byte(text[:n])); ok {
			require.False(t, stored.Fresh(set), "cut at byte %d, behind %q", n, text[max(0, n-40):n])
		}
	}
}

// R4, R7: what merges and hands make of the file is never an error and never
// taken for fresh.
func TestR4SpoiledFiles(t *testing.T) {
	ours, set := storedFile(t, build2(t))
	theirs, _ := storedFile(t, build1(t))
	line := lineOf(t, ours, "rotor.side_clearance", "rotor/2") + "\n"
	inputs := "inputs: " + set.Digest() + "\n"
	for what, text := range map[string]string{
		"nothing":                "",
		"a comment":              "# figures\n",
		"another file":           "hello: there\n",
		"no YAML":                "{\x00",
		"a list":                 "- 1\n- 2\n",
		"conflict marks":         strings.Replace(ours, line, "<<<<<<< ours\n"+line+"=======\n"+strings.Replace(line, "0.145", "0.138", 1)+">>>>>>> theirs\n", 1),
		"both heads":             strings.Replace(ours, inputs, inputs+"inputs: 00ff\n", 1),
		"the other side's head":  strings.Replace(ours, inputs, "inputs: 00ff\n", 1),
		"the other build's file": theirs,
		"one build below other":  ours + theirs,
		"a line twice":           strings.Replace(ours, line, line+strings.Replace(line, "0.145", "0.138", 1), 1),
		"a line less":            strings.Replace(ours, line, "", 1),
		"another place":          strings.Replace(ours, line, strings.Replace(line, "rotor/2", "rotor/7", 1), 1),
		"no inputs":              strings.Replace(ours, inputs, "", 1),
		"inputs without a text":  strings.Replace(ours, inputs, "inputs:\n", 1),
		"another build":          strings.Replace(ours, "build: 2\n", "build: 1\n", 1),
		"a build in words":       strings.Replace(ours, "build: 2\n", "build: two\n", 1),
		"formulas in words":      strings.Replace(ours, fmt.Sprintf("formulas: %d\n", figure.FormulaSet), "formulas: {}\n", 1),
		"no figures":             ours[:strings.Index(ours, "figures:\n")],
		"figures in words":       ours[:strings.Index(ours, "figures:\n")] + "figures: none\n",
		"lines of another shape": ours[:strings.Index(ours, "figures:\n")] + "figures: [1, [2], {id: [3]}]\n",
	} {
		if what != "the other build's file" {
			require.NotEqual(t, ours, text, what)
		}
		if stored, ok := figure.Decode([]byte(text)); ok {
			require.False(t, stored.Fresh(set), what)
			require.True(t, decoded(t, string(set.Encode(stored))).Fresh(set), "%s: written anew, it is right again", what)
		}
	}
	var none *figure.Stored
	require.False(t, none.Fresh(set))
	require.Equal(t, ours, string(set.Encode(none)))
}

// R4: a union of two sides that wrote the same heads is still told apart by its
// doubled lines, and a line's comment or order is no matter.
func TestR4OrderOfLinesIsNoMatter(t *testing.T) {
	ours, set := storedFile(t, build2(t))
	line := lineOf(t, ours, "rotor.side_clearance", "rotor/2") + "\n"
	moved := strings.Replace(ours, line, "", 1) + line + "# looked at\n"
	require.True(t, decoded(t, moved).Fresh(set))
}

// R4: a higher formula set is told, so that nobody writes over it, and is not
// fresh.
func TestR4HigherFormulaSet(t *testing.T) {
	ours, set := storedFile(t, build2(t))
	higher := strings.Replace(ours, fmt.Sprintf("formulas: %d\n", figure.FormulaSet), fmt.Sprintf("formulas: %d\n", figure.FormulaSet+3), 1)
	stored := decoded(t, higher)
	require.Equal(t, figure.FormulaSet+3, stored.Formulas)
	require.False(t, stored.Fresh(set))
	require.Len(t, stored.Lines, len(set.Results), "what was told then can still be read")
}

// R4: no text is an error, and whatever was read, the file written over it
// reads back fresh.
func FuzzDecode(f *testing.F) {
	text, set := storedFile(f, build1(f))
	f.Add([]byte(text))
	f.Add([]byte(text[:len(text)/2]))
	f.Add([]byte("build: 1\nformulas: 1\nfigures:\n  - {id: end_float, at: engine, value: 0x1p-4, unit: mm, verdict: conforms}\n"))
	f.Add([]byte("build: 1\nformulas: 1\nfigures:\n<<<<<<< a\n=======\n>>>>>>> b\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		stored, ok := figure.Decode(data)
		if !ok {
			require.Nil(t, stored)
			return
		}
		stored.Fresh(set)
		again, ok := figure.Decode(set.Encode(stored))
		require.True(t, ok)
		require.True(t, again.Fresh(set))
	})
}
