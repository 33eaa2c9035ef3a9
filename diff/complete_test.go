package diff_test

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"stackbook/diff"
	"stackbook/schema"
	"stackbook/schema/source"
)

// ownKeys say which engine and build a spec is of, not what it is.
var ownKeys = []string{"format", "engine", "id", "build"}

// Nothing that can be written in a spec escapes: each field of the dictionary,
// when it is filled in, taken out or altered, is one change at its path.
func TestEveryFieldOfTheDictionaryIsCompared(t *testing.T) {
	fields := fieldsOf(schema.Spec(), nil)
	require.Greater(t, len(fields), 150)
	for _, f := range fields {
		if slices.Contains(ownKeys, f.path[0]) {
			continue
		}
		name := strings.Join(f.path, ".")
		one, other := f.written(t, f.values[0]), f.written(t, f.values[1])
		require.True(t, diff.Compare(one.written(t), one.written(t)).Empty(), name)
		require.Equal(t, []diff.Change{{Path: f.told(), What: diff.Changed, From: f.values[0], To: f.values[1]}},
			diff.Compare(one.written(t), other.written(t)).Changes, name)
		none := f.written(t, "~")
		require.Equal(t, []diff.Change{{Path: f.told(), What: diff.Added, To: f.values[0]}},
			diff.Compare(none.written(t), one.written(t)).Changes, name)
		require.Equal(t, []diff.Change{{Path: f.told(), What: diff.Removed, From: f.values[0]}},
			diff.Compare(one.written(t), none.written(t)).Changes, name)
	}
}

// leafField is one value of a spec that can be written.
type leafField struct {
	path   []string // keys, and 0 for the first entry of a list
	values [2]string
}

// told is the path a change of it has: entries of a list count from 1.
func (f leafField) told() string {
	var steps []string
	for _, step := range f.path {
		if step == "0" {
			step = "1"
		}
		steps = append(steps, step)
	}
	return strings.Join(steps, ".")
}

// written is a spec that holds the value and nothing else of its group.
func (f leafField) written(t *testing.T, value string) files {
	t.Helper()
	if value != "~" {
		value = strconv.Quote(value)
	}
	for i := len(f.path) - 1; i > 0; i-- {
		if f.path[i] == "0" {
			value = "[" + value + "]"
		} else {
			value = "{" + source.Quote(f.path[i]) + ": " + value + "}"
		}
	}
	doc, err := source.Parse("spec.yaml", []byte("format: spec/1\nengine: SK-01\nid: 5c02-7be1-90aa\nbuild: 1\n"))
	require.NoError(t, err)
	doc, err = doc.Insert(nil, f.path[0], value)
	require.NoError(t, err)
	return files{"spec.yaml": string(doc.Text())}
}

// fieldsOf lists the values below a field. Lists of words, which go as sets,
// and those with an identity of their own have tests beside this one.
func fieldsOf(f *schema.Field, path []string) []leafField {
	below := func(step string) []string { return append(slices.Clone(path), step) }
	switch f.Type {
	case schema.Group:
		var all []leafField
		for i := range f.Fields {
			all = append(all, fieldsOf(&f.Fields[i], below(f.Fields[i].Key))...)
		}
		return all
	case schema.Keyed:
		return fieldsOf(f.Of, below("rotor/2"))
	case schema.Series:
		if f.Identity != "" || f.Of.Type == schema.Words {
			return nil
		}
		return fieldsOf(f.Of, below("0"))
	}
	return []leafField{{path, sampleValues(f)}}
}

// sampleValues are two different values of a field.
func sampleValues(f *schema.Field) [2]string {
	switch f.Type {
	case schema.Quantity:
		return [2]string{"12 " + f.Unit, "12.5 " + f.Unit}
	case schema.Choice:
		return [2]string{f.Choices[0], f.Choices[1]}
	case schema.Day:
		return [2]string{"2017-05-19", "2017-05-20"}
	case schema.Whole:
		return [2]string{"2", "3"}
	}
	return [2]string{"one", "another"}
}

// Each single value of the demo's spec, altered alone, is one change that names
// its path, with what was written before and after; a word in a list of work,
// which is a set, is one that went and one that came.
func TestOneEditIsOneChange(t *testing.T) {
	before := files{"spec.yaml": demo(t, "15")["spec.yaml"]}
	doc, err := source.Parse("spec.yaml", []byte(before["spec.yaml"]))
	require.NoError(t, err)
	paths := scalars(doc.Root(), nil)
	require.Greater(t, len(paths), 150)
	for _, path := range paths {
		if slices.Contains(ownKeys, path[0]) {
			continue
		}
		old := doc.Root().At(path...).Text()
		edited, err := doc.Set(path, tweaked(old))
		require.NoError(t, err)
		require.Equal(t, wanted(path, old), diff.Compare(before.written(t), before.with("spec.yaml", string(edited.Text())).written(t)).Changes, path)
	}
}

// wanted are the changes a single edit of a spec should give.
func wanted(path []string, old string) []diff.Change {
	last := len(path) - 1
	if n, err := strconv.Atoi(path[last]); err == nil {
		at := strings.Join(path[:last], ".")
		if path[last-1] == "work" {
			return []diff.Change{{Path: at, What: diff.Removed, From: old}, {Path: at, What: diff.Added, To: tweaked(old)}}
		}
		return []diff.Change{{Path: fmt.Sprintf("%s.%d", at, n+1), What: diff.Changed, From: old, To: tweaked(old)}}
	}
	return []diff.Change{{Path: strings.Join(path, "."), What: diff.Changed, From: old, To: tweaked(old)}}
}

// Each single reading of the demo, altered alone, is one change that names its
// session, point and place.
func TestOneReadingAlteredIsOneChange(t *testing.T) {
	all := demo(t, "07")
	before := files{"spec.yaml": all["spec.yaml"], mockUp: all[mockUp]}
	doc, err := source.Parse(mockUp, []byte(before[mockUp]))
	require.NoError(t, err)
	altered := 0
	for _, path := range scalars(doc.Root().Get("readings"), []string{"readings"}) {
		old := doc.Root().At(path...)
		if len(path) != 3 || old.IsNull() || !strings.Contains(path[2], "/") {
			continue
		}
		edited, err := doc.Set(path, tweaked(old.Text()))
		require.NoError(t, err)
		changes := diff.Compare(before.written(t), before.with(mockUp, string(edited.Text())).written(t)).Changes
		require.Len(t, changes, 1, path)
		require.Equal(t, mockUp+" "+path[1]+" "+path[2], changes[0].Path)
		altered++
	}
	require.Greater(t, altered, 60)
}
