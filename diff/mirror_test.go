package diff_test

import (
	"fmt"
	"maps"
	"math/rand/v2"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"stackbook/diff"
	"stackbook/record/figure"
	"stackbook/schema/source"
)

// A state does not differ from itself, whatever is wrong with it, and what
// differs one way differs the other way round: added for removed, from for to,
// the difference negated. The states are the demo's after a few random edits,
// so that they hold moved parts, missing values and plain mistakes.
func TestDiffersBothWaysAlike(t *testing.T) {
	e := &editor{rng: rand.New(rand.NewPCG(1, 13))}
	compared, moves := 0, 0
	for round := range 30 {
		a, okA := e.state(t)
		b, okB := e.state(t)
		if !okA || !okB {
			continue
		}
		require.True(t, diff.Compare(a, a).Empty(), "round %d", round)
		there, back := diff.Compare(a, b), diff.Compare(b, a)
		compared++
		moves += strings.Count(fmt.Sprint(told(there.Changes)), "moved parts")
		require.Equal(t, lines(there, false), lines(back, true), "round %d", round)
	}
	require.Greater(t, compared, 20)
	require.Greater(t, moves, 5)
}

// editor makes random states of the demo.
type editor struct{ rng *rand.Rand }

func (e *editor) state(t *testing.T) (diff.State, bool) {
	t.Helper()
	f := demo(t, []string{"07", "15"}[e.rng.IntN(2)])
	for range e.rng.IntN(8) {
		f = e.edit(f)
	}
	read, _ := f.read()
	if read == nil {
		return diff.State{}, false
	}
	return diff.State{Engine: read, Figures: figure.Compute(read, limits(t))}, true
}

// edit alters one value, takes one out, takes out a file, or lets two parts
// change places. What the text does not allow is left.
func (e *editor) edit(f files) files {
	names := slices.Sorted(maps.Keys(f))
	name := names[e.rng.IntN(len(names))]
	if e.rng.IntN(3) == 0 {
		name = "spec.yaml"
	}
	doc, err := source.Parse(name, []byte(f[name]))
	if err != nil {
		return f
	}
	paths := scalars(doc.Root(), nil)
	at := paths[e.rng.IntN(len(paths))]
	switch e.rng.IntN(8) {
	case 0:
		if name != "spec.yaml" {
			return f.with(name, "")
		}
	case 1:
		if next, err := doc.Remove(at); err == nil {
			return f.with(name, string(next.Text()))
		}
	case 2, 3:
		return e.swap(f)
	default:
		if next, err := doc.Set(at, tweaked(doc.Root().At(at...).Text())); err == nil {
			return f.with(name, string(next.Text()))
		}
	}
	return f
}

// swap lets the parts at two positions change places.
func (e *editor) swap(f files) files {
	doc, err := source.Parse("spec.yaml", []byte(f["spec.yaml"]))
	if err != nil || doc.Root().Get("parts") == nil {
		return f
	}
	keys := doc.Root().Get("parts").Keys()
	a, b := keys[e.rng.IntN(len(keys))], keys[e.rng.IntN(len(keys))]
	written := func(key string) string {
		start, end := doc.Root().At("parts", key).Span()
		return f["spec.yaml"][start:end]
	}
	next, err := doc.SetRaw([]string{"parts", a}, written(b))
	if err == nil {
		next, err = next.SetRaw([]string{"parts", b}, written(a))
	}
	if err != nil {
		return f
	}
	return f.with("spec.yaml", string(next.Text()))
}

// scalars lists the paths of all values that are one text.
func scalars(n *source.Node, path []string) [][]string {
	if n.Kind() == source.Scalar {
		return [][]string{slices.Clone(path)}
	}
	var all [][]string
	for _, e := range n.Entries() {
		all = append(all, scalars(e.Value, append(path, e.Key))...)
	}
	for i, item := range n.Items() {
		all = append(all, scalars(item, append(path, strconv.Itoa(i)))...)
	}
	return all
}

var digit = regexp.MustCompile(`[0-9]`)

// tweaked is a text that means something else: its first digit another one, or
// a letter more.
func tweaked(text string) string {
	at := digit.FindStringIndex(text)
	if at == nil {
		return text + "x"
	}
	other := string('1' + (text[at[0]]-'0'+1)%9)
	return text[:at[0]] + other + text[at[1]:]
}

// lines tells a result in lines, sorted; the other way round when it is the
// one back. A value compared across a move is at the part's new position, so
// positions that took part in a move are told as one.
func lines(r *diff.Result, back bool) []string {
	moved := map[string]bool{}
	for _, c := range r.Changes {
		if c.What == diff.Moved {
			moved[c.From], moved[c.To] = true, true
		}
	}
	var all []string
	for _, c := range r.Changes {
		if back {
			c.From, c.To = c.To, c.From
			c.What = map[diff.What]diff.What{diff.Added: diff.Removed, diff.Removed: diff.Added, diff.Changed: diff.Changed, diff.Moved: diff.Moved}[c.What]
		}
		if position, key, ok := strings.Cut(strings.TrimPrefix(c.Path, "parts."), "."); ok && moved[position] {
			c.Path = "a moved part's " + key
		}
		all = append(all, fmt.Sprintf("%+v", c))
	}
	for _, x := range r.Readings {
		if back {
			x.From, x.To = x.To, x.From
		}
		all = append(all, fmt.Sprint(x.Point, x.At, x.Unit, x.From, x.To, x.Digits[0]+x.Digits[1], signed(x.Difference, back)))
	}
	for _, x := range r.Figures {
		if back {
			x.From, x.To = x.To, x.From
		}
		all = append(all, fmt.Sprint(x.Figure.ID, x.At, printed(x.From), printed(x.To), signed(x.Difference, back)))
	}
	slices.Sort(all)
	return all
}

func signed(d *float64, back bool) string {
	switch {
	case d == nil:
		return "none"
	case back:
		return fmt.Sprint(0 - *d)
	}
	return fmt.Sprint(0 + *d)
}

func printed(r *figure.Result) string {
	if r == nil {
		return "none"
	}
	return r.Text() + string(r.Verdict)
}
