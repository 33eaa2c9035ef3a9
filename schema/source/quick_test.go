package source

import (
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// requireQuickAsParser: what the quick reader takes, the parser for all of YAML
// takes too, and both give one document, to the last offset and comment.
func requireQuickAsParser(t *testing.T, text string) (quick bool) {
	t.Helper()
	if len(checkBytes("f.yaml", text)) > 0 {
		return false
	}
	tree, ok := quickTree(text)
	if !ok {
		return false
	}
	whole, err := parseAll("f.yaml", text)
	doc := walkThrough("f.yaml", text, tree)
	if err != nil {
		require.Nil(t, doc, "%q: %v", text, err)
		return false
	}
	if doc == nil {
		return false
	}
	require.Equal(t, whole, doc, "%q", text)
	return true
}

func FuzzQuick(f *testing.F) {
	for _, text := range corpus {
		f.Add(text)
	}
	for _, text := range recordsOfExamples(f) {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) { requireQuickAsParser(t, text) })
}

// recordsOfExamples are the records that stand in the project.
func recordsOfExamples(t testing.TB) []string {
	var texts []string
	err := filepath.WalkDir("../../cmd/internal/act/demo", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || filepath.Ext(path) != ".yaml" {
			return err
		}
		text, err := os.ReadFile(path)
		texts = append(texts, string(text))
		return err
	})
	require.NoError(t, err)
	require.Greater(t, len(texts), 20)
	return texts
}

// TestQuickReadsRecords: records as people write them are in the plain form. One
// that is not is read all the same, and some ten times as slowly.
func TestQuickReadsRecords(t *testing.T) {
	quick, all := 0, 0
	for _, text := range append(recordsOfExamples(t), spec, session) {
		all++
		if requireQuickAsParser(t, text) {
			quick++
		}
	}
	t.Logf("%d of %d", quick, all)
	require.Greater(t, 10*quick, 9*all)
}

// TestQuickLeavesTheRest are texts that look plain and are not, or whose value is
// not what it looks like.
func TestQuickLeavesTheRest(t *testing.T) {
	for _, text := range []string{
		"a: 1\n  2\n", "a: 1\n # c\n  b: 2\n", "a: b: c\n", "a:\n b: 1\n  c: 2\n", "a:\n  b: 1\n c: 2\n", "- a\n", "a: - b\n", "a: [b\n, c]\n", "a: {b: c, d}\n",
		"a: [b: c]\n", "a: [b, ]\n", "a: \"b\\n\"\n", "a: 'b\n  c'\n", "a: &x b\nc: *x\n", "a: !t b\n", "a: |\n  b\n", "a: >\n  b\n", "? a\n: b\n", "<<: {a: b}\n",
		"a : 1\n", "\"a\": 1\n", "a: 1\nb\n", "a: [b]#c\n", "a: 'b'c\n", "a: 'b': c\n", "a: [b]: c\n", "a:\n  - b\n c: d\n", "a:\n- b\n  c\n", "a: @b\n", "a: `b`\n", "a: %b\n",
		"a: ? b\n", "a: : b\n", "a: [b:c]\n", "a: {b:c}\n", "a: {b: }\n", "a: b:\n", "a: [b #c\n]\n", "a: [#b]\n", "--- a: 1\n", "a: 1\n...\n", "a: 1\n---\nb: 2\n", "%A\n", "a: 1\tx\n", "a: 1\r\n",
		"a: [b]]\n", "a: }\n", "a: [b}\n", "a: ,b\n", "a: -\n", "a: - \n", "a:\n- - b\n c: d\n", "{a: b}\n", "[a]\n", "a\n", "", "#\n", "a: [b?c]\n", "a: [b[c]\n", "a:\n-\n  - b\n - c\n",
	} {
		require.False(t, requireQuickAsParser(t, text), "%q", text)
	}
	for _, text := range []string{
		"a: 1", "a: 1\n\n\n", "  a: 1\n  b: 2\n", "a:\nb:\n", "a: # c\n  b: 1 # d\n", "a:\n- 1\n- 2\nb: 3\n", "a:\n  - 1\n  -\n  - x: 1\n    y: 2\n", "a:\n  - - 1\n    - 2\n  - - 3\n",
		"a: 'it''s'\n", "a: ''\n", "a: \"\"\n", "a: \"b # c\"\n", "a: b#c\n", "a: http://x/y\n", "a: {b: 1, c: [d, e f, 'g, h'], i: {}}\n", "a: []\n", "a: 0,5 mm\n", "a: -0.5 deg\n", "a: [-1 mm, 2]\n", "länge: 12 µm\n",
		"a: 1:30\n", "rotor/1/apex/1: {a: b}\n", "a:\n  # c\n\n  b: 1\n# d\nc: 2\n", "a: ~\n", "a: null\n",
	} {
		require.True(t, requireQuickAsParser(t, text), "%q", text)
	}
}

// TestQuickAsParser changes records at random places, by the characters that mean
// something in YAML.
func TestQuickAsParser(t *testing.T) {
	random := rand.New(rand.NewPCG(7, 7))
	pieces := strings.Split("\n| |  |:|: |#| #|-|- |,|, |[|]|{|}|'|\"|\\|?|!|&|*|>|%|@|`|~|a|1|.|/|µ|\n  |\n- |\na: |\n---\n|<<|=", "|")
	pieces = append(pieces, "|", "\t", "\r")
	texts := append(recordsOfExamples(t), corpus...)
	taken := 0
	rounds := 60_000
	if testing.Short() {
		rounds = 6_000
	}
	for range rounds {
		text := texts[random.IntN(len(texts))]
		if len(text) > 600 { // a stretch of whole lines
			from := strings.IndexByte(text[random.IntN(len(text)-500):], '\n') + 1
			text = text[from:min(len(text), from+400)]
		}
		for range 1 + random.IntN(3) {
			at := random.IntN(len(text) + 1)
			upTo := min(len(text), at+random.IntN(3))
			text = text[:at] + pieces[random.IntN(len(pieces))] + text[upTo:]
		}
		if requireQuickAsParser(t, text) {
			taken++
		}
	}
	require.Greater(t, taken, rounds/20)
	t.Logf("%d of %d", taken, rounds)
}
