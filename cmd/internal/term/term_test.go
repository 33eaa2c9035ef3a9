package term

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestNewInAPipeOrFile(t *testing.T) {
	env := map[string]string{"COLUMNS": "40", "TERM": "xterm"}
	file, err := os.Create(filepath.Join(t.TempDir(), "out"))
	require.NoError(t, err)
	defer file.Close()
	reader, writer, err := os.Pipe()
	require.NoError(t, err)
	defer reader.Close()
	defer writer.Close()

	term := New(file, writer, func(name string) string { return env[name] })
	assert.Zero(t, term.Width, "COLUMNS is the terminal's, not the file's")
	assert.Zero(t, term.ErrWidth)
	assert.False(t, term.Colour)
	assert.False(t, term.ErrColour)
}

func TestTakesControl(t *testing.T) {
	for _, c := range []struct {
		name, system string
		env          map[string]string
		want         bool
	}{
		{"ordinary", "linux", map[string]string{"TERM": "xterm"}, true},
		{"nothing said", "linux", nil, true},
		{"dumb", "linux", map[string]string{"TERM": "dumb"}, false},
		{"old console", "windows", nil, false},
		{"newer console", "windows", map[string]string{"WT_SESSION": "1"}, true},
		{"console with TERM", "windows", map[string]string{"TERM": "cygwin"}, true},
	} {
		t.Run(c.name, func(t *testing.T) {
			assert.Equal(t, c.want, takesControl(c.system, func(name string) string { return c.env[name] }))
		})
	}
}

func TestLineSayHeading(t *testing.T) {
	var out, errw bytes.Buffer
	term := New(&out, &errw, noEnv)
	term.Heading("SK-07: four-rotor\x1b[2J")
	term.Line("%s has %d rotors", "SK-07\nSK-08", 4)
	term.Line("")
	term.Line("100 %%")
	term.Say("a remark of %s", "K\u202eM")
	assert.Equal(t, "SK-07: four-rotor\\x1b[2J\nSK-07 SK-08 has 4 rotors\n\n100 %\n", out.String())
	assert.Equal(t, "a remark of K\\u202eM\n", errw.String())
}

// full is a disk without room after some writes.
type full struct{ room int }

func (f *full) Write(p []byte) (int, error) {
	if f.room == 0 {
		return 0, errors.New("no space left")
	}
	f.room--
	return len(p), nil
}

func TestWriteErrorIsTheFirst(t *testing.T) {
	var errw bytes.Buffer
	term := New(&full{room: 1}, &errw, noEnv)
	term.Line("one")
	require.NoError(t, term.WriteError())
	term.Line("two")
	term.Say("still said")
	require.EqualError(t, term.WriteError(), "no space left")
	assert.Equal(t, "still said\n", errw.String())

	term = New(&full{}, &errw, noEnv)
	_, err := term.Write([]byte("help"))
	require.Error(t, err)
	require.EqualError(t, term.WriteError(), "no space left")

	broken := New(&errw, &full{}, noEnv)
	broken.Say("a remark lost is no failure")
	require.NoError(t, broken.WriteError())
}

func TestSeveralGoroutines(t *testing.T) {
	term, out := coloured()
	term.ErrWidth = 40
	p := term.Progress("checking", 0)
	var wait sync.WaitGroup
	for range 8 {
		wait.Go(func() {
			p.Step()
			term.Line("%s", term.Bad("fails"))
		})
	}
	wait.Wait()
	assert.Equal(t, 8, bytes.Count(out.Bytes(), []byte("fails\x1b[0m\n")))
	assert.Equal(t, 8, p.done)
}
