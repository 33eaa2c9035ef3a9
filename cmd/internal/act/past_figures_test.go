package act_test

import (
	"fmt"
	"math/rand/v2"
	"os"
	"path"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"stackbook/cmd/internal/act"
	"stackbook/record"
	"stackbook/record/book"
	"stackbook/record/figure"
)

// valuesByGit works the figures of an engine at a commit from what the git program
// shows of it, a line each; "" where its spec cannot be read.
func (b *bench) valuesByGit(commit, folder string) string {
	var files []record.File
	for _, name := range strings.Fields(b.git("ls-tree", "-r", "--name-only", commit, folder+"/")) {
		dir := path.Base(path.Dir(name))
		if path.Ext(name) == ".yaml" && path.Base(name) != "figures.yaml" && (dir == "measurements" || dir == "changes" || path.Base(name) == "spec.yaml") {
			files = append(files, record.File{Path: name, Data: []byte(b.git("show", commit+":"+name) + "\n")})
		}
	}
	e, _ := record.Load(folder, files)
	if e == nil {
		return ""
	}
	text := fmt.Sprintf("%s %d\n", e.ID, e.Build)
	for _, r := range figure.Values(e).Results {
		text += fmt.Sprintf("%s %s %v %d\n", r.Figure.ID, r.At, r.Value, r.Decimals)
	}
	return text
}

func valuesText(v *act.Values) string {
	if v == nil {
		return ""
	}
	text := fmt.Sprintf("%s %d\n", v.Engine, v.Build)
	for i := range v.Len() {
		id, at, si, decimals := v.Value(i)
		text += fmt.Sprintf("%s %s %v %d\n", id, at, si, decimals)
	}
	return text
}

// The figures of past commits are those that the formulas give, worked out or
// looked up, and whatever happened to the file they are kept in.
func TestPastFiguresAreWhatTheFormulasGive(t *testing.T) {
	t.Parallel()
	b := demoBook(t)
	b.write(engineFolder+"/spec.yaml", "format: [\n")
	b.git("commit", "-qam", "a spec that cannot be read")
	commits := strings.Fields(b.git("log", "--format=%H", "--", engineFolder))
	commits = append(commits, b.git("rev-list", "--max-parents=0", "HEAD")) // before it was enrolled
	want := map[string]string{}
	for _, c := range commits {
		want[c] = b.valuesByGit(c, engineFolder)
	}
	place := act.Place{Number: "SK-01", Folder: engineFolder}
	ask := func(identity func() (string, bool), name func(string) string) {
		t.Helper()
		s, err := act.Open(b.dir, now, book.WithEnv(env), book.WithProgram(identity))
		require.NoError(t, err)
		past := s.PastFigures()
		for _, c := range commits {
			v, err := past.At(s.Book, name(c), place)
			require.NoError(t, err)
			require.Equal(t, want[c], valuesText(v), c)
		}
		past.Save()
		require.NoError(t, s.Book.Close())
	}
	whole := func(c string) string { return c }
	short := func(c string) string { return c[:12] }
	nobody := func() (string, bool) { return "", false }
	other := func() (string, bool) { return "another program", true }
	file := b.path(".git/stackbook/kept-figures")
	ask(nobody, whole)
	require.NoFileExists(t, file)
	ask(act.Identity, short)
	sound, err := os.ReadFile(file)
	require.NoError(t, err)
	ask(act.Identity, whole)
	again, err := os.ReadFile(file)
	require.NoError(t, err)
	require.Equal(t, sound, again, "nothing was worked out")
	ask(other, whole)

	// What was asked before is told without a look into git.
	require.NoError(t, os.Rename(b.path(".git/objects/pack"), b.path(".git/objects/aside")))
	ask(act.Identity, whole)
	require.NoError(t, os.Rename(b.path(".git/objects/aside"), b.path(".git/objects/pack")))

	rng := rand.New(rand.NewPCG(8, 1))
	for i := range 12 {
		bad := append([]byte(nil), sound...)
		if i%3 == 0 {
			bad = bad[:rng.IntN(len(bad))]
		} else {
			bad[rng.IntN(len(bad))] ^= byte(1 + rng.IntN(255))
		}
		require.NoError(t, os.WriteFile(file, bad, 0o666))
		ask(act.Identity, whole)
	}
	b.git("fsck", "--strict", "--no-dangling")
	require.Empty(t, b.git("status", "--porcelain"))
}

// Where a figure turned is where its values, worked commit by commit, do.
func TestFigurePastTurnsWhereTheValuesDo(t *testing.T) {
	t.Parallel()
	b := demoBook(t)
	b.write(engineFolder+"/spec.yaml", strings.Replace(b.read(engineFolder+"/spec.yaml"), "title: ", "title: another ", 1))
	b.git("commit", "-qam", "a title, which moves no figure")
	commits := strings.Fields(b.git("log", "--reverse", "--format=%H", "--", engineFolder))
	for _, id := range []string{"rotor.side_clearance", "compression.ratio", "apex_seal.end_gap"} {
		var want []string
		before := map[string]string{}
		for _, c := range commits {
			now := map[string]string{}
			for line := range strings.Lines(b.valuesByGit(c, engineFolder)) {
				if f := strings.Fields(line); f[0] == id {
					now[f[1]] = f[2] + " " + f[3]
				}
			}
			for at, text := range now {
				if before[at] != text {
					want = append(want, c+" "+at+" "+text)
				}
			}
			for at := range before {
				if now[at] == "" {
					want = append(want, c+" "+at+" none")
				}
			}
			before = now
		}
		f := figure.ByID(id)
		p, err := b.FigurePast("SK-01", f, "", quietly)
		require.NoError(t, err)
		require.Equal(t, len(commits), p.Commits)
		var got []string
		for _, turn := range p.Turns {
			text := "none"
			if r := turn.Result; r != nil {
				text = fmt.Sprintf("%v %d", r.Value, r.Decimals)
			}
			got = append(got, turn.Hash+" "+turn.At+" "+text)
			require.Equal(t, b.git("log", "-1", "--format=%cs", turn.Hash), turn.Day)
		}
		require.NotEmpty(t, got)
		require.ElementsMatch(t, want, got, id)
	}
	var use *act.UsageError
	_, err := b.FigurePast("SK-99", figure.ByID("compression.ratio"), "", quietly)
	require.ErrorAs(t, err, &use)
	require.Contains(t, err.Error(), "there is no engine SK-99")
	_, err = b.FigurePast("SK-01", figure.ByID("compression.ratio"), "rotor/9", quietly)
	require.ErrorAs(t, err, &use)
	b.write("engines/2025/SK-77/spec.yaml", "format: spec/1\nengine: SK-77\n")
	_, err = b.FigurePast("SK-77", figure.ByID("compression.ratio"), "", quietly)
	require.ErrorContains(t, err, "no commit holds SK-77 yet")
}
