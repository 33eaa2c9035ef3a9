package merge

import (
	"fmt"
	"io/fs"
	"math/rand/v2"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"stackbook/schema"
	"stackbook/schema/quantity"
	"stackbook/schema/source"
)

// seeds are the records of the demo, the invented shop at Skarvik's, and one
// that has what these have not.
func seeds(t testing.TB) []string {
	t.Helper()
	var texts []string
	root := os.DirFS("../../cmd/internal/act/demo")
	require.NoError(t, fs.WalkDir(root, ".", func(name string, d fs.DirEntry, err error) error {
		if err == nil && strings.HasSuffix(name, ".yaml") {
			data, err := fs.ReadFile(root, name)
			require.NoError(t, err)
			texts = append(texts, string(data))
		}
		return err
	}))
	require.Greater(t, len(texts), 100)
	return append(texts, `format: change/1
engine: SK-01
build: 1
date: 2017-05-02
kind: replacement
by: KM
what: apex seals exchanged
touches: [rotor/1, rotor/2]
removed:
  - {from: rotor/1/apex/1, lot: B-31, to: scrap, hours: 12 h}
  - from: rotor/1/apex/2     # the worst
    lot: B-31
    to: scrap
photos:
  - {file: photos/a.jpg, sha256: aa, caption: the rear one}
  - {file: photos/b.jpg, sha256: bb}
findings:
  facts: [worn, "blue, at the rear"]
  causes:
    - {cause: wear, certainty: probable}
    - {cause: lack of oil, certainty: unknown}
recorded: {coolant: 95 degC}
shop: {bench: 2, list: [1, 2, {a: b}]}
`)
}

// An editor makes random edits, as a person could, of any record; half of them
// where it edited before, so that two sides often meet.
type editor struct {
	rng    *rand.Rand
	before [][]string
}

// places lists the paths of all values of a document.
func places(n *source.Node, path []string, list [][]string) [][]string {
	if len(path) > 0 {
		list = append(list, path)
	}
	for _, e := range n.Entries() {
		list = places(e.Value, below(path, e.Key), list)
	}
	for i, item := range n.Items() {
		list = places(item, below(path, strconv.Itoa(i)), list)
	}
	return list
}

// edited is a text after some edits.
func (e *editor) edited(t testing.TB, text string, edits int) string {
	t.Helper()
	doc, err := source.Parse("x.yaml", []byte(text))
	require.NoError(t, err)
	for range edits {
		for range 20 { // what one text does not allow, another does
			if next, err := e.edit(doc); err == nil {
				doc = next
				break
			}
		}
	}
	return string(doc.Text())
}

func (e *editor) edit(doc *source.Doc) (*source.Doc, error) {
	all := places(doc.Root(), nil, nil)
	path := all[e.rng.IntN(len(all))]
	if n := len(e.before); n > 0 && e.rng.IntN(2) == 0 && doc.Root().At(e.before[n-1]...) != nil {
		path = e.before[n-1]
	}
	e.before = append(e.before, path)
	if path[0] == "format" || path[0] == "id" {
		return nil, fmt.Errorf("they stay")
	}
	n := doc.Root().At(path...)
	if last := path[len(path)-1]; e.rng.IntN(8) == 0 && n.Kind() == source.Scalar {
		return doc.Insert(path[:len(path)-1], e.another(last), e.value(n))
	}
	switch n.Kind() {
	case source.List:
		items := n.Items()
		if len(items) == 0 {
			return doc.Append(path, "word")
		}
		raw, _ := doc.Raw(below(path, strconv.Itoa(e.rng.IntN(len(items))))...)
		return doc.Append(path, e.digits(raw))
	case source.Map:
		if keys := n.Keys(); len(keys) > 0 && e.rng.IntN(4) > 0 {
			key := keys[e.rng.IntN(len(keys))]
			raw, _ := doc.Raw(below(path, key)...)
			return doc.Insert(path, e.another(key), e.digits(raw)+"  # new")
		}
		return doc.Remove(path)
	}
	switch e.rng.IntN(6) {
	case 0:
		return doc.Remove(path)
	case 1:
		return e.moved(doc, path)
	case 2:
		return doc.SetRaw(path, respelled(n.Text()))
	}
	return doc.SetRaw(path, e.value(n))
}

