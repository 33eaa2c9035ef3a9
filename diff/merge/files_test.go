package merge_test

import (
	"fmt"
	"maps"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"stackbook/diff/merge"
	"stackbook/schema"
)

type files map[string]string

// with is a copy of files with some written anew; an empty text deletes one.
func (f files) with(pairs ...string) files {
	c := maps.Clone(f)
	for i := 0; i+1 < len(pairs); i += 2 {
		c[pairs[i]] = pairs[i+1]
		if pairs[i+1] == "" {
			delete(c, pairs[i])
		}
	}
	return c
}

// moved is a copy with the engine's folder elsewhere.
func (f files) moved(from, to string) files {
	c := files{}
	for name, text := range f {
		c[strings.Replace(name, from, to, 1)] = text
	}
	return c
}

func (f files) bytes() map[string][]byte {
	c := map[string][]byte{}
	for name, text := range f {
		c[name] = []byte(text)
	}
	return c
}

func mergeFiles(base, ours, theirs files) merge.FilesResult {
	return merge.Files(base.bytes(), ours.bytes(), theirs.bytes())
}

// after is our side with the outcome of the merge written over it.
func (f files) after(r merge.FilesResult) files {
	c := maps.Clone(f)
	for _, file := range r.Files {
		c[file.Path] = string(file.Text)
		if file.Gone {
			delete(c, file.Path)
		}
	}
	return c
}

const (
	folder   = "engines/2017/SK-01"
	specFile = folder + "/spec.yaml"
	readFile = folder + "/measurements/2017-02-27-mock-up-KM.yaml"
	moreFile = folder + "/measurements/2017-03-01-assembly-TR.yaml"
	figures  = folder + "/figures.yaml"
	sealFile = folder + "/changes/2017-05-20-delivery.yaml"
	noteFile = folder + "/changes/2017-06-01-note.yaml"
)

var (
	more      = strings.NewReplacer("mock-up", "assembly", "2017-02-27", "2017-03-01", "KM", "TR").Replace(session)
	delivery  = "format: change/1\nengine: SK-01\nbuild: 1\ndate: 2017-05-20\nkind: delivery\nby: KM\nwhat: delivered\n"
	note      = "format: change/1\nengine: SK-01\nbuild: 1\ndate: 2017-06-01\nkind: note\nby: TR\nwhat: he called\n"
	bookYAML  = "format: book/1\ndictionary: 2\nshop: Skarvik\n"
	bookAlone = files{"book.yaml": bookYAML}
	engine    = files{"book.yaml": bookYAML, specFile: spec, readFile: session, figures: "a\n", folder + "/photos/a.jpg": "\xff\xd8"}
)

// What two benches did apart comes together without a word.
func TestFilesClean(t *testing.T) {
	ours := engine.with(specFile, edit(t, spec, "14 mm", "15 mm"), moreFile, more)
	theirs := engine.with(specFile, edit(t, spec, "78 mm", "80 mm"), readFile, "", folder+"/photos/b.jpg", "b", "parts/R-1420.yaml", part)
	r := mergeFiles(engine, ours, theirs)
	require.Empty(t, r.Outcomes)
	require.Empty(t, r.Problems)
	want := theirs.with(specFile, edit(t, spec, "14 mm", "15 mm", "78 mm", "80 mm"), moreFile, more)
	require.Equal(t, want, ours.after(r))
	for _, f := range r.Files {
		require.NotEqual(t, moreFile, f.Path, "it is as on our side")
		require.Equal(t, f.Path == readFile, f.Gone)
	}
}

