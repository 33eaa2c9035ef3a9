package schema_test

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/require"

	"stackbook/schema"
	"stackbook/schema/source"
)

var schemas = map[string]*jsonschema.Schema{}

// compiled is a record kind's JSON Schema, read by a library that knows
// nothing of ours; each is compiled once.
func compiled(t *testing.T, kind string) *jsonschema.Schema {
	t.Helper()
	if s := schemas[kind]; s != nil {
		return s
	}
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(schema.JSONSchema(kind)))
	require.NoError(t, err)
	c := jsonschema.NewCompiler()
	require.NoError(t, c.AddResource("s.json", doc))
	s, err := c.Compile("s.json")
	require.NoError(t, err)
	schemas[kind] = s
	return s
}

// asEditor turns a record into what a YAML-aware editor sees: numbers, yes and
// no, and nothing are taken for what the core schema of YAML 1.2 says.
func asEditor(n *source.Node) any {
	switch n.Kind() {
	case source.Map:
		m := map[string]any{}
		for _, e := range n.Entries() {
			m[e.Key] = asEditor(e.Value)
		}
		return m
	case source.List:
		list := []any{}
		for _, item := range n.Items() {
			list = append(list, asEditor(item))
		}
		return list
	}
	if n.IsNull() {
		return nil
	}
	if _, err := strconv.ParseFloat(n.Text(), 64); err == nil && !n.Quoted() {
		return json.Number(n.Text())
	}
	if n.Text() == "true" || n.Text() == "false" {
		return n.Text() == "true"
	}
	return n.Text()
}

func bothSay(t *testing.T, kind, name string, text []byte) (checker, editor bool) {
	t.Helper()
	doc, err := source.Parse(name, text)
	require.NoError(t, err)
	editor = compiled(t, kind).Validate(asEditor(doc.Root())) == nil
	return len(schema.Check(doc, kind, 0)) == 0, editor
}

// benchSession is the one example that is left with a mistake in it.
const benchSession = "2026-02-27-mock-up-TR.yaml"

// Schema and checker cannot part: every example record is right to both, and
// the one left on the bench with a mistake is wrong to both.
func TestExamplesAreValidToBoth(t *testing.T) {
	records := 0
	err := filepath.WalkDir("../cmd/internal/act/demo", func(path string, d os.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		text, err := os.ReadFile(path)
		require.NoError(t, err)
		kind := kindOf(path)
		checker, editor := bothSay(t, kind, path, text)
		right := filepath.Base(path) != benchSession
		require.Equal(t, right, checker, "%s: the checker", path)
		require.Equal(t, right, editor, "%s: the schema", path)
		records++
		return nil
	})
	require.NoError(t, err)
	require.Greater(t, records, 100)
}

func kindOf(path string) string {
	switch {
	case strings.Contains(path, "/measurements/"):
		return "measurements"
	case strings.Contains(path, "/changes/"):
		return "change"
	case strings.Contains(path, "/limits/"):
		return "limits"
	case strings.Contains(path, "/parts/"):
		return "part"
	}
	return "spec"
}

// What is wrong in shape is wrong to both.
func TestMistakesAreWrongToBoth(t *testing.T) {
	for _, c := range []struct{ kind, text string }{
		{"spec", goodSpec + "limitz: a\n"},
		{"spec", goodSpec + "  eccentricity: 14\n"},
		{"spec", goodSpec + "  eccentricity: a bit\n"},
		{"spec", goodSpec + "direction: left\n"},
		{"spec", goodSpec + "parts:\n  rotr/1: {serial: R-1}\n"},
		{"spec", strings.Replace(goodSpec, "title: four-rotor\n", "", 1)},
		{"spec", strings.Replace(goodSpec, "spec/1", "spec/9", 1)},
		{"change", strings.Replace(goodChange, "2024-03-10", "March", 1)},
		{"change", strings.Replace(goodChange, "by: KM", `by: " "`, 1)},
		{"change", strings.Replace(goodChange, "build: 1", "build: 100", 1)},
		{"measurements", goodSession + "readings:\n  housing_widht:\n    unit: mm\n"},
		{"measurements", goodSession + "readings:\n  housing_width:\n    unit: mm\n    housing/1/at/E: 1\n"},
		{"measurements", goodSession + "readings:\n  end_float:\n    engine: {valu: 0.06 mm}\n"},
	} {
		checker, editor := bothSay(t, c.kind, "r.yaml", []byte(c.text))
		require.False(t, checker, c.text)
		require.False(t, editor, c.text)
	}
}

// The same dictionary gives the same bytes every time.
func TestSchemasAreStable(t *testing.T) {
	for _, kind := range schema.Kinds() {
		require.Equal(t, string(schema.JSONSchema(kind)), string(schema.JSONSchema(kind)))
	}
}

func TestEditorHint(t *testing.T) {
	require.Equal(t, "# yaml-language-server: $schema=../../../schemas/spec-1.json", schema.EditorHint("spec", "engines/2024/SK-07/spec.yaml"))
	require.Equal(t, "# yaml-language-server: $schema=schemas/book-1.json", schema.EditorHint("book", "book.yaml"))
}
