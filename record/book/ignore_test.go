package book

import (
	"math/rand/v2"
	"os"
	"os/exec"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// Whatever stands in .gitignore at any depth, in info/exclude and in the person's
// own file, what is ignored is what git ignores.
func TestIgnoringAsGit(t *testing.T) {
	t.Parallel()
	pieces := []string{"a", "b", "a.bak", "*.bak", "*", "?", "**", "[ab]", "[!a]", "[^b]", "a*", `\#odd`, `\!b`, "**", "a**k", "[", "# note", "", "b ", `b\ `, "a b", "å*"}
	names := []string{"a", "b", "a.bak", "b.bak", "#odd", "!b", "ab", "b ", "a b", "åb"}
	for seed := range uint64(6) {
		rng := rand.New(rand.NewPCG(seed, 5))
		pick := func(from []string) string { return from[rng.IntN(len(from))] }
		lines := func() string {
			var text strings.Builder
			for range rng.IntN(5) {
				parts := make([]string, 1+rng.IntN(3))
				for i := range parts {
					parts[i] = pick(pieces)
				}
				text.WriteString(pick([]string{"", "", "!", "/"}) + strings.Join(parts, "/") + pick([]string{"", "", "/", " "}) + pick([]string{"\n", "\r\n"}))
			}
			return text.String()
		}
		f := newFixture(t)
		var all []string
		for range 40 {
			parts := make([]string, 1+rng.IntN(4))
			for i := range parts {
				parts[i] = pick(names)
			}
			p := "x/" + strings.Join(parts, "/")
			if os.MkdirAll(f.path(p), 0o777) == nil {
				all = append(all, p)
			}
			if file := p + "/" + pick(names); os.WriteFile(f.path(file), nil, 0o666) == nil {
				all = append(all, file)
			}
		}
		ignored := 0
		for range 12 {
			f.write(".gitignore", lines())
			f.write("x/.gitignore", lines())
			f.write("x/a/.gitignore", lines())
			f.write(".git/info/exclude", lines())
			f.write("own", lines())
			f.git("config", "core.excludesFile", f.path("own"))
			byGit := f.ignoredByGit(all)
			b := f.open()
			g := b.newIgnoring()
			for _, p := range all {
				info, err := os.Lstat(f.path(p))
				require.NoError(t, err)
				got, err := g.match(p, info.IsDir())
				require.NoError(t, err)
				if want := byGit[p]; got != want {
					t.Fatalf("seed %d: %s: ignored %v, by git %v", seed, p, got, want)
				} else if want {
					ignored++
				}
			}
			require.NoError(t, b.Close())
		}
		require.Positive(t, ignored)
	}
}

// ignoredByGit asks git which of some paths it ignores.
func (f *fixture) ignoredByGit(paths []string) map[string]bool {
	f.t.Helper()
	cmd := f.command("check-ignore", "--no-index", "--stdin", "-z")
	cmd.Stdin = strings.NewReader(strings.Join(paths, "\x00") + "\x00")
	out, err := cmd.Output()
	if exit, ok := err.(*exec.ExitError); !ok || exit.ExitCode() != 1 { // 1: none is
		require.NoError(f.t, err)
	}
	ignored := map[string]bool{}
	for p := range strings.SplitSeq(string(out), "\x00") {
		ignored[p] = true
	}
	return ignored
}
