package term

import (
	"bytes"
	"fmt"
	"os"
	"syscall"
	"testing"
	"unsafe"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// openTerminal gives a real terminal of that many columns; 0 is one that
// doesn't know its width.
func openTerminal(t *testing.T, columns uint16) *os.File {
	t.Helper()
	_, slave := openPair(t, columns)
	return slave
}

// openPair gives both ends of a terminal: where the person is, and where the
// program is.
func openPair(t *testing.T, columns uint16) (master, slave *os.File) {
	t.Helper()
	master, err := os.OpenFile("/dev/ptmx", os.O_RDWR|syscall.O_NOCTTY, 0)
	require.NoError(t, err)
	t.Cleanup(func() { master.Close() })
	var lock, number int32
	control(t, master, syscall.TIOCSPTLCK, unsafe.Pointer(&lock))
	control(t, master, syscall.TIOCGPTN, unsafe.Pointer(&number))
	size := [4]uint16{24, columns} // rows, columns, and two of no account
	control(t, master, syscall.TIOCSWINSZ, unsafe.Pointer(&size))
	slave, err = os.OpenFile(fmt.Sprintf("/dev/pts/%d", number), os.O_RDWR|syscall.O_NOCTTY, 0)
	require.NoError(t, err)
	t.Cleanup(func() { slave.Close() })
	return master, slave
}

func control(t *testing.T, f *os.File, request uintptr, argument unsafe.Pointer) {
	t.Helper()
	_, _, errno := syscall.Syscall(syscall.SYS_IOCTL, f.Fd(), request, uintptr(argument))
	require.Zero(t, errno)
}

func TestConfirmOnATerminal(t *testing.T) {
	for typed, want := range map[string]bool{"y\n": true, "Yes\n": true, " y \n": true, "n\n": false, "\n": false, "yep\n": false, "\x04": false} {
		t.Run(fmt.Sprintf("%q", typed), func(t *testing.T) {
			master, slave := openPair(t, 80)
			var out, errs bytes.Buffer
			term := New(&out, &errs, func(string) string { return "" })
			_, err := master.WriteString(typed)
			require.NoError(t, err)
			yes, asked, err := term.Confirm(slave, "Go on?")
			require.NoError(t, err)
			assert.True(t, asked)
			assert.Equal(t, want, yes)
			assert.Equal(t, "Go on? [y/N] ", errs.String())
			assert.Empty(t, out.String())
		})
	}
}

func TestNewOnATerminal(t *testing.T) {
	for _, c := range []struct {
		name     string
		columns  uint16
		env      map[string]string
		width    int
		colour   bool
		progress bool
	}{
		{"its own width", 63, map[string]string{"TERM": "xterm", "COLUMNS": "40"}, 63, true, true},
		{"COLUMNS", 0, map[string]string{"COLUMNS": "40"}, 40, true, true},
		{"COLUMNS is no number", 0, map[string]string{"COLUMNS": "wide"}, 100, true, true},
		{"no width known", 0, nil, 100, true, true},
		{"NO_COLOR", 63, map[string]string{"NO_COLOR": "1"}, 63, false, true},
		{"NO_COLOR is empty", 63, map[string]string{"NO_COLOR": ""}, 63, true, true},
		{"dumb", 63, map[string]string{"TERM": "dumb"}, 63, false, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			tty := openTerminal(t, c.columns)
			term := New(tty, tty, func(name string) string { return c.env[name] })
			assert.Equal(t, c.width, term.Width)
			assert.Equal(t, c.colour, term.Colour)
			assert.Equal(t, c.colour, term.ErrColour)
			assert.Equal(t, c.progress, term.ErrWidth > 0)
		})
	}
}

func TestCanAskOnATerminal(t *testing.T) {
	tty := openTerminal(t, 80)
	piped, _, err := os.Pipe()
	require.NoError(t, err)
	assert.True(t, New(piped, tty, noEnv).CanAsk(tty), "though the answer goes into a pipe")
	assert.False(t, New(tty, tty, noEnv).CanAsk(piped), "nobody types")
	assert.False(t, New(tty, piped, noEnv).CanAsk(tty), "nobody sees the question")
}
