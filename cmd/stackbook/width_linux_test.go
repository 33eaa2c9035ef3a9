package main

import (
	"bytes"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"github.com/stretchr/testify/require"

	"stackbook/cmd/internal/app"
)

// On a terminal of 80 columns, several engines side by side fit into it: cells
// are wrapped, and no word of a column is lost. In a pipe a row is one line.
func TestSideBySideFitsTheTerminal(t *testing.T) {
	dir := t.TempDir()
	run(t, dir, "demo", "book")
	args := []string{"diff", "SK-07", "SK-09", "SK-04@2020-01-01"}
	wide := run(t, filepath.Join(dir, "book"), args...)
	require.Greater(t, longest(wide), 80)

	master, tty := openTerminal(t)
	shown := make(chan string, 1)
	go func() { shown <- readAll(master) }()
	env := func(name string) string {
		return map[string]string{"PATH": os.Getenv("PATH"), "HOME": dir, "NO_COLOR": "1"}[name]
	}
	require.Zero(t, app.Run(args, app.Surroundings{Out: tty, Err: io.Discard, In: strings.NewReader(""), Env: env, Dir: filepath.Join(dir, "book"), Now: scriptNow}))
	_, err := tty.WriteString(endMark)
	require.NoError(t, err)
	text := <-shown
	require.LessOrEqual(t, longest(text), 80)
	require.Regexp(t, `(?m)^parts +SK-07 +SK-09 +SK-04@2020-01-01$`, text)
	for _, word := range []string{"hydroplane,", "R-1502", "greatest torque, for each rotor", "rotor/3"} {
		require.Contains(t, text, word)
	}
}

// endMark is what the test itself writes last to the terminal.
const endMark = "\x04"

// readAll reads a terminal up to the mark.
func readAll(master *os.File) string {
	var all bytes.Buffer
	some := make([]byte, 4096)
	for until := time.Now().Add(20 * time.Second); time.Now().Before(until); {
		n, err := master.Read(some)
		all.Write(some[:n])
		if err != nil || bytes.HasSuffix(all.Bytes(), []byte(endMark)) {
			break
		}
	}
	return strings.ReplaceAll(strings.TrimSuffix(all.String(), endMark), "\r\n", "\n")
}

// longest is the number of characters of the longest line.
func longest(text string) int {
	most := 0
	for line := range strings.SplitSeq(text, "\n") {
		most = max(most, utf8.RuneCountInString(line))
	}
	return most
}