// moved puts a value behind its siblings.
func (e *editor) moved(doc *source.Doc, path []string) (*source.Doc, error) {
	raw, _ := doc.Raw(path...)
	next, err := doc.Remove(path)
	if err != nil {
		return nil, err
	}
	if doc.Root().At(path[:len(path)-1]...).Kind() == source.List {
		return next.Append(path[:len(path)-1], raw)
	}
	return next.Insert(path[:len(path)-1], path[len(path)-1], raw)
}

// digits alters one digit of a text.
func (e *editor) digits(text string) string {
	i := e.rng.IntN(len(text) + 1)
	for j := range text {
		k := (i + j) % len(text)
		if c := text[k]; c >= '0' && c <= '9' {
			return text[:k] + strconv.Itoa(1+e.rng.IntN(9)) + text[k+1:]
		}
	}
	return text
}

// value is another value like that of a node.
func (e *editor) value(n *source.Node) string {
	if text := e.digits(n.Text()); text != n.Text() && !strings.ContainsAny(text, ":#{}[],\"'\n") {
		return text
	}
	return "word " + strconv.Itoa(e.rng.IntN(100))
}

// another is a key like one that is there.
func (e *editor) another(key string) string {
	if next := e.digits(key); next != key {
		return next
	}
	return []string{"note", "by", "method", "instrument", "temperature"}[e.rng.IntN(5)]
}

// respelled is a quantity with one decimal more, or what cannot be one in
// quotes.
func respelled(text string) string {
	if q, err := quantity.ParseAny(text); err == nil && q.Decimals() > 0 {
		number, unit, _ := strings.Cut(text, " ")
		return number + "0 " + unit
	}
	return strconv.Quote(text)
}

// facts is what a text says.
func facts(t testing.TB, text string) map[string]string {
	t.Helper()
	doc, err := source.Parse("x.yaml", []byte(text))
	require.NoError(t, err, "%s", text)
	return read(doc, schema.Kind(kindOf(doc))).facts()
}

// resolved takes one side of all conflicts.
func resolved(text string, ours bool) string {
	var b strings.Builder
	keep := true
	for line := range strings.Lines(text) {
		switch strings.TrimRight(line, "\r\n") {
		case markOurs:
			keep = ours
		case markTheirs:
			keep = !ours
		case markEnd:
			keep = true
		default:
			if keep {
				b.WriteString(line)
			}
		}
	}
	return b.String()
}

// covered tells whether a conflict is about a fact: at its own value, at what
// holds it, or at what its point gives to all readings.
func covered(r Result, fact string) bool {
	ids := strings.Split(fact, "\x00")
	dotted := strings.Join(ids, ".")
	names := []string{""}
	for n := range len(ids) {
		names = append(names, strings.Join(ids[:n+1], "."))
	}
	if len(ids) > 2 && ids[0] == "readings" {
		names = append(names, ids[1]+" "+ids[2], ids[1]+" "+ids[len(ids)-1])
	}
	return slices.ContainsFunc(r.Conflicts, func(c Conflict) bool {
		return slices.Contains(names, c.Path) || strings.HasPrefix(c.Path, dotted+".")
	})
}

