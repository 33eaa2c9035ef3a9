package main

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"syscall"
	"testing"
	"unsafe"

	"github.com/stretchr/testify/require"

	"stackbook/cmd/internal/app"
)

// On a terminal, a build of which something is open is asked about; only yes
// delivers it.
func TestDeliverAsksOnATerminal(t *testing.T) {
	for key, value := range map[string]string{"HOME": t.TempDir(), "GIT_CONFIG_NOSYSTEM": "1"} {
		t.Setenv(key, value)
	}
	book := filepath.Join(t.TempDir(), "book")
	var out bytes.Buffer
	run := func(in, errs *os.File, args ...string) int {
		out.Reset()
		return app.Run(args, app.Surroundings{Out: &out, Err: errs, In: in, Env: os.Getenv, Dir: t.TempDir(), Now: scriptNow})
	}
	git := func(args ...string) string {
		text, err := exec.Command("git", append([]string{"-C", book}, args...)...).CombinedOutput()
		require.NoError(t, err, string(text))
		return string(text)
	}
	devNull, err := os.Open(os.DevNull)
	require.NoError(t, err)
	defer devNull.Close()
	require.Zero(t, run(devNull, os.Stderr, "demo", "--short", book))
	git("tag", "-d", "build/SK-01/2")
	git("reset", "-q", "--hard", "HEAD~1")
	git("config", "user.name", "KM")
	git("config", "user.email", "km@skarvik.example")
	before := git("rev-parse", "HEAD")

	for answer, status := range map[string]int{"\n": 3, "n\n": 3, "yet\n": 3} {
		master, tty := openTerminal(t)
		_, err = master.WriteString(answer)
		require.NoError(t, err)
		require.Equal(t, status, run(tty, tty, "--in", book, "deliver", "SK-01"), "%q", answer)
		require.Contains(t, out.String(), "Open of build 2 of SK-01:")
		require.Equal(t, before, git("rev-parse", "HEAD"))
		require.Equal(t, "?? SK-01-rebuild.html\n", git("status", "--porcelain"))
	}
	master, tty := openTerminal(t)
	_, err = master.WriteString("y\n")
	require.NoError(t, err)
	require.Zero(t, run(tty, tty, "--in", book, "deliver", "SK-01"))
	require.Contains(t, out.String(), "delivery code 1-")
	said := make([]byte, 4096)
	n, err := master.Read(said)
	require.NoError(t, err)
	require.Contains(t, string(said[:n]), "Deliver build 2 of SK-01? [y/N] ")
	git("fsck", "--strict")
}

// openTerminal gives both ends of a terminal of 80 columns.
func openTerminal(t *testing.T) (master, tty *os.File) {
	t.Helper()
	master, err := os.OpenFile("/dev/ptmx", os.O_RDWR|syscall.O_NOCTTY, 0)
	require.NoError(t, err)
	t.Cleanup(func() { master.Close() })
	control := func(request uintptr, argument unsafe.Pointer) {
		_, _, errno := syscall.Syscall(syscall.SYS_IOCTL, master.Fd(), request, uintptr(argument))
		require.Zero(t, errno)
	}
	var lock, number int32
	size := [4]uint16{24, 80}
	control(syscall.TIOCSPTLCK, unsafe.Pointer(&lock))
	control(syscall.TIOCGPTN, unsafe.Pointer(&number))
	control(syscall.TIOCSWINSZ, unsafe.Pointer(&size))
	tty, err = os.OpenFile(fmt.Sprintf("/dev/pts/%d", number), os.O_RDWR|syscall.O_NOCTTY, 0)
	require.NoError(t, err)
	t.Cleanup(func() { tty.Close() })
	return master, tty
}