// Each outcome has its name, says whether a person must decide, and what.
func TestOutcomes(t *testing.T) {
	moved := "engines/2018/SK-01"
	reopened := func(build string) string { return edit(t, spec, "build: 1", "build: "+build) }
	delivered := engine.with(sealFile, delivery)
	other := edit(t, spec, "5c02-", "9c02-", "14 mm", "15 mm")
	for _, c := range []struct {
		name               string
		base, ours, theirs files
		outcome            merge.Name
		conflict           bool
		engine             string
		paths              []string
		message            string
	}{
		{"M16 deleted here", engine, engine.with(readFile, ""), engine.with(readFile, edit(t, session, "2.999", "2.998")), merge.DeletedEdited, true, "SK-01", []string{readFile}, readFile + " was deleted here and edited there"},
		{"M16 deleted there", engine, engine.with(readFile, edit(t, session, "2.999", "2.998")), engine.with(readFile, ""), merge.DeletedEdited, true, "SK-01", []string{readFile}, readFile + " was edited here and deleted there"},
		{"M16 an engine deleted here", engine, bookAlone, engine.with(readFile, edit(t, session, "2.999", "2.998")), merge.DeletedEdited, true, "SK-01", []string{folder}, folder + " was deleted here and edited there"},
		{"M16 an engine deleted there, a session added here", engine, engine.with(moreFile, more), bookAlone, merge.DeletedEdited, true, "SK-01", []string{folder}, folder + " was deleted there and edited here"},
		{"M15 figures", engine, engine.with(figures, "b\n"), engine.with(figures, "c\n"), merge.Figures, false, "SK-01", []string{figures}, figures + " follows from the records and is not merged"},
		{"M17 R11 one folder, two engines", files{}, files{specFile: spec}, files{specFile: other, readFile: session}, merge.NumberTwice, true, "SK-01", []string{folder},
			folder + " is one engine here (id 5c02-7be1-90aa) and another there (id 9c02-7be1-90aa); only ours is in the merged book"},
		{"M17 R11 two folders", files{}, files{specFile: spec}, files{moved + "/spec.yaml": other}, merge.NumberTwice, true, "SK-01", []string{folder, moved}, "SK-01 is in two folders now: " + folder + " and " + moved},
		{"M17 R11 capitals", files{}, files{specFile: spec}, files{"engines/2018/sk-01/spec.yaml": other}, merge.NumberTwice, true, "SK-01", []string{folder, "engines/2018/sk-01"}, "SK-01 is in two folders now: " + folder + " and engines/2018/sk-01"},
		{"M17 R11 one id, two numbers", files{}, files{specFile: spec}, files{"engines/2018/SK-02/spec.yaml": edit(t, spec, "engine: SK-01", "engine: SK-02")}, merge.NumberTwice, true, "SK-01", []string{folder, "engines/2018/SK-02"},
			"one engine, id 5c02-7be1-90aa, lies in two folders now: " + folder + " and engines/2018/SK-02"},
		{"M18 R18 delivered here, a session added there", engine, delivered, engine.with(moreFile, more), merge.DeliveredEdited, true, "SK-01", []string{moreFile},
			"build 1 of SK-01 was delivered here, and there altered " + moreFile + "; a delivered build takes events, claims, notes and running sessions only"},
		{"M18 R18 delivered there, the spec and a photo altered here", engine, engine.with(specFile, edit(t, spec, "14 mm", "15 mm"), folder+"/photos/a.jpg", "b"), delivered, merge.DeliveredEdited, true, "SK-01",
			[]string{folder + "/photos/a.jpg", specFile}, "build 1 of SK-01 was delivered there, and here altered " + folder + "/photos/a.jpg, " + specFile + "; a delivered build takes events, claims, notes and running sessions only"},
		{"M19 R2 two deliveries", engine, delivered, engine.with(folder+"/changes/2017-05-21-delivery.yaml", edit(t, delivery, "05-20", "05-21")), merge.DeliveredTwice, true, "SK-01", []string{sealFile, folder + "/changes/2017-05-21-delivery.yaml"},
			"build 1 of SK-01 was delivered on both sides"},
		{"M20 opened twice", delivered, delivered.with(specFile, reopened("2")), delivered.with(specFile, reopened("2"), noteFile, note), merge.OpenedTwice, false, "SK-01", []string{specFile}, "the next build of SK-01 was opened on both sides: 2 here, 2 there"},
		{"M21 moved there", engine, engine.with(readFile, edit(t, session, "2.999", "2.998")), engine.moved(folder, moved), merge.Moved, false, "SK-01", []string{folder, moved}, folder + " was moved to " + moved + " on one side; what the other side wrote went with it"},
		{"M21 moved two ways", engine, engine.moved(folder, moved), engine.moved(folder, "engines/2019/SK-01"), merge.MovedTwoWays, true, "SK-01", []string{moved, "engines/2019/SK-01", folder}, folder + " was moved to " + moved + " here and to engines/2019/SK-01 there"},
		{"M22 R19 a newer dictionary", engine, engine, engine.with("book.yaml", edit(t, bookYAML, "dictionary: 2", "dictionary: 999")), merge.Newer, true, "", []string{"book.yaml"}, fmt.Sprintf("one side uses dictionary 999, and this stackbook knows up to %d", schema.Dictionary)},
		{"M22 a newer record", engine, engine.with(readFile, edit(t, session, "2.999", "2.998")), engine.with(readFile, edit(t, session, "measurements/1", "measurements/2")), merge.Newer, true, "SK-01", []string{readFile}, readFile + " is of a newer format"},
		{"M23 a picture", engine, engine.with(folder+"/photos/a.jpg", "b"), engine.with(folder+"/photos/a.jpg", "c"), merge.BothChanged, true, "SK-01", []string{folder + "/photos/a.jpg"}, "both sides changed " + folder + "/photos/a.jpg"},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := mergeFiles(c.base, c.ours, c.theirs)
			require.Len(t, r.Outcomes, 1, "%+v", r.Outcomes)
			o := r.Outcomes[0]
			require.Equal(t, c.outcome, o.Name)
			require.Equal(t, c.conflict, o.Conflict)
			require.Equal(t, c.engine, o.Engine)
			require.Equal(t, c.paths, o.Paths)
			require.Equal(t, c.message, o.Message)
			require.True(t, o.Mend != "" || !o.Conflict)
		})
	}
}