// The properties of a merge, over random edits of the demo's records: nothing
// of either side is lost without a conflict, and nothing comes that neither
// wrote; the sides are alike; a merge merged again is itself; a conflict's two
// sides are what the two sides say.
func TestProperties(t *testing.T) {
	all := seeds(t)
	e := &editor{rng: rand.New(rand.NewPCG(3, 1))}
	clean, conflicts, whole := 0, 0, 0
	rounds, enough := 250, 120
	if testing.Short() {
		rounds, enough = 60, 25
	}
	for round := range rounds {
		base := e.edited(t, all[e.rng.IntN(len(all))], e.rng.IntN(3))
		ours, theirs := e.edited(t, base, e.rng.IntN(5)), e.edited(t, base, e.rng.IntN(5))
		if round%10 == 0 {
			base, ours, theirs = crlf(base), crlf(ours), crlf(theirs)
		}
		r, back := merged(base, ours, theirs), merged(base, theirs, ours)
		about := func() string {
			return fmt.Sprintf("round %d\n%s\n=== ours\n%s\n=== theirs\n%s\n=== merged %+v\n%s", round, base, ours, theirs, r.Conflicts, r.Text)
		}
		requireNothingLost(t, r, base, ours, theirs, about)
		if len(r.Conflicts) > 0 {
			conflicts++
			if r.Conflicts[0].Path == "" {
				whole++
			}
			requireBothSides(t, r, ours, theirs, about)
			continue
		}
		clean++
		says := facts(t, string(r.Text))
		for _, c := range back.Conflicts { // only what one text takes and the other does not
			require.Contains(t, c.Message, "could not be", about)
		}
		if len(back.Conflicts) == 0 {
			require.Equal(t, says, facts(t, string(back.Text)), about)
		}
		for _, again := range []Result{merged(base, string(r.Text), theirs), merged(base, ours, string(r.Text)), merged(ours, string(r.Text), ours)} {
			require.Empty(t, again.Conflicts, about)
			require.Equal(t, says, facts(t, string(again.Text)), about)
		}
	}
	require.Greater(t, clean, enough)
	require.Greater(t, conflicts, enough/3)
	require.Less(t, whole, 20)
}

func merged(base, ours, theirs string) Result {
	return Record("x.yaml", []byte(base), []byte(ours), []byte(theirs))
}

func crlf(text string) string { return strings.ReplaceAll(text, "\n", "\r\n") }

// requireNothingLost holds each fact that a side altered against the merged
// text.
func requireNothingLost(t *testing.T, r Result, base, ours, theirs string, about func() string) {
	t.Helper()
	b, o, th := facts(t, base), facts(t, ours), facts(t, theirs)
	merged := facts(t, resolved(string(r.Text), true))
	if len(r.Conflicts) == 1 && r.Conflicts[0].Path == "" {
		return
	}
	for _, facts := range []map[string]string{b, o, th, merged} {
		for fact := range facts {
			want := o[fact]
			if o[fact] == b[fact] {
				want = th[fact]
			}
			if merged[fact] != want && !covered(r, fact) {
				t.Fatalf("%q: %q in base, %q, %q, merged %q: %s", fact, b[fact], o[fact], th[fact], merged[fact], about())
			}
			if o[fact] != b[fact] && th[fact] != b[fact] && o[fact] != th[fact] && !covered(r, fact) {
				t.Fatalf("%q in two ways without a conflict: %s", fact, about())
			}
		}
	}
}

// requireBothSides takes either side of all conflicts and sees that it says
// what that side says. What a point gives to all its readings is merged beside
// them, so that a particular may be the other side's.
func requireBothSides(t *testing.T, r Result, ours, theirs string, about func() string) {
	t.Helper()
	for _, side := range []struct {
		ours         bool
		text, across string
	}{{true, ours, theirs}, {false, theirs, ours}} {
		got, want, across := facts(t, resolved(string(r.Text), side.ours)), facts(t, side.text), facts(t, side.across)
		for fact := range want {
			particular := strings.HasPrefix(fact, "readings\x00") && !strings.HasSuffix(fact, "\x00"+measured)
			if covered(r, fact) && got[fact] != want[fact] && !(particular && got[fact] == across[fact]) {
				t.Fatalf("%q: %q for %q: %s", fact, got[fact], want[fact], about())
			}
		}
	}
}
