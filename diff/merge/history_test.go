package merge_test

import (
	"fmt"
	"maps"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"stackbook/diff/merge"
	"stackbook/record"
	"stackbook/schema/source"
)

// bench is one side of a history: its files, and what was read there.
type bench struct {
	files files
	read  map[string]string // value by session, point and place
	by    string
}

// take writes a reading nobody took before into a session, in one of the ways a
// person would: into its empty line, behind the others, or with words of its own.
func (b *bench) take(t *testing.T, rng *rand.Rand, step int) {
	t.Helper()
	names := slices.DeleteFunc(slices.Sorted(maps.Keys(b.files)), func(name string) bool { return !strings.Contains(name, "/measurements/") })
	if len(names) == 0 || rng.IntN(12) == 0 {
		name := fmt.Sprintf("%s/measurements/2017-02-27-mock-up-%s-%d.yaml", folder, b.by, step+2)
		b.files[name] = strings.NewReplacer("by: KM", "by: "+b.by, "3.061", "3.0611").Replace(session)
		return
	}
	name := names[rng.IntN(len(names))]
	doc, err := source.Parse(name, []byte(b.files[name]))
	require.NoError(t, err)
	point := []string{"apex_groove_width", "apex_seal_thickness"}[rng.IntN(2)]
	key := fmt.Sprintf("rotor/%d/apex/%d", 1+rng.IntN(2), 1+rng.IntN(3))
	if point == "apex_groove_width" {
		key += []string{"/mouth/front", "/mouth/rear"}[rng.IntN(2)]
	}
	at := []string{"readings", point, key}
	if b.read[name+" "+point+" "+key] != "" {
		return
	}
	value := fmt.Sprintf("%d.%04d", 2+len(point)%2, step)
	raw := []string{value, "{value: " + value + ", note: read with care}", "[" + value + ", " + value + "]"}[rng.IntN(3)]
	next, err := doc.SetRaw(at, raw)
	if err != nil {
		next, err = doc.Insert(at[:2], key, raw)
	}
	require.NoError(t, err)
	b.files[name] = string(next.Text())
	b.read[name+" "+point+" "+key] = value
}

// held gives the readings of all sessions as the record reads them: its own
// reading of the text, none of the merge's.
func held(t *testing.T, f files) map[string]string {
	t.Helper()
	var list []record.File
	for name, text := range f {
		list = append(list, record.File{Path: name, Data: []byte(text)})
	}
	e, _ := record.Load(folder, list)
	require.NotNil(t, e)
	read := map[string]string{}
	for _, s := range e.Sessions {
		for _, r := range s.Readings {
			read[s.Path+" "+r.Point.ID+" "+r.Key] = r.Values[0].Rat().FloatString(4)
		}
	}
	return read
}

// Two benches work on one engine and merge now and then, over a thousand steps:
// no reading is ever lost. Where both read one place between two merges, which
// they seldom do, that is a conflict, and one side is kept.
func TestNoReadingIsLost(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 8))
	base := files{specFile: spec}
	here := &bench{maps.Clone(base), map[string]string{}, "KM"}
	there := &bench{maps.Clone(base), map[string]string{}, "TR"}
	merges := 0
	for step := range 1000 {
		b := []*bench{here, there}[rng.IntN(2)]
		b.take(t, rng, step)
		if rng.IntN(12) > 0 {
			continue
		}
		merges++
		r := mergeFiles(base, here.files, there.files)
		require.Empty(t, r.Outcomes)
		for i, f := range r.Files {
			for _, c := range f.Conflicts {
				point, key, _ := strings.Cut(c.Path, " ")
				at := f.Path + " " + point + " " + key
				require.NotEqual(t, here.read[at], there.read[at])
				require.NotEmpty(t, here.read[at], "step %d: %+v", step, c)
				require.Contains(t, c.Theirs, there.read[at])
				there.read[at] = here.read[at]
			}
			if len(f.Conflicts) > 0 {
				r.Files[i].Text = []byte(ourSide(string(f.Text)))
			}
		}
		base = here.files.after(r)
		maps.Copy(here.read, there.read)
		there.read = maps.Clone(here.read)
		here.files, there.files = maps.Clone(base), maps.Clone(base)
		got := held(t, base)
		for at, value := range here.read {
			require.Equal(t, value, got[at], "step %d: %s", step, at)
		}
	}
	require.Greater(t, merges, 50)
	require.Greater(t, len(here.read), 200)
}

// ourSide takes our side of all conflicts.
func ourSide(text string) string {
	var b strings.Builder
	theirs := false
	for line := range strings.Lines(text) {
		switch strings.TrimSpace(line) {
		case "<<<<<<< ours":
		case "=======":
			theirs = true
		case ">>>>>>> theirs":
			theirs = false
		default:
			if !theirs {
				b.WriteString(line)
			}
		}
	}
	return b.String()
}

// FuzzRecord: whatever two people do to a text, a merge ends, and gives a text
// or a conflict, each conflict with its marks.
func FuzzRecord(f *testing.F) {
	for _, text := range []string{spec, session, change, dyno, part, "", "a: 1\r\nb: |\r\n  x\r\n", "{format: spec/1, a: [1, 2]}",
		"format: change/1\nwhat: &x [a]\nwhy: *x\n", "format: spec/1\rid: a\r", "\ufeffformat: limits/1\nlimits: {}\n", "format: part/1\nwhereabouts:\n- since: 2015-10-19\n  is: shelf\n- &a {since: 2015-10-18}"} {
		for at := range uint(12) {
			f.Add(text, at*31, uint8(at%4), "1", at*17+3, uint8(at%3), "\n  x: 2")
			f.Add(text, at*29, uint8(30), "", at*29+5, uint8(at), "[3]")
		}
	}
	cut := func(text string, at uint, length uint8, by string) string {
		from := min(int(at%4096), len(text))
		return text[:from] + by + text[min(from+int(length), len(text)):]
	}
	f.Fuzz(func(t *testing.T, base string, atOurs uint, cutOurs uint8, ours string, atTheirs uint, cutTheirs uint8, theirs string) {
		r := merge.Record("x.yaml", []byte(base), []byte(cut(base, atOurs, cutOurs, ours)), []byte(cut(base, atTheirs, cutTheirs, theirs)))
		require.True(t, r.Text != nil || len(r.Conflicts) > 0)
		for _, c := range r.Conflicts {
			require.NotEmpty(t, c.Message)
			require.Equal(t, r.Text == nil, c.Line == 0)
			if c.Line > 0 {
				require.Contains(t, strings.FieldsFunc(string(r.Text), func(r rune) bool { return r == '\n' || r == '\r' }), "<<<<<<< ours")
			}
		}
	})
}
