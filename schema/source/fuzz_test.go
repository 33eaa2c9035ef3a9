package source

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"gopkg.in/yaml.v3"
)

// eachPath gives the path of every value below n, aliased ones too.
func eachPath(n *Node, path []string, visit func(path []string, n *Node)) {
	for _, e := range n.entries {
		p := append(path[:len(path):len(path)], e.Key)
		visit(p, e.Value)
		eachPath(e.Value, p, visit)
	}
	for i, it := range n.items {
		p := append(path[:len(path):len(path)], fmt.Sprint(i))
		visit(p, it.value)
		eachPath(it.value, p, visit)
	}
}

// FuzzUntouched: what Parse accepts it gives back byte for byte, and every
// span it names reads, on its own, as the text of its value.
func FuzzUntouched(f *testing.F) {
	for _, text := range corpus {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		doc, err := Parse("f.yaml", []byte(text))
		if err != nil {
			require.Nil(t, doc)
			require.NotEmpty(t, err.Error())
			return
		}
		require.Equal(t, text, string(doc.Text()))
		eachPath(doc.Root(), nil, func(path []string, n *Node) {
			if n.kind == Scalar && n.proven && n.style != literal && !n.alias {
				requireSpan(t, text, n)
			}
		})
	})
}

// requireSpan reads the bytes of a scalar's span with the parser alone.
func requireSpan(t *testing.T, text string, n *Node) {
	start, end := n.Span()
	token := strings.Join(splitLines(text[start:end]), "\n ")
	var block, flow struct{ X []yaml.Node }
	// Some plain texts read as such within brackets only, others outside only.
	inBlock := yaml.Unmarshal([]byte("x:\n- "+token), &block)
	inFlow := yaml.Unmarshal([]byte("x: ["+token+"]"), &flow)
	require.True(t, inBlock == nil && len(block.X) == 1 && block.X[0].Value == n.Text() ||
		inFlow == nil && len(flow.X) == 1 && flow.X[0].Value == n.Text(), "token %q", token)
	place := newCursor(text)
	line, column := place.to(start)
	require.Equal(t, []int{line, column}, []int{n.Line(), n.Column()}, "token %q", token)
}

// listed is a document as the parser alone reads it: one line a value.
func listed(t *testing.T, text string) []string {
	var doc yaml.Node
	if err := yaml.Unmarshal([]byte(text), &doc); err != nil {
		t.Fatalf("%q: %v", text, err)
	}
	var lines []string
	var walk func(path string, y *yaml.Node)
	walk = func(path string, y *yaml.Node) {
		if y.Kind == yaml.AliasNode {
			y = y.Alias
		}
		lines = append(lines, fmt.Sprintf("%s %d %q", path, y.Kind, y.Value))
		for i := range y.Content {
			switch {
			case y.Kind != yaml.MappingNode:
				walk(fmt.Sprintf("%s\x00%d", path, i), y.Content[i])
			case i%2 == 1:
				walk(path+"\x00"+y.Content[i-1].Value, y.Content[i])
			}
		}
	}
	if len(doc.Content) > 0 {
		walk("", doc.Content[0])
	}
	return lines
}

// FuzzEdit: an edit that is made changes one stretch of bytes, and of the
// values, as the parser alone reads them, none but that at its path.
func FuzzEdit(f *testing.F) {
	for _, text := range corpus {
		for which := range uint8(8) {
			f.Add(text, which, which%5, "R-2 #x: y")
			f.Add(text, which*3, which%5, "[1, 2]")
		}
	}
	f.Fuzz(func(t *testing.T, text string, which, how uint8, value string) {
		doc, err := Parse("f.yaml", []byte(text))
		if err != nil {
			return
		}
		paths := [][]string{{}}
		eachPath(doc.Root(), nil, func(path []string, n *Node) { paths = append(paths, path) })
		path := paths[int(which)%len(paths)]
		next, err := edit(doc, path, how, value)
		if err != nil {
			require.Nil(t, next)
			return
		}
		require.Equal(t, text, string(doc.Text()), "the old document must stay")
		requireOneSplice(t, doc, next, path, how)
	})
}

// edit makes one of the five edits.
func edit(doc *Doc, path []string, how uint8, value string) (*Doc, error) {
	switch how % 5 {
	case 0:
		return doc.Set(path, value)
	case 1:
		return doc.SetRaw(path, value)
	case 2:
		return doc.Insert(path, "new key", value)
	case 3:
		return doc.Append(path, value)
	}
	return doc.Remove(path)
}

// requireOneSplice compares what the parser alone reads before and after. Of
// an edit at a path, lines of that path may differ; an added value is below
// it; one removed from a list moves those behind it, so the list is left out.
func requireOneSplice(t *testing.T, old, next *Doc, path []string, how uint8) {
	if how%5 == 4 && len(path) > 0 {
		path = path[:len(path)-1]
	}
	prefix := ""
	for _, step := range path {
		prefix += "\x00" + step
	}
	others := func(text string) []string {
		var lines []string
		for _, l := range listed(t, text) {
			if len(path) > 0 && !strings.HasPrefix(l, prefix+" ") && !strings.HasPrefix(l, prefix+"\x00") {
				lines = append(lines, l)
			}
		}
		return lines
	}
	require.Equal(t, others(old.text), others(next.text), "%q became %q", old.text, next.text)
	if how%5 == 2 || how%5 == 3 {
		before := listed(t, old.text)
		after := strings.Join(listed(t, next.text), "\n") + "\n"
		for _, l := range before {
			if !strings.HasPrefix(l, prefix+" ") {
				require.Contains(t, after, l+"\n", "%q became %q", old.text, next.text)
			}
		}
	}
	if how%5 != 4 {
		for _, c := range old.comments {
			require.Contains(t, next.text, c.text)
		}
	}
}
