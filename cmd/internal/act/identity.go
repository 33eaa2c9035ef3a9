package act

import (
	"bytes"
	"crypto/sha256"
	"debug/buildinfo"
	"encoding/hex"
	"errors"
	"io"
	"os"
	"runtime"
	"runtime/debug"
	"sync"
)

// Identity tells by which code this program works: two that give the same one
// were built of the same. It is the name that the go command gives an executable
// by its content, and where it has none, the hash of the whole file; ok is false
// where the file cannot be told.
//
// So results kept by an older program, or by one built a minute ago of other
// sources, are never taken for this one's, and nobody has to raise a number.
var Identity = sync.OnceValues(func() (identity string, ok bool) {
	f, err := ownFile()
	if err != nil {
		return "", false
	}
	defer f.Close()
	identity, err = identityOf(f)
	return identity, err == nil
})

// ownFile opens the file this program runs from. On Linux that is the very file,
// also when another was put in its place since. Elsewhere a file of that name has
// to tell the same of its build as the running program does.
func ownFile() (*os.File, error) {
	if runtime.GOOS == "linux" {
		return os.Open("/proc/self/exe")
	}
	name, err := os.Executable()
	if err != nil {
		return nil, err
	}
	f, err := os.Open(name)
	if err != nil {
		return nil, err
	}
	own, known := debug.ReadBuildInfo()
	if told, err := buildinfo.Read(f); err != nil || !known || told.String() != own.String() {
		return nil, errors.Join(err, errOtherProgram, f.Close())
	}
	return f, nil
}

var errOtherProgram = errors.New("another program lies where this one was")

// headOfProgram is how much of an executable is looked through for its name: the
// go command itself looks no further (cmd/internal/buildid).
const headOfProgram = 32 << 10

// How the name stands in the file: in a note of its own where the format is ELF,
// between two marks elsewhere. Other build tools write words of their own there.
var (
	elfNote   = []byte("\x04\x00\x00\x00Go\x00\x00")
	nameBegin = []byte("\xff Go build ID: \"")
)

// nameIn gives the go command's name that some bytes begin with: four hashes of
// twenty letters with slashes between, the last that of the whole content; "" of
// anything else.
func nameIn(data []byte) string {
	const letters, parts = 20, 4
	for i := range parts*(letters+1) - 1 {
		switch {
		case i >= len(data):
			return ""
		case i%(letters+1) == letters:
			if data[i] != '/' {
				return ""
			}
		case !isNameLetter(data[i]):
			return ""
		}
	}
	return string(data[:parts*(letters+1)-1])
}

func isNameLetter(c byte) bool {
	return 'a' <= c && c <= 'z' || 'A' <= c && c <= 'Z' || '0' <= c && c <= '9' || c == '-' || c == '_'
}

func identityOf(f *os.File) (string, error) {
	head := make([]byte, headOfProgram)
	n, err := io.ReadFull(f, head)
	if err != nil && !errors.Is(err, io.ErrUnexpectedEOF) {
		return "", err
	}
	for _, mark := range [][]byte{elfNote, nameBegin} {
		if _, after, found := bytes.Cut(head[:n], mark); found {
			if name := nameIn(after); name != "" {
				return "go " + name, nil
			}
		}
	}
	if _, err := f.Seek(0, io.SeekStart); err != nil {
		return "", err
	}
	h := sha256.New()
	_, err = io.Copy(h, f)
	return "sha256 " + hex.EncodeToString(h.Sum(nil)), err
}
