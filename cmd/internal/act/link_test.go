package act_test

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"stackbook/cmd/internal/act"
	"stackbook/record/book"
)

// Whatever the path of the program and the book's folder, git's shell calls the
// program with the words meant, and leads the book's records to it.
func TestGitCallsTheProgramByAnyPath(t *testing.T) {
	for _, odd := range []string{"plain", "with space", "it's", `a"b`, `back\slash`, "100% #1; $x", "ö&(é)[x]*?"} {
		t.Run(odd, func(t *testing.T) {
			dir := t.TempDir()
			program := filepath.Join(dir, odd, "stackbook")
			require.NoError(t, os.Mkdir(filepath.Dir(program), 0o777))
			require.NoError(t, os.WriteFile(program, []byte("#!/bin/sh\nprintf '%s\\n' \"$@\"\nexit 1\n"), 0o777))
			run := func(name string, args ...string) (string, error) {
				c := exec.Command(name, args...)
				c.Dir = dir
				out, err := c.Output()
				return string(out), err
			}
			git := func(args ...string) string {
				out, err := run("git", args...)
				require.NoError(t, err)
				return strings.TrimSuffix(out, "\n")
			}
			git("init", "-q")
			s, err := act.Begin(filepath.Join(dir, odd), act.BeginOptions{Shop: "Skarvik Rotary", Now: now, Book: []book.Option{book.WithEnv(env)}})
			require.NoError(t, err)
			_, err = s.Link(program)
			require.NoError(t, err)
			require.Contains(t, git("check-attr", "-z", "merge", odd+"/engines/2026/SK-01/spec.yaml"), "\x00merge\x00stackbook")

			driver := strings.NewReplacer("%%", "%", "%O", "base", "%A", "ours", "%B", "theirs", "%P", "path").Replace(git("config", "merge.stackbook.driver"))
			out, err := run("sh", "-c", driver)
			require.ErrorContains(t, err, "exit status 1")
			require.Equal(t, "for-git\n--book\n./"+odd+"/\n--\nmerge\nbase\nours\ntheirs\npath\n", out)
			out, err = run("sh", "-c", git("config", "diff.stackbook.textconv")+` "$@"`, "sh", "some file")
			require.ErrorContains(t, err, "exit status 1")
			require.Equal(t, "for-git\n--\ntextconv\nsome file\n", out)
			out, err = run(".git/hooks/pre-commit")
			require.ErrorContains(t, err, "exit status 1")
			require.Equal(t, "for-git\n--book\n./"+odd+"/\n--\ncommit\n", out)
		})
	}
}

func TestLinkNeedsAPathGitCanCall(t *testing.T) {
	s := openBook(t)
	for _, program := range []string{"", "stackbook", "/bin/stack\nbook", "/tmp/go-build123/b001/exe/stackbook"} {
		_, err := s.Link(program)
		require.Error(t, err, program)
	}
	require.NoFileExists(t, filepath.Join(s.Book.GitDir(), "hooks", "pre-commit"))
}

// A problem that a side had before the merge is none of the merge.
func TestMergeTellsNewProblemsAlone(t *testing.T) {
	const name = "parts/R-1.yaml"
	const base = "format: part/1\nserial: R-1\npart: RT-80\nwhat: rotor\nmaterial: iron\n"
	broken := strings.Replace(base, "format: part/1", "format: part/1\nwight: 3", 1)
	m := act.MergeRecord(name, []byte(base), []byte(broken), []byte(strings.Replace(base, "iron", "steel", 1)))
	require.Empty(t, m.Conflicts)
	require.Empty(t, m.Problems)
	require.Contains(t, string(m.Text), "steel")
	require.Contains(t, string(m.Text), "wight")

	both := act.MergeRecord(name, nil, []byte(base), []byte(base))
	require.Equal(t, base, string(both.Text))
	empty := act.MergeRecord(name, []byte{}, []byte(base), []byte(strings.Replace(base, "iron", "steel", 1)))
	require.NotEmpty(t, empty.Conflicts, "both sides added it")
}

// What git drops from a message is not looked through, all else is (R15).
func TestMessagesAreLookedThrough(t *testing.T) {
	s := openBook(t)
	require.NoError(t, os.MkdirAll(filepath.Join(s.Book.Root(), "private"), 0o777))
	require.NoError(t, os.WriteFile(filepath.Join(s.Book.Root(), act.PrivateFile), []byte("format: customers/1\ncustomers:\n  C-01: {name: A. N. Lakeside}\n"), 0o666))
	for text, refused := range map[string]bool{
		"for Lakeside, A. N.\n":      true,
		"fuel\n\n# A. N. Lakeside\n": false,
		"fuel\n; A. N. Lakeside\n":   true,
		"fuel\n# ------------------------ >8 ------------------------\n+ A. N. Lakeside\n": false,
		"fuel\n\nfor A.\nN. Lakeside\n# Please enter\n":                                    true,
	} {
		require.Equal(t, refused, s.CheckMessage(text) != nil, text)
	}
	_, err := s.Book.Git("config", "core.commentChar", ";")
	require.NoError(t, err)
	require.NoError(t, s.CheckMessage("fuel\n; A. N. Lakeside\n"))
	require.Error(t, s.CheckMessage("fuel\n# A. N. Lakeside\n"))
}

// What git shows of a record is told by its format line; all else is shown as it
// is written.
func TestPlainKnowsRecordsByTheirFormat(t *testing.T) {
	lines, ok := act.Plain([]byte("# a part\nserial: R-1\nformat: part/1\n"))
	require.True(t, ok)
	require.Equal(t, []string{"format: part/1", "serial: R-1"}, lines)
	for _, text := range []string{"", "a: [", "serial: R-1\n", "format: tale/1\n", "format: part/99\nserial: R-1\n", "format: {}\n", "\xff"} {
		_, ok := act.Plain([]byte(text))
		require.False(t, ok, text)
	}
}

// Of a record in conflict the values that differ stand between the marks, and all
// others once.
func TestPlainOfARecordInConflict(t *testing.T) {
	const marked = "format: part/1\nserial: R-1\n<<<<<<< ours\nmaterial: steel\n||||||| base\nmaterial: tin\n=======\nmaterial: iron   # cast\n>>>>>>> theirs\npart: RT-80\nwhat: rotor\n"
	lines, ok := act.Plain([]byte(marked))
	require.True(t, ok)
	require.Equal(t, []string{"format: part/1", "serial: R-1", "part: RT-80", "what: rotor",
		"<<<<<<< ours", "material: steel", "=======", "material: iron", ">>>>>>> theirs"}, lines)
	for _, odd := range []string{"format: part/1\n<<<<<<< ours\nserial: R-1\n", "format: part/1\n<<<<<<< ours\n=======\na: [\n>>>>>>> theirs\n"} {
		_, ok := act.Plain([]byte(odd))
		require.False(t, ok, odd)
	}
}
