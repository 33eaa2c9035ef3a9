package act_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"stackbook/cmd/internal/act"
	"stackbook/record/book"
	"stackbook/record/figure"
	"stackbook/schema/problem"
)

func TestTheDemoIsInOrder(t *testing.T) {
	checked := demoBook(t).check()
	require.Len(t, checked, 1)
	require.Equal(t, "SK-01", checked[0].Number)
	require.Empty(t, checked[0].Problems)
	require.Empty(t, checked[0].Stale)
	require.Zero(t, checked[0].Verdicts[figure.Fails])
	require.Positive(t, checked[0].Verdicts[figure.Conforms])
}

// R2: a tag and a record at odds are a problem, wherever the tag came from.
func TestR2SealsAtOdds(t *testing.T) {
	const odd = engineFolder + ": the tag build/SK-01/%d is on commit %s, whose records are not those of build %[1]d as delivered; write the delivery as a change, or take the tag away and let the record speak"
	tests := []struct {
		what string
		tag  []string
		want func(b *bench) string
	}{
		{"moved back", []string{"-f", "build/SK-01/2", "HEAD~6"}, func(b *bench) string { return fmt.Sprintf(odd, 2, b.short("HEAD~6")) }},
		{"moved on, to the next build", []string{"-f", "build/SK-01/1", "HEAD"}, func(b *bench) string { return fmt.Sprintf(odd, 1, b.short("HEAD")) }},
		{"of a build that never was", []string{"build/SK-01/7", "HEAD"}, func(b *bench) string { return fmt.Sprintf(odd, 7, b.short("HEAD")) }},
		{"before the engine was enrolled", []string{"-f", "build/SK-01/1", ":/^Begin"}, func(b *bench) string { return fmt.Sprintf(odd, 1, b.short(":/^Begin")) }},
		{"of no build", []string{"build/SK-01/two"}, func(*bench) string {
			return engineFolder + ": the tag build/SK-01/two names no build; take it away: git tag -d build/SK-01/two"
		}},
		{"of no build, a figure", []string{"build/SK-01/02"}, func(*bench) string {
			return engineFolder + ": the tag build/SK-01/02 names no build; take it away: git tag -d build/SK-01/02"
		}},
	}
	for _, tt := range tests {
		t.Run(tt.what, func(t *testing.T) {
			b := demoBook(t)
			b.git(append([]string{"tag"}, tt.tag...)...)
			require.Equal(t, []string{tt.want(b)}, b.problems())
			require.Equal(t, []string{tt.want(b)}, b.problems("SK-01"))
		})
	}
}

// R2: the delivery taken out of the records again, while its seal stands.
func TestR2DeliveryGone(t *testing.T) {
	b := demoBook(t)
	b.git("rm", "-q", engineFolder+"/changes/2017-05-20-delivery.yaml")
	require.Equal(t, []string{engineFolder + ": the tag build/SK-01/1 seals a delivery of build 1 that is no longer written here; put the delivery back: git checkout build/SK-01/1 -- " +
		engineFolder + "/changes/2017-05-20-delivery.yaml",
		engineFolder + "/changes/2017-05-20-delivery.yaml: build 2 was delivered on 2019-09-28, and this file is gone since; put it back: git checkout build/SK-01/2 -- " +
			engineFolder + "/changes/2017-05-20-delivery.yaml, or open the next build: stackbook reopen SK-01 --why ..."}, b.problems())
}

// An engine may change its group and an older state be checked out: neither is
// at odds with a seal.
func TestR2SealsStandElsewhere(t *testing.T) {
	b := demoBook(t)
	b.git("mv", "engines/2017", "engines/racing")
	require.Empty(t, b.problems())
	b = demoBook(t)
	b.git("checkout", "-q", "build/SK-01/1~1")
	require.Empty(t, b.problems())
}

// A tag that names no commit is a problem of its engine; the rest is checked
// and committed all the same, and no build is closed, opened or vouched for by
// it.
func TestR2SealOfNoCommit(t *testing.T) {
	b := demoBook(t)
	b.git("tag", "-f", "build/SK-01/2", "HEAD^{tree}")
	b.git("tag", "-a", "-m", "by mistake", "build/SK-01/3", "HEAD:book.yaml")
	want := []string{
		"build/SK-01/2: this tag names a tree, and not the commit of a delivery; take it away: git tag -d build/SK-01/2",
		"build/SK-01/3: this tag names a blob, and not the commit of a delivery; take it away: git tag -d build/SK-01/3"}
	checked := b.check()
	require.Len(t, checked, 1)
	require.Equal(t, want, told(checked[0].Problems))

	var list problem.List
	_, err := b.Closing("SK-01", act.DeliverOptions{})
	require.ErrorAs(t, err, &list)
	require.Equal(t, want[:1], told(list))
	_, err = b.Reopen("SK-01", act.ReopenOptions{Why: "takes water"})
	require.ErrorAs(t, err, &list)
	_, err = b.Verify("SK-01/2", "")
	require.ErrorAs(t, err, &list)
	require.Equal(t, want[:1], told(list))

	b.write(engineFolder+"/changes/2020-01-02-note.yaml", "format: change/1\nengine: SK-01\nbuild: 2\ndate: 2020-01-02\nkind: note\nby: KM\nwhat: heard from\n")
	_, err = b.Commit("SK-01", act.CommitOptions{Message: "a note"})
	require.NoError(t, err)
	b.git("fsck", "--strict")
}

