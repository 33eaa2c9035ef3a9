package book

import (
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// What is read of a configuration file is what git reads, and what git refuses is
// refused.
func TestConfigAsGit(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	byGit := func(text string) (string, bool) {
		file := filepath.Join(dir, "config")
		require.NoError(t, os.WriteFile(file, []byte(text), 0o666))
		out, err := exec.Command("git", "config", "--file", file, "--list", "-z").Output()
		return string(out), err == nil
	}
	ours := func(text string) (string, bool) {
		var out strings.Builder
		err := readConfig([]byte(text), func(key, value string) { fmt.Fprintf(&out, "%s\n%s\x00", key, value) })
		return out.String(), err == nil
	}
	same := func(text string) bool {
		want, sound := byGit(text)
		got, ok := ours(text)
		require.Equal(t, sound, ok, "%q: %q, by git %q", text, got, want)
		if sound {
			require.Equal(t, withoutYes(want), withoutYes(got), "%q", text)
		}
		return sound
	}
	for _, text := range []string{"", "\n", "\ufeff[a]\nb = c\n", "[core]\n\tbare = false\n\tworktree = \"a b\" ; note\n", "[remote \"o\\\"r\\\\i\"]\nurl=x\\\ny\n", "[a.B]c", "[a]b=1\r\n[c]d\r\n",
		"[A \"B.c\"]\nd-e=\" x \"y  z  \n", "[a]\nb = \\t\\n\\b\\\"\\\\\n", "# only a note", "[a]b", "[a]b=\\"} {
		require.True(t, same(text), "%q", text)
	}
	for _, text := range []string{"[a", "[a\nb=1", "b=1\n", "[a]\n1b=2\n", "[a]\nb c\n", "[a]b=\"x\n", "[a]b=\\x\n", "[a b]\n", "[a \"b\n\"]\n", "[a]=1\n", "[a \"b\" ]\nc\n"} {
		_, ok := ours(text)
		require.False(t, ok, "%q", text)
	}
	rng := rand.New(rand.NewPCG(1, 7))
	pieces := []string{"[core]", "[a.B]", "[remote \"x y\"]", "[a", "]", "\"", "\\", "\\n", "\\\\", "\\\"", "\\\n", "key", "K-1", " ", " ", "=", "= ", "\n", "\n", "\n", "#", ";", "å", "\r\n", "true", "x", "[", ".", "-", "1"}
	sound := 0
	for range 500 {
		var text strings.Builder
		text.WriteString("[core]\n")
		for range rng.IntN(14) {
			text.WriteString(pieces[rng.IntN(len(pieces))])
		}
		if same(text.String()) {
			sound++
		}
	}
	require.Greater(t, sound, 70)
}

// withoutYes leaves out the yes of a key alone, which git lists without a value.
func withoutYes(list string) string {
	var out strings.Builder
	for item := range strings.SplitSeq(list, "\x00") {
		out.WriteString(strings.TrimSuffix(item, "\ntrue") + "\x00")
	}
	return out.String()
}
