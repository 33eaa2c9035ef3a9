package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"stackbook/cmd/internal/app"
)

// On a terminal a record steers nothing, whatever is in it, and its lines stay; a
// picture is refused. A list of commits is as harmless there.
func TestShowOnATerminal(t *testing.T) {
	dir := t.TempDir()
	run(t, dir, "demo", "--short", "book")
	book := filepath.Join(dir, "book")
	folder := filepath.Join(book, "engines", "2017", "SK-01")
	text := "format: spec/1\r\ntitle: \x1b[2J\x1b]0;owned\a\u202e\r\n\tlatin \xe9, målt\n"
	require.NoError(t, os.WriteFile(filepath.Join(folder, "odd.yaml"), []byte(text), 0o666))
	require.NoError(t, os.WriteFile(filepath.Join(folder, "odd.jpg"), []byte("\xff\xd8\x00\x1b[2J"), 0o666))
	show := func(want int, file string) (shown, problems string) {
		master, tty := openTerminal(t)
		all := make(chan string, 1)
		go func() { all <- readAll(master) }()
		var errs bytes.Buffer
		env := func(name string) string { return map[string]string{"PATH": os.Getenv("PATH"), "HOME": dir}[name] }
		status := app.Run([]string{"show", "SK-01", file}, app.Surroundings{Out: tty, Err: &errs, In: strings.NewReader(""), Env: env, Dir: book, Now: scriptNow})
		require.Equal(t, want, status, errs.String())
		_, err := tty.WriteString(endMark)
		require.NoError(t, err)
		return <-all, errs.String()
	}
	shown, _ := show(0, "odd.yaml")
	require.Equal(t, "format: spec/1\ntitle: \\x1b[2J\\x1b]0;owned\\x07\\u202e\n\tlatin \\xe9, målt\n", strings.ReplaceAll(shown, "        ", "\t"))
	require.Equal(t, text, run(t, book, "show", "SK-01", "odd.yaml"), "in a pipe it is as it is")
	shown, problems := show(2, "odd.jpg")
	require.Empty(t, shown)
	require.Contains(t, problems, "odd.jpg is no text for a terminal")
}