// R4: a figures.yaml that is stale, altered or malformed is a note and never a
// problem, and the next commit mends it.
func TestR4FiguresNote(t *testing.T) {
	const name = engineFolder + "/figures.yaml"
	const line = "{id: rotor.side_clearance, at: rotor/2, value: 0.145, "
	replace := func(old, new string) func(string) string {
		return func(text string) string { return strings.Replace(text, old, new, 1) }
	}
	tests := []struct {
		what  string
		alter func(text string) string
		want  string
	}{
		{"a value", replace(line, strings.Replace(line, "0.145", "0.105", 1)),
			"figures.yaml was altered by hand: rotor.side_clearance at rotor/2 is 0.105 mm ± 0.00082, conforms there, and by the records 0.145 mm ± 0.00082, conforms"},
		{"verdicts", func(text string) string { return strings.ReplaceAll(text, "verdict: conforms", "verdict: fails") },
			"figures.yaml was altered by hand: rotor.side_clearance at rotor/1 is 0.144 mm ± 0.0057, fails there, and by the records 0.144 mm ± 0.0057, conforms (and %d more)"},
		{"a pure number", replace("{id: compression.ratio, at: engine, value: 9.29,", "{id: compression.ratio, at: engine, value: 9.9,"),
			"figures.yaml was altered by hand: compression.ratio at engine is 9.9 ± 0.084 there, and by the records 9.29 ± 0.084"},
		{"the last digit", replace(line, strings.Replace(line, "0.145", "0.146", 1)), ""},
		{"the digest", replace("inputs: ", "inputs: 0"), "figures.yaml was written from other values than the records now hold"},
		{"another engine's", replace("engine: SK-01", "engine: SK-02"), "figures.yaml was written from other values than the records now hold"},
		{"a line lost", func(text string) string { return text[:strings.LastIndex(text[:len(text)-1], "\n")+1] }, "figures.yaml was written from other values than the records now hold"},
		{"an older formula set", replace(fmt.Sprintf("formulas: %d", figure.FormulaSet), "formulas: 0"), fmt.Sprintf("figures.yaml was written with formula set 0, today's is %d", figure.FormulaSet)},
		{"malformed", replace("figures:", "figures: ["), "figures.yaml cannot be read"},
		{"empty", func(string) string { return "" }, "figures.yaml cannot be read"},
	}
	b := demoBook(t)
	right := b.read(name)
	for _, tt := range tests {
		t.Run(tt.what, func(t *testing.T) {
			b.t = t
			require.NotEqual(t, right, tt.alter(right))
			b.write(name, tt.alter(right))
			c := b.check()[0]
			require.Empty(t, c.Problems)
			want := tt.want
			if strings.Contains(want, "%d") {
				want = fmt.Sprintf(want, c.Verdicts[figure.Conforms]-1)
			}
			require.Equal(t, want, c.Stale)
			if want == "" {
				return
			}
			_, err := b.Commit("SK-01", act.CommitOptions{Message: "figures anew"})
			require.ErrorIs(t, err, book.ErrNothing, "the last commit is right already")
			require.Equal(t, right, b.read(name))
			require.Empty(t, b.check()[0].Stale)
		})
	}
}

func TestR4NotWrittenYet(t *testing.T) {
	b := demoBook(t)
	b.git("rm", "-q", engineFolder+"/figures.yaml")
	require.Equal(t, "figures.yaml is not written yet", b.check()[0].Stale)
}

// The book's own files are checked even where no engine uses them; what an
// engine's check told is not told again.
func TestTheBooksOwnFiles(t *testing.T) {
	tests := []struct {
		what  string
		alter func(b *bench)
		whole []string
		first []string
	}{
		{"the default limit set, which the engine does not use",
			func(b *bench) { b.edit("limits/shop.yaml", "limits: {}", "limits: {end_flot: {source: x}}") },
			[]string{`limits/shop.yaml:10:10: there is no figure or judged point "end_flot"; did you mean end_float?`}, nil},
		{"a default that is not there",
			func(b *bench) { b.edit("book.yaml", "limits: shop", "limits: race") },
			[]string{"book.yaml:5:9: there is no limit set race: limits/race.yaml is missing; the book has shop, skarvik-race; a new one is committed with: stackbook commit --book"}, nil},
		{"the engine's own limit set",
			func(b *bench) { b.edit("limits/skarvik-race.yaml", "end_float:", "end_flot:") },
			nil, []string{`limits/skarvik-race.yaml:40:3: there is no figure or judged point "end_flot"; did you mean end_float?`}},
		{"a part",
			func(b *bench) { b.write("parts/L-1.yaml", "format: part/1\nlot: L-1\n") },
			[]string{"parts/L-1.yaml:1:1: the key what is missing: what it is; add: what: a few words"}, nil},
		{"no default at all", func(b *bench) { b.edit("book.yaml", "limits: shop\n", "") }, nil, nil},
	}
	for _, tt := range tests {
		t.Run(tt.what, func(t *testing.T) {
			b := demoBook(t)
			tt.alter(b)
			checked := b.check()
			require.Equal(t, tt.first, told(checked[0].Problems))
			require.Equal(t, tt.first, b.problems("SK-01"), "one engine alone")
			if tt.whole == nil {
				require.Len(t, checked, 1)
				return
			}
			require.Equal(t, tt.whole, told(checked[1].Problems))
		})
	}
}