// What a delivered build takes, and what both sides did alike, is no outcome.
func TestNoOutcome(t *testing.T) {
	delivered := engine.with(sealFile, delivery)
	running := strings.NewReplacer("assembly", "running").Replace(more)
	for name, c := range map[string]struct{ base, ours, theirs files }{
		"M18 a note and a running session":   {engine, delivered, engine.with(noteFile, note, folder+"/measurements/2017-03-01-running-TR.yaml", running)},
		"M18 new figures":                    {engine, delivered, engine.with(figures, "b\n")},
		"M18 the same session on both sides": {engine, delivered.with(moreFile, more), engine.with(moreFile, more)},
		"M18 another engine":                 {engine, delivered, engine.with("engines/2018/SK-02/spec.yaml", edit(t, spec, "engine: SK-01", "engine: SK-02", "5c02", "6c02"))},
		"M18 delivered before":               {delivered, delivered.with(specFile, edit(t, spec, "build: 1", "build: 2")), delivered.with(noteFile, note)},
		"M19 the same delivery":              {engine, delivered, delivered},
		"M20 opened here":                    {delivered, delivered.with(specFile, edit(t, spec, "build: 1", "build: 2")), delivered.with(noteFile, note)},
		"M21 moved alike":                    {engine, engine.moved(folder, "engines/2018/SK-01"), engine.moved(folder, "engines/2018/SK-01")},
		"M21 moved, and nothing else done":   {engine, engine.moved(folder, "engines/2018/SK-01"), engine},
		"M17 twice before":                   {engine.with("engines/2018/SK-01/spec.yaml", edit(t, spec, "5c02", "6c02")), engine.with("engines/2018/SK-01/spec.yaml", edit(t, spec, "5c02", "6c02")), engine.with("engines/2018/SK-01/spec.yaml", edit(t, spec, "5c02", "6c02"), noteFile, note)},
	} {
		require.Empty(t, mergeFiles(c.base, c.ours, c.theirs).Outcomes, name)
	}
}

// M21: edits and new records follow an engine whose folder was moved, whichever
// side moved it; nothing is left in the old one.
func TestM21EditsFollow(t *testing.T) {
	const to = "engines/2018/SK-01"
	edits := engine.with(readFile, edit(t, session, "2.999", "2.998"), moreFile, more)
	moved := engine.moved(folder, to).with(to+"/spec.yaml", edit(t, spec, "14 mm", "15 mm"))
	want := edits.moved(folder, to).with(to+"/spec.yaml", edit(t, spec, "14 mm", "15 mm"))
	require.Equal(t, want, moved.after(mergeFiles(engine, moved, edits)))
	require.Equal(t, want, edits.after(mergeFiles(engine, edits, moved)))
}

// M17: of two engines in one folder nothing is blended: ours stays.
func TestM17NothingIsBlended(t *testing.T) {
	ours := files{specFile: spec, readFile: session}
	theirs := files{specFile: edit(t, spec, "5c02-", "9c02-"), moreFile: more}
	r := mergeFiles(files{}, ours, theirs)
	require.Empty(t, r.Files)
}

// M16 and M23: what is in conflict is kept, with its conflict.
func TestConflictingFilesAreKept(t *testing.T) {
	edited := engine.with(readFile, edit(t, session, "2.999", "2.998"), folder+"/photos/a.jpg", "b")
	gone := engine.with(readFile, "", folder+"/photos/a.jpg", "c")
	r := mergeFiles(engine, gone, edited)
	require.Equal(t, edited.with(folder+"/photos/a.jpg", "c"), gone.after(r))
	require.Len(t, r.Files, 2)
	for _, f := range r.Files {
		require.Len(t, f.Conflicts, 1)
		require.False(t, f.Gone)
	}
}

// A merged engine is checked as a whole: records that are right alone may not
// go together.
func TestEngineIsCheckedAgain(t *testing.T) {
	ours := engine.with(specFile, edit(t, spec, "engine: SK-01", "engine: SK-1"))
	r := mergeFiles(engine, ours, engine.with(moreFile, more))
	require.NotEmpty(t, r.Problems)
	require.Contains(t, r.Problems[0].Message, "SK-1")
}
