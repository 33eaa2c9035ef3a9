package act

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// build builds a small program of some text and gives its file.
func build(t *testing.T, dir, name, text string, args ...string) string {
	t.Helper()
	source, out := filepath.Join(dir, name+".go"), filepath.Join(dir, name)
	require.NoError(t, os.WriteFile(source, []byte(text), 0o666))
	cmd := exec.Command("go", append(append([]string{"build", "-o", out}, args...), source)...)
	cmd.Dir = dir
	said, err := cmd.CombinedOutput()
	require.NoError(t, err, string(said))
	return out
}

func identityIn(t *testing.T, name string) string {
	t.Helper()
	f, err := os.Open(name)
	require.NoError(t, err)
	defer f.Close()
	identity, err := identityOf(f)
	require.NoError(t, err)
	return identity
}

// Two builds of one text are one program, whatever they are called; a build of
// another text is another, with the go command's name in it, without one, with a
// word in its place, and stripped.
func TestIdentityFollowsFromTheCode(t *testing.T) {
	t.Parallel()
	const text = "package main\n\nfunc main() { println(1) }\n"
	other := strings.Replace(text, "1", "2", 1)
	for _, args := range [][]string{nil, {"-ldflags=-buildid="}, {"-ldflags=-buildid=redacted"}, {"-ldflags=-s -w"}} {
		dir := t.TempDir()
		one := identityIn(t, build(t, dir, "one", text, args...))
		require.NotEqual(t, one, identityIn(t, build(t, dir, "two", other, args...)), "%q", args)
		copied := filepath.Join(dir, "copied")
		data, err := os.ReadFile(filepath.Join(dir, "one"))
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(copied, data, 0o777))
		require.Equal(t, one, identityIn(t, copied))
		named := len(args) == 0 || !strings.Contains(args[0], "buildid")
		require.Equal(t, named, strings.HasPrefix(one, "go "), "%q: %s", args, one)
		if named {
			said, err := exec.Command("go", "tool", "buildid", filepath.Join(dir, "one")).Output()
			require.NoError(t, err)
			require.Equal(t, "go "+strings.TrimSpace(string(said)), one)
		}
	}
}

// This program tells its own.
func TestIdentityOfThisProgram(t *testing.T) {
	t.Parallel()
	identity, ok := Identity()
	require.True(t, ok)
	name, err := os.Executable()
	require.NoError(t, err)
	require.Equal(t, identityIn(t, name), identity)
}

// Where the format of the file is another than ELF, the name stands in its text;
// one that lies further back, or is none of the go command's, is not believed.
func TestIdentityInOtherFormats(t *testing.T) {
	t.Parallel()
	const name = "pX0dXmKnHcOD-EDCvbGU/7nqBLUzXvUVJ_RTJLaWs/ZLr6YIcPBbNl8VuVnGLi/8wWjZJ0kbdNSZpXdRJLK"
	for text, want := range map[string]string{
		"MZ\x00\xff Go build ID: \"" + name + "\"\n \xffcode":                               "go " + name,
		"MZ\x00\xff Go build ID: \"redacted\"\n \xffcode":                                   "sha256 ",
		"MZ\x00\xff Go build ID: \"a/b/c/d\"\n \xffcode":                                    "sha256 ",
		"MZ" + strings.Repeat("\x00", headOfProgram) + "\xff Go build ID: \"" + name + "\"": "sha256 ",
		"": "",
	} {
		file := filepath.Join(t.TempDir(), "program")
		require.NoError(t, os.WriteFile(file, []byte(text), 0o666))
		if want == "" {
			f, err := os.Open(file)
			require.NoError(t, err)
			defer f.Close()
			_, err = identityOf(f)
			require.Error(t, err)
			continue
		}
		require.True(t, strings.HasPrefix(identityIn(t, file), want), text[:min(len(text), 80)])
	}
}
